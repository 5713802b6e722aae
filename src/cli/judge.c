/* judge: the findings of a plan. */
#include <glib/gi18n.h>
#include <math.h>

#include "board/operations.h"
#include "cli/output.h"
#include "cli/solve.h"
#include "cli/verbs.h"
#include "plan/doubt.h"
#include "plan/findings.h"

static LwGrade
worst_grade (const GPtrArray *findings)
{
  LwGrade worst = LW_GRADE_FINE;

  for (guint i = 0; i < findings->len; i++)
    worst = MIN (worst, ((LwFinding *) findings->pdata[i])->grade);
  return worst;
}

/* What moves the figure, the strongest first. */
static JsonArray *
depends_json (const LwFinding *finding, const LwDoubt *doubt)
{
  LwDependence depends[LW_N_UNSURE];
  JsonArray *array = json_array_new ();
  guint n = 0;

  if (doubt != NULL && finding->body >= 0)
    n = lw_doubt_depends (doubt, finding->body, (LwFigure) finding->figure, depends);
  for (guint i = 0; i < n; i++) {
    JsonObject *object = json_object_new ();
    json_object_set_string_member (object, "input", lw_unsure_key (depends[i].input));
    lw_cli_set_rounded (object, "low", depends[i].low, 3);
    lw_cli_set_rounded (object, "high", depends[i].high, 3);
    lw_cli_set_rounded (object, "share", depends[i].share, 3);
    json_array_add_object_element (array, object);
  }
  return array;
}

static JsonObject *
finding_json (const LwFinding *finding, const LwDoubt *doubt)
{
  JsonObject *object = json_object_new ();

  json_object_set_string_member (object, "grade", lw_grade_word (finding->grade));
  json_object_set_string_member (object, "kind", finding->kind);
  json_object_set_string_member (object, "ref", finding->ref);
  lw_cli_set_rounded (object, "value", finding->value, 4);
  lw_cli_set_rounded (object, "limit", finding->limit, 4);
  json_object_set_string_member (object, "unit", finding->unit);
  lw_cli_set_rounded (object, "headroom", finding->headroom, 4);
  lw_cli_set_rounded (object, "doubt", finding->doubt, 4);
  lw_cli_set_rounded (object, "low", finding->low, 4);
  lw_cli_set_rounded (object, "high", finding->high, 4);
  lw_cli_set_rounded (object, "chance", finding->chance, 4);
  json_object_set_array_member (object, "depends", depends_json (finding, doubt));
  lw_cli_set_rounded (object, "moment_s", finding->moment_s, 3);
  json_object_set_string_member (object, "source", finding->source);
  json_object_set_string_member (object, "text", finding->text);
  json_object_set_string_member (object, "advice", finding->advice);
  return object;
}

static void
print_json (const LwJob *job, guint plan, const LwPrediction *prediction, const GPtrArray *findings)
{
  JsonObject *root = json_object_new ();
  JsonArray *array = json_array_sized_new (findings->len);

  json_object_set_string_member (root, "plan", ((LwPlan *) job->plans->pdata[plan])->ref);
  json_object_set_string_member (root, "operation", lw_operation_word (((LwPlan *) job->plans->pdata[plan])->operation));
  json_object_set_string_member (root, "grade", lw_grade_word (worst_grade (findings)));
  if (prediction != NULL) /* nothing is predicted where nothing heats */
    json_object_set_boolean_member (root, "full", prediction->full);
  for (guint i = 0; i < findings->len; i++)
    json_array_add_object_element (array, finding_json (findings->pdata[i], prediction != NULL ? prediction->doubt : NULL));
  json_object_set_array_member (root, "findings", array);
  lw_cli_print_json (root);
}

static const char *
grade_title (LwGrade grade)
{
  return grade == LW_GRADE_STOP ? _("STOP") : grade == LW_GRADE_WATCH ? _("WATCH") : _("FINE");
}

