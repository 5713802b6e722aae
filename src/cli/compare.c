/* compare: a recorded run laid over its plan. */
#include <glib/gi18n.h>
#include <math.h>
#include <string.h>

#include "board/edits-history.h"
#include "board/job-file.h"
#include "cli/output.h"
#include "cli/solve.h"
#include "cli/verbs.h"
#include "exchange/log.h"
#include "exchange/read-file.h"
#include "plan/run-compare.h"

#define SHIFT_MOST_S 1e6 /* as a run in a document has it */

typedef struct {
  char *run, *out, *unit, *name;
  char **map; /* HEADING=THERMOCOUPLE */
  double interval_s, cold_c, shift_s;
  gboolean full;
} Options;

static void
options_clear (Options *options)
{
  g_free (options->run);
  g_free (options->out);
  g_free (options->unit);
  g_free (options->name);
  g_strfreev (options->map);
}

G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Options, options_clear)

/* ---- the log ---- */

static gboolean
set_unit (const char *word, LwLogMapping *m)
{
  static const char *const words[] = { "c", "f", "k", "mv" };

  for (guint i = 0; i < G_N_ELEMENTS (words); i++)
    if (g_ascii_strcasecmp (word, words[i]) == 0)
      {
        m->unit = i;
        return TRUE;
      }
  lw_cli_refuse (_("--unit: c, f, k or mv"));
  return FALSE;
}

static gboolean
apply_options (const Options *options, LwLogMapping *m)
{
  if (!isnan (options->interval_s))
    m->interval_s = options->interval_s;
  if (!isnan (options->cold_c))
    m->cold_c = options->cold_c;
  return options->unit == NULL || set_unit (options->unit, m);
}

static void
print_notes (const LwLog *log)
{
  for (guint i = 0; i < log->dropped->len; i++)
    {
      const LwImportWarning *note = log->dropped->pdata[i];

      if (note->line > 0)
        g_printerr (_("%s:%u: warning: %s\n"), note->file, note->line, note->text);
      else
        g_printerr (_("%s: warning: %s\n"), note->file, note->text);
    }
}

/* What the guess had to decide, so that nobody takes it for a fact. */
static void
print_open (const char *name, const LwLogMapping *m, const Options *options)
{
  if (m->open & LW_LOG_OPEN_UNIT && options->unit == NULL)
    g_printerr (_("%s: warning: no unit is stated; taken for %s (--unit)\n"), name, lw_log_unit_name (m->unit));
  if (m->open & LW_LOG_OPEN_SCALE)
    g_printerr (_("%s: warning: no unit of time is stated; taken for %s\n"), name, lw_log_scale_name (m->scale));
}

static LwLog *
read_log (const char *path, const Options *options)
{
  g_autoptr (GFile) file = g_file_new_for_commandline_arg (path);
  g_autofree char *name = g_filename_display_basename (path);
  g_autoptr (GError) error = NULL;
  g_autoptr (GByteArray) bytes = lw_read_file (file, name, LW_LOG_MAX_BYTES, NULL, &error);
  const char *data = bytes != NULL && bytes->len > 0 ? (const char *) bytes->data : "";
  LwLogMapping m;
  LwLog *log = NULL;

  if (bytes != NULL && lw_log_guess (name, data, bytes->len, &m, &error))
    {
      if (!apply_options (options, &m))
        return NULL;
      log = lw_log_read (name, data, bytes->len, &m, &error);
    }
  if (log == NULL)
    {
      lw_cli_refuse_error (error);
      return NULL;
    }
  print_notes (log);
  print_open (name, &m, options);
  return log;
}

/* ---- the run ---- */

static gboolean
has_couple (const LwPlan *plan, const char *name)
{
  for (guint i = 0; i < plan->thermocouples->len; i++)
    if (strcmp (((const LwThermocouple *) plan->thermocouples->pdata[i])->name, name) == 0)
      return TRUE;
  return FALSE;
}

