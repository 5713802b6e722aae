/* Inside the room: one plan of a job as a physical scene, with everything the scene borrows.
 *
 * The scene's frame: metres, origin at the low corner of the board's outline, gas from above. A target
 * on the bottom side is worked on with the board turned over about its y axis: x runs the other way, the
 * sides change places, and `flipped` is set. lw_case_point() and lw_case_point_mm() translate. */
#ifndef LW_COMPILE_H
#define LW_COMPILE_H

#include "board/job.h"
#include "board/library.h"
#include "heat/scene.h"
#include "plan/kept.h"
#include "plan/predict.h"
#include "plan/set-tables.h"
#include "plan/stack.h"

G_BEGIN_DECLS

/* What the scene's numbered bodies are. */
typedef struct {
  guint part; /* index in the job */
  LwSide side;
  gboolean height_known;
  double liquidus_c;
} LwCaseBody;

typedef struct {
  HeatScene scene;
  const LwJob *job; /* borrowed: the job must outlive the case */
  guint plan;
  gboolean flipped;
  LwBox box; /* of the outline, mm */
  HeatBody *bodies;
  LwCaseBody *body_of;
  guint n_bodies;
  HeatXY target_at;           /* body centre of the part to rework */
  double target_radius_m;
  double tg_c, td_c;      /* lowest of the laminates in the stack-up */
  double gas_set_error_c; /* half-width, K */
  LwKeptFigures kept;            /* what a fit has told; it is in the scene */
  LwSetTables set; /* the plan's set points; the scene borrows its tables */
  LwPackage *unknown; /* stands in for packages nobody knows */
  GPtrArray *notes;   /* char * */
  GPtrArray *owned;   /* every block the scene borrows */
} LwCase;

/* NULL with LW_PREDICT_ERROR_JOB when the plan cannot be computed. */
LwCase *lw_case_new (const LwJob *job, guint plan, GError **error);
void lw_case_free (LwCase *self); /* NULL allowed */
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwCase, lw_case_free)

/* Board frame (mm) to scene (m) and back. */
HeatXY lw_case_point (const LwCase *self, double x_mm, double y_mm);
LwPoint lw_case_point_mm (const LwCase *self, HeatXY at);
/* A direction in the board frame, degrees, as the scene sees it, rad. */
double lw_case_angle (const LwCase *self, double deg);
/* Whether a part of that side hangs under the board in the scene. */
gboolean lw_case_below (const LwCase *self, LwSide side);
/* A loop flattened to 0.05 mm. */
HeatLoop lw_case_loop (LwCase *self, const LwLoop *loop);
/* Memory that lives as long as the case, zeroed. */
gpointer lw_case_alloc (LwCase *self, gsize n, gsize size);
void lw_case_note (LwCase *self, char *text); /* takes TEXT */

/* Steps of lw_case_new(), in order. */
void lw_case_add_board (LwCase *self);
/* The board's copper map, if it has one, as the scene's raster; N slices, of which layer I of the scene lies
 * between the depths CUTS[I][0] and CUTS[I][1], m from the top face. */
void lw_case_add_copper (LwCase *self, const LwStack *stack, const double *const *cuts, guint n);
/* Whether the map tells this sheet's cover: regions of it are then part of the raster. */
gboolean lw_case_is_mapped (const LwCase *self, const LwStack *stack, int sheet);
gboolean lw_case_add_bodies (LwCase *self, guint target_part, GError **error);
gboolean lw_case_add_station (LwCase *self, GError **error);

/* The plan and station of the case. */
const LwPlan *lw_case_plan (const LwCase *self);

G_END_DECLS

#endif
