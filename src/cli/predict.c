/* predict: temperatures over time of every part. */
#include <glib/gi18n.h>
#include <math.h>

#include "board/names.h"
#include "cli/output.h"
#include "cli/predict-table.h"
#include "cli/solve.h"
#include "cli/verbs.h"
#include "plan/doubt.h"

/* ---- JSON ---- */

static void
set_joints_and_body (JsonObject *object, const LwPartTrace *trace, guint n)
{
  lw_cli_set_series (object, "joint_min_c", trace->joint_min, n);
  lw_cli_set_series (object, "joint_mean_c", trace->joint_mean, n);
  lw_cli_set_series (object, "joint_max_c", trace->joint_max, n);
  lw_cli_set_series (object, "body_c", trace->body_max, n);
  lw_cli_set_series (object, "body_top_c", trace->body_top, n);
}

/* ---- how sure ---- */

/* 5 % and 95 % of a figure of the trace of number BODY; null when they are not known. */
static void
set_band (JsonObject *object, const char *key, const LwPrediction *prediction, guint body, LwFigure figure,
          double value)
{
  LwBand band = { NAN, NAN, NAN };

  if (prediction->doubt != NULL)
    band = lw_doubt_band (prediction->doubt, body, figure, value);
  if (isnan (band.low) || isnan (band.high)) {
    json_object_set_null_member (object, key);
    return;
  }
  JsonArray *pair = json_array_sized_new (2);
  json_array_add_double_element (pair, round (1e3 * band.low) / 1e3);
  json_array_add_double_element (pair, round (1e3 * band.high) / 1e3);
  json_object_set_array_member (object, key, pair);
}

/* Where 5 % and 95 % of a curve run: KEY_low_c and KEY_high_c. */
static void
set_curve_band (JsonObject *object, const char *key, const LwPrediction *prediction, guint body, LwCurve curve,
                const double *values)
{
  g_autofree char *low_key = g_strconcat (key, "_low_c", NULL), *high_key = g_strconcat (key, "_high_c", NULL);
  g_autofree double *low = g_new (double, prediction->n_times), *high = g_new (double, prediction->n_times);
  gboolean known = values != NULL && prediction->doubt != NULL;

  for (guint i = 0; known && i < prediction->n_times; i++) {
    known = lw_doubt_curve (prediction->doubt, body, curve, prediction->t_s[i], &low[i], &high[i]);
    low[i] += values[i];
    high[i] += values[i];
  }
  lw_cli_set_series (object, low_key, known ? low : NULL, prediction->n_times);
  lw_cli_set_series (object, high_key, known ? high : NULL, prediction->n_times);
}

static JsonObject *
doubt_json (const LwDoubt *doubt)
{
  JsonObject *object = json_object_new (), *inputs = json_object_new ();

  json_object_set_int_member (object, "samples", lw_doubt_n_samples (doubt));
  for (guint i = 0; i < LW_N_UNSURE; i++)
    lw_cli_set_rounded (inputs, lw_unsure_key (i), lw_doubt_spread (doubt, i), 4);
  json_object_set_object_member (object, "spreads", inputs);
  return object;
}

static JsonObject *
target_json (const LwPrediction *prediction, guint body)
{
  const LwPartTrace *trace = g_ptr_array_index (prediction->parts, body);
  JsonObject *object = json_object_new ();
  guint n_joints = prediction->target_joint_at != NULL ? prediction->target_joint_at->len : 0;

  json_object_set_string_member (object, "ref", trace->ref);
  set_joints_and_body (object, trace, prediction->n_times);
  lw_cli_set_series (object, "liquid_share", trace->liquid_share, prediction->n_times);
  json_object_set_int_member (object, "joints", n_joints);
  lw_cli_set_rounded (object, "liquidus_c", trace->joint_liquidus_c, 3);
  lw_cli_set_rounded (object, "above_liquidus_s", trace->above_liquidus_s, 3);
  set_band (object, "above_liquidus_band_s", prediction, body, LW_FIGURE_ABOVE_LIQUIDUS, trace->above_liquidus_s);
  set_curve_band (object, "joint_mean", prediction, body, LW_CURVE_JOINT_MEAN, trace->joint_mean);
  set_curve_band (object, "body_top", prediction, body, LW_CURVE_BODY_TOP, trace->body_top);
  return object;
}

