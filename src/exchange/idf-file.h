/* The two files of an IDF pair as they stand, before anything is made of them: mm, degrees, names as
 * written. Versions 2.0 and 3.0. */
#ifndef LW_IDF_FILE_H
#define LW_IDF_FILE_H

#include "exchange/idf-lexer.h"
#include "exchange/idf-loops.h"
#include "exchange/listed.h"

G_BEGIN_DECLS

typedef struct {
  guint version; /* 2 or 3 */
  char *source, *date, *board_name;
  double unit_mm; /* board files only */
} LwIdfHeader;

typedef struct {
  LwIdfHeader header;
  LwListedBoard listed;
  gboolean has_outline, has_placement;
  GString *notes;        /* one per line */
  guint n_holes;
} LwIdfBoard;

typedef struct {
  LwIdfHeader header;
  LwListedLibrary listed;
} LwIdfLibrary;

/* Both read LEXER to its end; warnings go to its notes. SALVAGE: a fault behind the header is noted as
 * damage, and what is whole is returned; of a board, an outline or parts must be. */
LwIdfBoard *lw_idf_board_read (LwIdfLexer *lexer, gboolean salvage, GError **error);
void lw_idf_board_free (LwIdfBoard *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwIdfBoard, lw_idf_board_free)

/* The same for the library file of a pair; it is indexed already. NULL with ERROR (LW_IMPORT_ERROR). */
LwIdfLibrary *lw_idf_library_read (LwIdfLexer *lexer, gboolean salvage, GError **error);
void lw_idf_library_free (LwIdfLibrary *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwIdfLibrary, lw_idf_library_free)

/* The header section, which must come first. IS_BOARD: a board file is wanted, else a library. */
gboolean lw_idf_header_read (LwIdfLexer *lexer, gboolean is_board, LwIdfHeader *header, GError **error);
void lw_idf_header_clear (LwIdfHeader *header);
/* MM, THOU and in version 2.0 TNM. */
gboolean lw_idf_unit (const LwIdfLexer *lexer, const LwIdfRecord *record, guint index, guint version,
                      double *unit_mm, GError **error);

G_END_DECLS

#endif
