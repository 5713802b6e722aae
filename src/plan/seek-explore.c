#include "plan/seek-explore.h"

#include <gsl/gsl_qrng.h>
#include <math.h>
#include <string.h>

/* Coarse models rank places; the best is looked at again in the default mesh. */
#define SCOUT_CELL_MM 3.0
#define SCOUT_COARSE_MM 10.0
/* Half of the samples lie this near to the given plan (a share of each range), half anywhere. */
#define NEAR_SHARE 0.2
#define FIRST_REACH 0.1
#define SINGLE_REACH 0.04
#define POLISH_REACH 0.02
/* A place by itself must gain this many steps to be put together with others. */
#define WORTH_STEPS 0.05
enum { SOBOL_MOST = 40 }; /* dimensions of GSL's sequence */

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
  const double *start; /* where each camp begins */
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

static gboolean
pitch (const LwSeekExplorer *of, Camp *camp)
{
  LwQuickOptions options = { .cell_mm = SCOUT_CELL_MM, .coarse_mm = SCOUT_COARSE_MM, .scout = TRUE };
  g_autoptr (LwQuick) quick = lw_quick_new (camp->job, of->plan, &options, of->watch.cancellable, NULL, NULL, NULL);
  camp->trial = quick != NULL ? lw_trial_new (quick, of->space, of->doubts) : NULL;
  return camp->trial != NULL;
}

static void
try_spot (Camp *camp, guint n, const double *shares)
{
  if (!lw_trial_march (camp->trial, shares, FALSE))
    return;
  double least = lw_trial_least (camp->trial, NULL);
  if (!(least > camp->best.least))
    return;
  camp->best.least = least;
  memcpy (camp->best.shares, shares, n * sizeof (double));
}

/* ---- the plan's own place ---- */

/* I-th sample: near the start when even, else anywhere. */
static void
sample_at (const double *start, guint n, guint i, const double *cube, double *shares)
{
  for (guint k = 0; k < n; k++) {
    double anywhere = cube[k % SOBOL_MOST];
    shares[k] = i % 2 ? anywhere : CLAMP (start[k] + NEAR_SHARE * (2 * anywhere - 1), 0, 1);
  }
}

static void
scatter (const LwSeekExplorer *of, Camp *camp, const double *start)
{
  guint n = lw_seek_space_n (of->space);
  gsl_qrng *sequence = gsl_qrng_alloc (gsl_qrng_sobol, MIN (n, SOBOL_MOST));
  double cube[SOBOL_MOST];
  g_autofree double *shares = g_new (double, n);

  for (guint i = 0; i < of->work->seed % 1024; i++)
    gsl_qrng_get (sequence, cube);
  for (guint i = 0; i < of->work->samples && !g_cancellable_is_cancelled (of->watch.cancellable); i++) {
    gsl_qrng_get (sequence, cube);
    sample_at (start, n, i, cube, shares);
    try_spot (camp, n, shares);
  }
  gsl_qrng_free (sequence);
}

/* The set points where the plan stands; the first camp, or NULL when it cannot be computed. */
static Camp *
explore_own (const LwSeekExplorer *of, const double *start)
{
  LwSeekPick own = { { 0 } };
  guint n = lw_seek_space_n (of->space);
  Camp *camp = camp_new (of, own, start);

  if (!pitch (of, camp)) {
    camp_free (camp);
    return NULL;
  }
  try_spot (camp, n, start);
  if (n > 0)
    scatter (of, camp, start);
  lw_seek_climb (camp->trial, &camp->best, FIRST_REACH, of->work->climb, of->watch.cancellable);
  return camp;
}

/* ---- the others ---- */

static void
work_on (void *data, size_t i)
{
  Field *field = data;
  Camp *camp = g_ptr_array_index (field->camps, field->from_camp + i);

  if (g_cancellable_is_cancelled (field->of->watch.cancellable) || !pitch (field->of, camp))
    return;
  lw_seek_climb (camp->trial, &camp->best, field->reach, field->climb, field->of->watch.cancellable);
  g_mutex_lock (&field->lock);
  field->done++;
  double share = field->done / (double) (field->camps->len - field->from_camp);
  lw_watch_tell (&field->of->watch, field->from + share * (field->to - field->from));
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
  else {
    Camp *best = best_camp (field);
    lw_seek_climb (best->trial, &best->best, FIRST_REACH, field->of->work->last_climb, field->of->watch.cancellable);
  }
}

/* ---- the default mesh has the last word ---- */

/* A short climb there, then figures a person would set. */
static gboolean
polish (const LwSeekExplorer *self, const Camp *camp, LwSeekFound *found, GError **error)
{
  guint n = lw_seek_space_n (self->space);
  g_autoptr (LwQuick) quick
      = lw_quick_new (camp->job, self->plan, NULL, self->watch.cancellable, NULL, NULL, error);

  if (quick == NULL)
    return FALSE;
  found->job = lw_job_ref (camp->job);
  found->trial = lw_trial_new (quick, self->space, self->doubts);
  found->spot = spot_new (n, camp->best.shares);
  lw_seek_climb (found->trial, &found->spot, POLISH_REACH, self->work->polish, self->watch.cancellable);
  gboolean marched = lw_trial_march (found->trial, found->spot.shares, TRUE);
  found->spot.least = marched ? lw_trial_least (found->trial, NULL) : -INFINITY;
  found->n_tried += found->trial->n_tried;
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
