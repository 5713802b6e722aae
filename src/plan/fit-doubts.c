/* Other readings of the same data, held against the one that was given: names swapped, a clock that was set wrong, one
 * thermocouple that does not go with the rest. First by the slopes at the solution, then the best of them by a fit of
 * its own, so that nothing is said that was not computed. */
#include <glib/gi18n.h>
#include <gsl/gsl_cdf.h>
#include <math.h>

#include "plan/fit-inside.h"

/* By how much the sum of squares has to fall: for likelihoods of normal errors e^(15/2), 1,800 to 1. Names and clocks are
 * right more often than not, by how much nobody knows: the program's own choice. */
#define FALL 15.0
#define SHIFT_MOST_S 90
#define SHIFT_LEAST_S 3.0
/* Chance below which a thermocouple, or all of them, is called strange. */
#define STRANGE 1e-4

typedef struct {
  LwFitSolution *at;
  const LwFitRecord *runs;
  LwFitAnswer *fit;
  gsl_matrix *j;
  double *r;
} Doubts;

/* ---- by the slopes ---- */

static double
chi2_of (Doubts *d, const LwFitGuess *guess)
{
  const LwFitSolution *at = d->at;
  guint n_runs = at->model->n_runs, n_free = at->model->n_free;
  g_autofree double *late = g_new (double, n_runs);

  for (guint i = 0; i < n_runs; i++)
    late[i] = at->u[n_free + i] * LW_FIT_LATE_S;
  lw_fit_rows (at->model, at->data, at->at, guess, late, TRUE, d->r);
  lw_fit_jacobian (at, at->u, guess, d->j);
  return lw_fit_linear (d->j, d->r, at->u);
}

static void
best_swap (Doubts *d, guint run, LwFitGuess *best, double *least)
{
  const GPtrArray *series = d->at->data->series;

  for (guint a = 0; a < series->len; a++)
    for (guint b = a + 1; b < series->len; b++) {
      LwFitGuess guess = { run, (int) a, (int) b, 0 };
      double chi2;
      if (((LwFitSeries *) series->pdata[a])->run != run || ((LwFitSeries *) series->pdata[b])->run != run)
        continue;
      chi2 = chi2_of (d, &guess);
      if (chi2 < *least) {
        *least = chi2;
        *best = guess;
      }
    }
}

static void
best_shift (Doubts *d, guint run, LwFitGuess *best, double *least)
{
  for (int s = -SHIFT_MOST_S; s <= SHIFT_MOST_S; s += 2) {
    LwFitGuess guess = { run, -1, -1, s };
    double chi2 = chi2_of (d, &guess);
    if (chi2 < *least) {
      *least = chi2;
      *best = guess;
    }
  }
}

/* ---- by a fit of its own ---- */

/* The least sum of squares with GUESS believed; INFINITY when that does not settle. */
static gboolean
fit_with (Doubts *d, const LwFitGuess *guess, double *chi2, GError **error)
{
  g_auto (LwFitSolution) own = { .model = d->at->model,
                                 .data = d->at->data,
                                 .reader = d->at->reader,
                                 .n_places = d->at->n_places,
                                 .guess = *guess };
  GError *failed = NULL;

  *chi2 = INFINITY;
  if (lw_fit_solve (&own, NULL, &failed)) {
    *chi2 = own.chi2;
  } else if (!g_error_matches (failed, LW_FIT_ERROR, LW_FIT_ERROR_DIVERGED)) {
    g_propagate_error (error, failed);
    return FALSE;
  }
  g_clear_error (&failed);
  return TRUE;
}

static const char *
name_of (const Doubts *d, int series)
{
  return ((LwFitChannel *) g_ptr_array_index (d->fit->channels, series))->name;
}

static void
add (Doubts *d, LwFitRemarkKind kind, const LwFitGuess *guess, double chi2_if, char *text)
{
  LwFitRemark *remark = g_new0 (LwFitRemark, 1);

  *remark = (LwFitRemark){ kind, guess->run, guess->a, guess->b, guess->shift_s, d->at->chi2, chi2_if, text };
  g_ptr_array_add (d->fit->remarks, remark);
}

