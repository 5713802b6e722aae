#include "cli/options.h"

#include <glib/gi18n.h>
#include <locale.h>
#include <math.h>
#include <string.h>

#include "board/assume.h"
#include "board/edits.h"
#include "board/file-replace.h"
#include "board/operations.h"
#include "cli/verbs.h"

void
lw_cli_input_clear (LwCliInput *input)
{
  g_clear_pointer (&input->library, g_free);
}

void
lw_cli_target_clear (LwCliTarget *target)
{
  g_clear_pointer (&target->plan, g_free);
  g_clear_pointer (&target->part, g_free);
  g_clear_pointer (&target->operation, g_free);
}

int
lw_cli_refuse (const char *format, ...)
{
  g_autofree char *text = NULL;
  va_list args;

  va_start (args, format);
  text = g_strdup_vprintf (format, args);
  va_end (args);
  g_printerr ("%s\n", text);
  return LW_CLI_REFUSED;
}

int
lw_cli_refuse_error (const GError *error)
{
  return lw_cli_refuse ("%s", error->message);
}

int
lw_cli_refuse_out (const char *path, const GError *error)
{
  g_autofree char *base = g_filename_display_basename (path), *shown = g_filename_display_name (path);
  const char *reason = error->message;

  if (g_str_has_prefix (reason, base) && g_str_has_prefix (reason + strlen (base), ": "))
    reason += strlen (base) + 2;
  return lw_cli_refuse ("%s: %s", shown, reason);
}

gboolean
lw_cli_may_write (const char *path)
{
  g_autoptr (GFile) file = path != NULL ? g_file_new_for_commandline_arg (path) : NULL;
  g_autofree char *local = file != NULL ? g_file_get_path (file) : NULL;
  g_autoptr (GError) error = NULL;

  if (local == NULL || lw_file_may_replace (local, &error))
    return TRUE;
  lw_cli_refuse_out (path, error);
  return FALSE;
}

/* ---- the command line ---- */

static void
add_input_entries (GOptionContext *context, LwCliInput *input)
{
  GOptionEntry entries[] = { { "library", 'l', 0, G_OPTION_ARG_FILENAME, &input->library,
                               N_("Library file of an IDF board"), N_("FILE") },
                             { "json", 'j', 0, G_OPTION_ARG_NONE, &input->json, N_("Write JSON"),
                               NULL },
                             { NULL } };

  g_option_context_add_main_entries (context, entries, GETTEXT_PACKAGE);
}

static void
add_target_entries (GOptionContext *context, LwCliTarget *target)
{
  GOptionEntry entries[] = { { "plan", 'p', 0, G_OPTION_ARG_STRING, &target->plan,
                               N_("Use the job’s plan for this part"), N_("REF") },
                             { "part", 0, 0, G_OPTION_ARG_STRING, &target->part,
                               N_("Plan for this part, with defaults if the job has none"),
                               N_("REF") },
                             { "operation", 0, 0, G_OPTION_ARG_STRING, &target->operation,
                               N_("Which of the part’s operations: remove, clean, print, dispense, place or reflow"),
                               N_("WORD") },
                             { NULL } };

  g_option_context_add_main_entries (context, entries, GETTEXT_PACKAGE);
}

/* What the command line says of OPTION; NULL = nothing. */
static const char *
given_value (char **argv, const char *option)
{
  g_autofree char *alone = g_strconcat ("--", option, NULL), *with_value = g_strconcat (alone, "=", NULL);
  const char *value = NULL;

  for (guint i = 1; argv[i] != NULL; i++)
    if (strcmp (argv[i], alone) == 0)
      value = argv[i + 1];
    else if (g_str_has_prefix (argv[i], with_value))
      value = argv[i] + strlen (with_value);
  return value;
}

/* What reads numbers takes "nan" and "inf" for some (NaN may also be how an option starts), and the locale's comma, of which
 * nobody else knows whether it parts thousands. */
static gboolean
check_finite (char **argv, const GOptionEntry *entries)
{
  for (guint i = 0; entries != NULL && entries[i].long_name != NULL; i++)
    {
      const char *value = entries[i].arg == G_OPTION_ARG_DOUBLE ? given_value (argv, entries[i].long_name) : NULL;

      if (value == NULL || (isfinite (*(double *) entries[i].arg_data) && strchr (value, ',') == NULL))
        continue;
      lw_cli_refuse (_("--%s: a finite number is expected"), entries[i].long_name);
      return FALSE;
    }
  return TRUE;
}

