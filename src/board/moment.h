/* Moments of the bench's own clock as a document writes them, "2026-03-01T09:30": no zone, no summer time. */
#ifndef LW_MOMENT_H
#define LW_MOMENT_H

#include <glib.h>

G_BEGIN_DECLS

/* Minutes since 1970-01-01T00:00 of the same clock. A space may stand for the T; a date alone means its first minute.
 * FALSE for anything else, and outside the years 1900 to 2200. MINUTES may be NULL. */
gboolean lw_moment_parse (const char *text, gint64 *minutes);
/* As a document writes it (transfer full). */
char *lw_moment_text (gint64 minutes);

G_END_DECLS

#endif
