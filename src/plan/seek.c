#include "plan/seek.h"

#include <glib/gi18n.h>
#include <math.h>

#include "board/operations.h"
#include "plan/judge.h"
#include "plan/seek-confirm.h"
#include "plan/seek-explore.h"
#include "plan/seek-final.h"
#include "plan/seek-places.h"
#include "plan/seek-tell.h"

/* Share of the whole that the search takes, the rest being two full solutions. */
#define SEARCH_SHARE 0.4
/* A neighbour on the gas side this close to the target, with less than this headroom, is worth a shield; the
 * program's own choice. */
#define SHIELD_NEAR_MM 20.0
#define SHIELD_STEPS 1.5
/* Less is not called better: the doubts themselves are no surer. */
#define BETTER_STEPS 0.05

void
lw_seek_free (LwSeek *self)
{
  if (self == NULL)
    return;
  g_clear_pointer (&self->job, lw_job_unref);
  g_clear_pointer (&self->limits_before, g_ptr_array_unref);
  g_clear_pointer (&self->limits_after, g_ptr_array_unref);
  g_clear_pointer (&self->changes, g_ptr_array_unref);
  g_clear_pointer (&self->would_help, g_ptr_array_unref);
  g_clear_pointer (&self->off_first, g_ptr_array_unref);
  g_clear_pointer (&self->before, lw_prediction_unref);
  g_clear_pointer (&self->after, lw_prediction_unref);
  g_free (self);
}

LwJob *
lw_seek_apply (const LwSeek *self, const LwJob *now, GError **error)
{
  LwPlan *plan = g_ptr_array_index (self->job->plans, self->plan);
  int at = now != NULL ? lw_job_find_operation (now, plan->ref, plan->operation) : -1;

  if (at < 0) {
    g_set_error (error, LW_PREDICT_ERROR, LW_PREDICT_ERROR_JOB, _("The job has no plan for %s any more."), plan->ref);
    return NULL;
  }
  LwJob *job = lw_job_copy (now);
  LwPlan *old = g_ptr_array_index (job->plans, at);
  job->plans->pdata[at] = lw_plan_ref (plan);
  lw_plan_unref (old);
  return job;
}

typedef struct {
  LwJob *job;
  guint plan;
  const LwSeekOptions *options;
  LwWatch watch;
  LwSeek *out;
} Seeker;

/* ---- neighbours worth a shield ---- */

typedef struct {
  const char *ref;
  double steps;
} Risk;

static int
by_risk (gconstpointer a, gconstpointer b)
{
  const Risk *p = a, *q = b;
  return p->steps < q->steps ? -1 : p->steps > q->steps;
}

static double
distance_mm (const LwCase *compiled, guint body)
{
  const HeatBody *b = &compiled->bodies[body];
  return 1e3 * hypot (b->center.x - compiled->target_at.x, b->center.y - compiled->target_at.y)
         - 1e3 * compiled->target_radius_m;
}

static double
steps_of_body (const LwTrial *trial, guint body)
{
  double least = INFINITY;
  for (guint i = 0; i < trial->gauge->rules->len; i++) {
    const LwGaugeRule *rule = &g_array_index (trial->gauge->rules, LwGaugeRule, i);
    if (rule->body == body && rule->figure != LW_FIGURE_BOARD_PEAK)
      least = fmin (least, lw_gauge_steps (rule, trial->figures, trial->board_peak_c));
  }
  return least;
}

static GPtrArray *
worth_shielding (const LwTrial *trial)
{
  const LwCase *compiled = lw_quick_case (trial->quick);
  g_autoptr (GArray) risks = g_array_new (FALSE, FALSE, sizeof (Risk));
  GPtrArray *refs = g_ptr_array_new_with_free_func (g_free);

  for (guint body = 0; body < compiled->n_bodies; body++) {
    const LwPart *part = g_ptr_array_index (compiled->job->parts, compiled->body_of[body].part);
    Risk risk = { part->ref, steps_of_body (trial, body) };
    if (body != trial->gauge->target && !compiled->bodies[body].below && risk.steps < SHIELD_STEPS
        && distance_mm (compiled, body) < SHIELD_NEAR_MM)
      g_array_append_val (risks, risk);
  }
  g_array_sort (risks, by_risk);
  for (guint i = 0; i < risks->len; i++)
    g_ptr_array_add (refs, g_strdup (g_array_index (risks, Risk, i).ref));
  return refs;
}

