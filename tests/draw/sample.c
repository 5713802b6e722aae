#include "sample.h"

#include <math.h>

#include "plan/prediction.h"

typedef struct {
  const char *name;
  LwPackageKind kind;
  double length, width, height;
  LwJointPattern pattern;
  guint columns, rows;
  double pitch, span_x, span_y, joint_l, joint_w;
  gboolean round;
} PackageRow;

static const PackageRow package_rows[] = {
  { "BGA289", LW_KIND_AREA_ARRAY, 19, 19, 1.6, LW_JOINTS_GRID, 17, 17, 1.0, 0, 0, 0.5, 0.5, FALSE },
  { "BGA96", LW_KIND_AREA_ARRAY, 9, 14, 1.1, LW_JOINTS_GRID, 9, 16, 0.8, 0, 0, 0.4, 0.4, FALSE },
  { "QFP100", LW_KIND_LEADED, 14, 14, 1.4, LW_JOINTS_FOUR_SIDES, 25, 25, 0.5, 15.4, 15.4, 1.2, 0.28, FALSE },
  { "QFN48", LW_KIND_LEADLESS, 7, 7, 0.9, LW_JOINTS_FOUR_SIDES, 12, 12, 0.5, 6.8, 6.8, 0.6, 0.25, FALSE },
  { "SO8", LW_KIND_LEADED, 4.9, 3.9, 1.6, LW_JOINTS_TWO_SIDES, 0, 4, 1.27, 5.4, 0, 1.2, 0.45, FALSE },
  { "C0402", LW_KIND_CERAMIC_CAPACITOR, 1.0, 0.5, 0.5, LW_JOINTS_TWO_ENDS, 2, 1, 0, 0.9, 0, 0.4, 0.5, FALSE },
  { "C1210", LW_KIND_CERAMIC_CAPACITOR, 3.2, 2.5, 2.2, LW_JOINTS_TWO_ENDS, 2, 1, 0, 3.0, 0, 0.9, 2.5, FALSE },
  { "R0603", LW_KIND_RESISTOR, 1.6, 0.8, 0.5, LW_JOINTS_TWO_ENDS, 2, 1, 0, 1.5, 0, 0.5, 0.8, FALSE },
  { "CAN10", LW_KIND_ELECTROLYTIC, 10, 10, 10.5, LW_JOINTS_TWO_ENDS, 2, 1, 0, 8.0, 0, 2.5, 1.2, TRUE },
  { "HDR20", LW_KIND_CONNECTOR, 26, 6, 8.5, LW_JOINTS_NONE, 0, 0, 0, 0, 0, 0, 0, FALSE },
  { "CELL20", LW_KIND_CELL_HOLDER, 22, 22, 5.2, LW_JOINTS_NONE, 0, 0, 0, 0, 0, 0, 0, TRUE },
  { "L7", LW_KIND_INDUCTOR, 7, 7, 4, LW_JOINTS_TWO_ENDS, 2, 1, 0, 6.0, 0, 2.0, 3.0, FALSE },
  { "X5", LW_KIND_CRYSTAL, 5, 3.2, 1.0, LW_JOINTS_NONE, 0, 0, 0, 0, 0, 0, 0, FALSE },
  { "LED8", LW_KIND_LED, 2, 1.25, 0.8, LW_JOINTS_TWO_ENDS, 2, 1, 0, 1.8, 0, 0.5, 1.2, FALSE },
  { "BTN", LW_KIND_SWITCH, 6, 6, 3.5, LW_JOINTS_NONE, 0, 0, 0, 0, 0, 0, 0, FALSE },
};

typedef struct {
  const char *ref, *package;
  double x, y, rotation;
  LwSide side;
} PartRow;

