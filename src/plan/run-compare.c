#include "plan/run-compare.h"

#include <math.h>
#include <string.h>

#include "board/library.h"
#include "plan/part-limits.h"
#include "plan/prediction.h"
#include "plan/profile.h"
#include "plan/run-remarks.h"

static void
compared_free (gpointer data)
{
  LwCompared *self = data;

  g_free (self->name);
  g_free (self->couple_name);
  g_free (self->plan_c);
  g_free (self);
}

void
lw_comparison_free (LwComparison *self)
{
  if (self == NULL)
    return;
  lw_run_unref (self->run);
  g_free (self->t_s);
  g_ptr_array_unref (self->columns);
  g_ptr_array_unref (self->remarks);
  g_free (self);
}

/* ---- figures of a curve ---- */

/* Samples that are there, one after another. */
static guint
known (const double *t_s, const double *c, guint n, double *t, double *v)
{
  guint m = 0;

  for (guint i = 0; i < n; i++)
    if (!isnan (c[i])) {
      t[m] = t_s[i];
      v[m++] = c[i];
    }
  return m;
}

void
lw_curve_figures (const double *t_s, const double *c, guint n, double soak_low_c, double soak_high_c, double liquidus_c,
                  LwCurveFigures *figures)
{
  g_autofree double *t = g_new (double, MAX (n, 1)), *v = g_new (double, MAX (n, 1));
  guint m = known (t_s, c, n, t, v), at = 0;

  *figures = (LwCurveFigures){ NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN };
  if (m < 2)
    return;
  figures->first_c = v[0];
  figures->peak_c = lw_profile_peak (v, m, &at);
  figures->peak_s = t[at];
  figures->ramp_up_c_per_s = lw_profile_ramp_up (t, v, m, LW_RUN_RAMP_WINDOW_S, &figures->ramp_up_s);
  figures->ramp_down_c_per_s = lw_profile_ramp_down (t, v, m, LW_RUN_RAMP_WINDOW_S, &figures->ramp_down_s);
  figures->soak_s = lw_profile_rise_time (t, v, m, soak_low_c, soak_high_c);
  figures->above_liquidus_s = lw_profile_time_above (t, v, m, liquidus_c);
}

/* ---- the start of the ramp ---- */

static int
by_value (gconstpointer a, gconstpointer b)
{
  double x = *(const double *) a, y = *(const double *) b;

  return (x > y) - (x < y);
}

/* Sorts VALUES. */
static double
median (double *values, guint n)
{
  if (n == 0)
    return NAN;
  qsort (values, n, sizeof *values, by_value);
  return n % 2 == 1 ? values[n / 2] : 0.5 * (values[n / 2 - 1] + values[n / 2]);
}

/* Medians of five: a spike of one or two samples is gone. */
static void
without_spikes (const double *v, guint n, double *out)
{
  for (guint i = 0; i < n; i++) {
    double five[5];
    guint from = i >= 2 ? i - 2 : 0, to = MIN (i + 2, n - 1), m = 0;

    for (guint k = from; k <= to; k++)
      five[m++] = v[k];
    out[i] = median (five, m);
  }
}

#define STAYS_S 5.0 /* above a level, to have passed it */
#define LEAST_RISE_K 15.0

/* The first moment at which the curve passes LEVEL and stays above it. */
static double
passes (const double *t, const double *v, guint n, double level)
{
  double when = NAN;

  for (guint i = 1; i < n; i++) {
    if (v[i] < level)
      when = NAN;
    else if (isnan (when) && v[i - 1] < level)
      when = t[i - 1] + (t[i] - t[i - 1]) * (level - v[i - 1]) / (v[i] - v[i - 1]);
    if (!isnan (when) && t[i] >= when + STAYS_S)
      return when;
  }
  return NAN;
}

double
lw_curve_ramp_start (const double *t_s, const double *c, guint n)
{
  g_autofree double *t = g_new (double, MAX (n, 1)), *raw = g_new (double, MAX (n, 1)), *v = g_new (double, MAX (n, 1));
  guint m = known (t_s, c, n, t, raw), head = 0;
  double base, rise, low, high;

  if (m < 8)
    return NAN;
  without_spikes (raw, m, v);
  while (head < m && t[head] <= t[0] + 2.0)
    head++;
  memcpy (raw, v, sizeof *raw * MAX (head, 1));
  base = median (raw, MAX (head, 1));
  rise = lw_profile_peak (v, m, NULL) - base;
  if (!(rise >= LEAST_RISE_K))
    return NAN;
  low = passes (t, v, m, base + rise / 20.0);
  high = passes (t, v, m, base + rise / 7.0);
  if (isnan (low) || isnan (high) || !(high > low))
    return NAN;
  return low - (high - low) * (1.0 / 20.0) / (1.0 / 7.0 - 1.0 / 20.0);
}