/* Each --map takes its column, and the thermocouple away from any other. */
static gboolean
map_columns (const LwLog *log, const LwPlan *plan, char **map, const char **couples)
{
  for (guint i = 0; i < log->columns->len; i++)
    couples[i] = lw_log_couple_for (plan, ((const LwLogColumn *) log->columns->pdata[i])->name);
  for (guint k = 0; map != NULL && map[k] != NULL; k++)
    {
      char *mark = strrchr (map[k], '=');
      gboolean found = FALSE;

      if (mark == NULL || (mark[1] != '\0' && !has_couple (plan, mark + 1)))
        {
          lw_cli_refuse (_("--map: “%s” must be HEADING=THERMOCOUPLE, a thermocouple of the plan"), map[k]);
          return FALSE;
        }
      *mark = '\0';
      for (guint i = 0; i < log->columns->len; i++)
        if (mark[1] != '\0' && strcmp (couples[i], mark + 1) == 0)
          couples[i] = "";
      for (guint i = 0; i < log->columns->len && !found; i++)
        if (strcmp (((const LwLogColumn *) log->columns->pdata[i])->name, map[k]) == 0)
          {
            couples[i] = mark + 1;
            found = TRUE;
          }
      if (!found)
        {
          lw_cli_refuse (_("--map: the log has no column “%s”"), map[k]);
          return FALSE;
        }
    }
  return TRUE;
}

static LwRun *
run_from_log (const char *path, const LwPlan *plan, const Options *options)
{
  g_autoptr (LwLog) log = read_log (path, options);
  const char *couples[LW_LOG_MAX_COLUMNS];
  LwRun *run;

  if (log == NULL || !map_columns (log, plan, options->map, couples))
    return NULL;
  run = lw_log_to_run (log, plan, couples);
  run->shift_s = options->shift_s;
  if (options->name != NULL)
    {
      g_free (run->name);
      run->name = g_strdup (options->name);
    }
  return run;
}

static LwRun *
kept_run (const LwJob *job, const char *path, const Options *options)
{
  int index = lw_job_find_run (job, options->run);

  if (index < 0)
    {
      lw_cli_refuse (_("%s: keeps no run “%s”"), path, options->run);
      return NULL;
    }
  LwRun *run = lw_run_copy (job->runs->pdata[index]);
  if (!isnan (options->shift_s))
    run->shift_s = options->shift_s;
  return run;
}

/* ---- what is said ---- */

static JsonObject *
figures_json (const LwCurveFigures *f)
{
  JsonObject *object = json_object_new ();

  lw_cli_set_rounded (object, "peak_c", f->peak_c, 2);
  lw_cli_set_rounded (object, "peak_s", f->peak_s, 2);
  lw_cli_set_rounded (object, "ramp_up_c_per_s", f->ramp_up_c_per_s, 3);
  lw_cli_set_rounded (object, "ramp_down_c_per_s", f->ramp_down_c_per_s, 3);
  lw_cli_set_rounded (object, "soak_s", f->soak_s, 2);
  lw_cli_set_rounded (object, "above_liquidus_s", f->above_liquidus_s, 2);
  return object;
}

static JsonObject *
column_json (const LwCompared *c)
{
  JsonObject *object = json_object_new ();

  json_object_set_string_member (object, "column", c->name);
  if (c->couple >= 0)
    json_object_set_string_member (object, "thermocouple", c->couple_name);
  else
    json_object_set_null_member (object, "thermocouple");
  json_object_set_object_member (object, "plan", figures_json (&c->plan));
  json_object_set_object_member (object, "run", figures_json (&c->run));
  json_object_set_int_member (object, "moments", c->n);
  lw_cli_set_rounded (object, "difference_mean_k", c->mean_k, 3);
  lw_cli_set_rounded (object, "difference_rms_k", c->rms_k, 3);
  lw_cli_set_rounded (object, "difference_most_k", c->most_k, 3);
  lw_cli_set_rounded (object, "difference_most_s", c->most_s, 2);
  return object;
}

static void
print_json (const LwComparison *c)
{
  JsonObject *root = json_object_new ();
  JsonArray *columns = json_array_new (), *remarks = json_array_new ();

  json_object_set_string_member (root, "run", c->run->name);
  json_object_set_string_member (root, "plan", c->run->ref);
  lw_cli_set_rounded (root, "shift_s", c->shift_s, 3);
  json_object_set_string_member (root, "aligned_by", c->by_hand ? "hand" : isnan (c->ramp_shift_s) ? "first-moment" : "ramp");
  lw_cli_set_rounded (root, "ramp_shift_s", c->ramp_shift_s, 3);
  lw_cli_set_rounded (root, "liquidus_c", c->liquidus_c, 2);
  lw_cli_set_rounded (root, "soak_low_c", c->soak_low_c, 2);
  lw_cli_set_rounded (root, "soak_high_c", c->soak_high_c, 2);
  lw_cli_set_rounded (root, "spread_plan_k", c->plan_spread_k, 3);
  lw_cli_set_rounded (root, "spread_run_k", c->run_spread_k, 3);
  lw_cli_set_rounded (root, "difference_rms_k", c->rms_k, 3);
  for (guint i = 0; i < c->columns->len; i++)
    json_array_add_object_element (columns, column_json (c->columns->pdata[i]));
  for (guint i = 0; i < c->remarks->len; i++)
    json_array_add_string_element (remarks, c->remarks->pdata[i]);
  json_object_set_array_member (root, "columns", columns);
  json_object_set_array_member (root, "remarks", remarks);
  lw_cli_print_json (root);
}

