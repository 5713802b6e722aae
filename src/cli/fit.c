/* fit: the station's and board's uncertain figures by recorded runs, into a new document; and where the next
 * thermocouples tell most. */
#include <glib/gi18n.h>
#include <math.h>

#include "board/edits-history.h"
#include "board/job-file.h"
#include "cli/options.h"
#include "cli/output.h"
#include "cli/verbs.h"
#include "draw/bench-sheet.h"
#include "draw/fit-sheet.h"
#include "exchange/log.h"
#include "exchange/read-file.h"
#include "plan/fit-suggest.h"

/* As many places are named. */
#define NEXT 3

typedef struct {
  char *out, *sheet;
  char **names; /* of runs of the job; NULL = all of the plan's part */
  gboolean suggest;
} Asked;

static const char *
verdict_word (LwVerdict verdict)
{
  static const char *const words[] = { "given", "held", "told", "tied", "untold" };

  return words[verdict];
}

/* ---- JSON ---- */

static JsonArray *
figures_json (const LwFitAnswer *answer)
{
  JsonArray *array = json_array_new ();

  for (guint i = 0; i < LW_N_FIT; i++)
    {
      const LwFitted *figure = &answer->figures[i];
      JsonObject *object = json_object_new ();

      json_object_set_string_member (object, "key", lw_fit_figure_key (i));
      json_object_set_string_member (object, "kind", figure->is_factor ? "factor" : "added_k");
      json_object_set_string_member (object, "verdict", verdict_word (figure->verdict));
      lw_cli_set_rounded (object, "value", figure->value, 4);
      lw_cli_set_rounded (object, "low", figure->low, 4);
      lw_cli_set_rounded (object, "high", figure->high, 4);
      lw_cli_set_rounded (object, "before_low", figure->before_low, 4);
      lw_cli_set_rounded (object, "before_high", figure->before_high, 4);
      if (figure->tied_to >= 0)
        json_object_set_string_member (object, "tied_to", lw_fit_figure_key ((guint) figure->tied_to));
      if (figure->teller != NULL)
        json_object_set_string_member (object, "told_by", figure->teller);
      json_array_add_object_element (array, object);
    }
  return array;
}

static JsonArray *
channels_json (const LwFitAnswer *answer)
{
  JsonArray *array = json_array_new ();

  for (guint i = 0; i < answer->channels->len; i++)
    {
      const LwFitChannel *channel = g_ptr_array_index (answer->channels, i);
      JsonObject *object = json_object_new ();

      json_object_set_string_member (object, "thermocouple", channel->name);
      json_object_set_string_member (object, "place", channel->place);
      lw_cli_set_rounded (object, "noise_k", channel->noise_k, 3);
      lw_cli_set_rounded (object, "rms_before_k", channel->rms_before_k, 3);
      lw_cli_set_rounded (object, "rms_after_k", channel->rms_after_k, 3);
      lw_cli_set_rounded (object, "worst_k", channel->worst_k, 3);
      lw_cli_set_series (object, "time_s", channel->t_s, channel->n);
      lw_cli_set_series (object, "measured_c", channel->measured_c, channel->n);
      lw_cli_set_series (object, "before_c", channel->before_c, channel->n);
      lw_cli_set_series (object, "after_c", channel->after_c, channel->n);
      json_array_add_object_element (array, object);
    }
  return array;
}

static JsonArray *
remarks_json (const LwFitAnswer *answer)
{
  static const char *const words[] = { "swapped", "shifted", "unclear", "strange", "poor" };
  JsonArray *array = json_array_new ();

  for (guint i = 0; i < answer->remarks->len; i++)
    {
      const LwFitRemark *remark = g_ptr_array_index (answer->remarks, i);
      JsonObject *object = json_object_new ();

      json_object_set_string_member (object, "kind", words[remark->kind]);
      lw_cli_set_rounded (object, "shift_s", remark->shift_s, 1);
      lw_cli_set_rounded (object, "chi2", remark->chi2, 1);
      lw_cli_set_rounded (object, "chi2_if", remark->chi2_if, 1);
      json_object_set_string_member (object, "text", remark->text);
      json_array_add_object_element (array, object);
    }
  return array;
}

