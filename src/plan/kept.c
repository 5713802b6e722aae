#include "plan/kept.h"

#include "board/edits-history.h"

#include <glib/gi18n.h>
#include <math.h>

#define Z_95 1.959963984540054 /* Abramowitz and Stegun, Table 26.1 */
/* What a file may say without making a scene that cannot be computed. */
#define FACTOR_LEAST 0.05
#define FACTOR_MOST 20.0
#define ADD_MOST_K 100.0

const char *
lw_fit_figure_key (guint figure)
{
  return figure < LW_N_UNSURE ? lw_unsure_key (figure) : figure == LW_FIT_GAS_LAG ? "gas-lag" : "preheat-lag";
}

const char *
lw_fit_figure_name (guint figure)
{
  return figure < LW_N_UNSURE       ? lw_unsure_name (figure)
         : figure == LW_FIT_GAS_LAG ? _("Lag of the gas heater")
                                    : _("Lag of the preheater");
}

gboolean
lw_fit_is_factor (guint figure)
{
  return figure >= LW_N_UNSURE || lw_unsure_inputs ()[figure].shape == LW_SHAPE_LOGNORMAL;
}

static int
figure_of (const char *key)
{
  for (guint i = 0; i < LW_N_FIT; i++)
    if (g_str_equal (key, lw_fit_figure_key (i)))
      return (int) i;
  return -1;
}

static gboolean
holds_for (const LwFit *fit, const LwPlan *plan, guint figure)
{
  switch (figure) {
  case LW_UNSURE_NOZZLE_FILM:
  case LW_UNSURE_SPILL_FILM:
    return *fit->nozzle == '\0' || g_str_equal (fit->nozzle, plan->nozzle);
  case LW_UNSURE_JOINT:
    return g_str_equal (fit->ref, plan->ref);
  case LW_UNSURE_AMBIENT:
    return FALSE;
  default:
    return TRUE;
  }
}

static gboolean
take (const LwFitFigure *from, guint figure, LwKeptFigures *out)
{
  gboolean is_factor = lw_fit_is_factor (figure);

  if (isnan (from->value) || !(from->sigma > 0))
    return FALSE;
  out->value[figure] = is_factor ? CLAMP (from->value, FACTOR_LEAST, FACTOR_MOST)
                                 : CLAMP (from->value, -ADD_MOST_K, ADD_MOST_K);
  out->sigma[figure] = is_factor ? from->sigma / out->value[figure] : from->sigma;
  return TRUE;
}

static void
take_ties (const LwFit *fit, const int *figure, LwKeptFigures *out)
{
  guint at = 0;

  if (fit->ties->len != fit->figures->len * (fit->figures->len - 1) / 2)
    return;
  for (guint i = 1; i < fit->figures->len; i++)
    for (guint k = 0; k < i; k++, at++)
      if (figure[i] >= 0 && figure[k] >= 0)
        out->ties[figure[i] * LW_N_FIT + figure[k]] = out->ties[figure[k] * LW_N_FIT + figure[i]]
            = g_array_index (fit->ties, double, at);
}

void
lw_kept_find (const LwJob *job, guint plan, LwKeptFigures *out)
{
  g_autofree int *figure = NULL;

  *out = (LwKeptFigures){ .of = lw_job_fit_in_use (job) };
  for (guint i = 0; i < LW_N_FIT; i++) {
    out->value[i] = lw_fit_is_factor (i);
    out->ties[i * LW_N_FIT + i] = 1;
  }
  if (out->of == NULL)
    return;
  figure = g_new (int, MAX (out->of->figures->len, 1));
  for (guint i = 0; i < out->of->figures->len; i++) {
    const LwFitFigure *from = g_ptr_array_index (out->of->figures, i);
    int f = figure_of (from->key);
    figure[i] = -1;
    if (f < 0 || out->known[f] || !holds_for (out->of, g_ptr_array_index (job->plans, plan), (guint) f)
        || !take (from, (guint) f, out))
      continue;
    out->known[f] = TRUE;
    figure[i] = f;
  }
  take_ties (out->of, figure, out);
}

void
lw_kept_narrow (const LwKeptFigures *self, LwUnsureSpreads *spreads)
{
  for (guint i = 0; i < LW_N_UNSURE; i++) {
    double sigma = self->sigma[i];
    if (!self->known[i])
      continue;
    spreads->spread[i] = lw_fit_is_factor (i)                                    ? expm1 (sigma * Z_95)
                         : lw_unsure_inputs ()[i].shape == LW_SHAPE_UNIFORM ? sigma * sqrt (3)
                                                                                 : sigma * Z_95;
    for (guint k = 0; k < LW_N_UNSURE; k++)
      spreads->ties[i * LW_N_UNSURE + k] = spreads->ties[k * LW_N_UNSURE + i] = self->ties[i * LW_N_FIT + k];
  }
}