static const int widths[] = { 1, -26, 10, 10, 10 };

static void
print_row (const char *what, double plan, double run, int decimals)
{
  g_autofree char *a = lw_cli_number_text (plan, decimals), *b = lw_cli_number_text (run, decimals),
                  *d = lw_cli_number_text (plan - run, decimals);

  lw_cli_print_row (widths, "", what, a, b, d, NULL);
}

static void
print_column (const LwComparison *self, const LwCompared *c)
{
  g_autofree char *soak = g_strdup_printf (_("%.0f to %.0f °C, s"), self->soak_low_c, self->soak_high_c);
  g_autofree char *above = g_strdup_printf (_("above %.0f °C, s"), self->liquidus_c);

  if (c->couple >= 0)
    g_print (_("\n%s (%s)\n"), c->couple_name, c->name);
  else
    g_print (_("\n%s: no thermocouple of the plan\n"), c->name);
  lw_cli_print_row (widths, "", "", _("plan"), _("run"), _("difference"), NULL);
  print_row (_("peak, °C"), c->plan.peak_c, c->run.peak_c, 1);
  print_row (_("peak at, s"), c->plan.peak_s, c->run.peak_s, 1);
  print_row (_("fastest rise, °C/s"), c->plan.ramp_up_c_per_s, c->run.ramp_up_c_per_s, 2);
  print_row (_("fastest fall, °C/s"), c->plan.ramp_down_c_per_s, c->run.ramp_down_c_per_s, 2);
  print_row (soak, c->plan.soak_s, c->run.soak_s, 1);
  print_row (above, c->plan.above_liquidus_s, c->run.above_liquidus_s, 1);
  if (c->n > 0)
    g_print (_("  plan minus run: mean %+.1f K, root mean square %.1f K, most %+.1f K at %.0f s\n"), c->mean_k, c->rms_k, c->most_k,
             c->most_s);
}

static void
print_text (const LwComparison *c)
{
  g_print (_("Run        %s, plan for %s\n"), c->run->name, c->run->ref);
  g_print (c->by_hand                  ? _("Aligned    by hand: %+.1f s\n")
           : isnan (c->ramp_shift_s) ? _("Aligned    at its first moment: %+.1f s\n")
                                     : _("Aligned    by the start of the ramp: %+.1f s\n"),
           c->shift_s);
  if (!isnan (c->run_spread_k))
    g_print (_("Spread     plan %.1f K, run %.1f K\n"), c->plan_spread_k, c->run_spread_k);
  for (guint i = 0; i < c->columns->len; i++)
    print_column (c, c->columns->pdata[i]);
  for (guint i = 0; i < c->remarks->len; i++)
    g_printerr (_("remark: %s\n"), (const char *) c->remarks->pdata[i]);
}

/* ---- the verb ---- */

static LwPrediction *
predict (LwJob *job, guint plan, const Options *options, const char *path)
{
  LwPredictOptions how = { .no_doubt = TRUE };
  g_autoptr (GError) error = NULL;
  LwPrediction *prediction;

  if (!options->full)
    return lw_cli_solve_quickly (job, plan, 0, path);
  prediction = lw_predict (job, plan, &how, NULL, NULL, NULL, &error);
  if (prediction == NULL)
    lw_cli_refuse ("%s: %s", path, error->message);
  return prediction;
}

static int
keep (LwJob *job, LwRun *run, const char *out)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwJob) after = lw_edit_add_run (job, lw_run_ref (run), &error);
  g_autoptr (GFile) file = g_file_new_for_commandline_arg (out);

  if (after == NULL || !lw_job_save (after, file, NULL, &error))
    return lw_cli_refuse_out (out, error);
  return LW_CLI_DONE;
}

