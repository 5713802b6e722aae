/* Readiness for moisture: floor life, bakes, the bare board. */
#include <glib/gi18n.h>
#include <math.h>
#include <string.h>

#include "board/apart.h"
#include "board/moment.h"
#include "board/operations.h"
#include "plan/judge-ready.h"
#include "plan/rules.h"

#define DRY_SOURCE N_("J-STD-033, rework: no bake for bodies at or below 200 °C, measured at the top centre")
#define NAMES_SHOWN 6

/* ---- one part ---- */

/* What the bake would be, as a sentence. */
static char *
bake_text (const LwJob *job, const LwPart *part, gboolean spare)
{
  LwReadyBake bake = lw_ready_bake_of (job, part, spare, spare);

  if (isnan (bake.c))
    return g_strdup (_("Something on the board bears no bake of the table: take it off, then bake."));
  if (isnan (bake.hours))
    return g_strdup_printf (_("Bake it dry first, for as long as its maker says, at up to %.0f °C."), bake.c);
  return g_strdup_printf (spare ? _("Bake it dry first: %.0f h at %.0f °C, in a tray that bears it (%s).")
                                : _("Bake the board dry first, cells and film capacitors taken off: %.0f h at %.0f °C (%s)."),
                          bake.hours, bake.c, bake.source);
}

/* Past its floor life: fine below 200 °C, else baked first. A part that comes off for good spoils only itself. */
static void
add_bake (LwJudge *judge, const LwPart *part, const LwPartTrace *trace, const LwMoisture *m, gboolean spare)
{
  gboolean thrown_away = part == judge->target && judge->plan->operation == LW_OP_REMOVE && !part->kept_after;
  LwWeighing w = { LW_FIGURE_BODY_PEAK, trace, trace->body_peak_c, LW_READY_DRY_C, NAN, TRUE, thrown_away };
  LwGrade plain = lw_rule_bake_first (trace->body_peak_c, TRUE) ? LW_GRADE_STOP : LW_GRADE_FINE;
  LwFinding *finding = lw_judge_add_weighed (judge, &w, thrown_away ? lw_rule_at_most_watch (plain) : plain,
                                             "readiness-bake", "°C", _(DRY_SOURCE));
  g_autofree char *advice = finding->grade == LW_GRADE_FINE ? g_strdup ("")
                            : thrown_away ? g_strdup (_("Baking it is worth while only if it is used again or looked into."))
                                          : bake_text (judge->job, part, spare);
  LwApart lain = lw_apart (m->exposure_h, m->life.hours, 0), hot = lw_apart (trace->body_peak_c, LW_READY_DRY_C, 0);

  lw_finding_say (finding,
                  g_strdup_printf (_("%s (level %s) lay open for %s h of a floor life of %s h. Its body reaches %s °C; up to "
                                     "%s °C it needs no bake."),
                                   part->ref, lw_msl_word (m->level), lain.value, lain.limit, hot.value, hot.limit),
                  advice);
}

static void
add_within (LwJudge *judge, const LwPart *part, const LwMoisture *m)
{
  LwGrade grade = m->exposure_h > (1 - LW_MARGIN_TIME) * m->life.hours ? LW_GRADE_WATCH : LW_GRADE_FINE;
  LwFinding *finding = lw_judge_add (judge, grade, "readiness-floor-life", part->ref, m->exposure_h, m->life.hours, TRUE,
                                     "h", m->life.source);
  LwApart told = lw_apart (m->exposure_h, m->life.hours, 0);

  lw_finding_say (finding,
                  g_strdup_printf (m->room_assumed
                                       ? _("%s (level %s) will have lain open for %s h of a floor life of %s h, in a room "
                                           "taken to be within 30 °C and 60 %%.")
                                       : _("%s (level %s) will have lain open for %s h of a floor life of %s h."),
                                   part->ref, lw_msl_word (m->level), told.value, told.limit),
                  grade == LW_GRADE_FINE ? "" : _("Begin soon, or put it into a dry cabinet until then."));
}

