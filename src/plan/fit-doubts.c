/* What a fit has to say of its data: names swapped, a clock that was set wrong, one thermocouple that does not go with the
 * rest, all of it out of reach. */
#include <glib/gi18n.h>
#include <gsl/gsl_cdf.h>
#include <math.h>

#include "plan/fit-guess.h"

/* Chance below which a thermocouple, or all of them, is called strange. */
#define STRANGE 1e-4

typedef struct {
  LwFitSolution *at;
  LwFitAnswer *fit;
} Doubts;

static const char *
name_of (const Doubts *d, int series)
{
  return ((LwFitChannel *) g_ptr_array_index (d->fit->channels, series))->name;
}

static void
add (Doubts *d, LwFitRemarkKind kind, const LwFitGuess *guess, double chi2, double chi2_if, char *text)
{
  LwFitRemark *remark = g_new0 (LwFitRemark, 1);

  *remark = (LwFitRemark){ kind, guess->run, guess->a, guess->b, guess->shift_s, chi2, chi2_if, text };
  g_ptr_array_add (d->fit->remarks, remark);
}

/* ---- names and clock ---- */

/* What would have to be so, as a clause: "“TC1” and “TC2” exchanged". */
static char *
clause (const Doubts *d, const LwFitGuess *guess)
{
  if (guess->a >= 0)
    /* Translators: fills "with %s it does". */
    return g_strdup_printf (_("“%s” and “%s” exchanged"), name_of (d, guess->a), name_of (d, guess->b));
  return g_strdup_printf (guess->shift_s > 0 ? _("the clock %.0f s earlier") : _("the clock %.0f s later"), fabs (guess->shift_s));
}

static char *
sentence (const Doubts *d, const LwFitGuessed *best, double was)
{
  const LwFitGuess *guess = &best->guess;

  if (guess->a >= 0)
    return g_strdup_printf (_("“%s” and “%s” look swapped: with their names exchanged the run fits far better (chi-square %.0f "
                              "instead of %.0f for %u readings). Check which plug is which."),
                            name_of (d, guess->a), name_of (d, guess->b), best->chi2, was, d->at->data->n);
  return g_strdup_printf (guess->shift_s > 0
                              ? _("The clock looks shifted: if the recording began %.0f s too early the run fits far better "
                                  "(chi-square %.0f instead of %.0f for %u readings). Align it with the plan again.")
                              : _("The clock looks shifted: if the recording began %.0f s too late the run fits far better "
                                  "(chi-square %.0f instead of %.0f for %u readings). Align it with the plan again."),
                          fabs (guess->shift_s), best->chi2, was, d->at->data->n);
}

/* As given nothing fits at all. */
static char *
sentence_alone (const Doubts *d, const LwFitGuessed *best)
{
  g_autofree char *with = clause (d, &best->guess);

  /* Translators: with what, a clause as “TC1” and “TC2” exchanged. */
  return g_strdup_printf (_("As it stands no figures fit the run; with %s they do (chi-square %.0f for %u readings). Check that "
                            "first."),
                          with, best->chi2, d->at->data->n);
}

/* Others that are nearly as good: then it is one of them, and nobody knows which. */
static gboolean
is_unclear (const GArray *guesses)
{
  return guesses->len > 1
         && g_array_index (guesses, LwFitGuessed, 1).chi2 < g_array_index (guesses, LwFitGuessed, 0).chi2 + LW_FIT_GUESS_FALL;
}

static char *
sentence_unclear (const Doubts *d, const GArray *guesses)
{
  g_autoptr (GString) out = g_string_new (_("Names or clock look wrong, but the run cannot tell which of these it is: "));
  double most = g_array_index (guesses, LwFitGuessed, 0).chi2 + LW_FIT_GUESS_FALL;

  for (guint i = 0; i < guesses->len && g_array_index (guesses, LwFitGuessed, i).chi2 < most; i++) {
    g_autofree char *with = clause (d, &g_array_index (guesses, LwFitGuessed, i).guess);
    g_string_append_printf (out, "%s%s", i > 0 ? _("; or ") : "", with);
  }
  g_string_append (out, ".");
  return g_string_free (g_steal_pointer (&out), FALSE);
}

/* GUESSES, the best first, are better than what was given. */
static void
tell (Doubts *d, const GArray *guesses, double was)
{
  const LwFitGuessed *best = &g_array_index (guesses, LwFitGuessed, 0);

  if (is_unclear (guesses))
    add (d, LW_FIT_UNCLEAR, &best->guess, was, best->chi2, sentence_unclear (d, guesses));
  else
    add (d, best->guess.a >= 0 ? LW_FIT_SWAPPED : LW_FIT_SHIFTED, &best->guess, was, best->chi2,
         isnan (was) ? sentence_alone (d, best) : sentence (d, best, was));
}

/* ---- one that does not go with the others ---- */

/* Chance of as large residuals as channel I has. */
static double
chance_of (const LwFitSolution *at, const double *rows, guint i)
{
  const LwFitSeries *series = g_ptr_array_index (at->data->series, i);
  double sum = 0;

  for (guint k = 0; k < series->n; k++)
    sum += rows[series->first + k] * rows[series->first + k];
  return gsl_cdf_chisq_Q (sum, series->n);
}

