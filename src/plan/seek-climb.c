#include "plan/seek-climb.h"

#include <math.h>
#include <nlopt.h>
#include <string.h>

/* Limits that are kept under watch: the tightest at the start. The rest are looked at all the same, for the
 * value of each point. */
enum { WATCHED = 24 };
#define LEVEL_REACH 0.5  /* first change of the level, in steps */
#define LEVEL_BOUND 1e3
#define SHARE_TOLERANCE 1e-3
/* A climb may halt on a crease that one begun afresh goes past: it is begun again, with long and short steps by turns, until two in a
 * row gain less than this, in steps. */
#define WORTH_ANOTHER 0.004

typedef struct {
  LwTrial *trial;
  LwSpot *best;
  GCancellable *cancellable;
  nlopt_opt opt;
  guint n; /* variables */
  guint watched[WATCHED], n_watched;
} Climb;

typedef struct {
  guint rule;
  double steps;
} Tight;

static int
by_steps (gconstpointer a, gconstpointer b)
{
  const Tight *p = a, *q = b;
  return p->steps < q->steps ? -1 : p->steps > q->steps ? 1 : p->rule < q->rule ? -1 : p->rule > q->rule;
}

static void
watch_tightest (Climb *c)
{
  g_autoptr (GArray) tight = g_array_new (FALSE, FALSE, sizeof (Tight));
  for (guint i = 0; i < c->trial->gauge->rules->len; i++) {
    Tight t = { i, lw_trial_steps (c->trial, i) };
    if (!isnan (t.steps))
      g_array_append_val (tight, t);
  }
  g_array_sort (tight, by_steps);
  for (c->n_watched = 0; c->n_watched < MIN (tight->len, WATCHED); c->n_watched++)
    c->watched[c->n_watched] = g_array_index (tight, Tight, c->n_watched).rule;
}

static void
keep_best (Climb *c, const double *shares)
{
  double least = lw_trial_least (c->trial, NULL);
  if (!(least > c->best->least))
    return;
  c->best->least = least;
  memcpy (c->best->shares, shares, c->n * sizeof (double));
}

/* Minus the level, which is the last variable. */
static double
minus_level (unsigned n, const double *x, double *gradient, void *data)
{
  return -x[n - 1];
}

/* The level less each headroom under watch: none may be above zero. */
static void
over_headroom (unsigned m, double *result, unsigned n, const double *x, double *gradient, void *data)
{
  Climb *c = data;
  gboolean marched = FALSE;

  if (g_cancellable_is_cancelled (c->cancellable))
    nlopt_force_stop (c->opt);
  else
    marched = lw_trial_guess (c->trial, x);
  if (marched)
    keep_best (c, x);
  for (unsigned i = 0; i < m; i++) {
    double steps = marched ? lw_trial_steps (c->trial, c->watched[i]) : -LEVEL_BOUND;
    result[i] = x[n - 1] - (isnan (steps) ? LEVEL_BOUND : steps);
  }
}

static void
set_reach (Climb *c, double reach)
{
  g_autofree double *step = g_new (double, c->n + 1);
  for (guint i = 0; i < c->n; i++)
    step[i] = reach;
  step[c->n] = LEVEL_REACH;
  nlopt_set_initial_step (c->opt, step);
}

/* One climb from SPOT inside LOW .. HIGH (n + 1 each, the level last), of MOST guesses. */
static void
climb_once (Climb *c, const double *low, const double *high, double reach, guint most)
{
  g_autofree double *x = g_new (double, c->n + 1);
  double level;

  if (!lw_trial_guess (c->trial, c->best->shares))
    return;
  keep_best (c, c->best->shares);
  watch_tightest (c);
  memcpy (x, c->best->shares, c->n * sizeof (double));
  x[c->n] = CLAMP (lw_trial_least (c->trial, NULL), -LEVEL_BOUND, LEVEL_BOUND);
  c->opt = nlopt_create (NLOPT_LN_COBYLA, c->n + 1);
  nlopt_set_lower_bounds (c->opt, low);
  nlopt_set_upper_bounds (c->opt, high);
  nlopt_set_min_objective (c->opt, minus_level, c);
  nlopt_add_inequality_mconstraint (c->opt, c->n_watched, over_headroom, c, NULL);
  set_reach (c, reach);
  nlopt_set_xtol_abs1 (c->opt, SHARE_TOLERANCE);
  nlopt_set_maxeval (c->opt, (int) most);
  nlopt_optimize (c->opt, x, &level);
  nlopt_destroy (c->opt);
}

void
lw_seek_climb (LwTrial *trial, LwSpot *spot, const LwSeekReach *reach, GCancellable *cancellable)
{
  Climb c = { .trial = trial, .best = spot, .cancellable = cancellable, .n = lw_seek_space_n (trial->space) };
  g_autofree double *low = g_new (double, c.n + 1), *high = g_new (double, c.n + 1);
  guint once = 10 * (c.n + 1), idle = 0, first = trial->n_tried;

  for (guint i = 0; i < c.n; i++) {
    low[i] = fmax (0, spot->shares[i] - reach->box);
    high[i] = fmin (1, spot->shares[i] + reach->box);
  }
  low[c.n] = -LEVEL_BOUND;
  high[c.n] = LEVEL_BOUND;
  for (guint run = 0; c.n > 0 && idle < 2 && !g_cancellable_is_cancelled (cancellable); run++) {
    guint used = trial->n_tried - first;
    double was = spot->least;
    if (used + c.n + 3 > reach->most)
      break;
    climb_once (&c, low, high, run % 2 ? reach->step / 2 : reach->step, MIN (once, reach->most - used));
    idle = spot->least < was + WORTH_ANOTHER ? idle + 1 : 0;
  }
}
