#include "plan/seek-explore.h"

#include <math.h>
#include <string.h>

#include "plan/seek-learn.h"

/* Coarse models rank places; the best is looked at again in the default mesh. */
#define SCOUT_CELL_MM 3.0
#define SCOUT_COARSE_MM 10.0
/* Of what is scattered over the plan's own place half lies this near to the given plan (a share of each range), half
 * anywhere. */
#define NEAR_SHARE 0.2
/* What is learned once more lies this near to the best found. */
#define AGAIN_SHARE 0.08
/* Hills of the plan's own place that are climbed. */
#define HILLS 4
#define FIRST_REACH 0.1
#define SINGLE_REACH 0.04
#define POLISH_REACH 0.02
/* A place by itself must gain this many steps to be put together with others. */
#define WORTH_STEPS 0.05

/* A place and what was found there. */
typedef struct {
  LwSeekPick pick;
  LwJob *job;
  LwSpot best;
  LwTrial *trial;
  guint n_tried;
} Camp;

typedef struct {
  const LwSeekExplorer *of;
  const double *start; /* where the first camp begins */
  GPtrArray *camps;    /* Camp */
  guint from_camp, climb;
  double reach;
  guint done;
  GMutex lock; /* guards done, and the telling */
  double from, to;
} Field;

static LwSpot
spot_new (guint n, const double *shares)
{
  LwSpot spot = { g_new0 (double, MAX (n, 1)), -INFINITY };
  memcpy (spot.shares, shares, n * sizeof (double));
  return spot;
}

static void
camp_free (gpointer data)
{
  Camp *camp = data;
  lw_trial_free (camp->trial);
  lw_job_unref (camp->job);
  g_free (camp->best.shares);
  g_free (camp);
}

/* NULL when the place cannot stand. */
static Camp *
camp_new (const LwSeekExplorer *of, LwSeekPick pick, const double *start)
{
  LwJob *job = lw_seek_places_make (of->places, pick);
  if (job == NULL)
    return NULL;
  Camp *camp = g_new0 (Camp, 1);
  camp->pick = pick;
  camp->job = job;
  camp->best = spot_new (lw_seek_space_n (of->space), start);
  return camp;
}

/* NEAR: a camp whose model the new one may take things over from, or NULL. */
static gboolean
pitch (const LwSeekExplorer *of, Camp *camp, const Camp *near)
{
  LwQuickOptions options = { .cell_mm = SCOUT_CELL_MM, .coarse_mm = SCOUT_COARSE_MM, .scout = TRUE };
  options.near = near != NULL ? near->trial->quick : NULL;
  g_autoptr (LwQuick) quick = lw_quick_new (camp->job, of->plan, &options, of->watch.cancellable, NULL, NULL, NULL);
  camp->trial = quick != NULL ? lw_trial_new (quick, of->space, of->doubts) : NULL;
  return camp->trial != NULL;
}

/* Takes over SPOT (shares and all) when the reduced model says that it is better. */
static void
settle (Camp *camp, LwSpot spot)
{
  gboolean better = lw_trial_march (camp->trial, spot.shares, FALSE) && lw_trial_least (camp->trial, NULL) > camp->best.least;

  if (!better) {
    g_free (spot.shares);
    return;
  }
  g_free (camp->best.shares);
  camp->best = (LwSpot){ spot.shares, lw_trial_least (camp->trial, NULL) };
}

/* ---- the plan's own place ---- */

/* Best of N spots, whose shares it takes out of them; the others' are freed. */
static LwSpot
pick_best (LwSpot *spots, guint n)
{
  guint best = 0;
  for (guint i = 1; i < n; i++)
    if (spots[i].least > spots[best].least)
      best = i;
  for (guint i = 0; i < n; i++)
    if (i != best)
      g_free (spots[i].shares);
  return spots[best];
}

/* A climb from the camp's best, in a model that has learned what is round it. */
static void
climb_again (const LwSeekExplorer *of, Camp *camp, guint lessons, double near, double reach, guint climb)
{
  guint n = lw_seek_space_n (of->space);
  g_auto (LwSpots) round = lw_seek_spread (of->space, camp->best.shares, lessons, of->work->seed % 1024, near, FALSE);
  LwSpot spot = spot_new (n, camp->best.shares);

  if (n == 0 || !lw_trial_learn (camp->trial, &round, of->watch.cancellable)) {
    g_free (spot.shares);
    return;
  }
  lw_seek_climb (camp->trial, &spot, reach, climb, of->watch.cancellable);
  settle (camp, spot);
}