/* A missing fact of the part the plan is about gets a line of its own. */
static void
add_missing (LwJudge *judge, const LwPart *part, const LwMoisture *m, gboolean spare)
{
  LwFinding *finding = lw_judge_add (judge, LW_GRADE_WATCH, "readiness-unknown", part->ref, NAN, NAN, TRUE, "", _(DRY_SOURCE));

  lw_finding_say (finding,
                  g_strdup_printf (spare ? _("Of the new %s this is not known: %s.") : _("Of %s this is not known: %s."),
                                   part->ref, m->missing),
                  _("Read the label of its dry pack, ask its maker, or bake it as if its floor life were passed."));
}

static void
judge_target (LwJudge *judge)
{
  gboolean spare = lw_ready_uses_spare (judge->job, judge->plan);
  LwMoisture m = lw_ready_moisture (judge->job, judge->target, spare);

  if (m.wet == LW_WET_PAST && judge->trace != NULL && !isnan (judge->trace->body_peak_c))
    add_bake (judge, judge->target, judge->trace, &m, spare);
  else if (m.wet == LW_WET_WITHIN)
    add_within (judge, judge->target, &m);
  else if (m.wet == LW_WET_UNKNOWN && (m.level != LW_MSL_UNKNOWN || lw_ready_is_classed (judge->job, judge->target)))
    add_missing (judge, judge->target, &m, spare);
}

/* Twelve months from the seal to the wanted start. */
static void
judge_seal (LwJudge *judge)
{
  const LwPast *past = lw_ready_uses_spare (judge->job, judge->plan) ? &judge->target->spare : &judge->target->past;
  LwReadyFigure shelf = lw_ready_shelf_life ();
  gint64 sealed = 0, start = 0;

  if (past->kept != LW_STORED_DRY_PACK || !lw_moment_parse (past->sealed, &sealed)
      || !lw_moment_parse (judge->job->schedule.start, &start))
    return;
  double age_h = (double) (start - sealed) / 60;
  LwGrade grade = age_h > shelf.hours ? LW_GRADE_WATCH : LW_GRADE_FINE;
  LwFinding *finding = lw_judge_add (judge, grade, "readiness-seal", judge->target->ref, age_h / 24, shelf.hours / 24, TRUE,
                                     "d", shelf.source);
  LwApart told = lw_apart (age_h / 24, shelf.hours / 24, 0);

  lw_finding_say (finding,
                  g_strdup_printf (_("The dry pack of %s will have been sealed for %s days; it keeps for %s."),
                                   judge->target->ref, told.value, told.limit),
                  grade == LW_GRADE_FINE ? "" : _("Open it, read the humidity card, and bake the part if it has turned."));
}

/* ---- the other parts ---- */

typedef struct {
  GString *names;
  guint n;
} Names;

static void
add_name (Names *names, const char *ref)
{
  if (names->n++ < NAMES_SHOWN)
    g_string_append_printf (names->names, "%s%s", names->n > 1 ? ", " : "", ref);
  else if (names->n == NAMES_SHOWN + 1)
    g_string_append (names->names, ", …");
}

/* One line for all bodies above 200 °C of which something is not known, one for how hot all others get. */
static void
judge_neighbours (LwJudge *judge)
{
  g_autoptr (GString) text = g_string_new (NULL);
  Names unknown = { text, 0 };
  const LwPartTrace *hottest = NULL;

  for (guint i = 0; i < judge->prediction->parts->len; i++) {
    const LwPartTrace *trace = g_ptr_array_index (judge->prediction->parts, i);
    const LwPart *part = lw_judge_part_of (judge, trace);

    if (part == NULL || part == judge->target || isnan (trace->body_peak_c))
      continue;
    LwMoisture m = lw_ready_moisture (judge->job, part, FALSE);
    if (m.wet == LW_WET_PAST)
      add_bake (judge, part, trace, &m, FALSE);
    else if (trace->body_peak_c > LW_READY_DRY_C && m.wet == LW_WET_UNKNOWN
             && (m.level != LW_MSL_UNKNOWN || lw_ready_is_classed (judge->job, part)))
      add_name (&unknown, part->ref);
    if (m.wet != LW_WET_FREE && (hottest == NULL || trace->body_peak_c > hottest->body_peak_c))
      hottest = trace;
  }
  if (unknown.n > 0)
    lw_finding_say (lw_judge_add (judge, LW_GRADE_WATCH, "readiness-unknown", "", unknown.n, NAN, TRUE, "", _(DRY_SOURCE)),
                    g_strdup_printf (ngettext ("The body of %u neighbour passes 200 °C and its level or floor life is not known: %s.",
                                               "The bodies of %u neighbours pass 200 °C and their levels or floor lives are not known: %s.",
                                               unknown.n),
                                     unknown.n, text->str),
                    _("Find out, shield them, or bake the board as for the most sensitive of them."));
  else if (hottest != NULL && hottest->body_peak_c <= LW_READY_DRY_C)
    lw_finding_say (lw_judge_add (judge, LW_GRADE_FINE, "readiness-dry", hottest->ref, hottest->body_peak_c, LW_READY_DRY_C,
                                  TRUE, "°C", _(DRY_SOURCE)),
                    g_strdup_printf (_("No neighbour needs a bake: the hottest, %s, stays at %.0f °C."), hottest->ref,
                                     hottest->body_peak_c),
                    "");
}