static void
print_finding (const LwFinding *finding)
{
  static const int widths[] = { -6, -10, 0 };
  g_autofree char *doubt = lw_cli_number_text (finding->doubt, 1);

  lw_cli_print_row (widths, grade_title (finding->grade), finding->ref, finding->text, NULL);
  if (!isnan (finding->limit))
    g_print (_("       limit %.4g %s, headroom %.3g, doubt %s; %s\n"), finding->limit, finding->unit,
             finding->headroom, doubt, finding->source);
  if (*finding->advice != '\0')
    g_print ("       %s\n", finding->advice);
}

static void
print_text (const LwPrediction *prediction, const GPtrArray *findings, gboolean all)
{
  guint n_fine = 0;

  for (guint i = 0; i < findings->len; i++)
    {
      const LwFinding *finding = findings->pdata[i];

      n_fine += finding->grade == LW_GRADE_FINE;
      if (all || finding->grade != LW_GRADE_FINE)
        print_finding (finding);
    }
  if (n_fine > 0 && !all)
    g_print (ngettext ("%u finding is fine\n", "%u findings are fine\n", n_fine), n_fine);
  if (prediction == NULL)
    return;
  /* Translators: %s is the full solution or the reduced model. */
  g_print (_("Judged by the %s, %u nodes, in %.2f s\n"), lw_cli_answered (prediction), prediction->n_nodes,
           prediction->seconds);
}

static gboolean
check_chances (double stop, double watch)
{
  if (watch > 0 && watch <= stop && stop <= 100)
    return TRUE;
  lw_cli_refuse (_("--watch-at and --stop-at: above 0 %%, at most 100 %%, and the first not above the second"));
  return FALSE;
}

int
lw_cli_judge (char **argv)
{
  g_auto (LwCliInput) input = { 0 };
  g_auto (LwCliTarget) target = { 0 };
  LwCliSolve solve = { 0 };
  gboolean all = FALSE;
  double stop = 100 * LW_CHANCE_STOP, watch = 100 * LW_CHANCE_WATCH;
  const GOptionEntry entries[] = { LW_CLI_SOLVE_ENTRIES (solve),
                                   { "all", 'a', 0, G_OPTION_ARG_NONE, &all,
                                     N_("List what is fine too (text only; JSON always does)"), NULL },
                                   { "stop-at", 0, 0, G_OPTION_ARG_DOUBLE, &stop,
                                     N_("Chance of passing a limit that stops the job"), N_("PERCENT") },
                                   { "watch-at", 0, 0, G_OPTION_ARG_DOUBLE, &watch,
                                     N_("Chance of passing a limit that is to be watched"), N_("PERCENT") },
                                   { NULL } };
  g_auto (GStrv) files = NULL;
  g_autoptr (LwImport) import = NULL;
  g_autoptr (LwPrediction) prediction = NULL;
  g_autoptr (GPtrArray) findings = NULL;
  guint plan;

  if (!lw_cli_parse (argv, _("JOB"), _("Judges a plan: where limits and predictions meet."), entries,
                     &input, &target, 1, &files)
      || !lw_cli_solve_check (&solve) || !check_chances (stop, watch))
    return LW_CLI_REFUSED;
  import = lw_cli_open (files[0], &input);
  if (import == NULL || !lw_cli_choose_plan (&import->job, files[0], &target, &plan))
    return LW_CLI_REFUSED;
  lw_cli_warn (import);
  if (lw_plan_heats (import->job->plans->pdata[plan])) {
    prediction = lw_cli_solve (import->job, plan, &solve, files[0]);
    if (prediction == NULL)
      return LW_CLI_REFUSED;
  }
  findings = lw_judge_at (import->job, plan, prediction, &(LwChances){ stop / 100, watch / 100 });
  if (input.json)
    print_json (import->job, plan, prediction, findings);
  else
    print_text (prediction, findings, all);
  return worst_grade (findings) == LW_GRADE_STOP ? LW_CLI_STOP : LW_CLI_DONE;
}