static JsonObject *
suggestions_json (const LwSuggestions *suggestions)
{
  JsonObject *object = json_object_new ();
  JsonArray *next = json_array_new ();

  json_object_set_string_member (object, "kind", suggestions->kind);
  json_object_set_string_member (object, "ref", suggestions->ref);
  lw_cli_set_rounded (object, "half_before", suggestions->half_before, 3);
  lw_cli_set_rounded (object, "half_now", suggestions->half_now, 3);
  for (guint i = 0; i < suggestions->next->len; i++)
    {
      const LwSuggestion *suggestion = g_ptr_array_index (suggestions->next, i);
      JsonObject *place = json_object_new ();

      json_object_set_string_member (place, "place", suggestion->text);
      json_object_set_string_member (place, "ref", suggestion->couple->ref);
      json_object_set_string_member (place, "side", lw_side_word (suggestion->couple->side));
      lw_cli_set_rounded (place, "x_mm", suggestion->couple->x_mm, 3);
      lw_cli_set_rounded (place, "y_mm", suggestion->couple->y_mm, 3);
      lw_cli_set_rounded (place, "half", suggestion->half, 3);
      json_array_add_object_element (next, place);
    }
  json_object_set_array_member (object, "next", next);
  return object;
}

static void
print_json (const LwFitAnswer *answer, const LwSuggestions *suggestions)
{
  JsonObject *root = json_object_new ();

  if (answer != NULL)
    {
      json_object_set_boolean_member (root, "usable", answer->usable);
      json_object_set_array_member (root, "figures", figures_json (answer));
      json_object_set_array_member (root, "channels", channels_json (answer));
      json_object_set_array_member (root, "remarks", remarks_json (answer));
      lw_cli_set_rounded (root, "chi2", answer->chi2, 2);
      json_object_set_int_member (root, "readings", answer->n_data);
      lw_cli_set_rounded (root, "chance", answer->chance, 6);
      lw_cli_set_rounded (root, "widened", answer->widened, 3);
      lw_cli_set_series (root, "clock_s", (const double *) (gpointer) answer->clock_s->data, answer->clock_s->len);
      lw_cli_set_rounded (root, "clock_sigma_s", answer->clock_sigma_s, 3);
      json_object_set_int_member (root, "marches", answer->n_marches);
      lw_cli_set_rounded (root, "seconds", answer->seconds, 3);
    }
  if (suggestions != NULL)
    json_object_set_object_member (root, "thermocouples", suggestions_json (suggestions));
  lw_cli_print_json (root);
}

/* ---- text ---- */

static char *
amount (const LwFitted *figure, double value)
{
  return figure->is_factor ? g_strdup_printf ("×%.2f", value) : g_strdup_printf (_("%+.1f °C"), value);
}

static void
print_figure (const LwFitted *figure)
{
  g_autofree char *value = amount (figure, figure->value), *low = amount (figure, figure->low);
  g_autofree char *high = amount (figure, figure->high), *before_low = amount (figure, figure->before_low);
  g_autofree char *before_high = amount (figure, figure->before_high);

  switch (figure->verdict)
    {
    case LW_VERDICT_TOLD:
      g_print (_("  %s: %s (%s to %s), was %s to %s\n"), lw_fit_figure_name (figure->figure), value, low, high, before_low,
               before_high);
      return;
    case LW_VERDICT_TIED:
      g_print (_("  %s: told only together with “%s” (correlation %.2f)\n"), lw_fit_figure_name (figure->figure),
               lw_fit_figure_name ((guint) figure->tied_to), figure->tied_r);
      break;
    case LW_VERDICT_UNTOLD:
      g_print (_("  %s: these runs do not tell it\n"), lw_fit_figure_name (figure->figure));
      break;
    case LW_VERDICT_GIVEN:
    case LW_VERDICT_HELD:
    default:
      return;
    }
  if (figure->teller != NULL)
    g_print (_("    A thermocouple would tell it: %s\n"), figure->teller);
}

static void
print_answer (const LwFitAnswer *answer)
{
  for (guint i = 0; i < answer->remarks->len; i++)
    g_print ("! %s\n", ((const LwFitRemark *) g_ptr_array_index (answer->remarks, i))->text);
  g_print (_("Figures, with the range that 95 %% of the chances lie in:\n"));
  for (guint i = 0; i < LW_N_FIT; i++)
    print_figure (&answer->figures[i]);
  g_print (_("Measured less predicted, root mean square, before and after:\n"));
  for (guint i = 0; i < answer->channels->len; i++)
    {
      const LwFitChannel *channel = g_ptr_array_index (answer->channels, i);

      g_print (_("  %s, %s: %.2f °C, %.2f °C (noise %.2f °C, at worst %+.1f °C)\n"), channel->name, channel->place,
               channel->rms_before_k, channel->rms_after_k, channel->noise_k, channel->worst_k);
    }
  g_print (_("Chi-square %.0f for %u readings; %.1f s.\n"), answer->chi2, answer->n_data, answer->seconds);
}