static void
scatter (const LwSeekExplorer *of, Camp *camp, const double *start)
{
  const LwSeekPlanOfWork *w = of->work;
  GCancellable *cancellable = of->watch.cancellable;
  g_auto (LwSpots) lessons = lw_seek_spread (of->space, start, w->lessons, w->seed % 1024, NEAR_SHARE, TRUE);
  g_auto (LwSpots) samples = lw_seek_spread (of->space, start, w->samples, w->seed % 1024, NEAR_SHARE, TRUE);
  LwSpot hills[HILLS];

  if (!lw_trial_learn (camp->trial, &lessons, cancellable))
    return;
  lw_watch_tell (&of->watch, 0.1);
  guint n = lw_trial_look_over (camp->trial, &samples, hills, HILLS, cancellable);
  lw_trial_climb_all (camp->trial, hills, n, FIRST_REACH, w->climb, cancellable);
  lw_watch_tell (&of->watch, 0.25);
  if (n > 0)
    settle (camp, pick_best (hills, n));
  climb_again (of, camp, w->again, AGAIN_SHARE, SINGLE_REACH, w->climb);
}

/* The set points where the plan stands; the first camp, or NULL when it cannot be computed. */
static Camp *
explore_own (const LwSeekExplorer *of, const double *start)
{
  LwSeekPick own = { { 0 } };
  Camp *camp = camp_new (of, own, start);

  if (!pitch (of, camp, NULL)) {
    camp_free (camp);
    return NULL;
  }
  settle (camp, spot_new (lw_seek_space_n (of->space), start));
  if (lw_seek_space_n (of->space) > 0)
    scatter (of, camp, start);
  return camp;
}

/* ---- the others ---- */

static void
work_on (void *data, size_t i)
{
  Field *field = data;
  const LwSeekExplorer *of = field->of;
  Camp *camp = g_ptr_array_index (field->camps, field->from_camp + i);

  if (g_cancellable_is_cancelled (of->watch.cancellable) || !pitch (of, camp, g_ptr_array_index (field->camps, 0)))
    return;
  settle (camp, spot_new (lw_seek_space_n (of->space), camp->best.shares));
  climb_again (of, camp, of->work->single, AGAIN_SHARE, field->reach, field->climb);
  g_mutex_lock (&field->lock);
  field->done++;
  double share = field->done / (double) (field->camps->len - field->from_camp);
  lw_watch_tell (&of->watch, field->from + share * (field->to - field->from));
  g_mutex_unlock (&field->lock);
}

/* All camps from the given one on, at once. */
static void
work_on_all (Field *field, guint from_camp, guint climb, double from, double to)
{
  const HeatParallel *parallel = lw_quick_parallel ();
  field->from_camp = from_camp;
  field->climb = climb;
  field->done = 0;
  field->from = from;
  field->to = to;
  parallel->run (parallel->pool, field->camps->len - from_camp, work_on, field);
}

static void
add_camp (Field *field, LwSeekPick pick, const double *start)
{
  Camp *camp = camp_new (field->of, pick, start);
  if (camp != NULL)
    g_ptr_array_add (field->camps, camp);
}

/* Of each kind of choice the one that gained most by itself, all together. */
static LwSeekPick
together (const Field *field, guint *n_kinds)
{
  const Camp *own = g_ptr_array_index (field->camps, 0);
  LwSeekPick pick = { { 0 } };
  *n_kinds = 0;
  for (guint kind = 0; kind < LW_SEEK_N_KINDS; kind++) {
    double least = own->best.least + WORTH_STEPS;
    for (guint i = 1; i < field->camps->len; i++) {
      const Camp *camp = g_ptr_array_index (field->camps, i);
      if (camp->pick.pick[kind] == 0 || !(camp->best.least > least))
        continue;
      least = camp->best.least;
      pick.pick[kind] = camp->pick.pick[kind];
    }
    *n_kinds += pick.pick[kind] > 0;
  }
  return pick;
}

static Camp *
best_camp (const Field *field)
{
  Camp *best = g_ptr_array_index (field->camps, 0);
  for (guint i = 1; i < field->camps->len; i++) {
    Camp *camp = g_ptr_array_index (field->camps, i);
    if (camp->best.least > best->best.least)
      best = camp;
  }
  return best;
}