static const PartRow part_rows[] = {
  { "U1", "BGA289", 78, 54, 0, LW_SIDE_TOP },     { "U2", "BGA96", 104, 58, 0, LW_SIDE_TOP },
  { "U3", "QFP100", 40, 62, 0, LW_SIDE_TOP },     { "U4", "QFN48", 58, 30, 45, LW_SIDE_TOP },
  { "U5", "SO8", 122, 30, 90, LW_SIDE_TOP },      { "U6", "SO8", 132, 30, 90, LW_SIDE_TOP },
  { "U7", "BGA96", 80, 54, 90, LW_SIDE_BOTTOM },  { "U8", "SO8", 30, 30, 0, LW_SIDE_BOTTOM },
  { "C1", "CAN10", 98, 38, 0, LW_SIDE_TOP },      { "C2", "CAN10", 110, 38, 90, LW_SIDE_TOP },
  { "J1", "HDR20", 78, 80, 0, LW_SIDE_TOP },      { "J2", "HDR20", 10, 50, 90, LW_SIDE_TOP },
  { "BT1", "CELL20", 136, 72, 0, LW_SIDE_TOP },   { "L1", "L7", 24, 24, 0, LW_SIDE_TOP },
  { "L2", "L7", 34, 24, 0, LW_SIDE_TOP },         { "Y1", "X5", 58, 62, 0, LW_SIDE_TOP },
  { "D1", "LED8", 148, 20, 0, LW_SIDE_TOP },      { "D2", "LED8", 148, 16, 0, LW_SIDE_TOP },
  { "SW1", "BTN", 148, 44, 0, LW_SIDE_TOP },      { "C3", "C1210", 66, 68, 0, LW_SIDE_TOP },
  { "C4", "C1210", 72, 68, 90, LW_SIDE_TOP },     { "C5", "C1210", 90, 68, 0, LW_SIDE_TOP },
};

static void
add_packages (LwJob *job)
{
  for (guint i = 0; i < G_N_ELEMENTS (package_rows); i++) {
    const PackageRow *row = &package_rows[i];
    LwPackage *package = lw_package_new ();

    g_free (package->name);
    package->name = g_strdup (row->name);
    package->kind = row->kind;
    package->length_mm = row->length;
    package->width_mm = row->width;
    package->height_mm = row->height;
    package->round = row->round;
    package->joints.pattern = row->pattern;
    package->joints.columns = row->columns;
    package->joints.rows = row->rows;
    package->joints.pitch_mm = row->pitch;
    package->joints.span_x_mm = row->span_x;
    package->joints.span_y_mm = row->span_y;
    package->joints.length_mm = row->joint_l;
    package->joints.width_mm = row->joint_w;
    g_ptr_array_add (job->packages, package);
  }
}

static void
set_text (char **field, const char *text)
{
  g_free (*field);
  *field = g_strdup (text);
}

static void
add_part (LwJob *job, const char *ref, const char *package, double x, double y, double rotation, LwSide side)
{
  LwPart *part = lw_part_new ();

  set_text (&part->ref, ref);
  set_text (&part->package, package);
  part->x_mm = x;
  part->y_mm = y;
  part->rotation_deg = rotation;
  part->side = side;
  part->placed = TRUE;
  g_ptr_array_add (job->parts, part);
}

static void
add_small_parts (LwJob *job)
{
  for (int k = 0; k < 24; k++) {
    g_autofree char *c = g_strdup_printf ("C%d", 20 + k), *r = g_strdup_printf ("R%d", 1 + k);

    add_part (job, c, "C0402", 62 + 1.9 * (k % 12), k < 12 ? 40.5 : 38.0, 90, LW_SIDE_TOP);
    add_part (job, r, "R0603", 100 + 3.2 * (k % 12), 16 + 4.0 * (k / 12), k % 2 ? 90 : 0, LW_SIDE_TOP);
  }
  for (int k = 0; k < 12; k++) {
    g_autofree char *c = g_strdup_printf ("C%d", 60 + k);

    add_part (job, c, "C0402", 70 + 1.8 * k, 66, 90, LW_SIDE_BOTTOM);
  }
}

