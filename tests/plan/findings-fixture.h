/* A job with one part to rework, a prediction made by hand, and ways to read the findings on both. */
#ifndef FINDINGS_FIXTURE_H
#define FINDINGS_FIXTURE_H

#include <glib.h>
#include <math.h>
#include <string.h>

#include "board/library.h"
#include "plan/findings.h"
#include "plan/prediction.h"

#define N_TIMES 5

static inline LwPart *
new_part (const char *ref, const char *package, double x_mm, double y_mm, LwSide side)
{
  LwPart *part = lw_part_new ();
  g_free (part->ref);
  part->ref = g_strdup (ref);
  g_free (part->package);
  part->package = g_strdup (package);
  part->x_mm = x_mm;
  part->y_mm = y_mm;
  part->side = side;
  g_assert_nonnull (lw_library_package (package));
  return part;
}

static inline LwStage *
new_stage (double duration_s, double gas_c, double flow, double preheat_c)
{
  LwStage *stage = lw_stage_new ();
  stage->duration_s = duration_s;
  stage->gas_c = gas_c;
  stage->flow_l_per_min = flow;
  stage->preheat_c = preheat_c;
  return stage;
}

/* U1 in the middle of 120 x 100 mm; nothing within 20 mm but what a test adds. */
static inline LwJob *
new_job (void)
{
  LwJob *job = lw_job_new ();
  LwPlan *plan = lw_plan_new ();

  g_ptr_array_add (job->board->outline, lw_loop_new_rectangle (0, 0, 120, 100));
  g_ptr_array_add (job->parts, new_part ("U1", "BGA-484-23x23-1.00", 60, 50, LW_SIDE_TOP));
  lw_station_unref (job->station);
  job->station = lw_station_ref (lw_library_station ("Harbour bench 1"));
  g_free (plan->ref);
  plan->ref = g_strdup ("U1");
  g_free (plan->nozzle);
  plan->nozzle = g_strdup ("Square 24.5");
  plan->nozzle_height_mm = 3;
  plan->preheat_x_mm = 60;
  plan->preheat_y_mm = 50;
  plan->preheat_length_mm = 140;
  plan->preheat_width_mm = 120;
  g_ptr_array_add (plan->stages, new_stage (100, NAN, 0, 300));
  g_ptr_array_add (plan->stages, new_stage (100, 330, 40, 300));
  g_ptr_array_add (plan->stages, new_stage (40, NAN, 0, NAN));
  g_ptr_array_add (job->plans, plan);
  return job;
}

/* ---- hand-made predictions ---- */

static inline double *
series (double a, double b, double c, double d, double e)
{
  double *v = g_new (double, N_TIMES);
  v[0] = a, v[1] = b, v[2] = c, v[3] = d, v[4] = e;
  return v;
}

static inline LwPartTrace *
add_trace (LwPrediction *p, const LwJob *job, guint index, double joint_peak, double body_peak)
{
  LwPartTrace *t = g_new0 (LwPartTrace, 1);
  const LwPart *part = g_ptr_array_index (job->parts, index);
  double j = joint_peak, b = body_peak;

  t->ref = g_strdup (part->ref);
  t->part = index;
  t->side = part->side;
  t->height_known = TRUE;
  t->joint_min = series (25, 100, j - 30, j - 5, 60);
  t->joint_mean = series (25, 102, j - 25, j - 2.5, 62);
  t->joint_max = series (25, 104, j - 20, j, 64);
  t->joint_center = series (25, 100, j - 30, j - 5, 60);
  t->joint_corner = series (25, 104, j - 20, j, 64);
  t->body_top = series (25, 104, b - 20, b, 64);
  t->body_max = series (25, 104, b - 20, b, 64);
  t->liquid_share = series (0, 0, 0, 0, 0);
  t->joint_peak_c = t->joint_corner_peak_c = j;
  t->joint_center_peak_c = j - 5;
  t->joint_peak_s = t->body_peak_s = 190;
  t->body_peak_c = b;
  t->ramp_up_c_per_s = 1.2;
  t->ramp_down_c_per_s = 1.5;
  t->joint_liquidus_c = 220;
  t->joint_doubt_k = t->body_doubt_k = 4;
  g_ptr_array_add (p->parts, t);
  return t;
}

static inline LwPrediction *
new_prediction (const LwJob *job)
{
  LwPrediction *p = lw_prediction_new ();

  p->n_times = N_TIMES;
  p->t_s = series (0, 100, 160, 190, 300);
  p->board_peak_c = 231;
  p->board_tg_c = 150;
  p->board_td_c = 330;
  p->board_above_tg_s = 120;
  p->nozzle_in_range = TRUE;
  p->nozzle_h_w_m2k = 80;
  LwPartTrace *u1 = add_trace (p, job, 0, 238, 241);
  u1->is_target = TRUE;
  u1->above_liquidus_s = 50;
  p->target = 0;
  return p;
}

static inline const LwFinding *
find (const GPtrArray *findings, const char *kind, const char *ref)
{
  for (guint i = 0; i < findings->len; i++) {
    const LwFinding *f = g_ptr_array_index (findings, i);
    if (strcmp (f->kind, kind) == 0 && (ref == NULL || strcmp (f->ref, ref) == 0))
      return f;
  }
  return NULL;
}

static inline const LwFinding *
expect (const GPtrArray *findings, const char *kind, const char *ref, LwGrade grade)
{
  const LwFinding *f = find (findings, kind, ref);
  g_test_message ("%s %s", kind, ref != NULL ? ref : "");
  g_assert_nonnull (f);
  g_test_message ("  %s: %s", lw_grade_word (f->grade), f->text);
  g_assert_cmpint (f->grade, ==, grade);
  return f;
}

#endif
