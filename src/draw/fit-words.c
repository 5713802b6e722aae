#include "draw/fit-words.h"

#include <math.h>

#include <glib/gi18n.h>

/* To tenths, with a sign; no "-0.0". */
static double
tenths (double value)
{
  return round (10 * value) / 10 + 0.0;
}

gboolean
lw_fit_is_told (const LwFitted *figure)
{
  return figure->verdict == LW_VERDICT_TOLD || figure->verdict == LW_VERDICT_TIED;
}

char *
lw_fit_amount (const LwFitted *figure, double value, LwUnits units)
{
  return figure->is_factor ? g_strdup_printf ("× %.2f", value)
                           : g_strdup_printf ("%+.1f %s", tenths (lw_units_shown (units, value, "K")), lw_units_word (units, "K"));
}

static char *
bare (const LwFitted *figure, double value, LwUnits units)
{
  return figure->is_factor ? g_strdup_printf ("%.2f", value) : g_strdup_printf ("%+.1f", tenths (lw_units_shown (units, value, "K")));
}

char *
lw_fit_range (const LwFitted *figure, double low, double high, LwUnits units)
{
  g_autofree char *from = bare (figure, low, units), *to = bare (figure, high, units);

  /* Translators: a range, low and high end */
  return g_strdup_printf (_("%s to %s"), from, to);
}

char *
lw_fit_told_by (const LwFitAnswer *fit, const LwFitted *figure)
{
  const char *name = figure->told_by >= 0 ? ((LwFitChannel *) g_ptr_array_index (fit->channels, figure->told_by))->name : "–";

  switch (figure->verdict) {
  case LW_VERDICT_HELD:
    return g_strdup (_("held as stated"));
  case LW_VERDICT_TOLD:
    return g_strdup (name);
  case LW_VERDICT_TIED:
    /* Translators: thermocouple, then the name of another figure. */
    return g_strdup_printf (_("%s, only together with: %s"), name, lw_fit_figure_name ((guint) figure->tied_to));
  case LW_VERDICT_UNTOLD:
  case LW_VERDICT_GIVEN:
  default:
    return figure->teller != NULL ? g_strdup_printf (_("not told; would be by: %s"), figure->teller)
                                  : g_strdup (_("not told, by no thermocouple"));
  }
}

char *
lw_fit_headline (const LwFitAnswer *fit)
{
  guint told = 0, asked = 0;

  for (guint i = 0; i < LW_N_FIT; i++) {
    LwVerdict verdict = fit->figures[i].verdict;
    told += lw_fit_is_told (&fit->figures[i]);
    asked += verdict != LW_VERDICT_GIVEN && verdict != LW_VERDICT_HELD;
  }
  return g_strdup_printf (_("%u of %u figures are told"), told, asked);
}

char *
lw_fit_apart (const LwFitAnswer *fit, LwUnits units)
{
  const char *unit = lw_units_word (units, "K");
  double before = 0, after = 0;
  guint n = 0;

  for (guint i = 0; i < fit->channels->len; i++) {
    const LwFitChannel *c = g_ptr_array_index (fit->channels, i);
    before += c->rms_before_k * c->rms_before_k * c->n;
    after += c->rms_after_k * c->rms_after_k * c->n;
    n += c->n;
  }
  return g_strdup_printf (_("Prediction and run were %.1f %s apart (root mean square) and are %.1f %s apart now."),
                          lw_units_shown (units, sqrt (before / MAX (n, 1)), "K"), unit,
                          lw_units_shown (units, sqrt (after / MAX (n, 1)), "K"), unit);
}

static const char *
unit_of (LwFigure figure)
{
  switch (figure) {
  case LW_FIGURE_RAMP_UP:
  case LW_FIGURE_RAMP_DOWN:
  case LW_FIGURE_FASTEST_RAMP_UP:
    return "°C/s";
  case LW_FIGURE_ABOVE_LIQUIDUS:
  case LW_FIGURE_ABOVE_LIQUIDUS_HOT:
    return "s";
  default:
    return "K";
  }
}

char *
lw_fit_half (const LwSuggestions *suggestions, double half, LwUnits units)
{
  const char *unit = unit_of (suggestions->figure);
  double shown = lw_units_shown (units, half, unit);

  return g_strdup_printf (shown < 1 ? "± %.2f %s" : "± %.1f %s", shown, lw_units_word (units, unit));
}
