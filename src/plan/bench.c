#include "plan/bench.h"

#include <glib/gi18n.h>
#include <math.h>

/* Within it the gas decides, beyond it the preheater; common practice, no source. */
#define NEAR_MM 25.0

static void
stage_clear (gpointer data)
{
  g_free (((LwBenchStage *) data)->name);
}

static void
add_knots (const LwPlan *plan, GArray *out)
{
  for (guint i = 1; i < plan->table->len; i++) {
    const LwKnot *a = &g_array_index (plan->table, LwKnot, i - 1), *b = &g_array_index (plan->table, LwKnot, i);
    LwBenchStage stage = { NULL, a->t_s, b->t_s, b->gas_c, NAN, b->preheat_c, TRUE };

    if (!(b->t_s > a->t_s))
      continue;
    /* Translators: a row of a table of set points. */
    stage.name = g_strdup_printf (_("Knot %u"), i + 1);
    g_array_append_val (out, stage);
  }
}

GArray *
lw_bench_stages (const LwPlan *plan)
{
  GArray *out = g_array_new (FALSE, FALSE, sizeof (LwBenchStage));
  double t = 0;

  g_array_set_clear_func (out, stage_clear);
  if (plan->table != NULL) {
    add_knots (plan, out);
    return out;
  }
  for (guint i = 0; i < plan->stages->len; i++) {
    const LwStage *from = g_ptr_array_index (plan->stages, i);
    LwBenchStage stage = { g_strdup (from->name), t, t + from->duration_s, from->gas_c, from->flow_l_per_min,
                           from->preheat_c, from->shape == LW_SHAPE_RAMP };

    t = stage.t1_s;
    g_array_append_val (out, stage);
  }
  return out;
}

/* ---- thermocouples ---- */

static const LwPart *
part_named (const LwJob *job, const char *ref)
{
  int index = *ref != '\0' ? lw_job_find_part (job, ref) : -1;

  return index < 0 ? NULL : g_ptr_array_index (job->parts, index);
}

LwTouch
lw_bench_touch (const LwJob *job, const LwThermocouple *couple)
{
  const LwPart *part = part_named (job, couple->ref);

  if (part == NULL)
    return LW_TOUCH_BOARD;
  return part->side == couple->side ? LW_TOUCH_BODY : LW_TOUCH_JOINTS;
}

static const LwPartTrace *
trace_named (const LwPrediction *prediction, const char *ref)
{
  for (guint i = 0; i < prediction->parts->len; i++) {
    const LwPartTrace *trace = g_ptr_array_index (prediction->parts, i);

    if (g_str_equal (trace->ref, ref))
      return trace;
  }
  return NULL;
}

static guint
nearest_joint (const LwPrediction *prediction, const LwThermocouple *couple)
{
  double least = INFINITY;
  guint best = 0;

  for (guint i = 0; i < prediction->target_joint_at->len; i++) {
    LwPoint at = g_array_index (prediction->target_joint_at, LwPoint, i);
    double away = hypot (at.x_mm - couple->x_mm, at.y_mm - couple->y_mm);

    if (away < least) {
      least = away;
      best = i;
    }
  }
  return best;
}

static double
target_joint_c (const LwPrediction *prediction, const LwThermocouple *couple, double t_s)
{
  guint n = prediction->target_joint_at->len, joint = nearest_joint (prediction, couple), last = prediction->n_times - 1;
  guint i = 0;

  while (i < last && prediction->t_s[i + 1] < t_s)
    i++;
  double a = prediction->target_joints[(gsize) i * n + joint];
  if (i == last || t_s <= prediction->t_s[i])
    return a;
  double b = prediction->target_joints[(gsize) (i + 1) * n + joint];
  return a + (b - a) * (t_s - prediction->t_s[i]) / (prediction->t_s[i + 1] - prediction->t_s[i]);
}

double
lw_bench_reading_c (const LwJob *job, const LwPrediction *prediction, const LwThermocouple *couple, double t_s)
{
  LwTouch touch = lw_bench_touch (job, couple);
  const LwPartTrace *trace = touch == LW_TOUCH_BOARD ? NULL : trace_named (prediction, couple->ref);

  if (prediction->n_times == 0)
    return NAN;
  if (trace != NULL && touch == LW_TOUCH_BODY && trace->body_max != NULL)
    return lw_prediction_at (prediction, trace->body_max, t_s);
  if (trace != NULL && trace->joint_mean != NULL)
    return trace->is_target && prediction->target_joints != NULL && prediction->target_joint_at->len > 0
               ? target_joint_c (prediction, couple, t_s)
               : lw_prediction_at (prediction, trace->joint_mean, t_s);
  if (!lw_prediction_has_field (prediction))
    return NAN;
  return lw_prediction_board_c (prediction, couple->side, couple->x_mm, couple->y_mm, t_s);
}

gboolean
lw_bench_is_near (const LwJob *job, const LwPlan *plan, LwPoint at)
{
  const LwPart *target = part_named (job, plan->ref);
  const LwPackage *package = target != NULL ? lw_job_package_of (job, target) : NULL;

  if (package == NULL)
    return FALSE;
  LwPoint center = lw_part_body_center (target, package);
  return hypot (at.x_mm - center.x_mm, at.y_mm - center.y_mm) - fmax (package->length_mm, package->width_mm) / 2
         < NEAR_MM;
}

/* ---- cautions ---- */

const char *
lw_bench_caution (guint index)
{
  static const char *const cautions[] = {
    N_("Predictions are estimates. Confirm them with thermocouples on a scrap board first."),
    N_("The part maker’s data and your shop’s procedures come first; local codes and licensed practice govern."),
    N_("Isolate and discharge the board. Take off batteries and coin cells; heated cells and aluminium "
       "capacitors can burst."),
    N_("Extract the fumes. Protect eyes and skin. Nozzle, heater and board stay hot after the run."),
    N_("Guard against electrostatic discharge. Treat residue as leaded unless you know it is not, and wash your "
       "hands."),
  };

  return index < G_N_ELEMENTS (cautions) ? _(cautions[index]) : NULL;
}