/* A file without a name is most often a variable that was never set; it would be taken for the folder we are in. */
static gboolean
check_names (char **argv, const GOptionEntry *entries, const LwCliInput *input, char *const *files)
{
  gboolean empty = input != NULL && g_strcmp0 (input->library, "") == 0;

  for (guint i = 0; entries != NULL && entries[i].long_name != NULL; i++)
    if (entries[i].arg == G_OPTION_ARG_FILENAME)
      empty |= g_strcmp0 (*(char *const *) entries[i].arg_data, "") == 0;
  for (guint i = 0; files != NULL && files[i] != NULL; i++)
    empty |= *files[i] == '\0';
  if (empty)
    lw_cli_refuse (_("%s: a file has no name"), argv[0]);
  return !empty;
}

static void
add_remaining (GOptionContext *context, char ***files)
{
  GOptionEntry entries[] = {
    { G_OPTION_REMAINING, 0, 0, G_OPTION_ARG_FILENAME_ARRAY, files, NULL, NULL },
    { NULL }
  };

  g_option_context_add_main_entries (context, entries, GETTEXT_PACKAGE);
}

/* GOptionContext takes the program's name from the first word. */
static char **
with_full_name (char **argv)
{
  char **copy = g_strdupv (argv);
  char *name = g_strdup_printf ("leeward-cli %s", argv[0]);

  g_free (copy[0]);
  copy[0] = name;
  return copy;
}

gboolean
lw_cli_parse (char **argv, const char *arguments, const char *summary, const GOptionEntry *entries,
              LwCliInput *input, LwCliTarget *target, guint n_files, char ***files)
{
  g_autoptr (GOptionContext) context = g_option_context_new (arguments);
  g_autoptr (GError) error = NULL;
  g_auto (GStrv) args = with_full_name (argv);

  *files = NULL;
  g_option_context_set_summary (context, summary);
  if (entries != NULL)
    g_option_context_add_main_entries (context, entries, GETTEXT_PACKAGE);
  if (input != NULL)
    add_input_entries (context, input);
  if (target != NULL)
    add_target_entries (context, target);
  add_remaining (context, files);
  g_set_prgname (args[0]);
  if (!g_option_context_parse_strv (context, &args, &error))
    {
      lw_cli_refuse ("%s: %s", argv[0], error->message);
      return FALSE;
    }
  if (!check_finite (argv, entries) || !check_names (argv, entries, input, *files))
    return FALSE;
  if (input != NULL && input->json)
    setlocale (LC_NUMERIC, "C"); /* programs read it: numbers inside its words have a point too */
  if (*files != NULL && (g_strv_length (*files) == n_files || n_files == LW_CLI_SOME))
    return TRUE;
  lw_cli_refuse (_("%s: expects %s; see leeward-cli %s --help"), argv[0], arguments, argv[0]);
  return FALSE;
}

/* ---- the job ---- */

LwImport *
lw_cli_open (const char *path, const LwCliInput *input)
{
  g_autoptr (GFile) file = g_file_new_for_commandline_arg (path);
  g_autoptr (GFile) partner =
    input->library != NULL ? g_file_new_for_commandline_arg (input->library) : NULL;
  g_autoptr (GError) error = NULL;
  LwImport *import = (input->salvage ? lw_import_salvage : lw_import_told) (file, partner, NULL, NULL, NULL, &error);

  if (import == NULL)
    lw_cli_refuse_error (error);
  return import;
}

static gboolean
is_single (char **paths, guint n, const LwCliInput *input)
{
  return n == 1 && (input->library != NULL || g_str_has_suffix (paths[0], ".leeward"));
}

LwImport *
lw_cli_open_some (char **paths, guint n, const LwCliInput *input)
{
  g_autoptr (GPtrArray) files = g_ptr_array_new_with_free_func (g_object_unref);
  g_autoptr (GError) error = NULL;
  LwImport *import;

  if (is_single (paths, n, input))
    return lw_cli_open (paths[0], input);
  for (guint i = 0; i < n; i++)
    g_ptr_array_add (files, g_file_new_for_commandline_arg (paths[i]));
  if (input->library != NULL)
    g_ptr_array_add (files, g_file_new_for_commandline_arg (input->library));
  import = (input->salvage ? lw_import_salvage_many : lw_import_many) ((GFile **) files->pdata, files->len, NULL,
                                                                       NULL, NULL, &error);
  if (import == NULL)
    lw_cli_refuse_error (error);
  return import;
}

