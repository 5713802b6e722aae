/* The moments of a log: clocks past midnight, dates, times that stand still or go back. Internal to the room. */
#ifndef LW_LOG_TIMES_H
#define LW_LOG_TIMES_H

#include "exchange/log.h"

G_BEGIN_DECLS

typedef struct _LwLogTimes LwLogTimes;

/* MAPPING and NAME must outlive it. */
LwLogTimes *lw_log_times_new (const char *name, const LwLogMapping *mapping);
void lw_log_times_free (LwLogTimes *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwLogTimes, lw_log_times_free)

/* The next moment, from the fields of its line; FALSE when they do not read. */
gboolean lw_log_times_add (LwLogTimes *self, const char *time, const char *date, guint line);
/* All moments in T_S, from 0 and rising; the answer holds which of those added they are (GArray of guint, transfer
 * full). What was left out or spread stands in NOTES. NULL with ERROR when nothing sensible is left. */
GArray *lw_log_times_settle (LwLogTimes *self, GArray *t_s, GPtrArray *notes, GError **error);
/* ISO 8601 of the first moment, "" where unknown (transfer full). */
char *lw_log_times_date (const LwLogTimes *self);

G_END_DECLS

#endif
