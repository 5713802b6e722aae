/* IDF text to records: one per line, fields separated by blanks, strings in double quotes without an
 * escape, '#' comments. Source: the opening pages of the IDF 3.0 (31 October 1996) and 2.0 (5 January
 * 1993) documents. */
#ifndef LW_IDF_LEXER_H
#define LW_IDF_LEXER_H

#include "exchange/notes.h"

G_BEGIN_DECLS

/* Limits that no honest file reaches. */
#define LW_IDF_MAX_LINE 8192
#define LW_IDF_MAX_FIELDS 64
#define LW_IDF_MAX_COORDINATE_MM 1e6

typedef struct {
  char *field[LW_IDF_MAX_FIELDS]; /* into the lexer's line: valid until the next record */
  guint n_fields;
  guint line;       /* 1-based */
  gboolean keyword; /* ".NAME ...": field[0] without its dot */
} LwIdfRecord;

typedef struct {
  const char *name;  /* of the file, for messages */
  GPtrArray *notes;
  /* private */
  const char *cursor, *end;
  GString *text;
  guint line;
  gboolean told_latin1;
} LwIdfLexer;

/* TEXT (from lw_text_decode()) and NOTES must outlive the lexer. */
void lw_idf_lexer_init (LwIdfLexer *self, const char *name, const char *text, gsize length,
                        GPtrArray *notes);
void lw_idf_lexer_clear (LwIdfLexer *self);
guint lw_idf_lexer_line (const LwIdfLexer *self); /* last one read */

/* Next record that is neither empty nor a comment: 1, at the end of the file 0, on error -1. */
int lw_idf_next (LwIdfLexer *self, LwIdfRecord *record, GError **error);

/* Field INDEX; WHAT names it in the message when it is missing. NULL with ERROR. */
const char *lw_idf_field (const LwIdfLexer *self, const LwIdfRecord *record, guint index,
                          const char *what, GError **error);
/* The field as a finite decimal number, all of it; independent of the locale. */
gboolean lw_idf_number (const LwIdfLexer *self, const LwIdfRecord *record, guint index, const char *what,
                        double *value, GError **error);
/* A number in the file's unit as mm, at most LW_IDF_MAX_COORDINATE_MM either way. */
gboolean lw_idf_length (const LwIdfLexer *self, const LwIdfRecord *record, guint index, const char *what,
                        double unit_mm, double *value_mm, GError **error);
/* The field must be one of WORDS (NULL-terminated, compared without regard to case): its index, else
 * -1. */
int lw_idf_word (const LwIdfLexer *self, const LwIdfRecord *record, guint index, const char *what,
                 const char *const *words, GError **error);

/* Sets an error at a record's line. Always FALSE. */
gboolean lw_idf_fail (const LwIdfLexer *self, guint line, GError **error, const char *format, ...)
  G_GNUC_PRINTF (4, 5);
/* Warns when a record has more fields than it should. */
void lw_idf_expect_fields (const LwIdfLexer *self, const LwIdfRecord *record, guint most);

G_END_DECLS

#endif
