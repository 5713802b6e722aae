/* Answers in milliseconds: one plan of a job compiled once and projected on the reduced model.
 *
 *   LwQuick *quick = lw_quick_new (job, plan, &options, cancellable, NULL, NULL, &error);   geometry
 *   LwQuickRun *run = lw_quick_run_new (quick);                            a thread's workspace
 *   lw_quick_run (quick, run, NULL, NULL, &error);                         the plan's own set points, or
 *   lw_quick_drive (quick, job2, plan, &drive, &error);                    those of an edited job
 *   lw_quick_run (quick, run, &drive.heat, NULL, &error);
 *   lw_quick_figures (quick, run, figures);                                numbers for a search, or
 *   lw_quick_predict (quick, run, &drive, &error);                         a prediction (full = FALSE)
 *
 * A LwQuick is never written to once it is built: any number of threads may use it, each with a run of its
 * own. It holds the job it was built from. Bodies are numbered as the traces of a prediction are. */
#ifndef LW_QUICK_H
#define LW_QUICK_H

#include <gio/gio.h>

#include "heat/reduced.h"
#include "plan/compile.h"
#include "plan/predict.h"

G_BEGIN_DECLS

typedef struct LwQuick LwQuick;
typedef struct LwQuickRun LwQuickRun;

typedef struct {
  double cell_mm, coarse_mm; /* 0 = default; equal = uniform */
  double error_k;            /* wanted error of the linear part; 0 = default */
  gboolean scout;            /* fewer zones and vectors, for searching and sampling */
  gboolean vary_conductance; /* drives may change conductivity and joints, as the doubt needs */
  gboolean keep;             /* models built near this one start from what it knows: costs memory */
  LwQuick *near;             /* of a job whose geometry differs in little, or NULL: see HeatReducedOptions; only read during the call */
} LwQuickOptions;

/* Blocks, on as many threads as lw_quick_parallel() has; all but JOB may be NULL. NULL with
 * LW_PREDICT_ERROR or G_IO_ERROR_CANCELLED. */
LwQuick *lw_quick_new (LwJob *job, guint plan, const LwQuickOptions *options, GCancellable *cancellable,
                       LwPredictProgress progress, gpointer user, GError **error);
LwQuick *lw_quick_ref (LwQuick *self);
void lw_quick_unref (LwQuick *self); /* NULL allowed */
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwQuick, lw_quick_unref)

/* The job as it was compiled (transfer none). */
const LwJob *lw_quick_job (const LwQuick *self);
const LwCase *lw_quick_case (const LwQuick *self); /* scene, bodies, frame */
const HeatReduced *lw_quick_model (const LwQuick *self); /* of its mesh; lives as long */
guint lw_quick_n_bodies (const LwQuick *self); /* parts that were compiled, of both sides */

/* Whether a plan of JOB differs from the model's in nothing but what a drive may vary (set points, times,
 * flows, ambient): same scene, same parts under the same names. Compiles the plan. */
gboolean lw_quick_fits (const LwQuick *self, LwJob *job, guint plan);

/* Set points of a plan as a drive, marked at the end of the heating. `heat` borrows from `of`, and that from
 * `job`; HEAT may be changed before it is run. Start from LW_QUICK_DRIVE_INIT. */
typedef struct {
  HeatDrive heat;
  LwCase *of;
  LwJob *job;
} LwQuickDrive;
#define LW_QUICK_DRIVE_INIT { .of = NULL, .job = NULL }

/* FALSE with LW_PREDICT_ERROR_JOB when the plan cannot be computed, or does not fit the model. */
gboolean lw_quick_drive (const LwQuick *self, LwJob *job, guint plan, LwQuickDrive *drive, GError **error);
void lw_quick_drive_clear (LwQuickDrive *drive);
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (LwQuickDrive, lw_quick_drive_clear)

/* A thread's workspace; holds a reference to the model. Aborts when memory is out, as GLib does. */
LwQuickRun *lw_quick_run_new (LwQuick *self);
void lw_quick_run_free (LwQuickRun *run); /* NULL allowed */
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwQuickRun, lw_quick_run_free)

/* Marches one job; DRIVE NULL: the model's own plan; WANTS may be NULL. */
gboolean lw_quick_run (const LwQuick *self, LwQuickRun *run, const HeatDrive *drive,
                       const HeatReducedWants *wants, GError **error);
/* The model's own plan. */
HeatDrive lw_quick_own_drive (const LwQuick *self);
/* Of the last march: FIGURES [n_bodies]. */
void lw_quick_figures (const LwQuick *self, LwQuickRun *run, HeatFigures *figures);
/* Of the last march, the highest temperature of the board's surface, C. */
double lw_quick_board_peak (const LwQuick *self, LwQuickRun *run);
/* The last march as a prediction, `full` FALSE, with lee, films and notes, doubt NaN. Its fields are made
 * when they are asked for, so it holds the model. DRIVE is the one that was run; NULL: the model's own plan. */
LwPrediction *lw_quick_predict (const LwQuick *self, LwQuickRun *run, const LwQuickDrive *drive,
                                GError **error);
/* All of it: drive, march, prediction. */
LwPrediction *lw_quick_answer (const LwQuick *self, LwQuickRun *run, LwJob *job, guint plan, GError **error);

/* Threads that are made once and kept: as many as there are processors, at most 4, the caller's among them.
 * May be used from several threads at a time, and from inside a job. */
const HeatParallel *lw_quick_parallel (void);

G_END_DECLS

#endif