static void
print_suggestions (const LwSuggestions *suggestions)
{
  g_print (_("Worst against its limit: %s, %s. Give or take %.2f before anything is measured, %.2f now.\n"),
           *suggestions->ref != '\0' ? suggestions->ref : _("board"),
           lw_finding_kind_label (suggestions->kind), suggestions->half_before,
           suggestions->half_now);
  if (suggestions->next->len == 0)
    g_print (_("No further thermocouple would tell more about it.\n"));
  for (guint i = 0; i < suggestions->next->len; i++)
    {
      const LwSuggestion *suggestion = g_ptr_array_index (suggestions->next, i);

      g_print (_("  next thermocouple: %s leaves %.2f\n"), suggestion->text, suggestion->half);
    }
}

/* ---- what is done ---- */

static gboolean
is_chosen (const Asked *asked, const LwRun *run)
{
  return asked->names == NULL || g_strv_contains ((const char *const *) asked->names, run->name);
}

/* Runs of the plan's part (guint). */
static GArray *
choose_runs (const LwJob *job, guint plan, const Asked *asked)
{
  const LwPlan *of = g_ptr_array_index (job->plans, plan);
  GArray *out = g_array_new (FALSE, FALSE, sizeof (guint));

  for (guint i = 0; i < job->runs->len; i++)
    {
      const LwRun *run = g_ptr_array_index (job->runs, i);

      if (g_str_equal (run->ref, of->ref) && is_chosen (asked, run))
        g_array_append_val (out, i);
    }
  return out;
}

/* A log with its columns as they are guessed; `compare` takes one with any mapping and keeps it in the job. */
static LwLog *
read_log (const char *path, GError **error)
{
  g_autoptr (GFile) file = g_file_new_for_commandline_arg (path);
  g_autofree char *name = g_filename_display_basename (path);
  g_autoptr (GByteArray) bytes = lw_read_file (file, name, LW_LOG_MAX_BYTES, NULL, error);
  const char *data = bytes != NULL && bytes->len > 0 ? (const char *) bytes->data : "";
  LwLogMapping mapping;
  LwLog *log;

  if (bytes == NULL || !lw_log_guess (name, data, bytes->len, &mapping, error))
    return NULL;
  log = lw_log_read (name, data, bytes->len, &mapping, error);
  if (log != NULL && mapping.open & LW_LOG_OPEN_UNIT)
    g_printerr (_("%s: warning: no unit is stated; taken for %s\n"), name, lw_log_unit_name (mapping.unit));
  for (guint i = 0; log != NULL && i < log->dropped->len; i++)
    {
      const LwImportWarning *warning = g_ptr_array_index (log->dropped, i);
      g_printerr (_("%s:%u: warning: %s\n"), name, warning->line, warning->text);
    }
  return log;
}

/* JOB with the logs as runs of its plan; RUNS gets their numbers. */
static LwJob *
with_logs (LwJob *job, guint plan, char **logs, GArray *runs, GError **error)
{
  LwJob *out = lw_job_ref (job);

  for (guint i = 0; logs[i] != NULL; i++)
    {
      g_autoptr (LwLog) log = read_log (logs[i], error);
      LwJob *next = log == NULL ? NULL
                                : lw_edit_add_run (out, lw_log_to_run (log, g_ptr_array_index (job->plans, plan), NULL), error);

      lw_job_unref (out);
      if (next == NULL)
        return NULL;
      out = next;
      g_array_append_vals (runs, &(guint){ out->runs->len - 1 }, 1);
    }
  return out;
}

static int
suggest (LwJob *job, const char *path, guint plan, gboolean json)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwFitSenses) senses = lw_fit_senses_new (job, plan, NULL, NULL, NULL, &error);
  g_autoptr (LwSuggestions) suggestions = NULL;

  if (senses == NULL)
    return lw_cli_refuse ("%s: %s", path, error->message);
  suggestions = lw_fit_suggest (senses, NEXT);
  if (json)
    print_json (NULL, suggestions);
  else if (suggestions != NULL)
    print_suggestions (suggestions);
  else
    g_print (_("No limit depends on a figure of this job.\n"));
  return LW_CLI_DONE;
}

static int
save_fit (const LwFitAnswer *answer, const LwJob *job, const char *path, const GArray *runs, const char *out)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwJob) kept = lw_fit_keep (answer, job, (const guint *) (gpointer) runs->data, runs->len, &error);
  g_autoptr (GFile) file = g_file_new_for_commandline_arg (out);

  if (kept == NULL)
    return lw_cli_refuse (_("%s: nothing was written: %s"), path, error->message);
  if (!lw_job_save (kept, file, NULL, &error))
    return lw_cli_refuse_out (out, error);
  return LW_CLI_DONE;
}

