/* Readiness: reflows used and left of the part, its lands, and neighbours that melt along. */
#include <glib/gi18n.h>
#include <math.h>

#include "plan/judge-ready.h"

#define SAID_SOURCE N_("said in the document")

static LwGrade
grade_of (double after, double allowed, gboolean hard)
{
  if (after > allowed)
    return hard ? LW_GRADE_STOP : LW_GRADE_WATCH;
  return after + 1 > allowed ? LW_GRADE_WATCH : LW_GRADE_FINE;
}

static char *
left_text (double after, double allowed)
{
  if (after > allowed)
    return g_strdup_printf (_("%.0f more than allowed."), after - allowed);
  if (after + 1 > allowed)
    return g_strdup (_("None is left after it."));
  return g_strdup_printf (ngettext ("%u is left after it.", "%u are left after it.", (guint) (allowed - after)),
                          (guint) (allowed - after));
}

static void
judge_part (LwJudge *judge, const LwReadyCycles *c)
{
  const char *ref = judge->target->ref;
  gboolean thrown_away = judge->plan->operation == LW_OP_REMOVE && !judge->target->kept_after;
  LwGrade grade = grade_of (c->part_after, c->part_allowed, TRUE);
  g_autofree char *left = left_text (c->part_after, c->part_allowed);

  if (thrown_away)
    return; /* it spoils only itself */
  lw_finding_say (lw_judge_add (judge, grade, "readiness-cycles", ref, c->part_after, c->part_allowed, TRUE, "",
                                c->part_allowed_said ? _(SAID_SOURCE) : lw_ready_part_cycles ().source),
                  g_strdup_printf (c->spare ? _("The new %s will have been through %.0f of %.0f reflows. %s")
                                            : _("%s will have been through %.0f of %.0f reflows. %s"),
                                   ref, c->part_after, c->part_allowed, left),
                  grade == LW_GRADE_STOP ? _("Take a fresh part, or ask its maker for more.") : "");
}

/* Nobody proves lands of a board in use: the program's figure only warns. */
static void
judge_lands (LwJudge *judge, const LwReadyCycles *c)
{
  const char *ref = judge->target->ref;
  LwGrade grade = grade_of (c->site_after, c->site_allowed, c->site_allowed_said);
  g_autofree char *left = left_text (c->site_after, c->site_allowed);

  lw_finding_say (lw_judge_add (judge, grade, "readiness-site-cycles", ref, c->site_after, c->site_allowed, TRUE, "",
                                c->site_allowed_said ? _(SAID_SOURCE) : lw_ready_site_cycles ().source),
                  g_strdup_printf (_("The lands of %s will have been through %.0f of %.0f reflows. %s"), ref, c->site_after,
                                   c->site_allowed, left),
                  grade == LW_GRADE_FINE ? "" : _("Look for lifted lands; spare the site another cycle."));
}

static void
judge_unknown (LwJudge *judge, gboolean part, gboolean site)
{
  LwFinding *finding = lw_judge_add (judge, LW_GRADE_WATCH, "readiness-unknown", judge->target->ref, NAN, NAN, TRUE, "",
                                     lw_ready_part_cycles ().source);

  lw_finding_say (finding,
                  g_strdup_printf (part && site ? _("How many reflows %s and its lands have been through is not known.")
                                   : part       ? _("How many reflows %s has been through is not known.")
                                                : _("How many reflows the lands of %s have been through is not known."),
                                   judge->target->ref),
                  _("Ask for the board’s record: one for each side assembled, one for each rework."));
}

/* Neighbours whose joints melt along take a reflow each. */
static void
judge_neighbours (LwJudge *judge)
{
  double usual = lw_ready_part_cycles ().hours;

  for (guint i = 0; i < judge->prediction->parts->len; i++) {
    const LwPartTrace *trace = g_ptr_array_index (judge->prediction->parts, i);
    const LwPart *part = lw_judge_part_of (judge, trace);

    if (part == NULL || part == judge->target || !(trace->joint_peak_c >= trace->joint_liquidus_c)
        || isnan (part->past.cycles_used))
      continue;
    double allowed = isnan (part->cycles_allowed) ? usual : part->cycles_allowed, after = part->past.cycles_used + 1;
    lw_finding_say (lw_judge_add (judge, grade_of (after, allowed, TRUE), "readiness-cycles", part->ref, after, allowed, TRUE, "",
                                  isnan (part->cycles_allowed) ? lw_ready_part_cycles ().source : _(SAID_SOURCE)),
                    g_strdup_printf (_("%s melts along: that is reflow %.0f of %.0f."), part->ref, after, allowed),
                    after > allowed ? _("Shield it, or count it among the parts to replace.") : "");
  }
}

void
lw_judge_cycles (LwJudge *judge)
{
  guint plan = 0;

  if (lw_ready_melts (judge->plan) == 0 || judge->target == NULL
      || !g_ptr_array_find (judge->job->plans, judge->plan, &plan))
    return;
  LwReadyCycles c = lw_ready_cycles (judge->job, plan);
  gboolean of_part = judge->plan->operation != LW_OP_CLEAN; /* there is none on the site */
  if (!isnan (c.part_after) && of_part)
    judge_part (judge, &c);
  if (!isnan (c.site_after))
    judge_lands (judge, &c);
  gboolean part_asked = of_part && isnan (c.part_after) && (judge->plan->operation != LW_OP_REMOVE || judge->target->kept_after);
  if (part_asked || isnan (c.site_after))
    judge_unknown (judge, part_asked, isnan (c.site_after));
  if (judge->prediction != NULL)
    judge_neighbours (judge);
}
