#include "plan/doubt-sample.h"

#include <math.h>

#include "plan/draws.h"
#include "plan/gauge.h"
#include "plan/profile.h"
#include "plan/quick-inside.h"
#include "plan/solve-scene.h"

#define SAMPLES 1000
#define CURVES 128
#define MOMENTS 121
/* Standard normal number below which LW_BAND_SHARE (5 %) of all cases lie: Abramowitz and Stegun, Table 26.1. */
#define Z_BAND 1.6448536269514722
/* Sampled curves are kept for this many of the hottest bodies; of the rest only figures. */
#define CURVE_BODIES 64

/* ---- what is moved ---- */

static double
highest (const HeatTable *table)
{
  double high = -INFINITY;

  for (size_t i = 0; i < table->n; i++)
    high = fmax (high, table->v[i]);
  return high;
}

void
lw_doubt_spreads (const LwCase *of, gboolean in_range, LwUnsureSpreads *out)
{
  const HeatScene *scene = &of->scene;
  gboolean gas = scene->nozzle.present, warm = scene->preheat.kind != HEAT_PREHEAT_NONE;
  double *spread = out->spread;

  lw_unsure_defaults (out);
  spread[LW_UNSURE_GAS] = of->gas_set_error_c;
  spread[LW_UNSURE_THERMOCOUPLE]
      = lw_unsure_thermocouple_k (highest (gas ? &scene->nozzle.set_c : &scene->preheat.set_c));
  if (!in_range && !(scene->nozzle.prescribed_h_w_m2k > 0)) {
    spread[LW_UNSURE_NOZZLE_FILM] *= 2; /* extrapolated: common practice, no source */
    spread[LW_UNSURE_SPILL_FILM] *= 2;
  }
  if (!gas)
    spread[LW_UNSURE_NOZZLE_FILM] = spread[LW_UNSURE_SPILL_FILM] = spread[LW_UNSURE_GAS] = 0;
  if (!warm)
    spread[LW_UNSURE_PREHEAT_FILM] = spread[LW_UNSURE_PREHEAT] = 0;
  if (!gas && !warm)
    spread[LW_UNSURE_THERMOCOUPLE] = 0;
  if (scene->target >= scene->n_bodies || scene->bodies[scene->target].n_joints == 0)
    spread[LW_UNSURE_JOINT] = 0;
}

void
lw_doubt_move (HeatDrive *drive, const LwUnsureSpreads *spreads, const double *z)
{
  double v[LW_N_UNSURE];

  for (guint i = 0; i < LW_N_UNSURE; i++)
    v[i] = lw_unsure_value (i, spreads->spread[i], z[i]);
  drive->scale_nozzle_film *= v[LW_UNSURE_NOZZLE_FILM];
  drive->scale_spill_film *= v[LW_UNSURE_SPILL_FILM];
  drive->scale_preheat_film *= v[LW_UNSURE_PREHEAT_FILM];
  drive->scale_room_film *= v[LW_UNSURE_ROOM_FILM];
  drive->scale_conductivity *= v[LW_UNSURE_CONDUCTIVITY];
  drive->scale_capacity *= v[LW_UNSURE_CAPACITY];
  drive->scale_joint *= v[LW_UNSURE_JOINT];
  drive->scale_emissivity *= v[LW_UNSURE_EMISSIVITY];
  drive->air_c += v[LW_UNSURE_AMBIENT];
  drive->start_c += v[LW_UNSURE_AMBIENT]; /* the board has lain in the same room */
  drive->gas_add_k += v[LW_UNSURE_GAS] + v[LW_UNSURE_THERMOCOUPLE];
  drive->preheat_add_k += v[LW_UNSURE_PREHEAT] + v[LW_UNSURE_THERMOCOUPLE];
}

/* ---- runs ---- */

typedef struct {
  HeatFigures *figures; /* [n_bodies] */
  LwQuickRun *run;
} Worker;

