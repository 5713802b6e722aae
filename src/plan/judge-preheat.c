/* The preheat area against the board and the part, and how evenly the board is warm when the gas starts.
 */
#include "plan/judge.h"

#include <glib/gi18n.h>
#include <math.h>

#include "plan/outline-gap.h"
#include "plan/rules.h"

/* How far the board may stick out over the area, and how unevenly warm it may be: common practice, no
 * source. Neither stops a job. */
#define OVERHANG_MM 15.0
#define GRADIENT_K 40.0
#define PRACTICE_SOURCE N_("common practice, no source")

static LwPatch
area_of (const LwPlan *plan)
{
  return (LwPatch){
    { plan->preheat_x_mm, plan->preheat_y_mm }, plan->preheat_length_mm, plan->preheat_width_mm, 0, FALSE
  };
}

/* How far the board reaches beyond the area on its worst side. */
static double
overhang (const LwJudge *judge)
{
  LwBox box = lw_loop_box (g_ptr_array_index (judge->job->board->outline, 0));
  const LwPlan *plan = judge->plan;
  double l = plan->preheat_length_mm / 2, w = plan->preheat_width_mm / 2;

  return fmax (fmax (plan->preheat_x_mm - l - box.x0_mm, box.x1_mm - plan->preheat_x_mm - l),
               fmax (plan->preheat_y_mm - w - box.y0_mm, box.y1_mm - plan->preheat_y_mm - w));
}

static void
judge_area (LwJudge *judge)
{
  double over = fmax (overhang (judge), 0);
  LwGrade grade = lw_rule_at_most_watch (lw_rule_upper (over, OVERHANG_MM, 0));
  LwFinding *finding = lw_judge_add (judge, grade, "preheat-area", "", over, OVERHANG_MM, TRUE, "mm",
                                     _(PRACTICE_SOURCE));

  if (over > 0)
    lw_finding_say (
        finding, g_strdup_printf (_("The board sticks out %.0f mm beyond the preheat area."), over),
        grade == LW_GRADE_FINE ? ""
                               : _("Enlarge the area so that the board warms evenly and stays flat."));
  else
    lw_finding_say (finding, g_strdup (_("The preheat area lies under the whole board.")), "");
}

static void
judge_under_target (LwJudge *judge)
{
  LwPatch area = area_of (judge->plan);
  g_autoptr (GArray) body = lw_part_polygon (judge->target, judge->package);
  double inside = INFINITY;

  for (guint i = 0; i < body->len; i++)
    inside = fmin (inside, lw_patch_inside_mm (&area, g_array_index (body, LwPoint, i)));
  LwFinding *finding = lw_judge_add (judge, inside < 0 ? LW_GRADE_STOP : LW_GRADE_FINE, "preheat-place",
                                     judge->target->ref, inside, 0, FALSE, "mm", _(PRACTICE_SOURCE));
  if (inside < 0)
    lw_finding_say (
        finding,
        g_strdup_printf (_("%s reaches %.0f mm beyond the preheat area."), judge->target->ref, -inside),
        _("Move the area under the part."));
  else
    lw_finding_say (finding,
                    g_strdup_printf (_("The preheat area reaches %.0f mm beyond %s all round."), inside,
                                     judge->target->ref),
                    "");
}

/* Moment the gas first flows; NaN without gas. */
static double
gas_start (const LwPrediction *prediction)
{
  for (guint i = 0; prediction->gas_c != NULL && i < prediction->n_times; i++)
    if (!isnan (prediction->gas_c[i]))
      return prediction->t_s[i];
  return NAN;
}

static void
judge_evenness (LwJudge *judge)
{
  const LwPrediction *prediction = judge->prediction;
  double start = gas_start (prediction), low = INFINITY, high = -INFINITY;
  gsize n = (gsize)prediction->nx * prediction->ny;

  if (isnan (start) || start <= 0 || !lw_prediction_has_field (prediction))
    return;
  g_autofree float *field = g_new (float, MAX (n, 1));
  lw_prediction_field (prediction, judge->target != NULL ? judge->target->side : LW_SIDE_TOP, start,
                       field);
  for (gsize i = 0; i < n; i++)
    if (!isnan (field[i])) {
      low = fmin (low, field[i]);
      high = fmax (high, field[i]);
    }
  if (!(high >= low))
    return;
  LwGrade grade = lw_rule_at_most_watch (lw_rule_upper (high - low, GRADIENT_K, 0));
  LwFinding *finding = lw_judge_add (judge, grade, "preheat-even", "", high - low, GRADIENT_K, TRUE, "K",
                                     _(PRACTICE_SOURCE));
  finding->moment_s = start;
  lw_finding_say (
      finding,
      g_strdup_printf (_("When the gas starts at %.0f s the board lies between %.0f and %.0f °C."),
                       start, low, high),
      grade == LW_GRADE_FINE ? "" : _("Preheat longer, more gently, or over a larger area."));
}

void
lw_judge_preheat (LwJudge *judge)
{
  if (judge->job->station->preheater.kind == LW_PREHEATER_NONE || judge->job->board->outline->len == 0)
    return;
  judge_area (judge);
  if (judge->target != NULL && judge->package != NULL)
    judge_under_target (judge);
  if (judge->prediction != NULL)
    judge_evenness (judge);
}
