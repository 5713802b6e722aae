#include <math.h>

#include "plan/bench.h"

#define BETWEEN 24 /* moments between start and end where fields are made on demand */

static int
by_time (gconstpointer a, gconstpointer b)
{
  double ta = *(const double *) a, tb = *(const double *) b;

  return (ta > tb) - (ta < tb);
}

static void
add_moment (GArray *moments, double t_s, double end_s)
{
  t_s = CLAMP (t_s, 0, end_s);
  g_array_append_val (moments, t_s);
}

static GArray *
moments_of (const LwPlan *plan, const LwPrediction *prediction, guint between)
{
  GArray *moments = g_array_new (FALSE, FALSE, sizeof (double));
  g_autoptr (GArray) stages = lw_bench_stages (plan);
  double end = prediction->n_times > 0 ? prediction->t_s[prediction->n_times - 1] : 0;

  if (prediction->maker == NULL) {
    g_array_append_vals (moments, prediction->t_s, prediction->n_times);
    return moments;
  }
  for (guint i = 0; i < stages->len; i++)
    add_moment (moments, g_array_index (stages, LwBenchStage, i).t1_s, end);
  for (guint i = 0; i <= between; i++)
    add_moment (moments, end * i / between, end);
  g_array_sort (moments, by_time);
  for (guint i = 1; i < moments->len;)
    if (g_array_index (moments, double, i) - g_array_index (moments, double, i - 1) < 1e-6)
      g_array_remove_index (moments, i);
    else
      i++;
  return moments;
}

LwBenchReadings *
lw_bench_readings_new (const LwJob *job, const LwPlan *plan, const LwPrediction *prediction)
{
  return lw_bench_readings_new_fine (job, plan, prediction, BETWEEN);
}

LwBenchReadings *
lw_bench_readings_new_fine (const LwJob *job, const LwPlan *plan, const LwPrediction *prediction, guint between)
{
  g_autoptr (GArray) moments = moments_of (plan, prediction, between);
  LwBenchReadings *self = g_new0 (LwBenchReadings, 1);

  self->n_couples = plan->thermocouples->len;
  self->n_moments = moments->len;
  self->t_s = g_memdup2 (moments->data, moments->len * sizeof (double));
  self->c = g_new (double, (gsize) MAX (self->n_couples, 1) * MAX (self->n_moments, 1));
  for (guint k = 0; k < self->n_couples; k++)
    for (guint i = 0; i < self->n_moments; i++)
      self->c[(gsize) k * self->n_moments + i]
          = lw_bench_reading_c (job, prediction, g_ptr_array_index (plan->thermocouples, k), self->t_s[i]);
  return self;
}

void
lw_bench_readings_free (LwBenchReadings *self)
{
  if (self == NULL)
    return;
  g_free (self->t_s);
  g_free (self->c);
  g_free (self);
}

double
lw_bench_readings_at (const LwBenchReadings *self, guint couple, double t_s)
{
  const double *c = self->c + (gsize) couple * self->n_moments;
  guint i = 0;

  if (self->n_moments == 0)
    return NAN;
  while (i + 1 < self->n_moments && self->t_s[i + 1] < t_s)
    i++;
  if (i + 1 == self->n_moments || t_s <= self->t_s[i])
    return c[i];
  return c[i] + (c[i + 1] - c[i]) * (t_s - self->t_s[i]) / (self->t_s[i + 1] - self->t_s[i]);
}

double
lw_bench_readings_highest (const LwBenchReadings *self, guint couple)
{
  double most = NAN;

  for (guint i = 0; i < self->n_moments; i++) {
    double c = self->c[(gsize) couple * self->n_moments + i];

    if (!isnan (c) && !(c <= most))
      most = c;
  }
  return most;
}
