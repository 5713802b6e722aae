/* history: what a job keeps of its past, and what changed between two revisions of a plan. */
#include <glib/gi18n.h>
#include <math.h>
#include <string.h>

#include "board/edits-history.h"
#include "board/job-file.h"
#include "board/plan-changes.h"
#include "cli/options.h"
#include "cli/output.h"
#include "cli/verbs.h"

typedef struct {
  char *changes; /* "A" or "A,B" */
  int restore;
  char *out;
} Options;

static void
options_clear (Options *options)
{
  g_free (options->changes);
  g_free (options->out);
}

G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Options, options_clear)

/* Revision NUMBER (from 1) of a plan as an index, or -1. */
static int
revision_of (const LwJob *job, const char *ref, guint64 number)
{
  for (guint i = 0; i < job->revisions->len; i++)
    if (strcmp (((const LwRevision *) job->revisions->pdata[i])->plan->ref, ref) == 0 && lw_job_revision_number (job, i) == number)
      return (int) i;
  return -1;
}

/* ---- the list ---- */

static JsonObject *
run_json (const LwRun *run)
{
  JsonObject *object = json_object_new ();
  JsonArray *columns = json_array_new ();

  json_object_set_string_member (object, "name", run->name);
  json_object_set_string_member (object, "ref", run->ref);
  json_object_set_string_member (object, "date", run->date);
  json_object_set_string_member (object, "file", run->file);
  json_object_set_string_member (object, "plan_hash", run->plan_hash);
  json_object_set_int_member (object, "moments", run->t_s->len);
  for (guint i = 0; i < run->columns->len; i++)
    json_array_add_string_element (columns, ((const LwRunColumn *) run->columns->pdata[i])->thermocouple);
  json_object_set_array_member (object, "thermocouples", columns);
  return object;
}

static JsonObject *
fit_json (const LwFit *fit)
{
  JsonObject *object = json_object_new ();
  JsonArray *figures = json_array_new ();

  json_object_set_string_member (object, "name", fit->name);
  json_object_set_string_member (object, "ref", fit->ref);
  json_object_set_string_member (object, "date", fit->date);
  for (guint i = 0; i < fit->figures->len; i++)
    {
      const LwFitFigure *figure = fit->figures->pdata[i];
      JsonObject *one = json_object_new ();

      json_object_set_string_member (one, "key", figure->key);
      lw_cli_set_number (one, "value", figure->value);
      lw_cli_set_number (one, "sigma", figure->sigma);
      json_array_add_object_element (figures, one);
    }
  json_object_set_array_member (object, "figures", figures);
  return object;
}

static JsonObject *
revision_json (const LwJob *job, guint index)
{
  const LwRevision *revision = job->revisions->pdata[index];
  JsonObject *object = json_object_new ();

  json_object_set_string_member (object, "ref", revision->plan->ref);
  json_object_set_int_member (object, "number", lw_job_revision_number (job, index));
  json_object_set_string_member (object, "date", revision->date);
  json_object_set_string_member (object, "note", revision->note);
  json_object_set_string_member (object, "hash", revision->hash);
  return object;
}

static void
list_json (const LwJob *job)
{
  JsonObject *root = json_object_new ();
  JsonArray *runs = json_array_new (), *fits = json_array_new (), *revisions = json_array_new ();

  for (guint i = 0; i < job->runs->len; i++)
    json_array_add_object_element (runs, run_json (job->runs->pdata[i]));
  for (guint i = 0; i < job->fits->len; i++)
    json_array_add_object_element (fits, fit_json (job->fits->pdata[i]));
  for (guint i = 0; i < job->revisions->len; i++)
    json_array_add_object_element (revisions, revision_json (job, i));
  json_object_set_array_member (root, "runs", runs);
  json_object_set_array_member (root, "fits", fits);
  json_object_set_array_member (root, "revisions", revisions);
  lw_cli_print_json (root);
}

static void
print_kept (char *what, const char *hash, const char *date, const char *words)
{
  static const int widths[] = { -22, -11, -21, 0 };
  g_autofree char *own = what, *start = g_utf8_substring (hash, 0, MIN (10, g_utf8_strlen (hash, -1)));

  lw_cli_print_row (widths, own, start, date, words, NULL);
}

static void
list_text (const LwJob *job)
{
  for (guint i = 0; i < job->revisions->len; i++)
    {
      const LwRevision *revision = job->revisions->pdata[i];

      print_kept (g_strdup_printf (_("Revision %u of %s"), lw_job_revision_number (job, i), revision->plan->ref), revision->hash,
                  revision->date, revision->note);
    }
  for (guint i = 0; i < job->runs->len; i++)
    {
      const LwRun *run = job->runs->pdata[i];

      print_kept (g_strdup_printf (_("Run of %s"), run->ref), run->plan_hash, run->date, run->name);
    }
  for (guint i = 0; i < job->fits->len; i++)
    {
      const LwFit *fit = job->fits->pdata[i];

      print_kept (g_strdup_printf (_("Fit of %s"), fit->ref), fit->plan_hash, fit->date, fit->name);
    }
  if (job->revisions->len + job->runs->len + job->fits->len == 0)
    g_print (_("Nothing is kept.\n"));
}