/* ---- parts that come off first ---- */

/* Cells and their like, which the given plan would spoil: the search counts on their being taken off, and says so. */
static void
leave_out (Seeker *s, LwTrial *base, LwSeekSpace *space)
{
  const LwCase *compiled = lw_quick_case (base->quick);

  for (guint body = 0; body < compiled->n_bodies; body++) {
    const LwPart *part = g_ptr_array_index (compiled->job->parts, compiled->body_of[body].part);
    const LwPackage *package = lw_job_package_of (compiled->job, part);
    if (body == base->gauge->target || package == NULL || lw_advice_by_kind (package->kind) == NULL
        || !(steps_of_body (base, body) < 0))
      continue;
    g_array_append_val (space->left_out, body);
    lw_gauge_leave_out (base->gauge, body);
    g_ptr_array_add (s->out->off_first, g_strdup (part->ref));
  }
}

/* ---- the search ---- */

static LwSeekPlanOfWork
plan_of_work (const LwSeekOptions *options)
{
  guint effort = options != NULL && options->effort > 0 ? MIN (options->effort, 9) : 3;
  return (LwSeekPlanOfWork){ .seed = options != NULL ? options->seed : 0,
                             .lessons = 9 + effort,
                             .samples = 44 * effort,
                             .climb = 17 * effort,
                             .again = 8 + effort,
                             .cycles = 1 + effort / 4,
                             .single_climb = 17 * effort,
                             .final = 9 + effort,
                             .final_cycles = 2 * effort,
                             .final_rounds = 1 + effort / 4 };
}

/* The given plan in a coarse model. */
static LwTrial *
given_plan (Seeker *s, const LwSeekSpace *space, GError **error)
{
  g_autoptr (LwQuick) quick = lw_seek_scout (s->job, s->plan, NULL, s->watch.cancellable, error);
  if (quick == NULL)
    return NULL;
  g_autoptr (LwTrial) trial = lw_trial_new (quick, space, NULL);
  if (lw_trial_march (trial, NULL, FALSE))
    return g_steal_pointer (&trial);
  g_set_error (error, LW_PREDICT_ERROR, LW_PREDICT_ERROR_SOLVER,
               _("The plan as it stands cannot be computed, so there is nothing to start from."));
  return NULL;
}

/* Of the candidate that TRIAL has marched last, which JOB has in its plan. */
static GPtrArray *
findings_of (const LwTrial *trial, LwJob *job, guint plan)
{
  g_auto (LwQuickDrive) drive = LW_QUICK_DRIVE_INIT;
  g_autoptr (LwPrediction) prediction = NULL;

  if (lw_quick_drive (trial->quick, job, plan, &drive, NULL))
    prediction = lw_quick_predict (trial->quick, trial->run, &drive, NULL);
  return lw_judge (job, plan, prediction);
}

static LwJob *
job_found (Seeker *s, const LwSeekFound *found)
{
  LwJob *job = lw_job_copy (found->job);
  LwPlan *own = lw_seek_plan_own (found->trial->plan);
  LwPlan *old = g_ptr_array_index (job->plans, s->plan);
  job->plans->pdata[s->plan] = own;
  lw_plan_unref (old);
  return job;
}

static void
tell (Seeker *s, const double *start, const LwSeekFound *found)
{
  LwSeek *out = s->out;
  const LwTrial *base = found->given;
  const LwTrial *after = out->better ? found->trial : base;
  g_autoptr (GPtrArray) old = findings_of (base, s->job, s->plan), new = NULL;

  out->job = out->better ? job_found (s, found) : lw_job_copy (s->job);
  new = findings_of (after, out->job, s->plan);
  out->limits_before = lw_seek_tell_limits (base, old);
  out->limits_after = lw_seek_tell_limits (after, new);
  out->changes = lw_seek_tell_changes (g_ptr_array_index (s->job->plans, s->plan),
                                       g_ptr_array_index (out->job->plans, s->plan));
  out->would_help = lw_seek_tell_help (after, out->better ? found->spot.shares : start);
}

