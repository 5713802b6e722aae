/* A compact model of a plan: thousands of what-ifs a second. It learns from marches of the reduced model, so it is only as
 * good as the drives it was taught lie near to what it is asked: see heat/compact.h. Inside plan/.
 *
 *   LwCompact *compact = lw_compact_new (quick, drives, n, gauge, cancellable, &error);
 *   HeatCompactRun *run = heat_compact_run_new (lw_compact_model (compact));     a thread's workspace
 *
 * Never written to once it is built; holds the quick model. */
#ifndef LW_COMPACT_H
#define LW_COMPACT_H

#include "heat/compact.h"
#include "plan/gauge.h"
#include "plan/quick.h"

G_BEGIN_DECLS

typedef struct LwCompact LwCompact;

/* Blocks, on as many threads as lw_quick_parallel() has. DRIVES [N], the plan's own first; they are read during the call alone.
 * GAUGE: what is asked of the bodies; NULL: all figures of all of them. NULL with LW_PREDICT_ERROR or
 * G_IO_ERROR_CANCELLED. */
LwCompact *lw_compact_new (LwQuick *quick, const HeatDrive *drives, guint n, const LwGauge *gauge,
                           GCancellable *cancellable, GError **error);
LwCompact *lw_compact_ref (LwCompact *self);
void lw_compact_unref (LwCompact *self); /* NULL allowed */
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwCompact, lw_compact_unref)

const HeatCompact *lw_compact_model (const LwCompact *self);

/* One that can answer edits of set points and times with whole predictions: it learns from LW_COMPACT_LESSONS plans that differ from the
 * model's own by up to LW_COMPACT_REACH of what the station can do. NULL with LW_PREDICT_ERROR_JOB when the plan has no
 * stages to vary. */
#define LW_COMPACT_LESSONS 12
#define LW_COMPACT_REACH 0.15
LwCompact *lw_compact_new_live (LwQuick *quick, GCancellable *cancellable, GError **error);
/* A plan of JOB that fits the model, as lw_quick_answer() gives it but `rough`: good to a kelvin or so of the quick model near the
 * lessons; films and energy are those of the model's own plan. SELF is a live one, RUN its. NULL with LW_PREDICT_ERROR. */
LwPrediction *lw_compact_answer (const LwCompact *self, HeatCompactRun *run, LwJob *job, guint plan, GError **error);

G_END_DECLS

#endif
