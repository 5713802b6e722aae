#include "plan/doubt.h"

#include <glib/gi18n.h>
#include <math.h>

#include "plan/draws.h"

/* A swing below this share of the largest says nothing. */
#define SWING_LEAST 1e-3

typedef struct {
  float *low, *high;
} Path;

struct LwDoubt {
  gint ref_count;
  guint n_samples, n_bodies, n_times;
  double *t_s;
  LwUnsureSpreads spreads;
  float *change; /* [place * n_samples + sample] */
  float *swing;  /* [(input * 2 + end) * n_places + place] */
  LwBand *band;  /* [place], of the changes */
  Path *paths;   /* [body * LW_N_CURVES + curve] */
};

/* ---- life ---- */

static gsize
n_places (const LwDoubt *self)
{
  return (gsize) self->n_bodies * LW_N_FIGURES;
}

static gsize
place (const LwDoubt *self, guint body, LwFigure figure)
{
  return (gsize) body * LW_N_FIGURES + figure;
}

static float *
unknown (gsize n)
{
  float *out = g_new (float, MAX (n, 1));

  for (gsize i = 0; i < n; i++)
    out[i] = NAN;
  return out;
}

LwDoubt *
lw_doubt_new (guint n_samples, guint n_bodies, const double *t_s, guint n_times, const LwUnsureSpreads *spreads)
{
  LwDoubt *self = g_new0 (LwDoubt, 1);

  self->ref_count = 1;
  self->n_samples = n_samples;
  self->n_bodies = n_bodies;
  self->n_times = n_times;
  self->t_s = g_memdup2 (t_s, n_times * sizeof (double));
  self->spreads = *spreads;
  self->change = unknown (n_places (self) * n_samples);
  self->swing = unknown (n_places (self) * LW_N_UNSURE * 2);
  self->paths = g_new0 (Path, MAX (n_bodies, 1) * LW_N_CURVES);
  return self;
}

LwDoubt *
lw_doubt_ref (LwDoubt *self)
{
  g_atomic_int_inc (&self->ref_count);
  return self;
}

void
lw_doubt_unref (LwDoubt *self)
{
  if (self == NULL || !g_atomic_int_dec_and_test (&self->ref_count))
    return;
  for (guint i = 0; i < self->n_bodies * LW_N_CURVES; i++) {
    g_free (self->paths[i].low);
    g_free (self->paths[i].high);
  }
  g_free (self->paths);
  g_free (self->t_s);
  g_free (self->change);
  g_free (self->swing);
  g_free (self->band);
  g_free (self);
}

/* ---- making ---- */

void
lw_doubt_put (LwDoubt *self, guint sample, guint body, LwFigure figure, double change)
{
  self->change[place (self, body, figure) * self->n_samples + sample] = (float) change;
}

void
lw_doubt_put_swing (LwDoubt *self, LwUnsure input, guint end, guint body, LwFigure figure, double change)
{
  self->swing[((gsize) input * 2 + end) * n_places (self) + place (self, body, figure)] = (float) change;
}

static float *
floats (const double *v, guint n)
{
  float *out = g_new (float, MAX (n, 1));

  for (guint i = 0; i < n; i++)
    out[i] = (float) v[i];
  return out;
}

void
lw_doubt_put_curve (LwDoubt *self, guint body, LwCurve curve, const double *low, const double *high)
{
  Path *path = &self->paths[body * LW_N_CURVES + curve];

  g_free (path->low);
  g_free (path->high);
  path->low = floats (low, self->n_times);
  path->high = floats (high, self->n_times);
}

static LwBand
band_of (const LwDoubt *self, gsize at, double *scratch)
{
  const float *change = self->change + at * self->n_samples;
  LwBand band;

  for (guint i = 0; i < self->n_samples; i++)
    scratch[i] = change[i];
  band.low = lw_draws_quantile (scratch, self->n_samples, LW_BAND_SHARE);
  if (isnan (band.low))
    return (LwBand){ NAN, NAN, NAN };
  band.mid = lw_draws_quantile (scratch, self->n_samples, 0.5);
  band.high = lw_draws_quantile (scratch, self->n_samples, 1 - LW_BAND_SHARE);
  return band;
}

void
lw_doubt_seal (LwDoubt *self)
{
  g_autofree double *scratch = g_new (double, MAX (self->n_samples, 1));

  g_free (self->band);
  self->band = g_new (LwBand, MAX (n_places (self), 1));
  for (gsize i = 0; i < n_places (self); i++)
    self->band[i] = band_of (self, i, scratch);
}

/* ---- answers ---- */

guint
lw_doubt_n_samples (const LwDoubt *self)
{
  return self->n_samples;
}

double
lw_doubt_spread (const LwDoubt *self, LwUnsure input)
{
  return self->spreads.spread[input];
}

static const LwBand *
change_of (const LwDoubt *self, guint body, LwFigure figure)
{
  return self->band != NULL && body < self->n_bodies ? &self->band[place (self, body, figure)] : NULL;
}

/* Times, ramps and spreads have nothing below nought. */
static double
floor_of (LwFigure figure)
{
  switch (figure) {
  case LW_FIGURE_RAMP_UP:
  case LW_FIGURE_RAMP_DOWN:
  case LW_FIGURE_FASTEST_RAMP_UP:
  case LW_FIGURE_SPREAD:
  case LW_FIGURE_ABOVE_LIQUIDUS:
  case LW_FIGURE_ABOVE_LIQUIDUS_HOT:
    return 0;
  default:
    return -INFINITY;
  }
}

