/* What is looked at during the run: set points by the clock, what to see, when to stop, the profile. */
#include <glib/gi18n.h>
#include <math.h>

#include "board/names.h"
#include "draw/sheet-inside.h"
#include "plan/bench.h"

#define COLUMNS_MOST 5 /* figures side by side that can be read and written on */
#define PROFILE_HEIGHT 215.0

/* "3:20" (transfer full) */
static char *
clock_text (double t_s)
{
  long s = lround (t_s);

  return g_strdup_printf ("%ld:%02ld", s / 60, s % 60);
}

char *
lw_sheet_number (double value, int decimals)
{
  return isfinite (value) ? g_strdup_printf ("%.*f", decimals, value) : g_strdup ("–");
}

/* ---- set points ---- */

static void
stage_cells (LwSheetFlow *flow, const char *const texts[7], LwRowStyle style)
{
  static const double ends[] = { 0.0, 0.06, 0.31, 0.48, 0.60, 0.70, 0.85, 1.0 };
  double w = flow->right - flow->left;
  LwSheetCell cells[7];

  for (guint i = 0; i < 7; i++)
    cells[i] = (LwSheetCell){ .text = texts[i], .x = ends[i] * w + 2.0, .width = (ends[i + 1] - ends[i]) * w - 8.0,
                              .align = i >= 3 && i <= 5 ? 1.0 : 0.0, .bold = style == LW_ROW_HEAD || i == 3 || i == 5 };
  lw_flow_row (flow, cells, 7, LW_SHEET_RUN_PT, style);
}

static void
lay_stage (LwSheetFlow *flow, const LwBenchStage *stage, guint number)
{
  g_autofree char *no = g_strdup_printf ("%u", number);
  g_autofree char *from = clock_text (stage->t0_s), *to = clock_text (stage->t1_s);
  g_autofree char *time = g_strdup_printf ("%s – %s", from, to);
  g_autofree char *gas = isnan (stage->gas_c) ? g_strdup (_("off")) : lw_sheet_number (stage->gas_c, 0);
  g_autofree char *flow_text
      = isnan (stage->gas_c) || isnan (stage->flow_l_per_min) ? g_strdup ("–") : lw_sheet_number (stage->flow_l_per_min, 0);
  g_autofree char *warm = isnan (stage->preheat_c) ? g_strdup (_("off")) : lw_sheet_number (stage->preheat_c, 0);
  const char *texts[7] = { no, stage->name, time, gas, flow_text, warm, lw_shape_label (stage->ramp ? LW_SHAPE_RAMP : LW_SHAPE_STEP) };

  stage_cells (flow, texts, LW_ROW_RULED);
}

void
lw_sheet_lay_stages (LwBenchSheet *self, LwSheetFlow *flow)
{
  g_autoptr (GArray) stages = lw_bench_stages (lw_sheet_plan (self));
  const char *const head[7] = { "", _("Stage"), _("min:s"), _("Gas °C"), _("L/min"), _("Preheat °C"), _("set") };

  lw_flow_heading (flow, _("Set points"));
  stage_cells (flow, head, LW_ROW_HEAD);
  for (guint i = 0; i < stages->len; i++)
    lay_stage (flow, &g_array_index (stages, LwBenchStage, i), i + 1);
}

/* ---- what should be seen ---- */

/* One figure over the run: of the target's joints, or of a thermocouple. */
typedef struct {
  char *name;
  const double *series;        /* or */
  int couple;                  /* -1 = none */
} Watched;

static void
watched_clear (gpointer data)
{
  g_free (((Watched *) data)->name);
}

static GArray *
watched_of (const LwBenchSheet *self)
{
  const LwPrediction *prediction = self->input.prediction;
  const LwPartTrace *target
      = prediction->target >= 0 ? g_ptr_array_index (prediction->parts, prediction->target) : NULL;
  const LwPlan *plan = lw_sheet_plan (self);
  GArray *out = g_array_new (FALSE, FALSE, sizeof (Watched));

  g_array_set_clear_func (out, watched_clear);
  for (guint i = 0; i < plan->thermocouples->len; i++) {
    Watched couple = { g_strdup_printf ("T%u", i + 1), NULL, (int) i };

    g_array_append_val (out, couple);
  }
  if (target != NULL && target->joint_min != NULL) {
    Watched cold = { g_strdup_printf (_("%s coldest joint"), target->ref), target->joint_min, -1 };
    Watched hot = { g_strdup_printf (_("%s hottest joint"), target->ref), target->joint_max, -1 };

    g_array_append_val (out, cold);
    g_array_append_val (out, hot);
  }
  return out;
}

static double
watched_at (const LwBenchSheet *self, const Watched *watched, double t_s)
{
  const LwPrediction *prediction = self->input.prediction;

  return watched->couple >= 0 ? lw_bench_readings_at (self->readings, (guint) watched->couple, t_s)
                              : lw_prediction_at (prediction, watched->series, t_s);
}

