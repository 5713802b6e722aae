/* Text with columns to rows, and single fields to numbers and sides. Internal to the room. */
#ifndef LW_CENTROID_ROWS_H
#define LW_CENTROID_ROWS_H

#include "exchange/centroid.h"

G_BEGIN_DECLS

/* Limits that no honest file reaches. */
#define LW_CENTROID_MAX_FIELDS 256
#define LW_CENTROID_MAX_FIELD_BYTES 4096

typedef struct {
  const char *cursor, *end;
  guint line;
  char delimiter;
  gboolean latin1; /* some field was not UTF-8 and has been read as Latin-1 */
} LwCentroidReader;

/* TEXT must outlive the reader. */
void lw_centroid_reader_init (LwCentroidReader *self, const char *text, gsize length, char delimiter);
/* The next row that is not empty (transfer full), NULL at the end. */
LwCentroidRow *lw_centroid_reader_next (LwCentroidReader *self);

/* FIELD as a number, with a unit behind it or not (*UNIT_MM is set only when there is one). FALSE when
 * it is anything else. */
gboolean lw_centroid_number (const char *field, gboolean decimal_comma, double *value, double *unit_mm);
/* The side a word names; FALSE when it names none. */
gboolean lw_centroid_side (const char *field, gboolean is_mirror, LwSide *side);

/* Which column a name heads, or -1; RANK gets lower the surer it is; *UNIT is set when the name states
 * one, else left alone. */
int lw_centroid_column_of (const char *name, guint *rank, int *unit, gboolean *is_mirror);
/* A unit named in a line of free text, or -1. */
int lw_centroid_unit_in_text (const char *text);

G_END_DECLS

#endif
