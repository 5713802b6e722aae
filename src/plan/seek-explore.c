#include "plan/seek-explore.h"

#include <gsl/gsl_qrng.h>
#include <math.h>
#include <string.h>

/* Coarse models rank places; the best are looked at again in the default mesh. */
#define SCOUT_CELL_MM 2.0
#define SCOUT_COARSE_MM 8.0
/* Half of the samples lie this near to the given plan (a share of each range), half anywhere. */
#define NEAR_SHARE 0.2
#define FIRST_REACH 0.08
#define SECOND_REACH 0.15
#define POLISH_REACH 0.03
enum { SOBOL_MOST = 40 }; /* dimensions of GSL's sequence */

/* A place, what was found there, and the models it was found with. */
typedef struct {
  guint place;
  LwSpot best;
  LwTrial *trial;
  guint n_tried;
  GError *error;
} Camp;

typedef struct {
  const LwSeekExplorer *of;
  const double *start;
  Camp **camps;
  LwQuickOptions quick;
  gboolean again;
  guint done, n_camps;
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
  g_free (camp->best.shares);
  g_clear_error (&camp->error);
  g_free (camp);
}

/* ---- scattered samples ---- */

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
scatter (const Field *field, Camp *camp)
{
  guint n = lw_seek_space_n (field->of->space);
  gsl_qrng *sequence = gsl_qrng_alloc (gsl_qrng_sobol, MIN (n, SOBOL_MOST));
  double cube[SOBOL_MOST];
  g_autofree double *shares = g_new (double, n);

  for (guint i = 0; i < field->of->work->seed % 1024; i++)
    gsl_qrng_get (sequence, cube);
  for (guint i = 0; i < field->of->work->samples; i++) {
    if (g_cancellable_is_cancelled (field->of->watch.cancellable))
      break;
    gsl_qrng_get (sequence, cube);
    sample_at (field->start, n, i, cube, shares);
    try_spot (camp, n, shares);
  }
  gsl_qrng_free (sequence);
}

/* ---- one place ---- */

static LwTrial *
pitch (const Field *field, Camp *camp)
{
  LwJob *job = g_ptr_array_index (field->of->places, camp->place);
  g_autoptr (LwQuick) quick = lw_quick_new (job, field->of->plan, &field->quick, field->of->watch.cancellable,
                                            NULL, NULL, &camp->error);
  return quick != NULL ? lw_trial_new (quick, field->of->space, field->of->doubts) : NULL;
}

static void
explore_place (const Field *field, Camp *camp)
{
  guint n = lw_seek_space_n (field->of->space);
  const LwSeekPlanOfWork *work = field->of->work;

  camp->trial = pitch (field, camp);
  if (camp->trial == NULL)
    return;
  try_spot (camp, n, field->start);
  if (n > 0)
    scatter (field, camp);
  lw_seek_climb (camp->trial, &camp->best, FIRST_REACH, work->climb, field->of->watch.cancellable);
}

/* Once more, farther round, from where the first climb ended and from the given plan. */
static void
explore_again (const Field *field, Camp *camp)
{
  const LwSeekPlanOfWork *work = field->of->work;
  guint n = lw_seek_space_n (field->of->space);
  LwSpot other = spot_new (n, field->start);

  lw_seek_climb (camp->trial, &camp->best, SECOND_REACH, work->second_climb, field->of->watch.cancellable);
  lw_seek_climb (camp->trial, &other, SECOND_REACH, work->second_climb, field->of->watch.cancellable);
  if (other.least > camp->best.least) {
    camp->best.least = other.least;
    memcpy (camp->best.shares, other.shares, n * sizeof (double));
  }
  g_free (other.shares);
}

static void
work_on (void *data, size_t i)
{
  Field *field = data;
  Camp *camp = field->camps[i];

  if (g_cancellable_is_cancelled (field->of->watch.cancellable))
    return;
  if (field->again)
    explore_again (field, camp);
  else
    explore_place (field, camp);
  g_mutex_lock (&field->lock);
  field->done++;
  double share = field->done / (double) field->n_camps;
  lw_watch_tell (&field->of->watch, field->from + share * (field->to - field->from));
  g_mutex_unlock (&field->lock);
}

static void
work_on_all (Field *field, GPtrArray *camps, guint n, double from, double to)
{
  const HeatParallel *parallel = lw_quick_parallel ();
  field->camps = (Camp **) camps->pdata;
  field->n_camps = n;
  field->done = 0;
  field->from = from;
  field->to = to;
  parallel->run (parallel->pool, n, work_on, field);
}

