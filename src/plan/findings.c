#include "plan/findings.h"

#include <math.h>
#include <string.h>

#include "board/operations.h"
#include "plan/gauge.h"
#include "plan/judge-ready.h"

LwFinding *
lw_finding_ref (LwFinding *finding)
{
  g_atomic_int_inc (&finding->holders);
  return finding;
}

void
lw_finding_free (LwFinding *finding)
{
  if (finding == NULL || g_atomic_int_add (&finding->holders, -1) > 0)
    return;
  g_free (finding->kind);
  g_free (finding->ref);
  g_free (finding->unit);
  g_free (finding->source);
  g_free (finding->text);
  g_free (finding->advice);
  g_free (finding);
}

const char *
lw_grade_word (LwGrade grade)
{
  static const char *const words[] = { "stop", "watch", "fine" };
  return words[grade];
}

LwFinding *
lw_judge_add (LwJudge *judge, LwGrade grade, const char *kind, const char *ref, double value,
              double limit, gboolean upper, const char *unit, const char *source)
{
  LwFinding *finding = g_new0 (LwFinding, 1);
  finding->grade = grade;
  finding->kind = g_strdup (kind);
  finding->ref = g_strdup (ref != NULL ? ref : "");
  finding->value = value;
  finding->limit = limit;
  finding->unit = g_strdup (unit);
  finding->headroom = upper ? limit - value : value - limit;
  finding->upper = upper;
  finding->doubt = finding->chance = finding->low = finding->high = NAN;
  finding->body = finding->figure = -1;
  finding->moment_s = NAN;
  finding->source = g_strdup (source != NULL ? source : "");
  finding->text = g_strdup ("");
  finding->advice = g_strdup ("");
  g_ptr_array_add (judge->out, finding);
  return finding;
}

void
lw_finding_say (LwFinding *finding, char *text, const char *advice)
{
  g_free (finding->text);
  finding->text = text;
  g_free (finding->advice);
  finding->advice = g_strdup (advice);
}

double
lw_judge_margin_k (const LwJudge *judge, double limit_c, double doubt_k)
{
  double share = LW_MARGIN_TEMPERATURE * fabs (limit_c - judge->job->ambient_c);
  return isnan (doubt_k) ? share : fmax (share, doubt_k);
}

const LwPackage *
lw_judge_package (const LwJudge *judge, const LwPart *part)
{
  return lw_job_package_of (judge->job, part);
}

/* Headroom in units of doubt; where no doubt is known, of a twentieth of the limit. */
static double
tightness (const LwFinding *finding)
{
  double scale = finding->doubt;
  if (isnan (finding->headroom))
    return INFINITY;
  if (!(scale > 0))
    scale = LW_MARGIN_TEMPERATURE * fabs (finding->limit);
  return finding->headroom / (scale > 0 ? scale : 1);
}

int
lw_findings_compare (gconstpointer pa, gconstpointer pb)
{
  const LwFinding *a = *(LwFinding *const *)pa, *b = *(LwFinding *const *)pb;
  double ta = tightness (a), tb = tightness (b);
  if (a->grade != b->grade)
    return a->grade < b->grade ? -1 : 1;
  if (ta != tb)
    return ta < tb ? -1 : 1;
  int by_ref = strcmp (a->ref, b->ref);
  return by_ref != 0 ? by_ref : strcmp (a->kind, b->kind);
}

gboolean
lw_judge_begin (LwJudge *judge, const LwJob *job, guint plan, const LwPrediction *prediction)
{
  judge->chances = (LwChances){ LW_CHANCE_STOP, LW_CHANCE_WATCH };
  judge->job = job;
  judge->out = g_ptr_array_new_with_free_func ((GDestroyNotify)lw_finding_free);
  if (plan >= job->plans->len)
    return FALSE;
  judge->plan = g_ptr_array_index (job->plans, plan);
  int part = lw_job_find_part (job, judge->plan->ref);
  if (part >= 0 && ((const LwPart *)g_ptr_array_index (job->parts, part))->placed)
    judge->target = g_ptr_array_index (job->parts, part);
  judge->package = judge->target != NULL ? lw_judge_package (judge, judge->target) : NULL;
  judge->nozzle = lw_station_find_nozzle (job->station, judge->plan->nozzle);
  judge->heating_end_s = lw_plan_heating_end_s (judge->plan);
  if (prediction == NULL || prediction->plan != plan)
    return TRUE; /* an answer to another question */
  judge->prediction = prediction;
  if (prediction->target >= 0)
    judge->trace = g_ptr_array_index (prediction->parts, prediction->target);
  return TRUE;
}

const LwPart *
lw_judge_part_of (const LwJudge *judge, const LwPartTrace *trace)
{
  const GPtrArray *parts = judge->job->parts;
  if (trace->part < parts->len && strcmp (((LwPart *)parts->pdata[trace->part])->ref, trace->ref) == 0)
    return parts->pdata[trace->part];
  int found = lw_job_find_part (judge->job, trace->ref);
  return found >= 0 ? parts->pdata[found] : NULL;
}

static void
judge_geometry (LwJudge *judge)
{
  if (!lw_plan_heats (judge->plan))
    return; /* no nozzle, no preheat */
  lw_judge_station (judge);
  lw_judge_nozzle (judge);
  lw_judge_preheat (judge);
  lw_judge_lee (judge);
}

void
lw_judge_before_parts (LwJudge *judge)
{
  judge_geometry (judge);
  if (lw_plan_heats (judge->plan))
    lw_judge_board (judge);
}

void
lw_judge_after_parts (LwJudge *judge)
{
  if (judge->prediction != NULL) {
    lw_judge_target (judge);
    lw_judge_attach (judge);
  }
  lw_judge_ready (judge);
}

GPtrArray *
lw_judge_geometry (const LwJob *job, guint plan)
{
  LwJudge judge = { 0 };
  if (lw_judge_begin (&judge, job, plan, NULL))
    judge_geometry (&judge);
  g_ptr_array_sort (judge.out, lw_findings_compare);
  return judge.out;
}

GPtrArray *
lw_judge (const LwJob *job, guint plan, const LwPrediction *prediction)
{
  return lw_judge_at (job, plan, prediction, NULL);
}

GPtrArray *
lw_judge_at (const LwJob *job, guint plan, const LwPrediction *prediction, const LwChances *chances)
{
  LwJudge judge = { 0 };
  gboolean begun = lw_judge_begin (&judge, job, plan, prediction);

  if (chances != NULL)
    judge.chances = *chances;
  if (begun) {
    lw_judge_before_parts (&judge);
    if (judge.prediction != NULL)
      lw_judge_parts (&judge);
    lw_judge_after_parts (&judge);
  }
  for (guint i = 0; i < judge.out->len; i++)
    lw_judge_say_chance (g_ptr_array_index (judge.out, i), judge.chances.watch);
  g_ptr_array_sort (judge.out, lw_findings_compare);
  return judge.out;
}
