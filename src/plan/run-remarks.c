/* Thermocouples under each other's names, a clock that is off, a thermocouple that is not where the plan has it.
 *
 * Before curves are compared, all of the run's rises are brought to the plan's size by one common factor: a film that
 * is stronger than it was thought makes everything hotter, and is no mistake. The bounds below are the program's own
 * choice, no source. */
#include "plan/run-remarks.h"

#include <math.h>

#include <glib/gi18n.h>

#define MOMENTS 160
#define FAR_K 4.0        /* smaller differences say nothing */
#define BETTER 0.5       /* of the difference is left where another reading of the names is the right one */
#define CLOCK_S 60.0     /* how far a clock is looked for */
#define CLOCK_LEAST_S 4.0
#define CLOCK_BETTER 0.6
#define SLACK_SHARE 0.35 /* of the rise that was foreseen */

typedef struct {
  const LwComparison *of;
  const LwBenchReadings *should;
  double ambient_c, factor;
} Looking;

static const LwCompared *
column_at (const Looking *look, guint k)
{
  return g_ptr_array_index (look->of->columns, k);
}

static double
should_c (const Looking *look, guint couple, double t_s)
{
  return lw_run_curve_at (look->should->t_s, look->should->c + (gsize) couple * look->should->n_moments, look->should->n_moments, t_s);
}

static double
moment (const Looking *look, guint i)
{
  const LwComparison *of = look->of;
  double from = MAX (of->t_s[0], 0), to = MIN (of->t_s[of->n - 1], look->should->t_s[look->should->n_moments - 1]);

  return from + (to - from) * i / (MOMENTS - 1);
}

/* Root mean square of column K against the plan's thermocouple, the plan moved by LAG_S; NaN when less than a quarter
 * of the moments are there. */
static double
apart_k (const Looking *look, guint k, guint couple, double lag_s)
{
  double squares = 0;
  guint n = 0;

  for (guint i = 0; i < MOMENTS; i++) {
    double t = moment (look, i);
    double d = (should_c (look, couple, t + lag_s) - look->ambient_c)
               - look->factor * (lw_comparison_run_c (look->of, k, t) - look->ambient_c);
    if (isnan (d))
      continue;
    squares += d * d;
    n++;
  }
  return n >= MOMENTS / 4 ? sqrt (squares / n) : NAN;
}

/* Least squares through the room's temperature, over all pairs. */
static void
find_factor (Looking *look)
{
  double both = 0, own = 0;

  look->factor = 1;
  for (guint k = 0; k < look->of->columns->len; k++)
    for (guint i = 0; column_at (look, k)->couple >= 0 && i < MOMENTS; i++) {
      double t = moment (look, i), run = lw_comparison_run_c (look->of, k, t) - look->ambient_c;
      double plan = should_c (look, (guint) column_at (look, k)->couple, t) - look->ambient_c;

      if (isnan (run) || isnan (plan))
        continue;
      both += run * plan;
      own += run * run;
    }
  if (own > 0)
    look->factor = CLAMP (both / own, 0.5, 2.0);
}

static const char *
couple_name (const LwPlan *plan, guint couple)
{
  return ((const LwThermocouple *) g_ptr_array_index (plan->thermocouples, couple))->name;
}

static void
remark (const Looking *look, char *text)
{
  g_ptr_array_add (look->of->remarks, text);
}

static gboolean
find_swap (const Looking *look, const LwPlan *plan, guint a, guint b)
{
  guint ca = (guint) column_at (look, a)->couple, cb = (guint) column_at (look, b)->couple;
  double now = hypot (apart_k (look, a, ca, 0), apart_k (look, b, cb, 0)) / sqrt (2);
  double then = hypot (apart_k (look, a, cb, 0), apart_k (look, b, ca, 0)) / sqrt (2);

  if (!(now > FAR_K) || !(then < BETTER * now))
    return FALSE;
  /* Translators: names of two thermocouples; differences in kelvin as named, and the other way round. */
  remark (look, g_strdup_printf (_("%s and %s seem to be under each other’s names: they differ from the plan by %.1f K, the other "
                                   "way round by %.1f K."),
                                 couple_name (plan, ca), couple_name (plan, cb), now, then));
  return TRUE;
}

/* A column that goes with a thermocouple nobody else is taken for. */
static void
find_stranger (const Looking *look, const LwPlan *plan, guint k, const gboolean *taken)
{
  guint own = (guint) column_at (look, k)->couple, best = own;
  double now = apart_k (look, k, own, 0), least = now;

  for (guint couple = 0; couple < look->should->n_couples; couple++) {
    double then = taken[couple] ? NAN : apart_k (look, k, couple, 0);

    if (!(then < least))
      continue;
    least = then;
    best = couple;
  }
  if (best != own && now > FAR_K && least < BETTER * now)
    remark (look, g_strdup_printf (_("“%s” looks more like %s than %s: it differs by %.1f K instead of %.1f K."), column_at (look, k)->name,
                                   couple_name (plan, best), couple_name (plan, own), least, now));
}