static JsonObject *
part_json (const LwPrediction *prediction, guint body)
{
  const LwPartTrace *trace = g_ptr_array_index (prediction->parts, body);
  JsonObject *object = json_object_new ();

  json_object_set_string_member (object, "ref", trace->ref);
  json_object_set_string_member (object, "side", lw_side_word (trace->side));
  json_object_set_boolean_member (object, "height_known", trace->height_known);
  lw_cli_set_rounded (object, "joint_peak_c", trace->joint_max != NULL ? trace->joint_peak_c : NAN, 4);
  lw_cli_set_rounded (object, "joint_doubt_k", trace->joint_doubt_k, 3);
  set_band (object, "joint_peak_band_c", prediction, body, LW_FIGURE_JOINT_PEAK,
            trace->joint_max != NULL ? trace->joint_peak_c : NAN);
  lw_cli_set_rounded (object, "body_peak_c", trace->body_peak_c, 4);
  lw_cli_set_rounded (object, "body_doubt_k", trace->body_doubt_k, 3);
  set_band (object, "body_peak_band_c", prediction, body, LW_FIGURE_BODY_PEAK, trace->body_peak_c);
  lw_cli_set_rounded (object, "ramp_max_c_per_s", trace->ramp_up_c_per_s, 4);
  set_band (object, "ramp_max_band_c_per_s", prediction, body, LW_FIGURE_RAMP_UP, trace->ramp_up_c_per_s);
  lw_cli_set_rounded (object, "ramp_down_max_c_per_s", trace->ramp_down_c_per_s, 4);
  set_band (object, "ramp_down_max_band_c_per_s", prediction, body, LW_FIGURE_RAMP_DOWN, trace->ramp_down_c_per_s);
  lw_cli_set_series (object, "joint_c", trace->joint_max, prediction->n_times);
  lw_cli_set_series (object, "body_c", trace->body_max, prediction->n_times);
  return object;
}

static JsonObject *
board_json (const LwPrediction *prediction)
{
  JsonObject *object = json_object_new ();

  lw_cli_set_rounded (object, "peak_c", prediction->board_peak_c, 4);
  lw_cli_set_rounded (object, "peak_x_mm", prediction->board_peak_at.x_mm, 3);
  lw_cli_set_rounded (object, "peak_y_mm", prediction->board_peak_at.y_mm, 3);
  lw_cli_set_rounded (object, "above_tg_s", prediction->board_above_tg_s, 3);
  lw_cli_set_rounded (object, "tg_c", prediction->board_tg_c, 3);
  lw_cli_set_series (object, "max_c", prediction->board_max, prediction->n_times);
  lw_cli_set_series (object, "mean_c", prediction->board_mean, prediction->n_times);
  return object;
}

static JsonObject *
solution_json (const LwPrediction *prediction)
{
  JsonObject *object = json_object_new ();

  json_object_set_boolean_member (object, "full", prediction->full);
  json_object_set_int_member (object, "nodes", prediction->n_nodes);
  json_object_set_int_member (object, "steps", prediction->n_steps);
  lw_cli_set_number (object, "energy_imbalance", prediction->energy_imbalance);
  lw_cli_set_rounded (object, "nozzle_film_w_per_m2k", prediction->nozzle_h_eff_w_m2k, 3);
  json_object_set_boolean_member (object, "nozzle_film_in_range", prediction->nozzle_in_range);
  return object;
}

static JsonArray *
notes_json (const LwPrediction *prediction)
{
  JsonArray *array = json_array_new ();

  for (guint i = 0; prediction->notes != NULL && i < prediction->notes->len; i++)
    json_array_add_string_element (array, prediction->notes->pdata[i]);
  return array;
}

static void
print_json (const LwPrediction *prediction)
{
  JsonObject *root = json_object_new ();
  JsonArray *parts = json_array_sized_new (prediction->parts->len);

  lw_cli_set_series (root, "time_s", prediction->t_s, prediction->n_times);
  lw_cli_set_series (root, "gas_c", prediction->gas_c, prediction->n_times);
  lw_cli_set_series (root, "preheat_c", prediction->preheat_c, prediction->n_times);
  if (prediction->target >= 0)
    json_object_set_object_member (root, "target", target_json (prediction, (guint) prediction->target));
  else
    json_object_set_null_member (root, "target");
  for (guint i = 0; i < prediction->parts->len; i++)
    json_array_add_object_element (parts, part_json (prediction, i));
  json_object_set_array_member (root, "parts", parts);
  json_object_set_object_member (root, "board", board_json (prediction));
  json_object_set_object_member (root, "solution", solution_json (prediction));
  if (prediction->doubt != NULL)
    json_object_set_object_member (root, "doubt", doubt_json (prediction->doubt));
  else
    json_object_set_null_member (root, "doubt");
  json_object_set_array_member (root, "notes", notes_json (prediction));
  lw_cli_print_json (root);
}

