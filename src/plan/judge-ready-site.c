/* Readiness of the site: coating and underfill, what comes off first, what holds the board, the schedule. */
#include <glib/gi18n.h>
#include <math.h>
#include <string.h>

#include "board/apart.h"
#include "board/moment.h"
#include "board/operations.h"
#include "plan/bench.h"
#include "plan/judge-ready.h"
#include "plan/rules.h"

#define COAT_SOURCE N_("makers’ sheets of conformal coatings, continuous temperature, from memory")
#define FILL_SOURCE N_("makers’ sheets of underfills: glass transition 70-160 °C, from memory")
#define PRACTICE N_("common practice, no source")

/* ---- coating, underfill ---- */

/* A word found in what the document calls the coating; lowest of the range. */
static const struct {
  const char *word;
  double most_c;
} COATS[] = { { "acryl", 125 }, { "urethan", 125 }, { "silicon", 200 }, { "parylen", 80 } };

static double
coat_limit_c (const char *coating)
{
  g_autofree char *folded = g_utf8_casefold (coating, -1);

  for (guint i = 0; i < G_N_ELEMENTS (COATS); i++)
    if (strstr (folded, COATS[i].word) != NULL)
      return COATS[i].most_c;
  return NAN;
}

static void
judge_coating (LwJudge *judge, const LwPart *part, double peak_c)
{
  double limit = *part->coating != '\0' ? coat_limit_c (part->coating) : NAN;
  gboolean target = part == judge->target, hot = peak_c > limit;

  if (*part->coating == '\0' || (!target && !hot && !lw_bench_is_near (judge->job, judge->plan, (LwPoint){ part->x_mm, part->y_mm })))
    return;
  LwApart told = lw_apart (peak_c, limit, 0);
  LwGrade grade = target || hot ? LW_GRADE_WATCH : LW_GRADE_FINE;
  lw_finding_say (lw_judge_add (judge, grade, "readiness-coating", part->ref, peak_c, limit, TRUE, isnan (limit) ? "" : "°C",
                                _(COAT_SOURCE)),
                  target ? g_strdup_printf (_("%s is coated (%s): the coating comes off before heat, joints and all."), part->ref,
                                            part->coating)
                  : hot  ? g_strdup_printf (_("The coating of %s (%s) gets %s °C and bears about %s °C."), part->ref,
                                            part->coating, told.value, told.limit)
                         : g_strdup_printf (_("%s, near the site, is coated (%s)."), part->ref, part->coating),
                  grade == LW_GRADE_FINE ? "" : _("Take it off round the site as its maker says; burning it off gives off poison."));
}

static void
judge_underfill (LwJudge *judge, const LwPart *part, const LwPartTrace *trace)
{
  gboolean target = part == judge->target;
  gboolean melts = trace != NULL && trace->joint_peak_c >= trace->joint_liquidus_c;

  if (*part->underfill == '\0' || (!target && !melts))
    return;
  lw_finding_say (lw_judge_add (judge, LW_GRADE_WATCH, "readiness-underfill", part->ref, NAN, NAN, TRUE, "", _(FILL_SOURCE)),
                  target ? g_strdup_printf (_("%s is underfilled (%s): melting its joints does not free it."), part->ref,
                                            part->underfill)
                         : g_strdup_printf (_("%s is underfilled (%s) and its joints melt: the solder is pressed out."), part->ref,
                                            part->underfill),
                  target ? _("Only a reworkable underfill softens, above 150 °C: ask its maker, cut the fillet first, twist gently.")
                         : _("Shield it, or preheat less."));
}

/* ---- taken off first ---- */

static const char *
word_for (LwPackageKind kind)
{
  switch (kind) {
  case LW_KIND_COIN_CELL:
    return _("a cell");
  case LW_KIND_SUPERCAPACITOR:
    return _("a supercapacitor");
  case LW_KIND_FILM_CAPACITOR:
    return _("a film capacitor");
  default:
    return NULL;
  }
}

/* What has been found about the heat of bodies, by reference. A board may have thousands of parts. */
static GHashTable *
heat_by_ref (const LwJudge *judge)
{
  GHashTable *heats = g_hash_table_new (g_str_hash, g_str_equal);

  for (guint i = 0; i < judge->out->len; i++) {
    LwFinding *finding = g_ptr_array_index (judge->out, i);

    if (strcmp (finding->kind, "body-peak") == 0)
      g_hash_table_insert (heats, finding->ref, finding);
  }
  return heats;
}

