/* A fit's answer as part of the document. */
#include <glib/gi18n.h>
#include <math.h>

#include "board/edits-history.h"
#include "plan/fit.h"

static void
set (char **text, const char *value)
{
  g_free (*text);
  *text = g_strdup (value);
}

static gboolean
may_keep (const LwFitAnswer *self, GError **error)
{
  for (guint i = 0; i < self->remarks->len; i++) {
    const LwFitRemark *remark = g_ptr_array_index (self->remarks, i);
    if (remark->kind == LW_FIT_STRANGE)
      continue;
    g_set_error_literal (error, LW_FIT_ERROR, LW_FIT_ERROR_REFUSED, remark->text);
    return FALSE;
  }
  return TRUE;
}

/* Those that were not told go along, as wide as they still are: the others rest on where they stand. */
static gboolean
goes_along (const LwFitted *figure)
{
  return figure->verdict != LW_VERDICT_GIVEN && figure->verdict != LW_VERDICT_HELD && figure->figure != LW_UNSURE_AMBIENT;
}

static LwFitFigure *
figure_of (const LwFitted *from)
{
  LwFitFigure *out = lw_fit_figure_new ();

  set (&out->key, lw_fit_figure_key (from->figure));
  set (&out->text, lw_fit_figure_name (from->figure));
  set (&out->unit, from->is_factor ? "" : "°C");
  out->before = from->is_factor ? 1 : 0;
  out->value = from->value;
  out->sigma = from->is_factor ? from->sigma * from->value : from->sigma;
  return out;
}

static void
add_figures (const LwFitAnswer *self, LwFit *fit)
{
  guint figure[LW_N_FIT], n = 0;

  for (guint i = 0; i < LW_N_FIT; i++)
    if (goes_along (&self->figures[i])) {
      g_ptr_array_add (fit->figures, figure_of (&self->figures[i]));
      figure[n++] = i;
    }
  for (guint i = 1; i < n; i++)
    for (guint k = 0; k < i; k++) {
      double r = CLAMP (self->correlation[figure[i] * LW_N_FIT + figure[k]], -1, 1);
      r = round (r * 1e6) / 1e6;
      g_array_append_val (fit->ties, r);
    }
}

/* Root mean square over all channels. */
static double
apart (const LwFitAnswer *self, gboolean after)
{
  double sum = 0;
  guint n = 0;

  for (guint i = 0; i < self->channels->len; i++) {
    const LwFitChannel *channel = g_ptr_array_index (self->channels, i);
    double rms = after ? channel->rms_after_k : channel->rms_before_k;
    sum += rms * rms * channel->n;
    n += channel->n;
  }
  return n > 0 ? sqrt (sum / n) : NAN;
}

LwJob *
lw_fit_keep (const LwFitAnswer *self, const LwJob *job, const guint *runs, guint n_runs, GError **error)
{
  LwFit *fit;

  if (!may_keep (self, error))
    return NULL;
  fit = lw_fit_new ();
  set (&fit->ref, self->ref);
  set (&fit->nozzle, self->nozzle);
  fit->date = (g_free (fit->date), lw_history_now ());
  fit->apart_before_k = apart (self, FALSE);
  fit->apart_after_k = apart (self, TRUE);
  fit->kept = TRUE;
  for (guint i = 0; i < n_runs && runs[i] < job->runs->len; i++) {
    const LwRun *run = g_ptr_array_index (job->runs, runs[i]);
    LwFitRun used = { g_strdup (run->name) };
    g_array_append_val (fit->runs, used);
    if (i == 0)
      set (&fit->plan_hash, run->plan_hash);
  }
  add_figures (self, fit);
  return lw_edit_add_fit (job, fit, error);
}
