/* How far two predictions of one job lie apart. */
#include <math.h>

#include "plan/predict.h"

/* Reads a series of a prediction at moments that never go back. */
typedef struct {
  const double *t_s, *v;
  guint n, at;
} Reader;

static double
read_at (Reader *reader, double t_s)
{
  double t0, t1;

  while (reader->at + 1 < reader->n && reader->t_s[reader->at + 1] <= t_s)
    reader->at++;
  if (reader->at + 1 >= reader->n || t_s <= reader->t_s[reader->at])
    return reader->v[reader->at];
  t0 = reader->t_s[reader->at];
  t1 = reader->t_s[reader->at + 1];
  return reader->v[reader->at]
         + (reader->v[reader->at + 1] - reader->v[reader->at]) * (t_s - t0) / (t1 - t0);
}

/* A jump of the gas is met by each march at its own moments; neither knows the curve to closer than half of the
 * full solution's step of 1 s. */
#define SLACK_S 0.5

/* At the moments of A: how far it lies outside what B goes through within the slack. */
static double
largest_at (const LwPrediction *a, const double *va, const LwPrediction *b, const double *vb)
{
  Reader early = { b->t_s, vb, b->n_times, 0 }, now = early, late = early;
  double most = 0;

  for (guint i = 0; i < a->n_times; i++) {
    double t = a->t_s[i], x = read_at (&early, t - SLACK_S), y = read_at (&now, t), z = read_at (&late, t + SLACK_S);
    double low = fmin (fmin (x, y), z), high = fmax (fmax (x, y), z);
    most = fmax (most, fmax (va[i] - high, low - va[i]));
  }
  return most;
}

static double
series_apart (const LwPrediction *a, const double *va, const LwPrediction *b, const double *vb)
{
  if (va == NULL || vb == NULL || a->n_times == 0 || b->n_times == 0)
    return NAN;
  return fmax (largest_at (a, va, b, vb), largest_at (b, vb, a, va));
}

static double
traces_apart (const LwPrediction *a, const LwPartTrace *p, const LwPrediction *b, const LwPartTrace *q)
{
  double most = series_apart (a, p->joint_min, b, q->joint_min);

  most = fmax (most, series_apart (a, p->joint_max, b, q->joint_max));
  most = fmax (most, series_apart (a, p->body_top, b, q->body_top));
  return fmax (most, series_apart (a, p->body_max, b, q->body_max));
}

static const LwPartTrace *
trace_of (const LwPrediction *self, guint guess, const char *ref)
{
  for (guint i = 0; i < self->parts->len; i++) { /* the same order, as a rule */
    const LwPartTrace *trace = g_ptr_array_index (self->parts, (guess + i) % self->parts->len);
    if (g_strcmp0 (trace->ref, ref) == 0)
      return trace;
  }
  return NULL;
}

double
lw_prediction_apart_k (const LwPrediction *a, const LwPrediction *b, const char **ref)
{
  double most = NAN;

  if (ref != NULL)
    *ref = NULL;
  for (guint i = 0; i < a->parts->len; i++) {
    const LwPartTrace *p = g_ptr_array_index (a->parts, i), *q = trace_of (b, i, p->ref);
    double apart = q != NULL ? traces_apart (a, p, b, q) : NAN;

    if (isnan (apart) || apart <= most)
      continue;
    most = apart;
    if (ref != NULL)
      *ref = p->ref;
  }
  return most;
}