static void
find_names (const Looking *look, const LwPlan *plan)
{
  guint n = look->of->columns->len;
  g_autofree gboolean *taken = g_new0 (gboolean, MAX (look->should->n_couples, 1)), *told = g_new0 (gboolean, MAX (n, 1));

  for (guint k = 0; k < n; k++)
    if (column_at (look, k)->couple >= 0)
      taken[column_at (look, k)->couple] = TRUE;
  for (guint a = 0; a < n; a++)
    for (guint b = a + 1; b < n; b++)
      if (column_at (look, a)->couple >= 0 && column_at (look, b)->couple >= 0 && !told[a] && !told[b])
        told[a] = told[b] = find_swap (look, plan, a, b);
  for (guint k = 0; k < n; k++)
    if (column_at (look, k)->couple >= 0 && !told[k])
      find_stranger (look, plan, k, taken);
}

static double
all_apart_k (const Looking *look, double lag_s)
{
  double squares = 0;
  guint n = 0;

  for (guint k = 0; k < look->of->columns->len; k++) {
    double apart = column_at (look, k)->couple >= 0 ? apart_k (look, k, (guint) column_at (look, k)->couple, lag_s) : NAN;

    if (isnan (apart))
      continue;
    squares += apart * apart;
    n++;
  }
  return n > 0 ? sqrt (squares / n) : NAN;
}

/* The lag at which run and plan go best together, in steps of two seconds, then of a quarter. */
static void
find_clock (const Looking *look)
{
  double now = all_apart_k (look, 0), least = now, best = 0, middle;

  for (double lag = -CLOCK_S; lag <= CLOCK_S; lag += 2) {
    double apart = all_apart_k (look, lag);

    if (!(apart < least))
      continue;
    least = apart;
    best = lag;
  }
  middle = best;
  for (double lag = middle - 2; lag <= middle + 2; lag += 0.25) {
    double apart = all_apart_k (look, lag);

    if (!(apart < least))
      continue;
    least = apart;
    best = lag;
  }
  if (fabs (best) >= CLOCK_LEAST_S && now > FAR_K && least < CLOCK_BETTER * now)
    remark (look, g_strdup_printf (_("The clock seems to be off: moved by %+.1f s, the run differs from the plan by %.1f K instead of %.1f K."),
                                   best, least, now));
}

/* A thermocouple that has come off, or lies elsewhere. */
static void
find_slack (const Looking *look, const LwPlan *plan)
{
  for (guint k = 0; k < look->of->columns->len; k++) {
    const LwCompared *c = column_at (look, k);
    double foreseen = c->plan.peak_c - c->plan.first_c, rise = c->run.peak_c - c->run.first_c;

    if (c->couple >= 0 && foreseen > 30.0 && rise < SLACK_SHARE * foreseen)
      remark (look, g_strdup_printf (_("%s rises by %.0f K where the plan has %.0f K: is it still fixed where the plan says?"),
                                     couple_name (plan, (guint) c->couple), rise, foreseen));
  }
}

static gboolean
overlaps (const LwComparison *self, const LwBenchReadings *should)
{
  return self->n >= 2 && should->n_moments >= 2
         && MIN (self->t_s[self->n - 1], should->t_s[should->n_moments - 1]) - MAX (self->t_s[0], should->t_s[0]) >= 10.0;
}

void
lw_run_find_remarks (LwComparison *self, const LwPlan *plan, const LwBenchReadings *should)
{
  Looking look = { self, should, NAN, 1 };
  guint n = 0;

  for (guint k = 0; k < self->columns->len; k++)
    n += column_at (&look, k)->couple >= 0;
  if (n == 0) {
    remark (&look, g_strdup (_("No column is taken for a thermocouple of the plan.")));
    return;
  }
  if (!overlaps (self, should)) {
    remark (&look, g_strdup (_("Run and plan do not overlap in time.")));
    return;
  }
  if (!self->by_hand && isnan (self->ramp_shift_s))
    remark (&look, g_strdup (_("No start of a ramp was found: the run is laid from its first moment. Move it by hand.")));
  look.ambient_c = should->c[0];
  for (guint i = 0; i < should->n_couples && isnan (look.ambient_c); i++)
    look.ambient_c = should->c[(gsize) i * should->n_moments];
  if (isnan (look.ambient_c))
    return;
  find_factor (&look);
  find_names (&look, plan);
  find_clock (&look);
  find_slack (&look, plan);
}
