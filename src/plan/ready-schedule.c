/* The schedule: backwards from the wanted start. */
#include <glib/gi18n.h>
#include <math.h>
#include <string.h>

#include "board/moment.h"
#include "plan/ready.h"

/* Minutes where the job says nothing: common practice, no source. */
#define COOL_MIN 60.0
#define SET_UP_MIN 20.0
#define WARM_UP_MIN 15.0

void
lw_due_free (LwDue *due)
{
  if (due == NULL)
    return;
  g_free (due->text);
  g_free (due);
}

gboolean
lw_ready_is_finding (const LwFinding *finding)
{
  return g_str_has_prefix (finding->kind, "readiness-");
}

/* ---- the bake ---- */

/* The board's own: the upper end of the hours, at what everything on it bears. */
static LwReadyBake
board_bake (const LwJob *job)
{
  LwReadyBoardBake bake = lw_ready_board_bake ();
  double most = lw_ready_bake_limit_c (job, NULL);

  if (!isnan (job->schedule.bake_c))
    most = fmin (most, job->schedule.bake_c);
  return (LwReadyBake){ fmin (most, bake.high_c), most >= bake.low_c ? bake.high_h : NAN, bake.source };
}

LwReadyBake
lw_ready_bake_wanted (const LwJob *job, guint plan, const LwFinding *finding)
{
  int part = lw_job_find_part (job, finding->ref);
  gboolean target = g_str_equal (finding->ref, ((const LwPlan *) g_ptr_array_index (job->plans, plan))->ref);
  gboolean spare = target && lw_ready_uses_spare (job, g_ptr_array_index (job->plans, plan));

  if (strcmp (finding->kind, "readiness-board-bake") == 0)
    return board_bake (job);
  if (target && !spare && part >= 0 && !((const LwPart *) g_ptr_array_index (job->parts, part))->kept_after)
    return (LwReadyBake){ NAN, 0, "" }; /* thrown away */
  if (strcmp (finding->kind, "readiness-bake") == 0 && part >= 0)
    return lw_ready_bake_of (job, g_ptr_array_index (job->parts, part), spare, spare);
  return (LwReadyBake){ NAN, 0, "" };
}

LwReadyBake
lw_ready_longest_bake (const LwJob *job, guint plan, const GPtrArray *findings)
{
  LwReadyBake most = { NAN, 0, "" };

  for (guint i = 0; findings != NULL && i < findings->len; i++) {
    const LwFinding *finding = g_ptr_array_index (findings, i);

    if (finding->grade == LW_GRADE_FINE || !lw_ready_is_finding (finding))
      continue;
    LwReadyBake bake = lw_ready_bake_wanted (job, plan, finding);
    if (bake.hours > most.hours)
      most = bake;
  }
  return most;
}

/* ---- backwards ---- */

static void
add_due (GPtrArray *out, LwDueKind kind, gint64 at_min, double minutes, gboolean assumed, char *text)
{
  LwDue *due = g_new0 (LwDue, 1);

  *due = (LwDue){ kind, at_min, minutes, assumed, text };
  g_ptr_array_add (out, due);
}

static double
or_usual (double said, double usual)
{
  return isnan (said) ? usual : said;
}

static void
add_bake (GPtrArray *out, const LwJob *job, const LwReadyBake *bake, gint64 ready)
{
  double cool = or_usual (job->schedule.cool_min, COOL_MIN);
  gint64 ends = ready - (gint64) ceil (cool), begins = ends - (gint64) ceil (60 * bake->hours);

  add_due (out, LW_DUE_BAKE, begins, 60 * bake->hours, FALSE,
           g_strdup_printf (_("Bake begins: %.0f h at %.0f °C."), bake->hours, bake->c));
  add_due (out, LW_DUE_COOL, ends, cool, isnan (job->schedule.cool_min),
           g_strdup_printf (_("Bake ends; %.0f min to cool, covered and dry."), cool));
}

/* When the part that is soldered leaves its floor life. */
static void
add_use_by (GPtrArray *out, const LwJob *job, const LwPlan *plan)
{
  gboolean spare = lw_ready_uses_spare (job, plan);
  int at = lw_job_find_part (job, plan->ref);
  gint64 opened = 0;

  if (at < 0)
    return;
  const LwPart *part = g_ptr_array_index (job->parts, at);
  const LwPast *past = spare ? &part->spare : &part->past;
  LwMoisture m = lw_ready_moisture (job, part, spare);
  if (m.wet != LW_WET_WITHIN || past->kept == LW_STORED_DRY_CABINET || past->kept == LW_STORED_DRY_PACK
      || !lw_moment_parse (past->opened, &opened))
    return;
  double left = m.life.hours - or_usual (past->exposure_h, 0);
  add_due (out, LW_DUE_USE_BY, opened + (gint64) floor (60 * left), NAN, FALSE,
           g_strdup_printf (_("Floor life of %s ends: soldered by then, or back into the dry pack."), part->ref));
}

static int
by_time (gconstpointer a, gconstpointer b)
{
  const LwDue *p = *(LwDue *const *) a, *q = *(LwDue *const *) b;

  return p->at_min < q->at_min ? -1 : p->at_min > q->at_min ? 1 : (int) p->kind - (int) q->kind;
}

GPtrArray *
lw_ready_schedule (const LwJob *job, guint plan, const GPtrArray *findings)
{
  GPtrArray *out = g_ptr_array_new_with_free_func ((GDestroyNotify) lw_due_free);
  double set_up = or_usual (job->schedule.set_up_min, SET_UP_MIN);
  double warm_up = or_usual (job->station->warm_up_min, WARM_UP_MIN);
  LwReadyBake bake = lw_ready_longest_bake (job, plan, findings);
  gint64 start = 0;

  if (plan >= job->plans->len || !lw_moment_parse (job->schedule.start, &start))
    return out;
  if (bake.hours > 0)
    add_bake (out, job, &bake, start - (gint64) ceil (set_up));
  add_due (out, LW_DUE_WARM_UP, start - (gint64) ceil (warm_up), warm_up, isnan (job->station->warm_up_min),
           g_strdup_printf (_("Switch the station on: %.0f min to warm up."), warm_up));
  add_due (out, LW_DUE_SET_UP, start - (gint64) ceil (set_up), set_up, isnan (job->schedule.set_up_min),
           g_strdup_printf (_("Fix the board and its thermocouples: %.0f min."), set_up));
  add_due (out, LW_DUE_START, start, NAN, FALSE, g_strdup (_("Heat begins.")));
  add_use_by (out, job, g_ptr_array_index (job->plans, plan));
  g_ptr_array_sort (out, by_time);
  return out;
}
