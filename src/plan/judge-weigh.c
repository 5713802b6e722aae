/* Grades by chance: how likely a figure passes its limit, by the samples of the prediction's doubt. */
#include <glib/gi18n.h>
#include <math.h>

#include "plan/doubt.h"
#include "plan/judge.h"
#include "plan/rules.h"

/* The trace's number among the prediction's parts, which is the body's; the board's figures are body 0's. */
static int
body_of (const LwJudge *judge, const LwWeighing *w)
{
  return w->trace == NULL ? 0 : lw_prediction_find (judge->prediction, w->trace->part);
}

static double
chance_of (const LwJudge *judge, const LwWeighing *w, double limit)
{
  int body = judge->prediction->doubt == NULL ? -1 : body_of (judge, w);

  return body < 0 ? NAN
                  : lw_doubt_chance (judge->prediction->doubt, body, w->figure, w->value, limit, w->upper);
}

/* Of the figure's own samples; else the half-bands of the peaks that the trace carries. */
static double
doubt_of (const LwJudge *judge, const LwWeighing *w)
{
  int body = judge->prediction->doubt == NULL ? -1 : body_of (judge, w);

  if (body >= 0)
    return lw_doubt_half (judge->prediction->doubt, body, w->figure);
  switch (w->figure) {
  case LW_FIGURE_BODY_PEAK:
    return w->trace->body_doubt_k;
  case LW_FIGURE_JOINT_PEAK:
  case LW_FIGURE_JOINT_CENTER:
  case LW_FIGURE_JOINT_CORNER:
  case LW_FIGURE_COLD_MARK:
    return w->trace->joint_doubt_k;
  default:
    return NAN;
  }
}

double
lw_judge_doubt_of (const LwJudge *judge, const LwWeighing *w)
{
  return doubt_of (judge, w);
}

static LwGrade
grade_of (const LwJudge *judge, const LwWeighing *w, LwGrade plain, double chance)
{
  double beyond = isnan (w->watch_level) ? 0 : chance_of (judge, w, w->watch_level);
  LwGrade grade;

  if (isnan (chance) || isnan (w->value) || isnan (w->limit))
    return plain;
  grade = lw_rule_chance (chance, judge->chances.stop, judge->chances.watch);
  if (grade == LW_GRADE_FINE && beyond >= judge->chances.stop)
    grade = LW_GRADE_WATCH;
  return w->soft ? lw_rule_at_most_watch (grade) : grade;
}

LwFinding *
lw_judge_add_weighed (LwJudge *judge, const LwWeighing *w, LwGrade plain, const char *kind, const char *unit,
                      const char *source)
{
  double chance = chance_of (judge, w, w->limit);
  LwGrade grade = grade_of (judge, w, plain, chance);
  LwFinding *finding = lw_judge_add (judge, grade, kind, w->trace != NULL ? w->trace->ref : "", w->value,
                                     w->limit, w->upper, unit, source);

  finding->doubt = doubt_of (judge, w);
  finding->chance = chance;
  finding->figure = (int) w->figure;
  finding->body = body_of (judge, w);
  if (!isnan (chance)) {
    LwBand band = lw_doubt_band (judge->prediction->doubt, finding->body, w->figure, w->value);
    finding->low = band.low;
    finding->high = band.high;
  }
  return finding;
}

/* The chance in a number and in words, after what there is to say. */
void
lw_judge_say_chance (LwFinding *finding, double least)
{
  g_autofree char *number = NULL, *said = NULL, *text = NULL;

  if (finding->grade == LW_GRADE_FINE || !(finding->chance >= least))
    return;
  number = lw_chance_number (finding->chance);
  /* Translators: a percentage, and "unlikely", "very likely", ... */
  said = g_strdup_printf (finding->upper ? _("Chance of passing it: %s, %s.") : _("Chance of falling short: %s, %s."),
                          number, lw_chance_word (finding->chance));
  text = g_steal_pointer (&finding->text);
  finding->text = g_strconcat (text, " ", said, NULL);
}