/* Run 0 has nothing moved, then come two for each input alone, then the samples. */
typedef struct {
  LwQuick *quick;
  HeatDrive drive;
  LwUnsureSpreads spreads;
  LwDraws *draws;
  GCancellable *cancellable;
  LwPredictProgress progress;
  gpointer user;
  GThread *caller;
  guint n_bodies, n_curves, n_runs;
  Worker worker[4];
  HeatFigures *still; /* of run 0 */
  double still_board_c; /* the board's peak is known of the runs whose curves are kept */
  LwDoubt *doubt;
  double t_s[MOMENTS];
  gint *curve_of;  /* [n_bodies]: number among those whose curves are kept, or -1 */
  guint n_kept;
  float *curves;   /* [((kept * LW_N_CURVES + curve) * MOMENTS + moment) * (n_curves + 1) + sample]; last = still */
  gint done;
  GMutex lock; /* guards error */
  GError *error;
} Sampling;

#define FIRST_SAMPLE (2 * LW_N_UNSURE)

static void
drive_of_run (const Sampling *s, guint i, HeatDrive *drive)
{
  double alone[LW_N_UNSURE] = { 0 };

  *drive = s->drive;
  if (i < FIRST_SAMPLE) {
    alone[i / 2] = i % 2 == 0 ? -Z_BAND : Z_BAND;
    lw_doubt_move (drive, &s->spreads, alone);
  } else {
    lw_doubt_move (drive, &s->spreads, lw_draws_row (s->draws, i - FIRST_SAMPLE));
  }
}

static double
figure_of (const HeatFigures *figures, double board_c, guint body, LwFigure figure)
{
  LwGaugeRule rule = { .figure = figure, .body = body };

  return figure == LW_FIGURE_BOARD_PEAK && body > 0 ? NAN : lw_gauge_figure (&rule, figures, board_c);
}

static void
keep_figures (Sampling *s, guint i, const HeatFigures *figures, double board_c)
{
  for (guint body = 0; body < s->n_bodies; body++)
    for (guint f = 0; f < LW_N_FIGURES; f++) {
      double change
          = figure_of (figures, board_c, body, f) - figure_of (s->still, s->still_board_c, body, f);
      if (i < FIRST_SAMPLE)
        lw_doubt_put_swing (s->doubt, i / 2, i % 2, body, f, change);
      else
        lw_doubt_put (s->doubt, i - FIRST_SAMPLE, body, f, change);
    }
}

static const double *
series_of (const HeatTrace *trace, LwCurve curve)
{
  switch (curve) {
  case LW_CURVE_JOINT_MIN:
    return trace->joint_min;
  case LW_CURVE_JOINT_MEAN:
    return trace->joint_mean;
  case LW_CURVE_JOINT_MAX:
    return trace->joint_max;
  case LW_CURVE_BODY_TOP:
  default:
    return trace->body_top;
  }
}

/* A run's curve at the common moments. */
static void
keep_curve (Sampling *s, float *out, guint column, const HeatResult *result, const double *series)
{
  guint at = 0, stride = s->n_curves + 1;

  for (guint k = 0; k < MOMENTS; k++) {
    double t = s->t_s[k], share = 0;
    while (at + 2 < result->n_times && result->t_s[at + 1] < t)
      at++;
    if (at + 1 < result->n_times && result->t_s[at + 1] > result->t_s[at])
      share = CLAMP ((t - result->t_s[at]) / (result->t_s[at + 1] - result->t_s[at]), 0, 1);
    out[(gsize) k * stride + column]
        = (float) (series[at] + (share > 0 ? share * (series[at + 1] - series[at]) : 0));
  }
}

