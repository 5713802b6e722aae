/* picture: the board map or the profile to a file. */
#include <glib/gi18n.h>
#include <math.h>

#include "cli/solve.h"
#include "cli/verbs.h"
#include "draw/draw.h"

typedef struct {
  char *out, *side;
  gboolean profile, dark, plain;
  double at_s;
  int width, height;
  LwCliSolve solve;
} Options;

static void
options_clear (Options *options)
{
  g_clear_pointer (&options->out, g_free);
  g_clear_pointer (&options->side, g_free);
}

G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Options, options_clear)

enum { MIN_SIZE = 64, MAX_SIZE = 10000 };

static gboolean
check_options (const Options *options)
{
  if (options->out == NULL)
    lw_cli_refuse (_("picture: -o OUT is missing"));
  else if (!g_str_has_suffix (options->out, ".png") && !g_str_has_suffix (options->out, ".svg"))
    lw_cli_refuse (_("%s: the name must end in .png or .svg"), options->out);
  else if (options->side != NULL && g_strcmp0 (options->side, "top") != 0
           && g_strcmp0 (options->side, "bottom") != 0)
    lw_cli_refuse (_("--side: top or bottom"));
  else if (options->width < MIN_SIZE || options->width > MAX_SIZE || options->height < MIN_SIZE
           || options->height > MAX_SIZE)
    lw_cli_refuse (_("--width, --height: from %d to %d"), MIN_SIZE, MAX_SIZE);
  else if (!isnan (options->at_s) && !(options->at_s >= 0 && options->at_s <= 1e6))
    lw_cli_refuse (_("--at: seconds from the start"));
  else
    return lw_cli_solve_check (&options->solve) && lw_cli_may_write (options->out);
  return FALSE;
}

/* Without --at: when the target's coldest joint is at its hottest, else the end. */
static double
default_moment (const LwPrediction *prediction)
{
  const LwPartTrace *target =
    prediction->target >= 0 ? prediction->parts->pdata[prediction->target] : NULL;
  guint best = prediction->n_times - 1;

  if (target == NULL || target->joint_min == NULL)
    return prediction->t_s[best];
  for (guint i = 0; i < prediction->n_times; i++)
    if (target->joint_min[i] > target->joint_min[best])
      best = i;
  return prediction->t_s[best];
}

static gboolean
draw_board (const Options *options, const LwJob *job, int plan, const LwPrediction *prediction,
            const GPtrArray *findings, GError **error)
{
  LwBoardPicture picture;
  LwSide side = g_strcmp0 (options->side, "bottom") == 0 ? LW_SIDE_BOTTOM : LW_SIDE_TOP;

  lw_board_picture_init (&picture, job);
  picture.look = options->dark ? LW_LOOK_DARK : LW_LOOK_LIGHT;
  picture.plan = plan;
  picture.prediction = prediction;
  picture.findings = findings;
  if (prediction != NULL)
    picture.t_s = isnan (options->at_s) ? default_moment (prediction) : options->at_s;
  return lw_picture_board_to_file (&picture, side, options->out, options->width, options->height, error);
}

static gboolean
draw_profile (const Options *options, const LwJob *job, int plan, const LwPrediction *prediction,
              const GPtrArray *findings, GError **error)
{
  LwProfilePicture picture;

  lw_profile_picture_init (&picture, job, options->width, options->height);
  picture.look = options->dark ? LW_LOOK_DARK : LW_LOOK_LIGHT;
  picture.plan = plan;
  picture.prediction = prediction;
  picture.findings = findings;
  picture.t_s = options->at_s;
  return lw_picture_profile_to_file (&picture, options->out, error);
}

static int
draw (const Options *options, LwJob **job, const char *path, const LwCliTarget *target)
{
  gboolean wants_plan = (*job)->plans->len > 0 || target->plan != NULL || target->part != NULL;
  g_autoptr (LwPrediction) prediction = NULL;
  g_autoptr (GPtrArray) findings = NULL;
  g_autoptr (GError) error = NULL;
  guint plan = 0;
  gboolean ok;

  if (options->profile && !wants_plan)
    return lw_cli_refuse (_("%s: has no plan; name the part to rework with --part"), path);
  if (wants_plan && !lw_cli_choose_plan (job, path, target, &plan))
    return LW_CLI_REFUSED;
  if (wants_plan && !options->plain)
    {
      prediction = lw_cli_solve (*job, plan, &options->solve, path);
      if (prediction == NULL)
        return LW_CLI_REFUSED;
      findings = lw_judge (*job, plan, prediction);
    }
  ok = (options->profile ? draw_profile : draw_board) (options, *job, wants_plan ? (int)plan : -1,
                                                       prediction, findings, &error);
  return ok ? LW_CLI_DONE : lw_cli_refuse_out (options->out, error);
}

int
lw_cli_picture (char **argv)
{
  g_auto (LwCliInput) input = { 0 };
  g_auto (LwCliTarget) target = { 0 };
  g_auto (Options) options = { .at_s = NAN, .width = 1200, .height = 900 };
  const GOptionEntry entries[] = {
    { "output", 'o', 0, G_OPTION_ARG_FILENAME, &options.out, N_("Picture to write, .png or .svg"),
      N_("OUT") },
    { "side", 's', 0, G_OPTION_ARG_STRING, &options.side, N_("Side to look at: top or bottom"),
      N_("SIDE") },
    { "profile", 0, 0, G_OPTION_ARG_NONE, &options.profile, N_("Draw the profile instead of the board"),
      NULL },
    { "at", 0, 0, G_OPTION_ARG_DOUBLE, &options.at_s, N_("Moment of the temperatures"), N_("S") },
    { "plain", 0, 0, G_OPTION_ARG_NONE, &options.plain, N_("Leave temperatures and findings out"),
      NULL },
    { "dark", 0, 0, G_OPTION_ARG_NONE, &options.dark, N_("Dark look"), NULL },
    { "width", 0, 0, G_OPTION_ARG_INT, &options.width, N_("Width in pixels or points"), N_("N") },
    { "height", 0, 0, G_OPTION_ARG_INT, &options.height, N_("Height in pixels or points"), N_("N") },
    LW_CLI_SOLVE_ENTRIES (options.solve),
    { NULL }
  };
  g_auto (GStrv) files = NULL;
  g_autoptr (LwImport) import = NULL;

  if (!lw_cli_parse (argv, _("JOB -o OUT"), _("Draws the board map or the profile."), entries, &input,
                     &target, 1, &files)
      || !check_options (&options))
    return LW_CLI_REFUSED;
  import = lw_cli_open (files[0], &input);
  if (import == NULL)
    return LW_CLI_REFUSED;
  lw_cli_warn (import);
  return draw (&options, &import->job, files[0], &target);
}