static void
judge_take_off (LwJudge *judge, const LwPart *part, const LwFinding *heat)
{
  const LwPackage *package = lw_judge_package (judge, part);
  const char *word = package != NULL ? word_for (package->kind) : NULL;
  double value = heat != NULL ? heat->value : NAN, limit = heat != NULL ? heat->limit : NAN;

  if (word == NULL && (heat == NULL || heat->grade != LW_GRADE_STOP))
    return;
  LwGrade grade = heat != NULL ? lw_rule_at_most_watch (heat->grade) : LW_GRADE_WATCH; /* the heat itself stops the job */
  LwFinding *finding = lw_judge_add (judge, grade, "readiness-take-off", part->ref, value,
                                     limit, TRUE, heat != NULL ? "°C" : "", heat != NULL ? heat->source : _(PRACTICE));
  LwApart told = lw_apart (value, limit, 0);

  if (word != NULL && heat != NULL)
    lw_finding_say (finding, g_strdup_printf (_("Take off %s, %s: %s °C predicted, %s °C allowed."), part->ref, word, told.value, told.limit), "");
  else if (word != NULL)
    lw_finding_say (finding, g_strdup_printf (_("Take off %s, %s."), part->ref, word), "");
  else
    lw_finding_say (finding, g_strdup_printf (_("Take off or shield %s: %s °C predicted, %s °C allowed."), part->ref, told.value, told.limit), "");
}

/* ---- support ---- */

#define SPAN_WATCH_MM 150.0 /* common practice, no source */

/* judge-board.c holds the span against the holder's figure; here is what to do when it has none. */
static void
judge_support (LwJudge *judge)
{
  const LwHolder *holder = &judge->job->station->holder;

  if (!holder->present || !isnan (holder->span_support_mm) || judge->job->board->outline->len == 0)
    return;
  LwBox box = lw_loop_box (g_ptr_array_index (judge->job->board->outline, 0));
  double span = fmin (box.x1_mm - box.x0_mm, box.y1_mm - box.y0_mm) - 2 * holder->rail_width_mm;
  LwGrade grade = span > SPAN_WATCH_MM ? LW_GRADE_WATCH : LW_GRADE_FINE;
  lw_finding_say (lw_judge_add (judge, grade, "readiness-support", "", span, NAN, TRUE, "mm", _(PRACTICE)),
                  g_strdup_printf (_("The board hangs free over %.0f mm between the rails, and nobody says what the holder carries."),
                                   span),
                  grade == LW_GRADE_FINE ? "" : _("Put a support under the middle, clear of the parts below."));
}

/* ---- schedule ---- */

static void
judge_schedule (LwJudge *judge)
{
  guint plan = 0;
  g_autoptr (GPtrArray) dues = NULL;
  g_autoptr (GString) text = g_string_new (NULL);

  if (*judge->job->schedule.start == '\0' || !g_ptr_array_find (judge->job->plans, judge->plan, &plan))
    return;
  dues = lw_ready_schedule (judge->job, plan, judge->out);
  for (guint i = 0; i < dues->len; i++) {
    const LwDue *due = g_ptr_array_index (dues, i);
    g_autofree char *moment = lw_moment_text (due->at_min);

    moment[10] = ' ';
    g_string_append_printf (text, "%s%s %s", i > 0 ? " " : "", moment, due->text);
  }
  lw_finding_say (lw_judge_add (judge, LW_GRADE_FINE, "readiness-schedule", "", NAN, NAN, TRUE, "", _(PRACTICE)),
                  g_strdup (text->str), "");
}

/* ---- in order ---- */

static const LwPartTrace *
trace_of (const LwJudge *judge, guint part)
{
  int at = judge->prediction != NULL ? lw_prediction_find (judge->prediction, part) : -1;

  return at < 0 ? NULL : g_ptr_array_index (judge->prediction->parts, at);
}

static gboolean
says_something (const LwJudge *judge, const LwPart *part, const LwFinding *heat)
{
  const LwPackage *package = lw_judge_package (judge, part);

  return *part->coating != '\0' || *part->underfill != '\0' || (package != NULL && word_for (package->kind) != NULL)
         || (heat != NULL && heat->grade == LW_GRADE_STOP);
}

/* Coating, underfill, what comes off first, supports, the schedule. After the parts have been judged. */
static void
judge_site (LwJudge *judge)
{
  gboolean heats = lw_plan_heats (judge->plan);
  g_autoptr (GHashTable) by_ref = heat_by_ref (judge);

  for (guint i = 0; heats && i < judge->job->parts->len; i++) {
    const LwPart *part = g_ptr_array_index (judge->job->parts, i);

    const LwFinding *heat = g_hash_table_lookup (by_ref, part->ref);
    if (!part->placed || !says_something (judge, part, heat))
      continue;
    const LwPartTrace *trace = trace_of (judge, i);
    judge_coating (judge, part, trace != NULL ? trace->body_peak_c : NAN);
    judge_underfill (judge, part, trace);
    if (part != judge->target)
      judge_take_off (judge, part, heat);
  }
  if (heats)
    judge_support (judge);
  judge_schedule (judge);
}

void
lw_judge_ready (LwJudge *judge)
{
  lw_judge_moisture (judge);
  lw_judge_cycles (judge);
  judge_site (judge);
}