static gboolean
keep_curves (Sampling *s, Worker *worker, guint column, GError **error)
{
  g_autoptr (HeatResult) result = NULL;
  HeatStatus status = heat_reduced_result (lw_quick_model (s->quick), lw_quick_run_heat (worker->run), &result);
  double board;

  if (status != HEAT_OK) {
    lw_set_heat_error (error, status, "");
    return FALSE;
  }
  board = lw_profile_peak (result->board_max, (guint) result->n_times, NULL);
  if (column == s->n_curves)
    s->still_board_c = board;
  else
    lw_doubt_put (s->doubt, column, 0, LW_FIGURE_BOARD_PEAK, board - s->still_board_c);
  for (guint body = 0; body < s->n_bodies; body++)
    for (guint c = 0; s->curve_of[body] >= 0 && c < LW_N_CURVES; c++) {
      const double *series = series_of (&result->bodies[body], c);
      gsize place = ((gsize) s->curve_of[body] * LW_N_CURVES + c) * MOMENTS * (s->n_curves + 1);
      if (series != NULL)
        keep_curve (s, s->curves + place, column, result, series);
    }
  return TRUE;
}

static gboolean
fail (Sampling *s, GError *error)
{
  g_mutex_lock (&s->lock);
  if (s->error == NULL)
    s->error = error;
  else
    g_error_free (error);
  g_mutex_unlock (&s->lock);
  return FALSE;
}

static gboolean
run_one (gpointer user, guint number, guint i)
{
  Sampling *s = user;
  Worker *worker = &s->worker[number];
  HeatDrive drive;
  GError *error = NULL;

  if (g_cancellable_set_error_if_cancelled (s->cancellable, &error))
    return fail (s, error);
  if (i < FIRST_SAMPLE && !(s->spreads.spread[i / 2] > 0))
    return TRUE;
  drive_of_run (s, i, &drive);
  if (!lw_quick_run (s->quick, worker->run, &drive, NULL, &error))
    return fail (s, error);
  lw_quick_figures (s->quick, worker->run, worker->figures);
  keep_figures (s, i, worker->figures, NAN);
  if (i >= FIRST_SAMPLE && i - FIRST_SAMPLE < s->n_curves && !keep_curves (s, worker, i - FIRST_SAMPLE, &error))
    return fail (s, error);
  g_atomic_int_inc (&s->done);
  if (s->progress != NULL && g_thread_self () == s->caller)
    s->progress (g_atomic_int_get (&s->done) / (double) s->n_runs, s->user);
  return TRUE;
}

/* ---- the run with nothing moved ---- */

static int
hotter (gconstpointer a, gconstpointer b, gpointer user)
{
  const Sampling *s = user;
  double ta = s->still[*(const guint *) a].body_peak_c, tb = s->still[*(const guint *) b].body_peak_c;

  return ta > tb ? -1 : ta < tb ? 1 : (int) *(const guint *) a - (int) *(const guint *) b;
}

/* The target and the hottest others. */
static void
choose_curves (Sampling *s)
{
  g_autofree guint *order = g_new (guint, MAX (s->n_bodies, 1));
  size_t target = lw_quick_case (s->quick)->scene.target;

  for (guint i = 0; i < s->n_bodies; i++) {
    order[i] = i;
    s->curve_of[i] = -1;
  }
  g_qsort_with_data (order, (gint) s->n_bodies, sizeof *order, hotter, s);
  if (target < s->n_bodies)
    s->curve_of[target] = (gint) s->n_kept++;
  for (guint i = 0; i < s->n_bodies && s->n_kept < CURVE_BODIES; i++)
    if (s->curve_of[order[i]] < 0)
      s->curve_of[order[i]] = (gint) s->n_kept++;
  s->curves = g_new (float, MAX ((gsize) s->n_kept, 1) * LW_N_CURVES * MOMENTS * (s->n_curves + 1));
  for (gsize i = 0; i < (gsize) s->n_kept * LW_N_CURVES * MOMENTS * (s->n_curves + 1); i++)
    s->curves[i] = NAN;
}

static gboolean
run_still (Sampling *s, GError **error)
{
  Worker *worker = &s->worker[0];

  if (!lw_quick_run (s->quick, worker->run, &s->drive, NULL, error))
    return FALSE;
  lw_quick_figures (s->quick, worker->run, s->still);
  choose_curves (s);
  return s->n_curves == 0 || keep_curves (s, worker, s->n_curves, error);
}

