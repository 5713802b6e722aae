/* The two files of an IDF pair as they stand, before anything is made of them: mm, degrees, names as
 * written. Versions 2.0 and 3.0. */
#ifndef LW_IDF_FILE_H
#define LW_IDF_FILE_H

#include "exchange/idf-lexer.h"
#include "exchange/idf-loops.h"

G_BEGIN_DECLS

#define LW_IDF_MAX_PARTS 200000
#define LW_IDF_MAX_ENTRIES 100000

typedef struct {
  guint version; /* 2 or 3 */
  char *source, *date, *board_name;
  double unit_mm; /* board files only */
} LwIdfHeader;

typedef struct {
  char *geometry, *number, *ref;
  double x_mm, y_mm, offset_mm, rotation_deg; /* as written, the rotation brought to [0, 360) */
  LwSide side;
  gboolean placed;
  guint line;
} LwIdfPlacement;

typedef struct {
  LwIdfHeader header;
  gboolean has_outline, has_placement;
  guint outline_line;
  double thickness_mm;
  GPtrArray *outline;    /* LwIdfLoop */
  GPtrArray *placements; /* LwIdfPlacement */
  GString *notes;        /* one per line */
  guint n_holes;
} LwIdfBoard;

typedef struct {
  char *name, *value;
} LwIdfProperty;

typedef struct {
  char *geometry, *number;
  double height_mm;   /* as written, in mm; 0 = not known */
  GPtrArray *loops;   /* LwIdfLoop */
  GArray *properties; /* LwIdfProperty */
  gboolean mechanical;
  guint line;
} LwIdfEntry;

typedef struct {
  char *name; /* of the file */
  LwIdfHeader header;
  GPtrArray *entries; /* LwIdfEntry */
  /* private: finding */
  GHashTable *by_key, *by_geometry;
} LwIdfLibrary;

/* Both read LEXER to its end; warnings go to its notes. */
LwIdfBoard *lw_idf_board_read (LwIdfLexer *lexer, GError **error);
void lw_idf_board_free (LwIdfBoard *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwIdfBoard, lw_idf_board_free)

LwIdfLibrary *lw_idf_library_read (LwIdfLexer *lexer, GError **error);
void lw_idf_library_free (LwIdfLibrary *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwIdfLibrary, lw_idf_library_free)

/* The entry of a part: by geometry and part number, else by geometry alone, else NULL. */
const LwIdfEntry *lw_idf_library_find (const LwIdfLibrary *self, const char *geometry,
                                       const char *number);

/* The header section, which must come first. IS_BOARD: a board file is wanted, else a library. */
gboolean lw_idf_header_read (LwIdfLexer *lexer, gboolean is_board, LwIdfHeader *header, GError **error);
void lw_idf_header_clear (LwIdfHeader *header);
/* MM, THOU and in version 2.0 TNM. */
gboolean lw_idf_unit (const LwIdfLexer *lexer, const LwIdfRecord *record, guint index, guint version,
                      double *unit_mm, GError **error);

G_END_DECLS

#endif