/* ---- laying one over the other ---- */

LwBenchReadings *
lw_run_readings (const LwJob *job, const LwPlan *plan, const LwPrediction *prediction)
{
  /* A whole field takes milliseconds: where places were not watched, fewer moments must do. */
  gboolean cheap = prediction->maker == NULL || prediction->maker->watched != NULL;

  return lw_bench_readings_new_fine (job, plan, prediction, cheap ? 240 : 48);
}

static int
couple_named (const LwPlan *plan, const char *name)
{
  for (guint i = 0; name[0] != '\0' && i < plan->thermocouples->len; i++)
    if (strcmp (((const LwThermocouple *) g_ptr_array_index (plan->thermocouples, i))->name, name) == 0)
      return (int) i;
  return -1;
}

static const double *
couple_curve (const LwBenchReadings *should, int couple)
{
  return should != NULL && couple >= 0 && (guint) couple < should->n_couples ? should->c + (gsize) couple * should->n_moments : NULL;
}

#define WARM_K 10.0 /* above what the plan starts from: the recording began within the ramp */

static double
shift_of (const LwComparison *self, const LwBenchReadings *should, const LwCompared *c)
{
  const double *t = (const double *) self->run->t_s->data, *curve = couple_curve (should, c->couple);
  LwCurveFigures run;

  if (curve == NULL)
    return NAN;
  lw_curve_figures (t, c->run_c, MIN (self->run->t_s->len, 12), 0, 0, 0, &run);
  if (!(run.first_c < curve[0] + WARM_K))
    return NAN;
  return lw_curve_ramp_start (should->t_s, curve, should->n_moments) - lw_curve_ramp_start (t, c->run_c, self->run->t_s->len);
}

static double
shift_by_ramp (const LwComparison *self, const LwBenchReadings *should)
{
  g_autofree double *shifts = g_new (double, MAX (self->columns->len, 1));
  guint n = 0;

  for (guint k = 0; k < self->columns->len; k++) {
    double shift = shift_of (self, should, g_ptr_array_index (self->columns, k));

    if (!isnan (shift))
      shifts[n++] = shift;
  }
  return median (shifts, n);
}

static void
choose_shift (LwComparison *self, const LwBenchReadings *should)
{
  self->ramp_shift_s = shift_by_ramp (self, should);
  self->by_hand = !isnan (self->run->shift_s);
  self->shift_s = self->by_hand ? self->run->shift_s : self->ramp_shift_s;
  if (isnan (self->shift_s))
    self->shift_s = 0;
}

/* Value of a curve at a moment, NaN outside it. */
double
lw_run_curve_at (const double *t, const double *c, guint n, double t_s)
{
  guint lo = 0, hi = n;

  if (n == 0 || t_s < t[0] || t_s > t[n - 1])
    return NAN;
  while (hi - lo > 1) {
    guint middle = lo + (hi - lo) / 2;

    if (t[middle] <= t_s)
      lo = middle;
    else
      hi = middle;
  }
  if (lo + 1 >= n || t[lo] == t_s)
    return c[lo];
  return c[lo] + (c[lo + 1] - c[lo]) * (t_s - t[lo]) / (t[lo + 1] - t[lo]);
}

double
lw_comparison_run_c (const LwComparison *self, guint column, double t_s)
{
  const LwCompared *c = g_ptr_array_index (self->columns, column);

  return lw_run_curve_at (self->t_s, c->run_c, self->n, t_s);
}

static void
compare_column (LwComparison *self, const LwBenchReadings *should, LwCompared *c)
{
  const double *curve = couple_curve (should, c->couple);
  double sum = 0, squares = 0;

  c->plan_c = g_new (double, self->n);
  c->most_k = c->most_s = c->mean_k = c->rms_k = NAN;
  lw_curve_figures (self->t_s, c->run_c, self->n, self->soak_low_c, self->soak_high_c, self->liquidus_c, &c->run);
  c->plan = (LwCurveFigures){ NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN };
  if (curve != NULL)
    lw_curve_figures (should->t_s, curve, should->n_moments, self->soak_low_c, self->soak_high_c, self->liquidus_c, &c->plan);
  for (guint i = 0; i < self->n; i++) {
    double d;

    c->plan_c[i] = curve != NULL ? lw_run_curve_at (should->t_s, curve, should->n_moments, self->t_s[i]) : NAN;
    d = c->plan_c[i] - c->run_c[i];
    if (isnan (d))
      continue;
    sum += d;
    squares += d * d;
    c->n++;
    if (!(fabs (d) <= fabs (c->most_k))) {
      c->most_k = d;
      c->most_s = self->t_s[i];
    }
  }
  if (c->n == 0)
    return;
  c->mean_k = sum / c->n;
  c->rms_k = sqrt (squares / c->n);
}