/* ---- the board ---- */

static void
judge_absorbed (LwJudge *judge)
{
  const LwBoardPast *past = &judge->job->board->past;
  gboolean wet = past->absorbed_percent > past->absorbed_max_percent;

  if (isnan (past->absorbed_percent) || isnan (past->absorbed_max_percent))
    return;
  LwApart told = lw_apart (past->absorbed_percent, past->absorbed_max_percent, 2);
  lw_finding_say (lw_judge_add (judge, wet ? LW_GRADE_STOP : LW_GRADE_FINE, "readiness-board-moisture", "",
                                past->absorbed_percent, past->absorbed_max_percent, TRUE, "%",
                                _("what the board’s maker allows")),
                  g_strdup_printf (_("The board holds %s %% of moisture; %s %% is allowed."), told.value, told.limit),
                  wet ? _("Bake it and weigh it again.") : "");
}

static void
judge_board_bake (LwJudge *judge)
{
  const LwJob *job = judge->job;
  const LwBoardPast *past = &job->board->past;
  LwReadyBoardBake bake = lw_ready_board_bake ();
  const LwPart *weakest = NULL;
  double bears = lw_ready_bake_limit_c (job, &weakest);
  gboolean done = past->baked == LW_BAKED_YES;
  gboolean measured_dry = past->absorbed_percent <= past->absorbed_max_percent;
  LwFinding *finding = lw_judge_add (judge, done || measured_dry ? LW_GRADE_FINE : LW_GRADE_WATCH, "readiness-board-bake", "",
                                     NAN, NAN, TRUE, "", bake.source);
  g_autofree char *advice = NULL;

  if (weakest != NULL && bears < bake.low_c)
    advice = g_strdup_printf (_("Usual is %.0f–%.0f °C for %.0f–%.0f h, but %s bears only %.0f °C for so long: bake cooler and longer, or "
                                "show that the board was stored dry."),
                              bake.low_c, bake.high_c, bake.low_h, bake.high_h, weakest->ref, bears);
  else
    advice = g_strdup_printf (_("Bake the board at %.0f–%.0f °C for %.0f–%.0f h, or show that it was stored dry."), bake.low_c,
                              bake.high_c, bake.low_h, bake.high_h);
  lw_finding_say (finding,
                  g_strdup (done           ? _("The board was baked for this work.")
                            : measured_dry ? _("The board was measured to be dry.")
                            : past->baked == LW_BAKED_NO ? _("The board was not baked: moisture in the laminate blisters it.")
                                                         : _("Nobody says whether the board was baked: moisture in the laminate "
                                                             "blisters it.")),
                  done || measured_dry ? "" : advice);
}

void
lw_judge_moisture (LwJudge *judge)
{
  if (!lw_plan_heats (judge->plan))
    return;
  if (judge->target != NULL) {
    judge_target (judge);
    judge_seal (judge);
  }
  if (judge->prediction != NULL)
    judge_neighbours (judge);
  judge_absorbed (judge);
  judge_board_bake (judge);
}
