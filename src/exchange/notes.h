/* What the readers of this room have to say: warnings that are collected, errors that end the reading.
 */
#ifndef LW_NOTES_H
#define LW_NOTES_H

#include "exchange/import.h"

G_BEGIN_DECLS

/* A file can be wrong on every line: after this many a last one says that more were left out. */
#define LW_NOTES_MAX 500

GPtrArray *lw_notes_new (void); /* of LwImportWarning, freed with the array */
/* FILE is the base name, LINE 0 = the file as a whole; the text is translated. */
void lw_notes_add (GPtrArray *notes, const char *file, guint line, const char *format, ...)
  G_GNUC_PRINTF (4, 5);
/* A whole text of a whole file; takes TEXT over. */
void lw_notes_add_text (GPtrArray *notes, const char *file, char *text);
/* DAMAGE, as lw_notes_fail() sets it for FILE, as a warning that stands before all that are no damage. */
void lw_notes_add_damage (GPtrArray *notes, const char *file, const GError *damage);
/* The same for a REASON at LINE (0 = none); WHAT says what becomes of the file. */
void lw_notes_add_loss (GPtrArray *notes, const char *file, guint line, const char *reason, const char *what);
/* When NOTES tell of damage: sets ERROR to the first, as lw_notes_fail() would have, and is FALSE. */
gboolean lw_notes_refuse_damage (const GPtrArray *notes, GError **error);
/* WARNING once more, in its place. */
void lw_notes_add_copy (GPtrArray *notes, const LwImportWarning *warning);
/* The reason in an error as lw_notes_fail() sets it for FILE, and its line (0 = none). */
const char *lw_notes_reason (const char *file, const GError *error, guint *line);
/* Sets "FILE:LINE: text" ("FILE: text" for line 0). Always FALSE, to be returned. */
gboolean lw_notes_fail (GError **error, LwImportError code, const char *file, guint line,
                        const char *format, ...) G_GNUC_PRINTF (5, 6);

G_END_DECLS

#endif
