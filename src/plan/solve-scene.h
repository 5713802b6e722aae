/* Inside the room: a run of the heat solver under the customs of GLib. */
#ifndef LW_SOLVE_SCENE_H
#define LW_SOLVE_SCENE_H

#include "heat/solve.h"
#include "plan/predict.h"

G_BEGIN_DECLS

/* Who watches a run; its progress 0..1 is shown as FROM..TO. All but the shares may be NULL. */
typedef struct {
  GCancellable *cancellable;
  LwPredictProgress progress;
  gpointer user;
  double from, to;
} LwWatch;

/* Tells that the share DONE, 0..1, of this stretch of work is done; WATCH may be NULL. */
void lw_watch_tell (const LwWatch *watch, double done);
/* A HeatProgress whose user is a LwWatch. */
bool lw_watch_progress (double done, void *watch);
/* STATUS, which is not HEAT_OK, as an error. DETAIL may be "". */
void lw_set_heat_error (GError **error, HeatStatus status, const char *detail);

/* NULL with LW_PREDICT_ERROR or G_IO_ERROR_CANCELLED. Free with heat_result_free(). */
HeatResult *lw_solve_scene (const HeatScene *scene, const HeatOptions *options, const LwWatch *watch,
                            GError **error);

G_DEFINE_AUTOPTR_CLEANUP_FUNC (HeatResult, heat_result_free)
G_DEFINE_AUTOPTR_CLEANUP_FUNC (HeatSolver, heat_solver_free)

G_END_DECLS

#endif