static void
set_outline (LwBoard *board)
{
  LwLoop *edge = lw_loop_new (), *slot = lw_loop_new_rectangle (118, 84, 146, 88);

  lw_loop_add (edge, 3, 0, 90);
  lw_loop_add (edge, 157, 0, 0);
  lw_loop_add (edge, 160, 3, 90);
  lw_loop_add (edge, 160, 85, 0);
  lw_loop_add (edge, 145, 100, 0);
  lw_loop_add (edge, 3, 100, 0);
  lw_loop_add (edge, 0, 97, 90);
  lw_loop_add (edge, 0, 3, 0);
  g_ptr_array_set_size (board->outline, 0);
  g_ptr_array_add (board->outline, edge);
  g_ptr_array_add (board->outline, slot);
  g_ptr_array_add (board->outline, lw_loop_new_circle (6, 6, 1.6));
  g_ptr_array_add (board->outline, lw_loop_new_circle (154, 6, 1.6));
  g_ptr_array_add (board->outline, lw_loop_new_circle (6, 94, 1.6));
}

static void
add_stage (LwPlan *plan, const char *name, double duration, double gas, double warm, LwStageShape shape)
{
  LwStage *stage = lw_stage_new ();

  set_text (&stage->name, name);
  stage->duration_s = duration;
  stage->gas_c = gas;
  stage->preheat_c = warm;
  stage->shape = shape;
  g_ptr_array_add (plan->stages, stage);
}

static void
add_plan (LwJob *job)
{
  LwPlan *plan = lw_plan_new ();
  LwNozzle *nozzle = lw_nozzle_new ();
  LwShield *shield = lw_shield_new ();
  LwThermocouple *tc = lw_thermocouple_new (), *board_tc = lw_thermocouple_new ();

  set_text (&nozzle->name, "Box 22");
  nozzle->length_mm = nozzle->width_mm = 22;
  nozzle->wall_mm = 1.2;
  g_ptr_array_set_size (job->station->nozzles, 0);
  g_ptr_array_add (job->station->nozzles, nozzle);
  set_text (&plan->ref, "U1");
  set_text (&plan->nozzle, "Box 22");
  plan->nozzle_height_mm = 2.5;
  plan->preheat_x_mm = 80;
  plan->preheat_y_mm = 52;
  plan->preheat_length_mm = 120;
  plan->preheat_width_mm = 76;
  g_ptr_array_set_size (plan->stages, 0);
  add_stage (plan, "Preheat", 90, NAN, 150, LW_SHAPE_RAMP);
  add_stage (plan, "Soak", 60, 220, 150, LW_SHAPE_STEP);
  add_stage (plan, "Reflow", 60, 300, 160, LW_SHAPE_RAMP);
  add_stage (plan, "Cool", 60, NAN, NAN, LW_SHAPE_STEP);
  if (shield->loop)
    lw_loop_unref (shield->loop);
  shield->loop = lw_loop_new_rectangle (92, 32, 104, 44);
  set_text (&shield->name, "Foil");
  g_ptr_array_add (plan->shields, shield);
  set_text (&tc->ref, "U1");
  tc->x_mm = 72;
  tc->y_mm = 60;
  g_ptr_array_add (plan->thermocouples, tc);
  board_tc->x_mm = 50;
  board_tc->y_mm = 44;
  g_ptr_array_add (plan->thermocouples, board_tc);
  g_ptr_array_add (job->plans, plan);
  job->active_plan = 0;
}

LwJob *
sample_job_new (void)
{
  LwJob *job = lw_job_new ();

  set_text (&job->title, "Sample");
  set_text (&job->alloy, "SAC305");
  job->ambient_c = 23;
  set_outline (job->board);
  add_packages (job);
  for (guint i = 0; i < G_N_ELEMENTS (part_rows); i++)
    add_part (job, part_rows[i].ref, part_rows[i].package, part_rows[i].x, part_rows[i].y,
              part_rows[i].rotation, part_rows[i].side);
  add_small_parts (job);
  add_plan (job);
  return job;
}