static void
explore_others (Field *field)
{
  const Camp *own = g_ptr_array_index (field->camps, 0);
  g_autoptr (GArray) singles = lw_seek_places_singles (field->of->places);
  guint n_kinds;

  for (guint i = 1; i < singles->len; i++)
    add_camp (field, g_array_index (singles, LwSeekPick, i), own->best.shares);
  field->reach = SINGLE_REACH;
  work_on_all (field, 1, field->of->work->single_climb, 0.3, 0.7);
  LwSeekPick all = together (field, &n_kinds);
  guint n = field->camps->len;
  if (n_kinds > 1)
    add_camp (field, all, best_camp (field)->best.shares);
  if (field->camps->len > n)
    work_on_all (field, n, field->of->work->last_climb, 0.7, 0.85);
  else
    climb_again (field->of, best_camp (field), field->of->work->again, AGAIN_SHARE, SINGLE_REACH,
                 field->of->work->last_climb);
}

/* ---- the default mesh has the last word ---- */

/* The given plan's model when the place is its own, else a new one. */
static LwQuick *
default_quick (const LwSeekExplorer *self, const Camp *camp, GError **error)
{
  if (lw_quick_fits (self->own, camp->job, self->plan))
    return lw_quick_ref (self->own);
  LwQuickOptions options = { .near = self->own };
  return lw_quick_new (camp->job, self->plan, &options, self->watch.cancellable, NULL, NULL, error);
}

/* Figures a person would set, marched; FALSE when they cannot be. SHARES become theirs. */
static gboolean
march_rounded (LwTrial *trial, double *shares)
{
  gboolean marched = lw_trial_march (trial, shares, TRUE);
  lw_seek_space_take (trial->space, trial->plan, shares);
  return marched;
}

/* From SPOT, which TRIAL has just marched, up by guesses of the coarse model that are put right there. TRIAL is left holding the better
 * of both. */
static void
climb_corrected (const LwSeekExplorer *self, LwTrial *coarse, LwTrial *trial, LwSpot *spot)
{
  guint n = lw_seek_space_n (self->space);
  LwSpot other = spot_new (n, spot->shares);

  if (n > 0 && lw_trial_guess (coarse, spot->shares)) {
    lw_trial_correct (coarse, trial);
    lw_seek_climb (coarse, &other, POLISH_REACH, self->work->polish, self->watch.cancellable);
    if (march_rounded (trial, other.shares) && lw_trial_least (trial, NULL) > spot->least) {
      memcpy (spot->shares, other.shares, n * sizeof (double));
      spot->least = lw_trial_least (trial, NULL);
    } else {
      march_rounded (trial, spot->shares);
    }
  }
  g_free (other.shares);
}

static gboolean
polish (const LwSeekExplorer *self, const Camp *camp, LwSeekFound *found, GError **error)
{
  g_autoptr (LwQuick) quick = default_quick (self, camp, error);

  if (quick == NULL)
    return FALSE;
  LwTrial *trial = found->trial = lw_trial_new (quick, self->space, self->doubts);
  found->job = lw_job_ref (camp->job);
  found->spot = spot_new (lw_seek_space_n (self->space), camp->best.shares);
  if (march_rounded (trial, found->spot.shares)) {
    found->spot.least = lw_trial_least (trial, NULL);
    climb_corrected (self, camp->trial, trial, &found->spot);
  }
  found->n_tried += trial->n_tried;
  return !g_cancellable_set_error_if_cancelled (self->watch.cancellable, error);
}

static gboolean
explore (const LwSeekExplorer *self, Field *field, LwSeekFound *found, GError **error)
{
  Camp *own = explore_own (self, field->start);
  if (own != NULL) {
    g_ptr_array_add (field->camps, own);
    explore_others (field);
  }
  for (guint i = 0; i < field->camps->len; i++) {
    const Camp *camp = g_ptr_array_index (field->camps, i);
    found->n_tried += camp->trial != NULL ? camp->trial->n_tried : 0;
  }
  found->n_places = field->camps->len;
  if (g_cancellable_set_error_if_cancelled (self->watch.cancellable, error))
    return FALSE;
  return own == NULL || polish (self, best_camp (field), found, error);
}

gboolean
lw_seek_explore (const LwSeekExplorer *self, const double *start, LwSeekFound *found, GError **error)
{
  Field field = { .of = self, .start = start };
  gboolean done;

  *found = (LwSeekFound){ .spot = { NULL, -INFINITY } };
  field.camps = g_ptr_array_new_with_free_func (camp_free);
  g_mutex_init (&field.lock);
  done = explore (self, &field, found, error);
  g_mutex_clear (&field.lock);
  g_ptr_array_unref (field.camps);
  if (!done)
    lw_seek_found_clear (found);
  return done;
}

void
lw_seek_found_clear (LwSeekFound *found)
{
  g_clear_pointer (&found->spot.shares, g_free);
  g_clear_pointer (&found->trial, lw_trial_free);
  g_clear_pointer (&found->job, lw_job_unref);
}