/* ---- the best of them ---- */

static int
by_least (gconstpointer pa, gconstpointer pb)
{
  const Camp *a = *(Camp *const *) pa, *b = *(Camp *const *) pb;
  if (a->best.least != b->best.least)
    return a->best.least > b->best.least ? -1 : 1;
  return a->place < b->place ? -1 : a->place > b->place;
}

/* The default mesh has the last word: a short climb there, then figures a person would set. */
static gboolean
polish (const LwSeekExplorer *self, Camp *camp, LwSeekFound *found, GError **error)
{
  LwJob *job = g_ptr_array_index (self->places, camp->place);
  guint n = lw_seek_space_n (self->space);
  g_autoptr (LwQuick) quick = lw_quick_new (job, self->plan, NULL, self->watch.cancellable, NULL, NULL, error);

  if (quick == NULL)
    return FALSE;
  g_autoptr (LwTrial) trial = lw_trial_new (quick, self->space, self->doubts);
  LwSpot spot = spot_new (n, camp->best.shares);
  lw_seek_climb (trial, &spot, POLISH_REACH, self->work->polish, self->watch.cancellable);
  gboolean marched = lw_trial_march (trial, spot.shares, TRUE);
  spot.least = marched ? lw_trial_least (trial, NULL) : -INFINITY;
  found->n_tried += trial->n_tried;
  if (spot.least > found->spot.least) {
    g_free (found->spot.shares);
    lw_trial_free (found->trial);
    found->spot = spot;
    found->place = camp->place;
    found->trial = g_steal_pointer (&trial);
  } else
    g_free (spot.shares);
  return TRUE;
}

static gboolean
polish_best (const LwSeekExplorer *self, GPtrArray *camps, LwSeekFound *found, GError **error)
{
  for (guint i = 0; i < MIN (camps->len, 2); i++) {
    Camp *camp = g_ptr_array_index (camps, i);
    if (camp->trial != NULL && !polish (self, camp, found, error))
      return FALSE;
    if (g_cancellable_set_error_if_cancelled (self->watch.cancellable, error))
      return FALSE;
  }
  return TRUE;
}

static GPtrArray *
camps_at (const LwSeekExplorer *self, const double *start)
{
  GPtrArray *camps = g_ptr_array_new_with_free_func (camp_free);
  for (guint i = 0; i < self->places->len; i++) {
    Camp *camp = g_new0 (Camp, 1);
    camp->place = i;
    camp->best = spot_new (lw_seek_space_n (self->space), start);
    g_ptr_array_add (camps, camp);
  }
  return camps;
}

static void
count (const GPtrArray *camps, LwSeekFound *found)
{
  for (guint i = 0; i < camps->len; i++) {
    const Camp *camp = g_ptr_array_index (camps, i);
    found->n_tried += camp->trial != NULL ? camp->trial->n_tried : 0;
  }
}

gboolean
lw_seek_explore (const LwSeekExplorer *self, LwTrial *base, const double *start, LwSeekFound *found,
                 GError **error)
{
  Field field = { .of = self, .start = start };
  g_autoptr (GPtrArray) camps = camps_at (self, start);

  *found = (LwSeekFound){ .spot = spot_new (lw_seek_space_n (self->space), start) };
  found->spot.least = lw_trial_least (base, NULL);
  field.quick = (LwQuickOptions){
    .cell_mm = SCOUT_CELL_MM, .coarse_mm = SCOUT_COARSE_MM, .scout = TRUE, .near = NULL
  };
  g_mutex_init (&field.lock);
  work_on_all (&field, camps, camps->len, 0, 0.6);
  g_ptr_array_sort (camps, by_least);
  field.again = TRUE;
  guint finalists = MIN (camps->len, self->work->finalists);
  while (finalists > 0 && ((Camp *) g_ptr_array_index (camps, finalists - 1))->trial == NULL)
    finalists--;
  work_on_all (&field, camps, finalists, 0.6, 0.85);
  g_mutex_clear (&field.lock);
  g_ptr_array_sort (camps, by_least);
  count (camps, found);
  if (g_cancellable_set_error_if_cancelled (self->watch.cancellable, error))
    return FALSE;
  return polish_best (self, camps, found, error);
}

void
lw_seek_found_clear (LwSeekFound *found)
{
  g_clear_pointer (&found->spot.shares, g_free);
  g_clear_pointer (&found->trial, lw_trial_free);
}