/* ---- bands over time ---- */

static gboolean
band_curve (gpointer user, guint worker, guint i)
{
  Sampling *s = user;
  guint n = s->n_curves, kept = i / LW_N_CURVES, body = 0;
  const float *from = s->curves + (gsize) i * MOMENTS * (n + 1);
  g_autofree double *v = g_new (double, MAX (n, 1));
  double low[MOMENTS], high[MOMENTS];

  if (isnan (from[n]))
    return TRUE; /* no such curve */
  while (s->curve_of[body] != (gint) kept)
    body++;
  for (guint k = 0; k < MOMENTS; k++, from += n + 1) {
    for (guint j = 0; j < n; j++)
      v[j] = from[j] - from[n];
    low[k] = lw_draws_quantile (v, n, LW_BAND_SHARE);
    high[k] = lw_draws_quantile (v, n, 1 - LW_BAND_SHARE);
  }
  lw_doubt_put_curve (s->doubt, body, i % LW_N_CURVES, low, high);
  return TRUE;
}

/* ---- all of it ---- */

static void
begin (Sampling *s, const LwDoubtOptions *options, gboolean in_range)
{
  guint samples = options != NULL && options->samples > 0 ? options->samples : SAMPLES;
  guint curves = options != NULL && options->curves > 0 ? options->curves : CURVES;
  guint64 seed = options != NULL && options->seed > 0 ? options->seed : 1;

  g_mutex_init (&s->lock);
  s->caller = g_thread_self ();
  s->n_bodies = lw_quick_n_bodies (s->quick);
  s->n_curves = MIN (curves, samples);
  s->n_runs = FIRST_SAMPLE + samples;
  lw_doubt_spreads (lw_quick_case (s->quick), in_range, &s->spreads);
  s->draws = lw_draws_new (samples, LW_N_UNSURE, seed, lw_unsure_correlation);
  for (guint i = 0; i < lw_draws_threads (options != NULL ? options->threads : 0); i++)
    s->worker[i] = (Worker){ g_new (HeatFigures, MAX (s->n_bodies, 1)), lw_quick_run_new (s->quick) };
  s->still = g_new (HeatFigures, MAX (s->n_bodies, 1));
  s->curve_of = g_new (gint, MAX (s->n_bodies, 1));
  for (guint k = 0; k < MOMENTS; k++)
    s->t_s[k] = s->drive.end_s * k / (MOMENTS - 1);
  s->doubt = lw_doubt_new (samples, s->n_bodies, s->t_s, MOMENTS, &s->spreads);
}

static void
finish (Sampling *s)
{
  for (guint i = 0; i < G_N_ELEMENTS (s->worker); i++) {
    g_free (s->worker[i].figures);
    lw_quick_run_free (s->worker[i].run);
  }
  lw_draws_free (s->draws);
  lw_doubt_unref (s->doubt);
  g_free (s->still);
  g_free (s->curve_of);
  g_free (s->curves);
  g_mutex_clear (&s->lock);
  g_clear_error (&s->error);
}

LwDoubt *
lw_doubt_sample (LwQuick *quick, const HeatDrive *drive, gboolean in_range, const LwDoubtOptions *options,
                 GCancellable *cancellable, LwPredictProgress progress, gpointer user, GError **error)
{
  Sampling s = { .quick = quick, .cancellable = cancellable, .progress = progress, .user = user };
  guint threads = options != NULL ? options->threads : 0;
  LwDoubt *out = NULL;

  s.drive = drive != NULL ? *drive : lw_quick_own_drive (quick);
  begin (&s, options, in_range);
  if (!run_still (&s, &s.error) || !lw_draws_run (s.n_runs, threads, run_one, &s)) {
    g_propagate_error (error, g_steal_pointer (&s.error));
  } else {
    lw_draws_run (s.n_kept * LW_N_CURVES, threads, band_curve, &s);
    lw_doubt_seal (s.doubt);
    out = g_steal_pointer (&s.doubt);
  }
  finish (&s);
  return out;
}
