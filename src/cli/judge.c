/* judge: the findings of a plan. */
#include <glib/gi18n.h>
#include <math.h>

#include "cli/output.h"
#include "cli/solve.h"
#include "cli/verbs.h"
#include "plan/findings.h"

static LwGrade
worst_grade (const GPtrArray *findings)
{
  LwGrade worst = LW_GRADE_FINE;

  for (guint i = 0; i < findings->len; i++)
    worst = MIN (worst, ((LwFinding *) findings->pdata[i])->grade);
  return worst;
}

static JsonObject *
finding_json (const LwFinding *finding)
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
  lw_cli_set_rounded (object, "moment_s", finding->moment_s, 3);
  json_object_set_string_member (object, "source", finding->source);
  json_object_set_string_member (object, "text", finding->text);
  json_object_set_string_member (object, "advice", finding->advice);
  return object;
}

static void
print_json (const LwJob *job, guint plan, const GPtrArray *findings)
{
  JsonObject *root = json_object_new ();
  JsonArray *array = json_array_sized_new (findings->len);

  json_object_set_string_member (root, "plan", ((LwPlan *) job->plans->pdata[plan])->ref);
  json_object_set_string_member (root, "grade", lw_grade_word (worst_grade (findings)));
  for (guint i = 0; i < findings->len; i++)
    json_array_add_object_element (array, finding_json (findings->pdata[i]));
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
  g_autofree char *doubt = lw_cli_number_text (finding->doubt, 1);

  g_print ("%-6s %-10s %s\n", grade_title (finding->grade), finding->ref, finding->text);
  if (!isnan (finding->limit))
    g_print (_("       limit %.4g %s, headroom %.3g, doubt %s; %s\n"), finding->limit, finding->unit,
             finding->headroom, doubt, finding->source);
  if (*finding->advice != '\0')
    g_print ("       %s\n", finding->advice);
}

static void
print_text (const GPtrArray *findings, gboolean all)
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
}

int
lw_cli_judge (char **argv)
{
  g_auto (LwCliInput) input = { 0 };
  g_auto (LwCliTarget) target = { 0 };
  LwCliSolve solve = { 0 };
  gboolean all = FALSE;
  const GOptionEntry entries[] = { LW_CLI_SOLVE_ENTRIES (solve),
                                   { "all", 'a', 0, G_OPTION_ARG_NONE, &all,
                                     N_("List what is fine too (text only; JSON always does)"), NULL },
                                   { NULL } };
  g_auto (GStrv) files = NULL;
  g_autoptr (LwImport) import = NULL;
  g_autoptr (LwPrediction) prediction = NULL;
  g_autoptr (GPtrArray) findings = NULL;
  guint plan;

  if (!lw_cli_parse (argv, _("JOB"), _("Judges a plan: where limits and predictions meet."), entries,
                     &input, &target, 1, &files)
      || !lw_cli_solve_check (&solve))
    return LW_CLI_REFUSED;
  import = lw_cli_open (files[0], &input);
  if (import == NULL || !lw_cli_choose_plan (&import->job, files[0], &target, &plan))
    return LW_CLI_REFUSED;
  lw_cli_warn (import);
  prediction = lw_cli_solve (import->job, plan, &solve, files[0]);
  if (prediction == NULL)
    return LW_CLI_REFUSED;
  findings = lw_judge (import->job, plan, prediction);
  if (input.json)
    print_json (import->job, plan, findings);
  else
    print_text (findings, all);
  return worst_grade (findings) == LW_GRADE_STOP ? LW_CLI_STOP : LW_CLI_DONE;
}
