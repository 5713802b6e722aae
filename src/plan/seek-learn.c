#include "plan/seek-learn.h"

#include <gsl/gsl_qrng.h>
#include <math.h>
#include <string.h>

enum { SOBOL_MOST = 40, /* dimensions of GSL's sequence */
       CHUNK = 64 };    /* candidates one thread takes at a time */
/* Spots closer than this (a share of each range) are one and the same hill; the program's own choice. */
#define HILL_SHARE 0.08

/* ---- points ---- */

LwSpots
lw_seek_spread (const LwSeekSpace *space, const double *start, guint n, guint skip, double near, gboolean anywhere)
{
  guint dim = lw_seek_space_n (space);
  LwSpots spots = { g_new0 (double, MAX (n * dim, 1)), dim > 0 ? n : 1 };
  double cube[SOBOL_MOST];

  memcpy (spots.shares, start, dim * sizeof (double));
  if (dim == 0)
    return spots;
  gsl_qrng *sequence = gsl_qrng_alloc (gsl_qrng_sobol, MIN (dim, SOBOL_MOST));
  for (guint i = 0; i < skip; i++)
    gsl_qrng_get (sequence, cube);
  for (guint i = 1; i < n; i++) {
    gsl_qrng_get (sequence, cube);
    for (guint k = 0; k < dim; k++) {
      double u = cube[k % SOBOL_MOST];
      spots.shares[i * dim + k] = anywhere && i % 2 ? u : CLAMP (start[k] + near * (2 * u - 1), 0, 1);
    }
  }
  gsl_qrng_free (sequence);
  return spots;
}

void
lw_seek_spots_clear (LwSpots *spots)
{
  g_clear_pointer (&spots->shares, g_free);
  spots->n = 0;
}

/* ---- lessons ---- */

gboolean
lw_trial_learn (LwTrial *trial, const LwSpots *lessons, GCancellable *cancellable)
{
  guint dim = lw_seek_space_n (trial->space);
  g_autoptr (GPtrArray) writers = g_ptr_array_new_with_free_func ((GDestroyNotify) lw_trial_free);
  g_autofree HeatDrive *drives = g_new (HeatDrive, lessons->n);

  for (guint i = 0; i < lessons->n; i++) {
    LwTrial *writer = lw_trial_twin (trial); /* each drive borrows its tables */
    g_ptr_array_add (writers, writer);
    drives[i] = lw_trial_drive (writer, lessons->shares + i * dim, FALSE);
  }
  LwCompact *learned = lw_compact_new (trial->quick, drives, lessons->n, trial->gauge, cancellable, NULL);
  if (learned == NULL)
    return FALSE;
  trial->n_tried += lessons->n;
  g_clear_pointer (&trial->guess, heat_compact_run_free);
  g_clear_pointer (&trial->shift, g_free);
  lw_compact_unref (trial->compact);
  trial->compact = learned;
  return TRUE;
}

/* ---- many at once ---- */

typedef struct {
  LwTrial *trial;
  const LwSpots *spots;
  double *least; /* [spots->n] */
  GCancellable *cancellable;
} Look;

static void
look_at (void *data, size_t chunk)
{
  Look *look = data;
  guint dim = lw_seek_space_n (look->trial->space), from = (guint) chunk * CHUNK;
  g_autoptr (LwTrial) twin = lw_trial_twin (look->trial);

  for (guint i = from; i < MIN (from + CHUNK, look->spots->n); i++) {
    gboolean stopped = g_cancellable_is_cancelled (look->cancellable);
    gboolean known = !stopped && lw_trial_guess (twin, look->spots->shares + i * dim);
    look->least[i] = known ? lw_trial_least (twin, NULL) : -INFINITY;
  }
}

static gboolean
is_close (const double *a, const double *b, guint dim)
{
  double most = 0;
  for (guint k = 0; k < dim; k++)
    most = fmax (most, fabs (a[k] - b[k]));
  return most < HILL_SHARE;
}

/* The best that is close to none of those taken, or G_MAXUINT. */
static guint
next_best (const Look *look, const LwSpot *taken, guint n_taken)
{
  guint dim = lw_seek_space_n (look->trial->space), best = G_MAXUINT;

  for (guint i = 0; i < look->spots->n; i++) {
    gboolean far = look->least[i] > -INFINITY && (best == G_MAXUINT || look->least[i] > look->least[best]);
    for (guint k = 0; far && k < n_taken; k++)
      far = !is_close (look->spots->shares + i * dim, taken[k].shares, dim);
    if (far)
      best = i;
  }
  return best;
}

guint
lw_trial_look_over (LwTrial *trial, const LwSpots *spots, LwSpot *best, guint most, GCancellable *cancellable)
{
  const HeatParallel *parallel = lw_quick_parallel ();
  guint dim = lw_seek_space_n (trial->space), n = 0;
  g_autofree double *least = g_new (double, MAX (spots->n, 1));
  Look look = { trial, spots, least, cancellable };

  parallel->run (parallel->pool, (spots->n + CHUNK - 1) / CHUNK, look_at, &look);
  trial->n_tried += spots->n;
  for (guint i = next_best (&look, best, 0); n < most && i != G_MAXUINT; i = next_best (&look, best, n)) {
    best[n] = (LwSpot){ g_memdup2 (spots->shares + i * dim, MAX (dim, 1) * sizeof (double)), least[i] };
    n++;
  }
  return n;
}

typedef struct {
  LwTrial *trial;
  LwSpot *spots;
  guint *n_tried;
  const LwSeekReach *reach;
  GCancellable *cancellable;
} Ascent;

static void
climb_from (void *data, size_t i)
{
  Ascent *a = data;
  g_autoptr (LwTrial) twin = lw_trial_twin (a->trial);

  lw_seek_climb (twin, &a->spots[i], a->reach, a->cancellable);
  a->n_tried[i] = twin->n_tried;
}

void
lw_trial_climb_all (LwTrial *trial, LwSpot *spots, guint n, const LwSeekReach *reach, GCancellable *cancellable)
{
  const HeatParallel *parallel = lw_quick_parallel ();
  g_autofree guint *n_tried = g_new0 (guint, MAX (n, 1));
  Ascent ascent = { trial, spots, n_tried, reach, cancellable };

  parallel->run (parallel->pool, n, climb_from, &ascent);
  for (guint i = 0; i < n; i++)
    trial->n_tried += n_tried[i];
}