LwJob *
sample_small_job_new (void)
{
  LwJob *job = lw_job_new ();

  g_ptr_array_set_size (job->board->outline, 0);
  g_ptr_array_add (job->board->outline, lw_loop_new_rectangle (0, 0, 60, 40));
  add_packages (job);
  add_part (job, "U3", "QFP100", 20, 20, 0, LW_SIDE_TOP);
  add_part (job, "J1", "HDR20", 44, 12, 30, LW_SIDE_BOTTOM);
  return job;
}

/* ---- prediction ---- */

#define N_TIMES 271
#define NX 54
#define NY 36

/* Invented: rises in preheat, more in reflow, falls after. */
static double
warmth (double t)
{
  double soak = 1.0 - exp (-t / 55.0), reflow = t > 90 ? 1.0 - exp (-(t - 90) / 60.0) : 0.0;

  if (t > 210)
    return ((1.0 - exp (-210 / 55.0)) + 0.95 * (1.0 - exp (-120 / 60.0))) * exp (-(t - 210) / 45.0);
  return soak + 0.95 * reflow;
}

static double
board_c (double x, double y, double t)
{
  double d2 = ((x - 78) * (x - 78) + 1.25 * (y - 54) * (y - 54)) / (2 * 19.0 * 19.0);
  double edge = 1.0 - 0.25 * (pow ((x - 80) / 80.0, 4) + pow ((y - 50) / 50.0, 4));
  double w = warmth (t), spot = t > 90 ? (w - warmth (90)) : 0.0;

  return 23 + 100 * MIN (w, 1.0) * edge + 135 * MAX (spot, 0.0) * exp (-d2) + 8 * sin (x / 19.0) * cos (y / 14.0);
}

static void
graded (double *edges, guint n, double from, double to, double at)
{
  double sum = 0.0;

  for (int pass = 0; pass < 2; pass++) {
    double where = from;

    for (guint i = 0; i < n; i++) {
      double u = from + (to - from) * (i + 0.5) / n, size = 1.0 + 2.0 * fabs (u - at) / (to - from);

      if (pass == 0) {
        sum += size;
      } else {
        edges[i] = where;
        where += (to - from) * size / sum;
      }
    }
  }
  edges[n] = to;
}

static void
add_fields (LwPrediction *p)
{
  for (double t = 0; t <= N_TIMES - 1; t += 10) {
    LwField *field = g_new0 (LwField, 1);

    field->t_s = t;
    field->top = g_new (float, NX * NY);
    field->bottom = g_new (float, NX * NY);
    for (guint j = 0; j < NY; j++) {
      for (guint i = 0; i < NX; i++) {
        double x = 0.5 * (p->x_edges_mm[i] + p->x_edges_mm[i + 1]);
        double y = 0.5 * (p->y_edges_mm[j] + p->y_edges_mm[j + 1]);
        gboolean off = x + y > 246 || (x > 118 && x < 146 && y > 84 && y < 88);

        field->top[j * NX + i] = off ? NAN : (float) board_c (x, y, t);
        field->bottom[j * NX + i] = off ? NAN : (float) (board_c (x, y, t) - 2.0);
      }
    }
    g_ptr_array_add (p->fields, field);
  }
}

static double *
series (double base, double gain, double lag)
{
  double *values = g_new (double, N_TIMES);

  for (guint i = 0; i < N_TIMES; i++)
    values[i] = 23 + base + gain * warmth (MAX (i - lag, 0.0));
  return values;
}

static double
highest (const double *values)
{
  double high = -INFINITY;

  for (guint i = 0; values && i < N_TIMES; i++)
    high = MAX (high, values[i]);
  return high;
}

