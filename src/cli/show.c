/* show: the job as it runs, as an animation or as pictures in a folder. */
#include <errno.h>
#include <glib/gi18n.h>
#include <math.h>

#include "cli/solve.h"
#include "cli/verbs.h"
#include "draw/show-page.h"

typedef struct {
  char *out, *beside;
  gboolean dark, figures;
  double every_s, rate;
  int width, height;
  LwCliSolve solve;
} Options;

static void
options_clear (Options *options)
{
  g_clear_pointer (&options->out, g_free);
  g_clear_pointer (&options->beside, g_free);
}

G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Options, options_clear)

/* One plan and what is to be shown of it. */
typedef struct {
  LwPrediction *prediction;
  GPtrArray *findings, *story;
} Shown;

static void
shown_clear (Shown *self)
{
  g_clear_pointer (&self->prediction, lw_prediction_unref);
  g_clear_pointer (&self->findings, g_ptr_array_unref);
  g_clear_pointer (&self->story, g_ptr_array_unref);
}

G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Shown, shown_clear)

static gboolean
compute (const Options *options, LwJob *job, guint plan, const char *path, Shown *shown)
{
  shown->prediction = lw_cli_solve (job, plan, &options->solve, path);
  if (shown->prediction == NULL)
    return FALSE;
  shown->findings = lw_judge (job, plan, shown->prediction);
  shown->story = lw_story_new (job, shown->prediction);
  return TRUE;
}

static LwShown
borrowed (const LwJob *job, guint plan, const Shown *shown)
{
  return (LwShown){ job, (int) plan, shown->prediction, shown->findings, shown->story };
}

static int
show (const Options *options, LwJob **job, const char *path, const LwCliTarget *target)
{
  LwShowPage page = { .look = options->dark ? LW_LOOK_DARK : LW_LOOK_LIGHT, .width = options->width,
                      .height = options->height, .show_figures = options->figures };
  gboolean animated = g_str_has_suffix (options->out, ".webp");
  LwShowFrames frames = { .step_s = options->every_s, .per_s = options->rate, .folder = animated ? NULL : options->out,
                          .animation = animated ? options->out : NULL };
  int other = options->beside != NULL ? lw_job_find_plan (*job, options->beside) : -1;
  g_auto (Shown) main = { 0 }, second = { 0 };
  g_autoptr (GError) error = NULL;
  guint plan = 0, n;

  if (options->beside != NULL && other < 0)
    return lw_cli_refuse (_("%s: has no plan for %s"), path, options->beside);
  if (!lw_cli_choose_plan (job, path, target, &plan) || !compute (options, *job, plan, path, &main)
      || (other >= 0 && !compute (options, *job, (guint) other, path, &second)))
    return LW_CLI_REFUSED;
  page.side = ((const LwPart *) (*job)->parts->pdata[lw_job_find_part (*job, ((const LwPlan *) (*job)->plans->pdata[plan])->ref)])->side;
  page.main = borrowed (*job, plan, &main);
  if (other >= 0)
    page.other = borrowed (*job, (guint) other, &second);
  frames.to_s = lw_show_end_s (&page);
  n = lw_show_to_files (&page, &frames, &error);
  if (n == 0)
    return lw_cli_refuse ("%s", error->message);
  g_print (ngettext ("%s: %u picture\n", "%s: %u pictures\n", n), options->out, n);
  return LW_CLI_DONE;
}

static gboolean
is_within (const char *option, double value, double min, double max, const char *unit)
{
  if (value >= min && value <= max)
    return TRUE;
  lw_cli_refuse (_("--%s: from %g to %g %s"), option, min, max, unit);
  return FALSE;
}

static gboolean
check_options (const Options *options)
{
  enum { MIN_SIZE = 64, MAX_SIZE = 4096 }; /* as draw/show-page.h takes them */

  if (!is_within ("every", options->every_s, 0.001, 1e5, "s") || !is_within ("rate", options->rate, 0.01, 60, "/s"))
    return FALSE;
  if (MIN (options->width, options->height) >= MIN_SIZE && MAX (options->width, options->height) <= MAX_SIZE)
    return lw_cli_solve_check (&options->solve);
  lw_cli_refuse (_("--width, --height: from %d to %d"), MIN_SIZE, MAX_SIZE);
  return FALSE;
}

/* A folder may be made yet. */
static gboolean
may_show (const Options *options)
{
  if (g_str_has_suffix (options->out, ".webp"))
    return lw_cli_may_write (options->out);
  if (!g_file_test (options->out, G_FILE_TEST_EXISTS) || g_file_test (options->out, G_FILE_TEST_IS_DIR))
    return TRUE;
  lw_cli_refuse ("%s: %s", options->out, g_strerror (ENOTDIR));
  return FALSE;
}

int
lw_cli_show (char **argv)
{
  g_auto (LwCliInput) input = { 0 };
  g_auto (LwCliTarget) target = { 0 };
  g_auto (Options) options = { .every_s = 1, .rate = 10, .width = 1280, .height = 720 };
  const GOptionEntry entries[] = {
    { "output", 'o', 0, G_OPTION_ARG_FILENAME, &options.out, N_("Animation to write (.webp), or folder for pictures"), N_("OUT") },
    { "every", 0, 0, G_OPTION_ARG_DOUBLE, &options.every_s, N_("A picture of each so many seconds of the job"), N_("S") },
    { "rate", 0, 0, G_OPTION_ARG_DOUBLE, &options.rate, N_("Pictures a second of the animation"), N_("N") },
    { "figures", 0, 0, G_OPTION_ARG_NONE, &options.figures, N_("Figures of the moment in place of words"), NULL },
    { "beside", 0, 0, G_OPTION_ARG_STRING, &options.beside, N_("Part whose plan is shown beside it"), N_("REF") },
    { "dark", 0, 0, G_OPTION_ARG_NONE, &options.dark, N_("Dark look"), NULL },
    { "width", 0, 0, G_OPTION_ARG_INT, &options.width, N_("Width in pixels"), N_("N") },
    { "height", 0, 0, G_OPTION_ARG_INT, &options.height, N_("Height in pixels"), N_("N") },
    LW_CLI_SOLVE_ENTRIES (options.solve),
    { NULL }
  };
  g_auto (GStrv) files = NULL;
  g_autoptr (LwImport) import = NULL;

  if (!lw_cli_parse (argv, _("JOB -o OUT"), _("Shows a job as it runs."), entries, &input, &target, 1, &files))
    return LW_CLI_REFUSED;
  if (options.out == NULL)
    return lw_cli_refuse (_("show: -o OUT is missing"));
  if (!check_options (&options) || !may_show (&options))
    return LW_CLI_REFUSED;
  import = lw_cli_open (files[0], &input);
  if (import == NULL)
    return LW_CLI_REFUSED;
  lw_cli_warn (import);
  return show (&options, &import->job, files[0], &target);
}
