/* The sheet's figures as tables for other programs. */
#include <math.h>
#include <string.h>

#include "draw/bench-sheet.h"
#include "plan/bench.h"

/* RFC 4180: quoted when it holds a comma, a quote or a line end; quotes doubled. A name a spreadsheet would take
 * for a formula gets an apostrophe in front. */
static void
put_text (GString *out, const char *text)
{
  gboolean quote = strpbrk (text, ",\"\r\n") != NULL;

  if (quote)
    g_string_append_c (out, '"');
  if (*text != '\0' && strchr ("=+-@\t\r", *text) != NULL)
    g_string_append_c (out, '\'');
  for (const char *p = text; *p != '\0'; p++) {
    if (*p == '"')
      g_string_append_c (out, '"');
    g_string_append_c (out, *p);
  }
  if (quote)
    g_string_append_c (out, '"');
}

/* After a comma; nothing where it is not known. */
static void
put_number (GString *out, double value, const char *format)
{
  char text[G_ASCII_DTOSTR_BUF_SIZE];

  g_string_append_c (out, ',');
  if (isfinite (value))
    g_string_append (out, g_ascii_formatd (text, sizeof text, format, value));
}

static const LwPartTrace *
target_of (const LwPrediction *prediction)
{
  return prediction != NULL && prediction->target >= 0 ? g_ptr_array_index (prediction->parts, prediction->target) : NULL;
}

static void
put_stage (GString *out, const LwJob *job, const LwPlan *plan, const LwPrediction *prediction, const LwBenchStage *stage)
{
  const LwPartTrace *target = target_of (prediction);

  put_text (out, stage->name);
  put_number (out, stage->t0_s, "%.1f");
  put_number (out, stage->t1_s, "%.1f");
  put_number (out, stage->gas_c, "%.1f");
  put_number (out, stage->flow_l_per_min, "%.1f");
  put_number (out, stage->preheat_c, "%.1f");
  g_string_append (out, stage->ramp ? ",ramp" : ",step");
  if (target != NULL && target->joint_min != NULL) {
    put_number (out, lw_prediction_at (prediction, target->joint_min, stage->t1_s), "%.1f");
    put_number (out, lw_prediction_at (prediction, target->joint_max, stage->t1_s), "%.1f");
  }
  for (guint i = 0; prediction != NULL && i < plan->thermocouples->len; i++)
    put_number (out, lw_bench_reading_c (job, prediction, g_ptr_array_index (plan->thermocouples, i), stage->t1_s), "%.1f");
  g_string_append (out, "\r\n");
}

char *
lw_bench_stages_csv (const LwJob *job, guint plan, const LwPrediction *prediction)
{
  const LwPlan *of = g_ptr_array_index (job->plans, plan);
  const LwPartTrace *target = target_of (prediction);
  g_autoptr (GArray) stages = lw_bench_stages (of);
  GString *out = g_string_new ("stage,from_s,to_s,gas_c,flow_l_per_min,preheat_c,shape");

  if (target != NULL && target->joint_min != NULL)
    g_string_append (out, ",coldest_joint_c,hottest_joint_c");
  for (guint i = 0; prediction != NULL && i < of->thermocouples->len; i++) {
    const LwThermocouple *couple = g_ptr_array_index (of->thermocouples, i);
    g_autofree char *name = g_strdup_printf ("T%u %s_c", i + 1, couple->name);

    g_string_append_c (out, ',');
    put_text (out, name);
  }
  g_string_append (out, "\r\n");
  for (guint i = 0; i < stages->len; i++)
    put_stage (out, job, of, prediction, &g_array_index (stages, LwBenchStage, i));
  return g_string_free (out, FALSE);
}

/* ---- the board's surface ---- */

/* Fields of one side at the end of every stage, one after another: [stage][cell]. */
static float *
fields_of (const LwPrediction *prediction, const GArray *stages, LwSide side)
{
  gsize cells = (gsize) prediction->nx * prediction->ny;
  float *out = g_new (float, cells * MAX (stages->len, 1));

  for (guint i = 0; i < stages->len; i++)
    lw_prediction_field (prediction, side, g_array_index (stages, LwBenchStage, i).t1_s, out + i * cells);
  return out;
}

static void
put_side (GString *out, const LwPrediction *prediction, const GArray *stages, LwSide side)
{
  g_autofree float *fields = fields_of (prediction, stages, side);
  gsize cells = (gsize) prediction->nx * prediction->ny;
  const double *xs = prediction->x_edges_mm, *ys = prediction->y_edges_mm;

  for (guint k = 0; k < cells; k++) {
    guint x = k % prediction->nx, y = k / prediction->nx;

    g_string_append (out, lw_side_word (side));
    put_number (out, 0.5 * (xs[x] + xs[x + 1]), "%.3f");
    put_number (out, 0.5 * (ys[y] + ys[y + 1]), "%.3f");
    for (guint i = 0; i < stages->len; i++)
      put_number (out, fields[i * cells + k], "%.1f");
    g_string_append (out, "\r\n");
  }
}

char *
lw_bench_field_csv (const LwJob *job, guint plan, const LwPrediction *prediction)
{
  g_autoptr (GArray) stages = lw_bench_stages (g_ptr_array_index (job->plans, plan));
  GString *out = g_string_new ("side,x_mm,y_mm");

  for (guint i = 0; i < stages->len; i++) {
    char at[G_ASCII_DTOSTR_BUF_SIZE];

    g_string_append_printf (out, ",at_%s_s_c",
                            g_ascii_formatd (at, sizeof at, "%g", g_array_index (stages, LwBenchStage, i).t1_s));
  }
  g_string_append (out, "\r\n");
  if (lw_prediction_has_field (prediction)) {
    put_side (out, prediction, stages, LW_SIDE_TOP);
    put_side (out, prediction, stages, LW_SIDE_BOTTOM);
  }
  return g_string_free (out, FALSE);
}
