/* sheet: the plan on paper, as PDF, and its figures as tables. */
#include <glib/gi18n.h>
#include <math.h>
#include <string.h>

#include "board/file-replace.h"
#include "board/operations.h"
#include "cli/solve.h"
#include "cli/verbs.h"
#include "draw/bench-sheet.h"

typedef struct {
  char *out, *stages, *field, *paper, *date, *revision;
  int pages;
  gboolean quick;
  LwCliSolve solve;
} Options;

static void
options_clear (Options *options)
{
  g_clear_pointer (&options->out, g_free);
  g_clear_pointer (&options->stages, g_free);
  g_clear_pointer (&options->field, g_free);
  g_clear_pointer (&options->paper, g_free);
  g_clear_pointer (&options->date, g_free);
  g_clear_pointer (&options->revision, g_free);
}

G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Options, options_clear)

static gboolean
is_letter (const Options *options)
{
  return options->paper != NULL && g_ascii_strcasecmp (options->paper, "letter") == 0;
}

static gboolean
check_options (const Options *options)
{
  if (options->out == NULL && options->stages == NULL && options->field == NULL)
    lw_cli_refuse (_("sheet: -o OUT is missing"));
  else if (options->out != NULL && !g_str_has_suffix (options->out, ".pdf"))
    lw_cli_refuse (_("%s: the name must end in .pdf"), options->out);
  else if (options->paper != NULL && !is_letter (options) && g_ascii_strcasecmp (options->paper, "a4") != 0)
    lw_cli_refuse (_("--paper: a4 or letter"));
  else if (options->pages < 1 || options->pages > LW_SHEET_PAGES_MOST)
    lw_cli_refuse (_("--pages: from 1 to %d"), LW_SHEET_PAGES_MOST);
  else
    return lw_cli_solve_check (&options->solve) && lw_cli_may_write (options->out) && lw_cli_may_write (options->stages)
           && lw_cli_may_write (options->field);
  return FALSE;
}

static char *
date_of (const Options *options)
{
  g_autoptr (GDateTime) now = NULL;

  if (options->date != NULL)
    return g_strdup (options->date);
  now = g_date_time_new_now_local ();
  return g_date_time_format (now, "%Y-%m-%d");
}

static gboolean
write_sheet (LwJob *job, guint plan, LwPrediction *prediction, GPtrArray *findings, const Options *options,
             GError **error)
{
  g_autofree char *date = date_of (options);
  const LwSheetInput input = {
    .job = job,
    .plan = plan,
    .prediction = prediction,
    .findings = findings,
    .date = date,
    .revision = options->revision,
    .width_pt = is_letter (options) ? LW_SHEET_LETTER_WIDTH_PT : LW_SHEET_A4_WIDTH_PT,
    .height_pt = is_letter (options) ? LW_SHEET_LETTER_HEIGHT_PT : LW_SHEET_A4_HEIGHT_PT,
    .pages_most = (guint) options->pages,
  };
  g_autoptr (LwBenchSheet) sheet = lw_bench_sheet_new (&input, error);

  return sheet != NULL && lw_bench_sheet_to_pdf (sheet, options->out, error);
}

/* TEXT (transfer full) to PATH, when there is one. */
static gboolean
write_table (const char *path, char *text, GError **error)
{
  g_autofree char *own = text;

  return lw_file_replace (path, own, strlen (own), NULL, error);
}

/* NULL with a message. */
static LwPrediction *
predict (LwJob *job, guint plan, const char *path, const Options *options)
{
  LwCliSolve certified = options->solve;

  certified.full = TRUE; /* what goes on paper */
  return options->quick ? lw_cli_solve_quickly (job, plan, options->solve.cell_mm, path)
                        : lw_cli_solve (job, plan, &certified, path);
}

static int
make (LwJob *job, guint plan, const char *path, const Options *options)
{
  gboolean heats = lw_plan_heats (g_ptr_array_index (job->plans, plan));
  g_autoptr (LwPrediction) prediction = NULL;
  g_autoptr (GPtrArray) findings = NULL;
  g_autoptr (GError) error = NULL;

  if (!heats && (options->stages != NULL || options->field != NULL))
    return lw_cli_refuse (_("%s: nothing heats in this operation: there are no tables"), path);
  if (heats && (prediction = predict (job, plan, path, options)) == NULL)
    return LW_CLI_REFUSED;
  findings = lw_judge (job, plan, prediction);
  if (options->out != NULL && !write_sheet (job, plan, prediction, findings, options, &error))
    return lw_cli_refuse_out (options->out, error);
  if (options->stages != NULL
      && !write_table (options->stages, lw_bench_stages_csv (job, plan, prediction), &error))
    return lw_cli_refuse_out (options->stages, error);
  if (options->field != NULL && !write_table (options->field, lw_bench_field_csv (job, plan, prediction), &error))
    return lw_cli_refuse_out (options->field, error);
  return LW_CLI_DONE;
}

int
lw_cli_sheet (char **argv)
{
  g_auto (LwCliInput) input = { 0 };
  g_auto (LwCliTarget) target = { 0 };
  g_auto (Options) options = { .pages = LW_SHEET_PAGES };
  const GOptionEntry entries[] = {
    { "output", 'o', 0, G_OPTION_ARG_FILENAME, &options.out, N_("Sheet to write, .pdf"), N_("OUT") },
    { "stages", 0, 0, G_OPTION_ARG_FILENAME, &options.stages, N_("Write set points and what should be seen as CSV"),
      N_("OUT") },
    { "field", 0, 0, G_OPTION_ARG_FILENAME, &options.field,
      N_("Write the board’s temperatures at the end of each stage as CSV"), N_("OUT") },
    { "paper", 0, 0, G_OPTION_ARG_STRING, &options.paper, N_("a4 (the default) or letter"), N_("PAPER") },
    { "pages", 0, 0, G_OPTION_ARG_INT, &options.pages, N_("Most pages (2)"), N_("N") },
    { "date", 0, 0, G_OPTION_ARG_STRING, &options.date, N_("Date on the sheet instead of today’s"), N_("TEXT") },
    { "revision", 0, 0, G_OPTION_ARG_STRING, &options.revision, N_("Revision on the sheet instead of the job’s hash"),
      N_("TEXT") },
    { "quick", 0, 0, G_OPTION_ARG_NONE, &options.quick, N_("Use the reduced model instead of the full solution"), NULL },
    LW_CLI_SOLVE_ENTRIES (options.solve),
    { NULL }
  };
  g_auto (GStrv) files = NULL;
  g_autoptr (LwImport) import = NULL;
  guint plan;

  if (!lw_cli_parse (argv, _("JOB -o OUT"), _("Puts a plan on paper: map, set points, when to stop."), entries, &input,
                     &target, 1, &files)
      || !check_options (&options))
    return LW_CLI_REFUSED;
  import = lw_cli_open (files[0], &input);
  if (import == NULL || !lw_cli_choose_plan (&import->job, files[0], &target, &plan))
    return LW_CLI_REFUSED;
  lw_cli_warn (import);
  return make (import->job, plan, files[0], &options);
}
