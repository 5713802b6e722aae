/* Bytes of a text file to UTF-8. */
#ifndef LW_TEXT_H
#define LW_TEXT_H

#include "exchange/import.h"

G_BEGIN_DECLS

/* Drops a byte-order mark and turns UTF-16 (by its mark, or by its many NUL bytes) into UTF-8. The
 * result (transfer full, NUL-terminated, *LENGTH bytes) may still hold bytes that are not UTF-8, since
 * old files are Latin-1 without saying so: see lw_text_line_to_utf8(). A NUL character is refused, with
 * its line, as is UTF-16 that is no text. */
char *lw_text_decode (const char *name, const char *data, gsize size, gsize *length, GError **error);

/* The same up to where that is: DAMAGE is set, and what stands before is returned; NULL when nothing does. */
char *lw_text_decode_start (const char *name, const char *data, gsize size, gsize *length, GError **damage);

/* Makes LINE valid UTF-8 in place, reading it as Latin-1 when it is not; TRUE when it had to. */
gboolean lw_text_line_to_utf8 (GString *line);

/* Cuts the line at *CURSOR off (LF, CR LF or CR; the last may lack its end) into LINE without its end.
 * FALSE at END. At most LIMIT + 1 bytes are copied, so that a longer line can be told and refused. */
gboolean lw_text_next_line (const char **cursor, const char *end, gsize limit, GString *line);

G_END_DECLS

#endif