LwBand
lw_doubt_band (const LwDoubt *self, guint body, LwFigure figure, double value)
{
  const LwBand *change = change_of (self, body, figure);
  double least = floor_of (figure);

  if (change == NULL || isnan (value) || isnan (change->low))
    return (LwBand){ NAN, NAN, NAN };
  return (LwBand){ fmax (value + change->low, least), fmax (value + change->mid, least),
                   fmax (value + change->high, least) };
}

double
lw_doubt_half (const LwDoubt *self, guint body, LwFigure figure)
{
  const LwBand *change = change_of (self, body, figure);

  return change == NULL ? NAN : 0.5 * (change->high - change->low);
}

double
lw_doubt_chance (const LwDoubt *self, guint body, LwFigure figure, double value, double limit, gboolean upper)
{
  guint known = 0, passed = 0;
  const float *change;
  double room = limit - value; /* the change that just reaches the limit */

  if (change_of (self, body, figure) == NULL || isnan (room))
    return NAN;
  change = self->change + place (self, body, figure) * self->n_samples;
  for (guint i = 0; i < self->n_samples; i++) {
    known += !isnan (change[i]);
    passed += upper ? change[i] >= room : change[i] < room;
  }
  return known > 0 ? passed / (double) known : NAN;
}

static int
stronger (gconstpointer a, gconstpointer b)
{
  const LwDependence *da = a, *db = b;

  if (da->share != db->share)
    return da->share > db->share ? -1 : 1;
  return (int) da->input - (int) db->input;
}

guint
lw_doubt_depends (const LwDoubt *self, guint body, LwFigure figure, LwDependence out[LW_N_UNSURE])
{
  guint n = 0, kept = 0;
  double sum = 0;

  if (body >= self->n_bodies)
    return 0;
  for (guint i = 0; i < LW_N_UNSURE; i++) {
    const float *swing = self->swing + (gsize) i * 2 * n_places (self) + place (self, body, figure);
    double low = swing[0], high = swing[n_places (self)], size = high - low;
    if (isnan (size) || !(size != 0))
      continue;
    out[n++] = (LwDependence){ i, low, high, size * size };
    sum += size * size;
  }
  qsort (out, n, sizeof *out, stronger);
  while (kept < n && out[kept].share > SWING_LEAST * SWING_LEAST * out[0].share)
    out[kept++].share /= sum;
  return kept;
}

gboolean
lw_doubt_curve (const LwDoubt *self, guint body, LwCurve curve, double t_s, double *low, double *high)
{
  const Path *path = body < self->n_bodies ? &self->paths[body * LW_N_CURVES + curve] : NULL;
  guint a = 0, b;
  double share = 0;

  if (path == NULL || path->low == NULL || self->n_times == 0)
    return FALSE;
  b = self->n_times - 1;
  while (b - a > 1) {
    guint middle = a + (b - a) / 2;
    *(self->t_s[middle] <= t_s ? &a : &b) = middle;
  }
  if (b > a && self->t_s[b] > self->t_s[a])
    share = CLAMP ((t_s - self->t_s[a]) / (self->t_s[b] - self->t_s[a]), 0, 1);
  *low = path->low[a] + share * (path->low[b] - path->low[a]);
  *high = path->high[a] + share * (path->high[b] - path->high[a]);
  return !isnan (*low) && !isnan (*high);
}

/* ---- words ---- */

char *
lw_chance_number (double chance)
{
  if (chance < 0.001)
    return g_strdup (_("less than 0.1 %"));
  if (chance > 0.999)
    return g_strdup (_("more than 99.9 %"));
  return g_strdup_printf (chance < 0.01 || chance > 0.99 ? "%.1f %%" : "%.0f %%", 100 * chance);
}

const char *
lw_chance_word (double chance)
{
  static const struct {
    double below;
    const char *word;
  } words[] = {
    { 0.01, N_("exceptionally unlikely") }, { 0.10, N_("very unlikely") },
    { 0.33, N_("unlikely") },               { 0.66, N_("about as likely as not") },
    { 0.90, N_("likely") },                 { 0.99, N_("very likely") },
  };

  for (guint i = 0; i < G_N_ELEMENTS (words); i++)
    if (chance < words[i].below)
      return _(words[i].word);
  return _("virtually certain");
}

/* ---- on a prediction ---- */

gboolean
lw_prediction_set_doubt (LwPrediction *prediction, LwDoubt *doubt)
{
  if (doubt->n_bodies != prediction->parts->len)
    return FALSE;
  lw_doubt_ref (doubt);
  lw_doubt_unref (prediction->doubt);
  prediction->doubt = doubt;
  for (guint i = 0; i < prediction->parts->len; i++) {
    LwPartTrace *trace = g_ptr_array_index (prediction->parts, i);
    trace->joint_doubt_k = lw_doubt_half (doubt, i, LW_FIGURE_JOINT_PEAK);
    trace->body_doubt_k = lw_doubt_half (doubt, i, LW_FIGURE_BODY_PEAK);
  }
  return TRUE;
}