static gboolean
at_target (const LwPlan *plan, const LwCompared *c)
{
  return c->couple >= 0
         && strcmp (((const LwThermocouple *) g_ptr_array_index (plan->thermocouples, c->couple))->ref, plan->ref) == 0;
}

static void
find_spread (LwComparison *self, const LwPlan *plan)
{
  guint n = 0, counted = 0;
  double low[2] = { INFINITY, INFINITY }, high[2] = { -INFINITY, -INFINITY };

  for (guint k = 0; k < self->columns->len; k++)
    n += at_target (plan, g_ptr_array_index (self->columns, k));
  for (guint k = 0; k < self->columns->len; k++) {
    const LwCompared *c = g_ptr_array_index (self->columns, k);

    if (c->couple < 0 || (n >= 2 && !at_target (plan, c)))
      continue;
    low[0] = fmin (low[0], c->plan.peak_c);
    high[0] = fmax (high[0], c->plan.peak_c);
    low[1] = fmin (low[1], c->run.peak_c);
    high[1] = fmax (high[1], c->run.peak_c);
    counted++;
  }
  self->plan_spread_k = counted >= 2 && isfinite (low[0]) ? high[0] - low[0] : NAN;
  self->run_spread_k = counted >= 2 && isfinite (low[1]) ? high[1] - low[1] : NAN;
}

static void
find_rms (LwComparison *self)
{
  double squares = 0;
  guint n = 0;

  for (guint k = 0; k < self->columns->len; k++) {
    const LwCompared *c = g_ptr_array_index (self->columns, k);

    squares += c->n > 0 ? c->rms_k * c->rms_k * c->n : 0;
    n += c->n;
  }
  self->rms_k = n > 0 ? sqrt (squares / n) : NAN;
}

/* Soak bands of J-STD-020 (table 5-2): 100 to 150 C for tin-lead, 150 to 200 C lead-free. */
static void
choose_levels (LwComparison *self, const LwJob *job, const LwPlan *plan)
{
  int part = lw_job_find_part (job, plan->ref);
  const char *alloy = part >= 0 ? lw_limits_alloy (job, g_ptr_array_index (job->parts, part)) : job->alloy;
  gboolean lead_free = lw_limits_lead_free (alloy);
  const LwAlloy *known_alloy = lw_library_alloy (alloy);

  self->liquidus_c = known_alloy != NULL ? known_alloy->liquidus_c : NAN;
  self->soak_low_c = lead_free ? 150 : 100;
  self->soak_high_c = lead_free ? 200 : 150;
}

static void
add_column (LwComparison *self, const LwPlan *plan, guint index)
{
  const LwRunColumn *column = g_ptr_array_index (self->run->columns, index);
  LwCompared *c = g_new0 (LwCompared, 1);

  c->column = index;
  c->name = g_strdup (column->name);
  c->couple = couple_named (plan, column->thermocouple);
  c->couple_name = g_strdup (c->couple >= 0 ? column->thermocouple : "");
  c->run_c = (const double *) column->c->data;
  g_ptr_array_add (self->columns, c);
}

LwComparison *
lw_run_compare (const LwJob *job, guint plan, const LwBenchReadings *should, LwRun *run)
{
  LwComparison *self = g_new0 (LwComparison, 1);
  const LwPlan *of = g_ptr_array_index (job->plans, plan);

  self->run = lw_run_ref (run);
  self->columns = g_ptr_array_new_with_free_func (compared_free);
  self->remarks = g_ptr_array_new_with_free_func (g_free);
  self->n = run->t_s->len;
  self->t_s = g_new (double, MAX (self->n, 1));
  for (guint i = 0; i < run->columns->len; i++)
    add_column (self, of, i);
  choose_levels (self, job, of);
  choose_shift (self, should);
  for (guint i = 0; i < self->n; i++)
    self->t_s[i] = g_array_index (run->t_s, double, i) + self->shift_s;
  for (guint i = 0; i < self->columns->len; i++)
    compare_column (self, should, g_ptr_array_index (self->columns, i));
  find_spread (self, of);
  find_rms (self);
  if (should != NULL)
    lw_run_find_remarks (self, of, should);
  return self;
}