/* ---- changes ---- */

static void
print_changes (const LwPlan *before, const LwPlan *after, gboolean json)
{
  static const int widths[] = { -40, 14, 0, 0 };
  g_autoptr (GPtrArray) changes = lw_plan_changes (before, after);
  JsonArray *array = json_array_new ();
  JsonObject *root = json_object_new ();

  for (guint i = 0; i < changes->len; i++)
    {
      const LwPlanChange *change = changes->pdata[i];
      JsonObject *one = json_object_new ();

      json_object_set_string_member (one, "what", change->what);
      json_object_set_string_member (one, "before", change->before);
      json_object_set_string_member (one, "after", change->after);
      json_array_add_object_element (array, one);
      if (!json)
        lw_cli_print_row (widths, change->what, change->before, "→", change->after, NULL);
    }
  json_object_set_array_member (root, "changes", array);
  if (json)
    lw_cli_print_json (root);
  else
    {
      json_object_unref (root);
      if (changes->len == 0)
        g_print (_("Nothing has changed.\n"));
    }
}

/* "2" = from revision 2 to the plan of today, "1,2" = from revision 1 to 2. */
static int
tell_changes (const LwJob *job, guint plan, const char *words, gboolean json, const char *path)
{
  const LwPlan *now = job->plans->pdata[plan];
  g_auto (GStrv) parts = g_strsplit (words, ",", 3);
  guint n = g_strv_length (parts);
  const LwPlan *sides[2] = { NULL, now };

  if (n < 1 || n > 2)
    return lw_cli_refuse (_("--changes: one or two numbers of revisions, as in 1,2"));
  for (guint i = 0; i < n; i++)
    {
      guint64 number;
      int index;

      if (!g_ascii_string_to_unsigned (parts[i], 10, 0, G_MAXUINT, &number, NULL))
        return lw_cli_refuse (_("--changes: one or two numbers of revisions, as in 1,2"));
      index = revision_of (job, now->ref, number);
      if (index < 0)
        return lw_cli_refuse (_("%s: keeps no revision %s of the plan for %s"), path, parts[i], now->ref);
      sides[i] = ((const LwRevision *) job->revisions->pdata[index])->plan;
    }
  print_changes (sides[0], sides[1], json);
  return LW_CLI_DONE;
}

static int
restore (LwJob *job, guint plan, const Options *options, const char *path)
{
  const LwPlan *now = job->plans->pdata[plan];
  int index = revision_of (job, now->ref, (guint64) options->restore);
  g_autoptr (GError) error = NULL;
  g_autoptr (GFile) file = NULL;
  g_autoptr (LwJob) after = NULL;

  if (options->out == NULL)
    return lw_cli_refuse (_("history: -o OUT is missing"));
  if (index < 0)
    return lw_cli_refuse (_("%s: keeps no revision %d of the plan for %s"), path, options->restore, now->ref);
  file = g_file_new_for_commandline_arg (options->out);
  after = lw_edit_restore_revision (job, (guint) index, &error);
  if (after == NULL || !lw_job_save (after, file, NULL, &error))
    return lw_cli_refuse_out (options->out, error);
  return LW_CLI_DONE;
}

int
lw_cli_history (char **argv)
{
  g_auto (LwCliInput) input = { 0 };
  g_auto (LwCliTarget) target = { 0 };
  g_auto (Options) options = { 0 };
  const GOptionEntry entries[] = {
    { "changes", 'c', 0, G_OPTION_ARG_STRING, &options.changes, N_("What changed since revision A, or from A to B"), N_("A[,B]") },
    { "restore", 0, 0, G_OPTION_ARG_INT, &options.restore, N_("Write a job whose plan is that revision again"), N_("N") },
    { "output", 'o', 0, G_OPTION_ARG_FILENAME, &options.out, N_("The document to write"), N_("OUT") },
    { NULL }
  };
  g_auto (GStrv) files = NULL;
  g_autoptr (LwImport) import = NULL;
  guint plan;

  if (!lw_cli_parse (argv, _("JOB"), _("Lists the runs, fits and revisions of plans that a job keeps."), entries, &input, &target, 1, &files)
      || !lw_cli_may_write (options.out))
    return LW_CLI_REFUSED;
  import = lw_cli_open (files[0], &input);
  if (import == NULL)
    return LW_CLI_REFUSED;
  lw_cli_warn (import);
  if (options.changes == NULL && options.restore == 0)
    {
      if (input.json)
        list_json (import->job);
      else
        list_text (import->job);
      return LW_CLI_DONE;
    }
  if (!lw_cli_choose_plan (&import->job, files[0], &target, &plan))
    return LW_CLI_REFUSED;
  return options.changes != NULL ? tell_changes (import->job, plan, options.changes, input.json, files[0])
                                 : restore (import->job, plan, &options, files[0]);
}