static void
consider_strange (Doubts *d)
{
  const LwFitSolution *at = d->at;
  g_autofree double *rows = g_new (double, MAX (at->data->n, 1)), *late = g_new (double, at->model->n_runs);
  int worst = -1;
  double least = STRANGE;

  for (guint i = 0; i < at->model->n_runs; i++)
    late[i] = at->u[at->model->n_free + i] * LW_FIT_LATE_S;
  lw_fit_rows (at->model, at->data, at->at, &at->guess, late, TRUE, rows);
  for (guint i = 0; i < at->data->series->len; i++)
    if (chance_of (at, rows, i) < least) {
      least = chance_of (at, rows, i);
      worst = (int) i;
    }
  if (worst < 0 || at->data->series->len < 2)
    return;
  const LwFitChannel *channel = g_ptr_array_index (d->fit->channels, worst);
  LwFitGuess guess = { channel->run, worst, -1, 0 };
  add (d, LW_FIT_STRANGE, &guess, at->chi2, NAN,
       g_strdup_printf (_("“%s” does not go with the others: it is up to %.1f K away from what any believable figures give. "
                          "Check how it is attached."),
                        channel->name, channel->worst_k));
}

/* ---- all of it ---- */

/* By the slopes where nothing is moved: those at a bad solution point anywhere. */
static GArray *
guesses_from_start (LwFitSolution *at, guint run, double below, GError **error)
{
  g_auto (LwFitSolution) start = { .model = at->model, .data = at->data, .reader = at->reader, .n_places = at->n_places,
                                   .guess = LW_FIT_AS_GIVEN, .most_rounds = at->most_rounds };

  return lw_fit_begin (&start, error) ? lw_fit_guesses (&start, run, below, error) : NULL;
}

/* Better readings of RUN than the one given, if there are any. */
static GArray *
better (LwFitSolution *at, guint run, GError **error)
{
  double below = at->chi2 - LW_FIT_GUESS_FALL;
  GArray *out = lw_fit_guesses (at, run, below, error);

  if (out == NULL || out->len > 0 || at->chi2 < LW_FIT_POOR * at->data->n)
    return out;
  g_array_unref (out);
  return guesses_from_start (at, run, below, error);
}

gboolean
lw_fit_doubts (LwFitSolution *self, LwFitAnswer *fit, GError **error)
{
  Doubts d = { self, fit };
  LwFitGuess nothing = LW_FIT_AS_GIVEN;

  for (guint run = 0; fit->settled && run < self->model->n_runs; run++) {
    g_autoptr (GArray) guesses = better (self, run, error);
    if (guesses == NULL)
      return FALSE;
    if (guesses->len > 0)
      tell (&d, guesses, self->chi2);
  }
  if (fit->remarks->len == 0)
    consider_strange (&d);
  if (!fit->usable && (fit->remarks->len == 0 || ((LwFitRemark *) g_ptr_array_index (fit->remarks, 0))->kind == LW_FIT_STRANGE))
    add (&d, LW_FIT_POOR, &nothing, self->chi2, NAN,
         g_strdup_printf (_("No believable figures explain the run: chi-square is %.0f for %u readings. Check plan, board and "
                            "thermocouples; nothing can be kept."),
                          self->chi2, self->data->n));
  return TRUE;
}

/* The best readings of one run, or of none. NULL with an error. */
static GArray *
best_of_runs (LwFitSolution *at, GError **error)
{
  GArray *best = g_array_new (FALSE, FALSE, sizeof (LwFitGuessed));

  for (guint run = 0; best != NULL && run < at->model->n_runs; run++) {
    g_autoptr (GArray) guesses = guesses_from_start (at, run, INFINITY, error);
    if (guesses == NULL)
      g_clear_pointer (&best, g_array_unref);
    else if (guesses->len > 0 && g_array_index (guesses, LwFitGuessed, 0).chi2 < LW_FIT_POOR * at->data->n
             && (best->len == 0
                 || g_array_index (guesses, LwFitGuessed, 0).chi2 < g_array_index (best, LwFitGuessed, 0).chi2)) {
      g_array_unref (best);
      best = g_steal_pointer (&guesses);
    }
  }
  return best;
}

gboolean
lw_fit_rescue (LwFitSolution *self, LwFitAnswer *fit, GError *failed, GError **error)
{
  Doubts d = { self, fit };
  g_autoptr (GError) why = failed;
  g_autoptr (GArray) best = NULL;

  if (g_error_matches (failed, LW_FIT_ERROR, LW_FIT_ERROR_DIVERGED)) {
    best = best_of_runs (self, error);
    if (best == NULL)
      return FALSE;
  }
  if (best == NULL || best->len == 0) {
    g_propagate_error (error, g_steal_pointer (&why));
    return FALSE;
  }
  tell (&d, best, NAN);
  lw_fit_solution_clear (self);
  self->guess = g_array_index (best, LwFitGuessed, 0).guess;
  return lw_fit_solve (self, NULL, error);
}
