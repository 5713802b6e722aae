/* Sections of an IDF file, read by a table: which there are, what stands in them and who keeps it. */
#ifndef LW_IDF_SECTIONS_H
#define LW_IDF_SECTIONS_H

#include "exchange/idf-file.h"

G_BEGIN_DECLS

typedef struct _LwIdfSection LwIdfSection;
typedef struct _LwIdfReading LwIdfReading;

/* What is known while a section is read. */
struct _LwIdfReading {
  LwIdfLexer *lexer;
  const LwIdfHeader *header;
  gpointer target;     /* LwIdfBoard or LwIdfLibrary */
  const LwIdfSection *section;
  guint section_line;
  guint n_records;     /* of the section, before this one */
  LwIdfLoops loops;
  guint n_points;      /* of the file */
  gpointer open;       /* what the section's reader is building */
  gboolean salvage;    /* a fault ends its section, not the reading */
  GError *damage;      /* the first fault survived; the caller's to free */
};

/* One section. LEAD tells, per version, the fields of the line before the outline points, one letter
 * each: n number >= 0, h the same but may be missing, w word, s side TOP or BOTTOM, S side TOP, BOTTOM
 * or BOTH, L routing layer; "" = no such line; NULL = the section holds no outline. */
struct _LwIdfSection {
  const char *name;
  const char *lead2, *lead3;
  /* Sections without an outline, and those that read their own lead. */
  gboolean (*record) (LwIdfReading *reading, const LwIdfRecord *record, GError **error);
  /* LEAD as read: the number of the first 'n' or 'h' (else 0) and the first word (else ""). May be
   * NULL. */
  void (*lead) (LwIdfReading *reading, double number, const char *word, guint line);
  /* The outline of the section (transfer full). NULL = checked and dropped. */
  void (*loops) (LwIdfReading *reading, GPtrArray *loops);
  /* At .END_NAME. May be NULL. */
  gboolean (*end) (LwIdfReading *reading, GError **error);
  /* Salvaging: a fault was met; what is only half read is to be dropped. May be NULL. */
  void (*drop) (LwIdfReading *reading);
};

/* Reads the rest of the file. TABLE ends with a NULL name. */
gboolean lw_idf_sections_read (LwIdfReading *reading, const LwIdfSection *table, GError **error);

G_END_DECLS

#endif