static void
add_trace (LwPrediction *p, const LwJob *job, guint index)
{
  const LwPart *part = g_ptr_array_index (job->parts, index);
  LwPartTrace *trace = g_new0 (LwPartTrace, 1);
  double near = exp (-((part->x_mm - 78) * (part->x_mm - 78) + (part->y_mm - 54) * (part->y_mm - 54)) / 900.0);
  double gain = 62 + 58 * near;

  trace->ref = g_strdup (part->ref);
  trace->part = index;
  trace->side = part->side;
  trace->is_target = index == 0;
  trace->joint_min = series (0, gain - 6, 2);
  trace->joint_mean = series (0, gain - 2, 1);
  trace->joint_max = series (0, gain + 2, 0);
  trace->body_top = series (0, gain + (index == 0 ? 10 : -4), 0);
  trace->body_max = series (0, gain + (index == 0 ? 12 : -3), 0);
  trace->joint_peak_c = highest (trace->joint_max);
  trace->body_peak_c = highest (trace->body_max);
  trace->joint_liquidus_c = 217;
  g_ptr_array_add (p->parts, trace);
}

static double *
lagged (double off, double level0, double t0, double level1, double t1)
{
  double *values = g_new (double, N_TIMES), now = 23;

  for (guint i = 0; i < N_TIMES; i++) {
    double to = i < t0 ? level0 : i < t1 ? level1 : off;

    now += ((isnan (to) ? 23 : to) - now) / 8.0;
    values[i] = isnan (to) ? NAN : now;
  }
  return values;
}

LwPrediction *
sample_prediction_new (const LwJob *job)
{
  LwPrediction *p = lw_prediction_new ();

  p->n_times = N_TIMES;
  p->t_s = g_new (double, N_TIMES);
  for (guint i = 0; i < N_TIMES; i++)
    p->t_s[i] = i;
  p->nx = NX;
  p->ny = NY;
  p->x_edges_mm = g_new (double, NX + 1);
  p->y_edges_mm = g_new (double, NY + 1);
  graded (p->x_edges_mm, NX, 0, 160, 78);
  graded (p->y_edges_mm, NY, 0, 100, 54);
  add_fields (p);
  for (guint i = 0; i < job->parts->len; i++)
    add_trace (p, job, i);
  p->target = 0;
  p->gas_c = lagged (NAN, NAN, 90, 260, 210);
  p->preheat_c = lagged (NAN, 150, 90, 152, 210);
  p->board_peak_c = board_c (78, 54, 210);
  return p;
}

static void
add_finding (GPtrArray *findings, LwGrade grade, const char *ref, double moment)
{
  LwFinding *finding = g_new0 (LwFinding, 1);

  finding->grade = grade;
  finding->kind = g_strdup ("joint-peak");
  finding->ref = g_strdup (ref);
  finding->unit = g_strdup ("K");
  finding->source = g_strdup ("");
  finding->text = g_strdup ("Sample");
  finding->advice = g_strdup ("");
  finding->value = finding->limit = finding->headroom = finding->doubt = NAN;
  finding->moment_s = moment;
  g_ptr_array_add (findings, finding);
}

GPtrArray *
sample_findings_new (void)
{
  GPtrArray *findings = g_ptr_array_new_with_free_func ((GDestroyNotify) lw_finding_free);

  add_finding (findings, LW_GRADE_STOP, "C1", 208);
  add_finding (findings, LW_GRADE_STOP, "U7", 211);
  add_finding (findings, LW_GRADE_WATCH, "U2", 205);
  add_finding (findings, LW_GRADE_WATCH, "J1", 190);
  add_finding (findings, LW_GRADE_WATCH, "C25", 120);
  add_finding (findings, LW_GRADE_FINE, "U3", NAN);
  add_finding (findings, LW_GRADE_FINE, "U1", NAN);
  return findings;
}