static double
watched_highest (const LwBenchSheet *self, const Watched *watched)
{
  const LwPrediction *prediction = self->input.prediction;
  double most = NAN;

  if (watched->couple >= 0)
    return lw_bench_readings_highest (self->readings, (guint) watched->couple);
  for (guint i = 0; i < prediction->n_times; i++)
    most = watched->series[i] <= most ? most : watched->series[i];
  return most;
}

/* MOMENT NaN: the highest of the run. */
static void
lay_seen_row (const LwBenchSheet *self, LwSheetFlow *flow, const Watched *watched, guint n, const char *name,
              double moment)
{
  double w = flow->right - flow->left, column = 0.7 * w / COLUMNS_MOST;
  LwSheetCell cells[COLUMNS_MOST + 1] = { { .text = name, .x = 2.0, .width = 0.3 * w - 8.0 } };
  char *texts[COLUMNS_MOST];

  for (guint i = 0; i < n; i++) {
    texts[i] = lw_sheet_number (isnan (moment) ? watched_highest (self, &watched[i]) : watched_at (self, &watched[i], moment), 0);
    cells[i + 1] = (LwSheetCell){ .text = texts[i], .x = 0.3 * w + i * column, .width = column - 4.0, .bold = TRUE,
                                  .align = 1.0, .blank = watched[i].couple >= 0 };
  }
  lw_flow_row (flow, cells, n + 1, LW_SHEET_RUN_PT, LW_ROW_RULED);
  for (guint i = 0; i < n; i++)
    g_free (texts[i]);
}

static void
lay_seen_head (LwSheetFlow *flow, const Watched *watched, guint n)
{
  double w = flow->right - flow->left, column = 0.7 * w / COLUMNS_MOST;
  LwSheetCell cells[COLUMNS_MOST + 1] = { { .text = _("When it ends"), .x = 2.0, .width = 0.3 * w - 8.0, .bold = TRUE } };

  for (guint i = 0; i < n; i++)
    cells[i + 1] = (LwSheetCell){ .text = watched[i].name, .x = 0.3 * w + i * column, .width = column - 4.0,
                                  .bold = TRUE, .align = watched[i].couple >= 0 ? 0.4 : 1.0 };
  lw_flow_row (flow, cells, n + 1, LW_SHEET_TEXT_PT, LW_ROW_HEAD);
}

static void
lay_seen_table (const LwBenchSheet *self, LwSheetFlow *flow, const Watched *watched, guint n)
{
  g_autoptr (GArray) stages = lw_bench_stages (lw_sheet_plan (self));

  lw_flow_need (flow, 60.0);
  lay_seen_head (flow, watched, n);
  for (guint i = 0; i < stages->len; i++) {
    const LwBenchStage *stage = &g_array_index (stages, LwBenchStage, i);
    g_autofree char *clock = clock_text (stage->t1_s);
    g_autofree char *name = g_strdup_printf ("%u %s, %s", i + 1, stage->name, clock);

    lay_seen_row (self, flow, watched, n, name, stage->t1_s);
  }
  lay_seen_row (self, flow, watched, n, _("Highest of the run"), NAN);
}

void
lw_sheet_lay_seen (LwBenchSheet *self, LwSheetFlow *flow)
{
  g_autoptr (GArray) watched = watched_of (self);

  if (watched->len == 0)
    return;
  lw_flow_heading (flow, _("What should be seen, °C; write what you read beside it"));
  for (guint i = 0; i < watched->len; i += COLUMNS_MOST) {
    lay_seen_table (self, flow, &g_array_index (watched, Watched, i), MIN (COLUMNS_MOST, watched->len - i));
    lw_flow_gap (flow, 4.0);
  }
}

/* ---- when to stop ---- */

void
lw_sheet_lay_stops (LwBenchSheet *self, LwSheetFlow *flow)
{
  lw_flow_heading (flow, _("When to act, when to stop"));
  for (guint i = 0; i < self->stops->len; i++) {
    const LwBenchStop *stop = g_ptr_array_index (self->stops, i);
    g_autofree char *mark = g_strdup_printf ("%u.", i + 1);

    lw_flow_point (flow, mark, stop->text, LW_SHEET_RUN_PT);
  }
}

/* ---- the profile ---- */

static void
paint_profile (cairo_t *cr, double width, double height, gconstpointer data)
{
  const LwBenchSheet *self = data;
  LwProfilePicture picture;

  lw_profile_picture_init (&picture, self->job, width, height);
  picture.look = LW_LOOK_PRINT;
  picture.plan = (int) self->input.plan;
  picture.prediction = self->input.prediction;
  picture.findings = self->input.findings;
  picture.n_neighbours = 2;
  lw_draw_profile (cr, &picture);
}

void
lw_sheet_lay_profile (LwBenchSheet *self, LwSheetFlow *flow)
{
  double height = PROFILE_HEIGHT * self->profile_share;

  lw_flow_need (flow, height + 24.0);
  lw_flow_heading (flow, _("The planned profile"));
  lw_flow_picture (flow, height, paint_profile, self);
}