static gboolean
passes_none (const LwTrial *trial)
{
  for (guint i = 0; i < trial->gauge->rules->len; i++) {
    const LwGaugeRule *rule = &g_array_index (trial->gauge->rules, LwGaugeRule, i);
    if (!rule->soft && lw_gauge_headroom (rule, trial->figures, trial->board_peak_c) < 0)
      return FALSE;
  }
  return TRUE;
}

static gboolean
search (Seeker *s, LwSeekGiven *given, LwTrial *base, LwSeekSpace *space, GError **error)
{
  leave_out (s, base, space);
  g_autoptr (GPtrArray) to_shield = worth_shielding (base);
  const LwSeekOptions none = { 0 }, *o = s->options != NULL ? s->options : &none;
  LwSeekFreedom freedom = { o->keep_nozzle, o->keep_height, o->keep_area, o->keep_shields, to_shield };
  LwSeekPlanOfWork work = plan_of_work (s->options);
  g_autoptr (LwSeekPlaces) places = lw_seek_places_new (s->job, s->plan, &freedom);
  g_autofree double *start = g_new0 (double, MAX (lw_seek_space_n (space), 1));
  LwSeekExplorer explorer = { &work, places, s->job, s->plan, space, NULL, base, given, start, s->watch };
  LwSeekFound found;

  explorer.watch.to = s->watch.from + SEARCH_SHARE * (s->watch.to - s->watch.from);
  lw_seek_space_take (space, base->plan, start);
  if (!lw_seek_explore (&explorer, &found, error))
    return FALSE;
  s->out->steps_before = lw_trial_least (found.given, NULL);
  s->out->better = found.spot.least > s->out->steps_before + BETTER_STEPS;
  s->out->steps_after = s->out->better ? found.spot.least : s->out->steps_before;
  s->out->satisfies = passes_none (s->out->better ? found.trial : found.given);
  s->out->n_tried = found.n_tried;
  s->out->n_places = found.n_places;
  tell (s, start, &found);
  lw_seek_found_clear (&found);
  return TRUE;
}

static double
seconds_since (gint64 start)
{
  return (double) (g_get_monotonic_time () - start) * 1e-6;
}

LwSeek *
lw_seek (LwJob *job, guint plan, const LwSeekOptions *options, GCancellable *cancellable,
         LwPredictProgress progress, gpointer user, GError **error)
{
  g_autoptr (LwSeek) out = g_new0 (LwSeek, 1);
  Seeker s = { job, plan, options, { cancellable, progress, user, 0, 1 }, out };
  LwWatch rest = { cancellable, progress, user, SEARCH_SHARE, 1 };
  gint64 begin = g_get_monotonic_time ();

  out->apart_k = NAN;
  out->off_first = g_ptr_array_new_with_free_func (g_free);
  out->plan = plan;
  if (plan >= job->plans->len) {
    g_set_error (error, LW_PREDICT_ERROR, LW_PREDICT_ERROR_JOB, _("The job has no such plan."));
    return NULL;
  }
  g_autoptr (LwSeekSpace) space = lw_seek_space_new (job, g_ptr_array_index (job->plans, plan));
  g_autoptr (LwSeekGiven) given = lw_seek_given_new (job, plan, cancellable);
  g_autoptr (LwTrial) base = given_plan (&s, space, error);
  if (base == NULL || !search (&s, given, base, space, error))
    return NULL;
  out->seconds_search = seconds_since (begin);
  begin = g_get_monotonic_time ();
  if ((options == NULL || !options->unconfirmed) && !lw_seek_confirm (out, job, &rest, error))
    return NULL;
  out->seconds_confirm = seconds_since (begin);
  lw_watch_tell (&s.watch, 1);
  return g_steal_pointer (&out);
}