void
lw_cli_warn (const LwImport *import)
{
  for (guint i = 0; i < import->warnings->len; i++)
    {
      const LwImportWarning *warning = import->warnings->pdata[i];

      if (warning->line > 0)
        g_printerr (_("%s:%u: warning: %s\n"), warning->file, warning->line, warning->text);
      else
        g_printerr (_("%s: warning: %s\n"), warning->file, warning->text);
    }
}

/* OPERATION NULL: the first of the part's. */
static gboolean
find_plan (const LwJob *job, const char *path, const char *ref, const char *operation, guint *plan)
{
  int found = operation == NULL ? lw_job_find_plan (job, ref)
                                : lw_job_find_operation (job, ref, (LwOperation) lw_operation_from_word (operation));

  if (found >= 0)
    *plan = (guint) found;
  else if (operation == NULL)
    lw_cli_refuse (_("%s: has no plan for “%s”"), path, ref);
  else
    lw_cli_refuse (_("%s: has no plan to %s “%s”"), path, operation, ref);
  return found >= 0;
}

static guint
count_parts_of (const LwJob *job, const LwPackage *package)
{
  guint n = 0;

  for (guint i = 0; i < job->parts->len; i++)
    n += strcmp (((const LwPart *) job->parts->pdata[i])->package, package->name) == 0;
  return n;
}

/* A plan for a part of which nothing is known rests on stand-ins: each is named. */
static void
warn_of_assumed (const LwJob *before, const LwJob *job, const char *path)
{
  if (lw_job_count_assumed (job) == lw_job_count_assumed (before))
    return;
  for (guint i = 0; i < job->packages->len; i++)
    {
      const LwPackage *package = job->packages->pdata[i];
      guint n = count_parts_of (job, package);

      if (lw_package_is_assumed (package))
        g_printerr (ngettext ("%s: warning: the package “%s” of %u part is not known, and is %s\n",
                              "%s: warning: the package “%s” of %u parts is not known, and is %s\n", n),
                    path, package->name, n, package->source);
    }
}

static gboolean
make_plan (LwJob **job, const char *path, const LwCliTarget *target, guint *plan)
{
  const char *ref = target->part;
  g_autoptr (GError) error = NULL;
  LwJob *changed;

  if (lw_job_find_part (*job, ref) < 0)
    {
      lw_cli_refuse (_("%s: has no part “%s”"), path, ref);
      return FALSE;
    }
  if (target->operation != NULL)
    {
      LwOperation operation = (LwOperation) lw_operation_from_word (target->operation);

      changed = lw_job_find_operation (*job, ref, operation) >= 0 ? lw_job_ref (*job)
                                                                  : lw_edit_add_operation (*job, ref, operation, &error);
    }
  else
    changed = lw_edit_choose_target (*job, ref, &error);
  if (changed == NULL)
    {
      lw_cli_refuse ("%s: %s", path, error->message);
      return FALSE;
    }
  warn_of_assumed (*job, changed, path);
  lw_job_unref (*job);
  *job = changed;
  return find_plan (*job, path, ref, target->operation, plan);
}

static const char *
active_ref (const LwJob *job)
{
  return ((const LwPlan *) g_ptr_array_index (job->plans, MIN (job->active_plan, job->plans->len - 1)))->ref;
}

gboolean
lw_cli_choose_plan (LwJob **job, const char *path, const LwCliTarget *target, guint *plan)
{
  if (target->plan != NULL && target->part != NULL)
    {
      lw_cli_refuse (_("--plan and --part cannot be used together"));
      return FALSE;
    }
  if (target->operation != NULL && lw_operation_from_word (target->operation) < 0)
    {
      lw_cli_refuse (_("--operation: remove, clean, print, dispense, place or reflow"));
      return FALSE;
    }
  if (target->plan != NULL)
    return find_plan (*job, path, target->plan, target->operation, plan);
  if (target->part != NULL)
    return make_plan (job, path, target, plan);
  if ((*job)->plans->len == 0)
    {
      lw_cli_refuse (_("%s: has no plan; name the part to rework with --part"), path);
      return FALSE;
    }
  if (target->operation != NULL)
    return find_plan (*job, path, active_ref (*job), target->operation, plan);
  *plan = MIN ((*job)->active_plan, (*job)->plans->len - 1);
  return TRUE;
}