/* ---- text ---- */

static const int widths[] = { -12, -8, 10, 10, 8, 8 };

static void
print_part (const LwPartTrace *trace)
{
  g_autofree char *joint = lw_cli_number_text (trace->joint_max != NULL ? trace->joint_peak_c : NAN, 1);
  g_autofree char *doubt = lw_cli_number_text (trace->body_doubt_k, 1);
  g_autofree char *body = lw_cli_number_text (trace->body_peak_c, 1), *ramp = lw_cli_number_text (trace->ramp_up_c_per_s, 2);

  lw_cli_print_row (widths, trace->ref, lw_side_label (trace->side), joint, body, doubt, ramp, NULL);
}

static void
print_text (const LwPrediction *prediction)
{
  const LwPartTrace *target =
    prediction->target >= 0 ? prediction->parts->pdata[prediction->target] : NULL;
  guint last = prediction->n_times - 1;

  /* Translators: %s is the full solution or the reduced model. */
  g_print (_("Answer     %s, %u nodes, %u steps, computed in %.2f s\n"), lw_cli_answered (prediction),
           prediction->n_nodes, prediction->n_steps, prediction->seconds);
  g_print (_("Job        %.0f s\n"), prediction->t_s[last]);
  if (target != NULL && target->joint_max != NULL)
    g_print (_("Target     %s: joints peak at %.1f °C, %.0f s above %.0f °C\n"), target->ref,
             target->joint_peak_c, target->above_liquidus_s, target->joint_liquidus_c);
  g_print (_("Board      peak %.1f °C at %.1f, %.1f mm\n\n"), prediction->board_peak_c,
           prediction->board_peak_at.x_mm, prediction->board_peak_at.y_mm);
  lw_cli_print_row (widths, _("Part"), _("side"), _("joint °C"), _("body °C"),
                    _("± K"), _("°C/s"), NULL);
  for (guint i = 0; i < prediction->parts->len; i++)
    print_part (prediction->parts->pdata[i]);
  for (guint i = 0; prediction->notes != NULL && i < prediction->notes->len; i++)
    g_printerr (_("note: %s\n"), (const char *) prediction->notes->pdata[i]);
}

static int
report (const LwPrediction *prediction, gboolean json, const char *csv)
{
  g_autoptr (GError) error = NULL;

  if (csv != NULL && !lw_cli_predict_table (prediction, csv, &error))
    return lw_cli_refuse_out (csv, error);
  if (json)
    print_json (prediction);
  else
    print_text (prediction);
  return LW_CLI_DONE;
}

int
lw_cli_predict (char **argv)
{
  g_auto (LwCliInput) input = { 0 };
  g_auto (LwCliTarget) target = { 0 };
  LwCliSolve solve = { 0 };
  g_autofree char *csv = NULL;
  const GOptionEntry entries[] = {
    LW_CLI_SOLVE_ENTRIES (solve),
    { "csv", 0, 0, G_OPTION_ARG_FILENAME, &csv, N_("Write every curve as a table"), N_("OUT") },
    { NULL }
  };
  g_auto (GStrv) files = NULL;
  g_autoptr (LwImport) import = NULL;
  g_autoptr (LwPrediction) prediction = NULL;
  guint plan;

  if (!lw_cli_parse (argv, _("JOB"), _("Computes the temperatures of every part over time."), entries,
                     &input, &target, 1, &files)
      || !lw_cli_solve_check (&solve) || !lw_cli_may_write (csv))
    return LW_CLI_REFUSED;
  import = lw_cli_open (files[0], &input);
  if (import == NULL || !lw_cli_choose_plan (&import->job, files[0], &target, &plan))
    return LW_CLI_REFUSED;
  lw_cli_warn (import);
  prediction = lw_cli_solve (import->job, plan, &solve, files[0]);
  return prediction != NULL ? report (prediction, input.json, csv) : LW_CLI_REFUSED;
}
