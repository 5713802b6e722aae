#include "plan/fit-guess.h"

#include <math.h>

#define SHIFT_MOST_S 90
#define SHIFT_STEP_S 2
/* Nearer ones the clock's own uncertainty has in hand. */
#define SHIFT_LEAST_S 3.0
/* As many exchanges of names get a fit of their own; of clocks the best earlier and the best later one, and where the fit itself has
 * put it. Such a fit may take fewer rounds than the one it is held against: what is right settles soon. */
#define SWAPS_MOST 2
#define ROUNDS_MOST 6
#define GUESSES_MOST 3

typedef struct {
  const LwFitSolution *at;
  gsl_matrix *j;
  double *r, *late;
  double below;
} Ranking;

/* ---- by the slopes ---- */

static double
chi2_of (Ranking *ranking, const LwFitGuess *guess)
{
  const LwFitSolution *at = ranking->at;

  lw_fit_rows (at->model, at->data, at->at, guess, ranking->late, TRUE, ranking->r);
  lw_fit_jacobian (at, at->u, guess, ranking->j);
  return lw_fit_linear (ranking->j, ranking->r, at->u);
}

static int
by_slopes (gconstpointer a, gconstpointer b)
{
  double x = ((const LwFitGuessed *) a)->by_slopes, y = ((const LwFitGuessed *) b)->by_slopes;

  return (x > y) - (x < y);
}

static void
rank (Ranking *ranking, const LwFitGuess *guess, GArray *out)
{
  LwFitGuessed guessed = { *guess, chi2_of (ranking, guess), INFINITY };

  if (guessed.by_slopes < ranking->below)
    g_array_append_val (out, guessed);
}

static void
rank_swaps (Ranking *ranking, guint run, GArray *out)
{
  const GPtrArray *series = ranking->at->data->series;

  for (guint a = 0; a < series->len; a++)
    for (guint b = a + 1; b < series->len; b++) {
      LwFitGuess guess = { run, (int) a, (int) b, 0 };
      if (((LwFitSeries *) series->pdata[a])->run == run && ((LwFitSeries *) series->pdata[b])->run == run)
        rank (ranking, &guess, out);
    }
  g_array_sort (out, by_slopes);
  g_array_set_size (out, MIN (out->len, SWAPS_MOST));
}

static void
rank_shifts (Ranking *ranking, guint run, int sign, GArray *out)
{
  g_autoptr (GArray) all = g_array_new (FALSE, FALSE, sizeof (LwFitGuessed));

  for (int s = SHIFT_STEP_S; s <= SHIFT_MOST_S; s += SHIFT_STEP_S) {
    LwFitGuess guess = { run, -1, -1, sign * s };
    if (s >= SHIFT_LEAST_S)
      rank (ranking, &guess, all);
  }
  g_array_sort (all, by_slopes);
  if (all->len > 0)
    g_array_append_vals (out, all->data, 1);
}

/* The clock is one of the unknowns: a fit that drags it far from where it was set says itself what it should be. */
static void
add_own_shift (const Ranking *ranking, guint run, GArray *out)
{
  double late = round (ranking->late[run]);
  LwFitGuessed guessed = { { run, -1, -1, late }, -INFINITY, INFINITY };

  if (ranking->at->guess.a < 0 && fabs (late) >= SHIFT_LEAST_S)
    g_array_append_val (out, guessed);
}

/* ---- by a fit of its own ---- */

static gboolean
fit_with (const LwFitSolution *at, LwFitGuessed *guessed, GError **error)
{
  g_auto (LwFitSolution) own = { .model = at->model,
                                 .data = at->data,
                                 .reader = at->reader,
                                 .n_places = at->n_places,
                                 .most_rounds = at->most_rounds > 0 ? MIN (at->most_rounds, ROUNDS_MOST) : ROUNDS_MOST,
                                 .guess = guessed->guess };
  g_autoptr (GError) failed = NULL;

  if (lw_fit_solve (&own, NULL, &failed))
    guessed->chi2 = own.chi2;
  else if (!g_error_matches (failed, LW_FIT_ERROR, LW_FIT_ERROR_DIVERGED)) {
    g_propagate_error (error, g_steal_pointer (&failed));
    return FALSE;
  }
  return TRUE;
}

static int
by_chi2 (gconstpointer a, gconstpointer b)
{
  double x = ((const LwFitGuessed *) a)->chi2, y = ((const LwFitGuessed *) b)->chi2;

  return (x > y) - (x < y);
}

/* Two clocks that differ by a few seconds are one reading: the better of them stays. */
static void
drop_same_clock (GArray *guesses)
{
  for (guint i = 0; i < guesses->len; i++)
    for (guint k = guesses->len; k-- > i + 1;) {
      const LwFitGuess *a = &g_array_index (guesses, LwFitGuessed, i).guess, *b = &g_array_index (guesses, LwFitGuessed, k).guess;
      if (a->a < 0 && b->a < 0 && fabs (a->shift_s - b->shift_s) < 2 * SHIFT_LEAST_S)
        g_array_remove_index (guesses, k);
    }
}

GArray *
lw_fit_guesses (const LwFitSolution *at, guint run, double below, GError **error)
{
  g_autoptr (GArray) out = g_array_new (FALSE, FALSE, sizeof (LwFitGuessed));
  g_autofree double *r = g_new (double, MAX (at->data->n, 1)), *late = g_new (double, at->model->n_runs);
  Ranking ranking = { at, gsl_matrix_alloc (at->data->n, lw_fit_model_n (at->model)), r, late, below };
  gboolean ok = TRUE;

  for (guint i = 0; i < at->model->n_runs; i++)
    late[i] = at->u[at->model->n_free + i] * LW_FIT_LATE_S;
  rank_swaps (&ranking, run, out);
  rank_shifts (&ranking, run, 1, out);
  rank_shifts (&ranking, run, -1, out);
  g_array_sort (out, by_slopes);
  g_array_set_size (out, MIN (out->len, GUESSES_MOST));
  add_own_shift (&ranking, run, out);
  gsl_matrix_free (ranking.j);
  for (guint i = 0; ok && i < out->len; i++)
    ok = fit_with (at, &g_array_index (out, LwFitGuessed, i), error);
  if (!ok)
    return NULL;
  g_array_sort (out, by_chi2);
  drop_same_clock (out);
  for (guint i = out->len; i-- > 0 && !(g_array_index (out, LwFitGuessed, i).chi2 < below);)
    g_array_set_size (out, i);
  return g_steal_pointer (&out);
}