static gboolean
consider (Doubts *d, const LwFitGuess *guess, double by_slopes, GError **error)
{
  double chi2, was = d->at->chi2;
  char *text;

  if (!(by_slopes < was - FALL) || (guess->a < 0 && fabs (guess->shift_s) < SHIFT_LEAST_S))
    return TRUE;
  if (!fit_with (d, guess, &chi2, error))
    return FALSE;
  if (!(chi2 < was - FALL))
    return TRUE;
  if (guess->a >= 0)
    text = g_strdup_printf (_("“%s” and “%s” look swapped: with their names exchanged the run fits far better (chi-square %.0f "
                              "instead of %.0f for %u readings). Check which plug is which."),
                            name_of (d, guess->a), name_of (d, guess->b), chi2, was, d->at->data->n);
  else
    text = g_strdup_printf (guess->shift_s > 0
                                ? _("The clock looks shifted: if the recording began %.0f s too early the run fits far better "
                                    "(chi-square %.0f instead of %.0f for %u readings). Align it with the plan again.")
                                : _("The clock looks shifted: if the recording began %.0f s too late the run fits far better "
                                    "(chi-square %.0f instead of %.0f for %u readings). Align it with the plan again."),
                            fabs (guess->shift_s), chi2, was, d->at->data->n);
  add (d, guess->a >= 0 ? LW_FIT_SWAPPED : LW_FIT_SHIFTED, guess, chi2, text);
  return TRUE;
}

/* ---- one that does not go with the others ---- */

static void
consider_strange (Doubts *d)
{
  const LwFitGuess as_given = LW_FIT_AS_GIVEN;
  int worst = -1;
  double least = STRANGE;

  chi2_of (d, &as_given);
  for (guint i = 0; i < d->at->data->series->len; i++) {
    const LwFitSeries *series = g_ptr_array_index (d->at->data->series, i);
    double sum = 0, chance;
    for (guint k = 0; k < series->n; k++)
      sum += d->r[series->first + k] * d->r[series->first + k];
    chance = gsl_cdf_chisq_Q (sum, series->n);
    if (chance < least) {
      least = chance;
      worst = (int) i;
    }
  }
  if (worst < 0 || d->at->data->series->len < 2)
    return;
  const LwFitChannel *channel = g_ptr_array_index (d->fit->channels, worst);
  LwFitGuess guess = { channel->run, worst, -1, 0 };
  add (d, LW_FIT_STRANGE, &guess, NAN,
       g_strdup_printf (_("“%s” does not go with the others: it is up to %.1f K away from what any believable figures give. "
                          "Check how it is attached."),
                        channel->name, channel->worst_k));
}

gboolean
lw_fit_doubts (LwFitSolution *self, const LwFitRecord *runs, LwFitAnswer *fit, GError **error)
{
  Doubts d = { self, runs, fit, self->jacobian, g_new (double, MAX (self->data->n, 1)) };
  gboolean ok = TRUE;
  LwFitGuess nothing = LW_FIT_AS_GIVEN;

  for (guint run = 0; ok && run < self->model->n_runs; run++) {
    LwFitGuess swap = nothing, shift = nothing;
    double by_swap = INFINITY, by_shift = INFINITY;
    best_swap (&d, run, &swap, &by_swap);
    best_shift (&d, run, &shift, &by_shift);
    ok = consider (&d, by_swap < by_shift ? &swap : &shift, fmin (by_swap, by_shift), error)
         && (fit->remarks->len > 0
             || consider (&d, by_swap < by_shift ? &shift : &swap, fmax (by_swap, by_shift), error));
  }
  if (ok && fit->remarks->len == 0)
    consider_strange (&d);
  if (ok && !fit->usable)
    add (&d, LW_FIT_POOR, &nothing, NAN,
         g_strdup_printf (_("No believable figures explain the run: chi-square is %.0f for %u readings. Check plan, board and "
                            "thermocouples; nothing can be kept."),
                          self->chi2, self->data->n));
  lw_fit_jacobian (self, self->u, &nothing, self->jacobian);
  g_free (d.r);
  return ok;
}
