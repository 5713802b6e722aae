/* New row sums for the multigrid: diagonals, the columns' factors, the factor of the last level, each only when it must. */
#include <math.h>

#include "heat/multigrid-internal.h"
#include "heat/wide.h"

/* Chebyshev smoothing damps the spectrum from its upper end down to this part of it. */
static const float SMOOTH_PART = 0.25f;
/* Columns are smoothed as lines when they hold more than this of some diagonal. */
static const float LINE_SHARE = 0.5f;
/* The last level is factored anew when its row sums have moved by this share. */
static const double DRIFT = 0.1;
/* The cycle stays as it is while no row sum has moved by more than this share of its diagonal. */
static const float KEEP = 0.03f;

static void
put (HeatMultigrid *mg, size_t a, size_t b, float g)
{
  size_t i = mg->order[a], j = mg->order[b];
  *heat_band_at (&mg->band, i > j ? i : j, i > j ? j : i) -= g;
}

/* T = L D L' of the columns' own couplings, slab by slab. */
static void
factor_columns (HeatLevel *l)
{
  for (size_t i = 0; i < l->layout.n_blocks; i++) {
    const HeatBlock *b = &l->layout.blocks[i];
    size_t nxy = b->nx * b->ny;
    for (size_t k = b->at + nxy; k < b->at + nxy * b->nz; k++) {
      float g = l->gz[k - nxy];
      l->lower[k] = g * l->inverse[k - nxy];
      float pivot = l->diag[k] - g * l->lower[k];
      l->inverse[k] = pivot > 0 ? 1 / pivot : 0;
    }
  }
}

/* Diagonal, its inverse (0 where there is no cell), and bounds of the spectrum the smoother sees. Where
 * columns couple strongly they are solved as lines; T is at least the diagonal without them, so the
 * bounds are Gershgorin's of what is left. */
static void
finish_diagonal (HeatLevel *l)
{
  float column = 0, most = 0;
  for (size_t i = 0; i < l->layout.n; i++) {
    l->diag[i] = l->sum[i] + l->gsum[i];
    l->inverse[i] = l->diag[i] > 0 ? 1 / l->diag[i] : 0;
    float share = l->gzsum[i] * l->inverse[i];
    column = column > share ? column : share;
  }
  l->lines = column > LINE_SHARE;
  for (size_t i = 0; i < l->layout.n; i++) {
    float whole = l->diag[i] - (l->lines ? l->gzsum[i] : 0);
    float off = l->gsum[i] - (l->lines ? l->gzsum[i] : 0);
    float share = whole > 0 ? off / whole : 0;
    most = share > most ? share : most;
  }
  most = most < 1 ? most : 1;
  l->high = 1 + most;
  l->low = 1 - most > SMOOTH_PART * l->high ? 1 - most : SMOOTH_PART * l->high;
  if (l->lines)
    factor_columns (l);
}

static void
factor_last (HeatMultigrid *mg)
{
  HeatLevel *l = &mg->levels[mg->n_levels - 1];
  double moved = 0, total = 0;
  for (size_t i = 0; i < l->layout.n; i++) {
    moved += fabs ((double) l->sum[i] - mg->factored[i]);
    total += fabs ((double) mg->factored[i]);
  }
  if (mg->has_factor && moved <= DRIFT * total)
    return;
  for (size_t i = 0; i < l->layout.n * (mg->band.width + 1); i++)
    mg->band.rows[i] = 0;
  for (size_t i = 0; i < l->layout.n; i++) {
    mg->factored[i] = l->sum[i];
    double diag = (double) l->sum[i] + l->gsum[i];
    /* No cell: a unit row. Nothing but conductances (adiabatic, steady): a trace of ground. */
    *heat_band_at (&mg->band, mg->order[i], mg->order[i]) = diag > 0 ? diag * (1 + 1e-6) : 1;
  }
  heat_multigrid_each_pair (mg, put);
  mg->has_factor = heat_band_factor (&mg->band);
}

/* Largest change of a row sum, as a share of its diagonal. */
HEAT_WIDE static float
drift (const HeatLevel *l, const double *row_sum)
{
  float most[8] = { 0 };
  size_t n = l->layout.n, i = 0;
  for (; i + 8 <= n; i += 8)
    for (size_t j = 0; j < 8; j++) {
      float v = fabsf ((float) row_sum[i + j] - l->sum[i + j]) * l->inverse[i + j];
      most[j] = v > most[j] ? v : most[j];
    }
  for (; i < n; i++) {
    float v = fabsf ((float) row_sum[i] - l->sum[i]) * l->inverse[i];
    most[0] = v > most[0] ? v : most[0];
  }
  for (size_t j = 1; j < 8; j++)
    most[0] = most[j] > most[0] ? most[j] : most[0];
  return most[0];
}

void
heat_multigrid_update (HeatMultigrid *mg, const double *row_sum)
{
  HeatLevel *fine = &mg->levels[0];
  if (mg->has_factor && drift (fine, row_sum) <= KEEP)
    return;
  for (size_t i = 0; i < fine->layout.n; i++)
    fine->sum[i] = (float) row_sum[i];
  for (size_t i = 0; i < mg->n_levels; i++) {
    finish_diagonal (&mg->levels[i]);
    if (i + 1 < mg->n_levels)
      heat_multigrid_restrict (mg, i, mg->levels[i].sum, mg->levels[i + 1].sum);
  }
  factor_last (mg);
}

void
heat_multigrid_forget (HeatMultigrid *mg)
{
  mg->has_factor = false;
}