static int
compare (LwJob *job, guint plan, LwRun *run, const Options *options, gboolean json, const char *path)
{
  g_autoptr (LwPrediction) prediction = predict (job, plan, options, path);
  g_autoptr (LwBenchReadings) should = NULL;
  g_autoptr (LwComparison) comparison = NULL;
  int status; /* the document first: what reads our words may have had enough of them (a broken pipe ends us) */

  if (prediction == NULL)
    return LW_CLI_REFUSED;
  should = lw_run_readings (job, job->plans->pdata[plan], prediction);
  comparison = lw_run_compare (job, plan, should, run);
  status = options->out != NULL ? keep (job, run, options->out) : LW_CLI_DONE;
  if (json)
    print_json (comparison);
  else
    print_text (comparison);
  return status;
}

static gboolean
check_options (const Options *options, guint n_files)
{
  if (n_files != (options->run != NULL ? 1 : 2))
    lw_cli_refuse (_("compare: expects JOB LOG, or JOB --run NAME; see leeward-cli compare --help"));
  else if (options->run != NULL && options->out != NULL)
    lw_cli_refuse (_("--run and --output cannot be used together: the job keeps that run already"));
  else if (!isnan (options->cold_c) && !(options->cold_c > -270 && options->cold_c < 400))
    lw_cli_refuse (_("--%s: from %g to %g %s"), "cold", -270.0, 400.0, "°C");
  else if (!isnan (options->interval_s) && !(options->interval_s > 0 && options->interval_s <= 3600))
    lw_cli_refuse (_("--interval: above 0, at most 3600 s"));
  else if (fabs (options->shift_s) > SHIFT_MOST_S)
    lw_cli_refuse (_("--%s: from %g to %g %s"), "shift", -SHIFT_MOST_S, SHIFT_MOST_S, "s");
  else
    return lw_cli_may_write (options->out);
  return FALSE;
}

int
lw_cli_compare (char **argv)
{
  g_auto (LwCliInput) input = { 0 };
  g_auto (LwCliTarget) target = { 0 };
  g_auto (Options) options = { .interval_s = NAN, .cold_c = NAN, .shift_s = NAN };
  const GOptionEntry entries[] = {
    { "run", 'r', 0, G_OPTION_ARG_STRING, &options.run, N_("A run that the job keeps, instead of a log"), N_("NAME") },
    { "map", 'm', 0, G_OPTION_ARG_STRING_ARRAY, &options.map, N_("This column is that thermocouple; may be repeated"), N_("HEADING=NAME") },
    { "unit", 0, 0, G_OPTION_ARG_STRING, &options.unit, N_("Unit of the readings: c, f, k or mv (type K)"), N_("UNIT") },
    { "cold", 0, 0, G_OPTION_ARG_DOUBLE, &options.cold_c, N_("Cold junction of millivolts, °C"), N_("C") },
    { "interval", 0, 0, G_OPTION_ARG_DOUBLE, &options.interval_s, N_("Seconds between lines of a log without times"), N_("S") },
    { "shift", 0, 0, G_OPTION_ARG_DOUBLE, &options.shift_s, N_("Time of the plan minus time of the log, instead of aligning by the ramp"), N_("S") },
    { "output", 'o', 0, G_OPTION_ARG_FILENAME, &options.out, N_("Write the job with the run in it"), N_("OUT") },
    { "name", 0, 0, G_OPTION_ARG_STRING, &options.name, N_("Name of the run"), N_("NAME") },
    { "full", 0, 0, G_OPTION_ARG_NONE, &options.full, N_("Compare with the full solution instead of the reduced model"), NULL },
    { NULL }
  };
  g_auto (GStrv) files = NULL;
  g_autoptr (LwImport) import = NULL;
  g_autoptr (LwRun) run = NULL;
  guint plan;

  if (!lw_cli_parse (argv, _("JOB LOG"), _("Lays a recorded run over its plan: figures of both, and where they differ."), entries, &input,
                     &target, LW_CLI_SOME, &files)
      || !check_options (&options, g_strv_length (files)))
    return LW_CLI_REFUSED;
  import = lw_cli_open (files[0], &input);
  if (import == NULL || !lw_cli_choose_plan (&import->job, files[0], &target, &plan))
    return LW_CLI_REFUSED;
  lw_cli_warn (import);
  run = options.run != NULL ? kept_run (import->job, files[0], &options)
                            : run_from_log (files[1], import->job->plans->pdata[plan], &options);
  if (run != NULL && strcmp (run->ref, ((LwPlan *) import->job->plans->pdata[plan])->ref) != 0)
    plan = (guint) MAX (lw_job_find_plan (import->job, run->ref), 0);
  return run != NULL ? compare (import->job, plan, run, &options, input.json, files[0]) : LW_CLI_REFUSED;
}
