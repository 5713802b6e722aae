/* Files of one board, or a job, being read in a thread. Nothing that is open is touched. */
#ifndef LW_READING_H
#define LW_READING_H

#include "exchange/import.h"

G_BEGIN_DECLS

#define LW_TYPE_READING (lw_reading_get_type ())
G_DECLARE_FINAL_TYPE (LwReading, lw_reading, LW, READING, GObject)

/* FILES: one or more, folders and archives among them; PARTNER: the second file of a pair, or NULL. */
LwReading *lw_reading_new (GFile *const *files, guint n_files, GFile *partner);
void lw_reading_start (LwReading *self, GAsyncReadyCallback callback, gpointer user);
LwImport *lw_reading_finish (LwReading *self, GAsyncResult *result, GError **error);
/* What of a damaged board could be read, once finishing has failed: NULL when nothing (transfer full). */
LwImport *lw_reading_take_salvaged (LwReading *self);
void lw_reading_cancel (LwReading *self);
/* Share of the work that is done, 0..1; from any thread. */
double lw_reading_done (LwReading *self);

/* How many files were asked for. */
guint lw_reading_n_files (LwReading *self);
GFile *lw_reading_file (LwReading *self); /* the first */
GFile *lw_reading_partner (LwReading *self); /* or NULL */
/* "board.emn" or "4 files" (transfer full). */
char *lw_reading_name (LwReading *self);

G_END_DECLS

#endif