/* What was found on paper, also when nothing may be kept of it. */
static gboolean
write_sheet (const LwFitAnswer *answer, const LwSuggestions *suggestions, const char *path)
{
  g_autoptr (GDateTime) now = g_date_time_new_now_local ();
  g_autofree char *date = g_date_time_format (now, "%Y-%m-%d");
  const LwFitSheet sheet = { .fit = answer, .suggestions = suggestions, .date = date,
                             .width_pt = LW_SHEET_A4_WIDTH_PT, .height_pt = LW_SHEET_A4_HEIGHT_PT };
  g_autoptr (GError) error = NULL;

  if (path == NULL || lw_fit_sheet_to_pdf (&sheet, path, &error))
    return TRUE;
  lw_cli_refuse_out (path, error);
  return FALSE;
}

static int
fit (LwJob *given, const char *path, guint plan, char **logs, const Asked *asked, gboolean json)
{
  g_autoptr (GArray) runs = logs[0] == NULL ? choose_runs (given, plan, asked) : g_array_new (FALSE, FALSE, sizeof (guint));
  g_autoptr (GError) error = NULL;
  g_autoptr (LwJob) job = with_logs (given, plan, logs, runs, &error);
  g_autoptr (LwFitAnswer) answer = NULL;
  g_autoptr (LwSuggestions) suggestions = NULL;
  int status = LW_CLI_DONE;

  if (job == NULL)
    return lw_cli_refuse_error (error);
  if (runs->len == 0)
    return lw_cli_refuse (_("%s: no recorded run of that plan to fit to"), path);
  answer = lw_fit_job_runs (job, (const guint *) (gpointer) runs->data, runs->len, NULL, NULL, NULL, NULL, &error);
  if (answer == NULL)
    return lw_cli_refuse ("%s: %s", path, error->message);
  suggestions = lw_fit_suggest (answer->senses, NEXT);
  /* Files first: what reads our words may have had enough of them, and a broken pipe ends the program. */
  if (!write_sheet (answer, suggestions, asked->sheet)
      || save_fit (answer, job, path, runs, asked->out) != LW_CLI_DONE)
    status = LW_CLI_REFUSED;
  if (json)
    print_json (answer, suggestions);
  else
    {
      print_answer (answer);
      if (suggestions != NULL)
        print_suggestions (suggestions);
    }
  return status;
}

static int
run (char **files, const LwCliInput *input, const LwCliTarget *target, const Asked *asked)
{
  g_autoptr (LwImport) import = lw_cli_open (files[0], input);
  guint plan;

  if (import == NULL || !lw_cli_choose_plan (&import->job, files[0], target, &plan))
    return LW_CLI_REFUSED;
  lw_cli_warn (import);
  if (asked->suggest)
    return suggest (import->job, files[0], plan, input->json);
  return fit (import->job, files[0], plan, files + 1, asked, input->json);
}

int
lw_cli_fit (char **argv)
{
  g_auto (LwCliInput) input = { 0 };
  g_auto (LwCliTarget) target = { 0 };
  Asked asked = { 0 };
  const GOptionEntry entries[]
      = { { "output", 'o', 0, G_OPTION_ARG_FILENAME, &asked.out, N_("Document to write"), N_("OUT") },
          { "run", 'r', 0, G_OPTION_ARG_STRING_ARRAY, &asked.names, N_("Use the job’s run of this name (may be repeated)"),
            N_("NAME") },
          { "sheet", 0, 0, G_OPTION_ARG_FILENAME, &asked.sheet, N_("Write figures and residuals as a sheet, .pdf"), N_("OUT") },
          { "suggest", 0, 0, G_OPTION_ARG_NONE, &asked.suggest,
            N_("Say only where the next thermocouples tell most; no run is needed"), NULL },
          { NULL } };
  g_auto (GStrv) files = NULL;
  gboolean parsed = lw_cli_parse (argv, _("JOB [LOG…] -o OUT"), _("Fits uncertain figures to recorded runs."), entries, &input,
                                  &target, LW_CLI_SOME, &files);
  int status = LW_CLI_REFUSED;

  if (parsed && asked.out == NULL && !asked.suggest)
    lw_cli_refuse (_("fit: -o OUT is missing"));
  else if (parsed && asked.sheet != NULL && !g_str_has_suffix (asked.sheet, ".pdf"))
    lw_cli_refuse (_("%s: the name must end in .pdf"), asked.sheet);
  else if (parsed && lw_cli_may_write (asked.out) && lw_cli_may_write (asked.sheet))
    status = run (files, &input, &target, &asked);
  g_free (asked.out);
  g_free (asked.sheet);
  g_strfreev (asked.names);
  return status;
}
