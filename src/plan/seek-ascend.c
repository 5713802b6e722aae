#include "plan/seek-ascend.h"

#include <math.h>
#include <string.h>

/* A climb that promises less than this many steps is not worth a march. */
#define PROMISE_STEPS 0.005
/* After a climb that was not borne out, the next may go this share as far. */
#define LESS_FAR 0.6
/* Times that every set point is moved by a grain either way, where figures are rounded. */
enum { GRAIN_ROUNDS = 2 };

gboolean
lw_seek_mark (const LwSeekPair *pair, LwSpot *spot)
{
  gboolean marched = lw_trial_march (pair->sure, spot->shares, pair->round);

  spot->least = marched ? lw_trial_least (pair->sure, NULL) : -INFINITY;
  if (pair->round)
    lw_seek_space_take (pair->sure->space, pair->sure->plan, spot->shares);
  return marched;
}

/* GUIDE agrees with SURE at SPOT, which SURE has marched last. */
static gboolean
put_right (const LwSeekPair *pair, const LwSpot *spot)
{
  if (!lw_trial_guess (pair->guide, spot->shares))
    return FALSE;
  lw_trial_correct (pair->guide, pair->sure);
  return TRUE;
}

/* ---- figures a person would set ---- */

static gboolean
try_grain (LwTrial *guide, LwSpot *spot, guint i, double by)
{
  double was = spot->shares[i];

  spot->shares[i] = CLAMP (was + by, 0, 1);
  if (spot->shares[i] != was && lw_trial_guess (guide, spot->shares) && lw_trial_least (guide, NULL) > spot->least) {
    spot->least = lw_trial_least (guide, NULL);
    return TRUE;
  }
  spot->shares[i] = was;
  return FALSE;
}

/* The best rounded figures about SPOT: plain rounding may cost more than the last climb gained. */
static void
round_well (const LwSeekPair *pair, LwSpot *spot)
{
  LwTrial *guide = pair->guide;
  gboolean moved = TRUE;

  lw_seek_space_put (guide->space, spot->shares, TRUE, guide->plan);
  lw_seek_space_take (guide->space, guide->plan, spot->shares);
  spot->least = lw_trial_guess (guide, spot->shares) ? lw_trial_least (guide, NULL) : -INFINITY;
  for (guint round = 0; moved && round < GRAIN_ROUNDS; round++) {
    moved = FALSE;
    for (guint i = 0; i < lw_seek_space_n (guide->space) && !g_cancellable_is_cancelled (pair->cancellable); i++) {
      double grain = lw_seek_space_grain (guide->space, i);
      moved = try_grain (guide, spot, i, grain) || try_grain (guide, spot, i, -grain) || moved;
    }
  }
}

/* ---- up ---- */

/* From SPOT by guesses into OTHER; whether that is worth a march. */
static gboolean
climb_to (const LwSeekPair *pair, const LwSpot *spot, const LwSeekReach *reach, LwSpot *other)
{
  memcpy (other->shares, spot->shares, lw_seek_space_n (pair->sure->space) * sizeof (double));
  other->least = -INFINITY;
  lw_seek_climb (pair->guide, other, reach, pair->cancellable);
  if (pair->round)
    round_well (pair, other);
  return other->least > fmax (spot->least + PROMISE_STEPS, pair->worth);
}

void
lw_seek_ascend (const LwSeekPair *pair, LwSpot *spot, const LwSeekReach *reach, guint cycles)
{
  guint n = lw_seek_space_n (pair->sure->space);
  LwSpot other = { g_new0 (double, MAX (n, 1)), 0 };
  LwSeekReach now = *reach;
  gboolean right = put_right (pair, spot), holds = TRUE;

  for (guint i = 0; right && i < cycles; i++) {
    double least = spot->least;
    if (!climb_to (pair, spot, &now, &other)) {
      if (holds)
        break;
      holds = lw_seek_mark (pair, spot); /* what disappointed may have taught too much: on from the best */
      right = holds && put_right (pair, spot);
      continue;
    }
    holds = lw_seek_mark (pair, &other) && other.least > least;
    if (holds) {
      memcpy (spot->shares, other.shares, n * sizeof (double));
      spot->least = other.least;
    } else {
      now.box *= LESS_FAR;
      now.step *= LESS_FAR;
    }
    right = put_right (pair, &other); /* what disappointed is what has to be learned from */
  }
  if (!holds)
    lw_seek_mark (pair, spot);
  g_free (other.shares);
}
