#include "plan/doubt-sample.h"

#include <math.h>
#include <string.h>

#include "heat/compact.h"
#include "plan/draws.h"
#include "plan/gauge.h"
#include "plan/solve-scene.h"

#define SAMPLES 1000
/* Samples times bodies, whose figures are most of the time on a board of thousands; fewer samples than the least would
 * tell too little of the odds of one in twenty. */
#define READINGS_MOST 2000000
#define SAMPLES_LEAST 256
#define CURVES 256
#define MOMENTS 121
/* Standard normal number below which LW_BAND_SHARE (5 %) of all cases lie: Abramowitz and Stegun, Table 26.1. */
#define Z_BAND 1.6448536269514722
/* Of the reduced model on coarse cells only differences between runs are used. */
#define CELL_MM 3.0
#define COARSE_MM 10.0
/* Draws that the compact model learns from besides each input's ends: everything moved at once. */
#define JOINT_LESSONS 8
/* Shares of the whole time: the reduced model, and of the rest what is learned from it. */
#define BUILDING 0.4
#define LEARNING 0.6
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
  lw_kept_narrow (&of->kept, out);
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
  HeatCompactRun *run;
  float *series;        /* of the run at hand, grown as needed */
  gsize room;
} Worker;

/* Run 0 has nothing moved, then come two for each input alone, then the samples. */
typedef struct {
  const LwCase *of;
  HeatCompact *model;
  HeatDrive drive;
  LwUnsureSpreads spreads;
  LwDraws *draws;
  const LwWatch *watch;
  GThread *caller;
  guint n_bodies, n_curves, n_runs;
  Worker worker[4];
  HeatFigures *still; /* of run 0 */
  double still_board_c;
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
      double still = figure_of (s->still, s->still_board_c, body, f), change;
      if (isnan (still))
        continue; /* as most are: unknown it is already */
      change = figure_of (figures, board_c, body, f) - still;
      if (i < FIRST_SAMPLE)
        lw_doubt_put_swing (s->doubt, i / 2, i % 2, body, f, change);
      else
        lw_doubt_put (s->doubt, i - FIRST_SAMPLE, body, f, change);
    }
}

static HeatSeries
series_of (LwCurve curve)
{
  static const HeatSeries series[LW_N_CURVES] = { [LW_CURVE_JOINT_MIN] = HEAT_SERIES_JOINT_MIN,
                                                  [LW_CURVE_JOINT_MEAN] = HEAT_SERIES_JOINT_MEAN,
                                                  [LW_CURVE_JOINT_MAX] = HEAT_SERIES_JOINT_MAX,
                                                  [LW_CURVE_BODY_TOP] = HEAT_SERIES_BODY_TOP };

  return series[curve];
}

/* A run's curve at the common moments. */
static void
keep_curve (Sampling *s, float *out, guint column, const HeatCompactRun *run, const float *series)
{
  gsize at = 0, n = heat_compact_n_times (run), stride = s->n_curves + 1;

  for (guint k = 0; k < MOMENTS; k++) {
    double t = s->t_s[k], share = 0;
    while (at + 2 < n && heat_compact_time (run, at + 1) < t)
      at++;
    if (at + 1 < n && heat_compact_time (run, at + 1) > heat_compact_time (run, at))
      share = CLAMP ((t - heat_compact_time (run, at)) / (heat_compact_time (run, at + 1) - heat_compact_time (run, at)), 0, 1);
    out[k * stride + column] = (float) (series[at] + (share > 0 ? share * (series[at + 1] - series[at]) : 0));
  }
}

static void
keep_curves (Sampling *s, Worker *worker, guint column)
{
  gsize n = heat_compact_n_times (worker->run);

  if (n > worker->room)
    worker->series = g_renew (float, worker->series, worker->room = n);
  for (guint body = 0; body < s->n_bodies; body++)
    for (guint c = 0; s->curve_of[body] >= 0 && c < LW_N_CURVES; c++) {
      gsize place = ((gsize) s->curve_of[body] * LW_N_CURVES + c) * MOMENTS * (s->n_curves + 1);
      if (heat_compact_series (s->model, worker->run, body, series_of (c), worker->series))
        keep_curve (s, s->curves + place, column, worker->run, worker->series);
    }
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
march (Sampling *s, Worker *worker, const HeatDrive *drive)
{
  HeatStatus status = heat_compact_solve (s->model, worker->run, drive, NULL);
  GError *error = NULL;

  if (status == HEAT_OK)
    return TRUE;
  lw_set_heat_error (&error, status, "");
  return fail (s, error);
}

static gboolean
run_one (gpointer user, guint number, guint i)
{
  Sampling *s = user;
  Worker *worker = &s->worker[number];
  HeatDrive drive;
  GError *error = NULL;

  if (s->watch != NULL && g_cancellable_set_error_if_cancelled (s->watch->cancellable, &error))
    return fail (s, error);
  if (i < FIRST_SAMPLE && !(s->spreads.spread[i / 2] > 0))
    return TRUE;
  drive_of_run (s, i, &drive);
  if (!march (s, worker, &drive))
    return FALSE;
  heat_compact_figures (s->model, worker->run, worker->figures);
  keep_figures (s, i, worker->figures, heat_compact_board_peak (s->model, worker->run));
  if (i >= FIRST_SAMPLE && i - FIRST_SAMPLE < s->n_curves)
    keep_curves (s, worker, i - FIRST_SAMPLE);
  g_atomic_int_inc (&s->done);
  if (s->watch != NULL && g_thread_self () == s->caller)
    lw_watch_tell (s->watch, LEARNING + (1 - LEARNING) * g_atomic_int_get (&s->done) / s->n_runs);
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
  size_t target = s->of->scene.target;

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
run_still (Sampling *s)
{
  Worker *worker = &s->worker[0];

  if (!march (s, worker, &s->drive))
    return FALSE;
  heat_compact_figures (s->model, worker->run, s->still);
  s->still_board_c = heat_compact_board_peak (s->model, worker->run);
  choose_curves (s);
  keep_curves (s, worker, s->n_curves);
  return TRUE;
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

/* ---- what the compact model learns from ---- */

/* Nothing moved, each input alone at its 5 % and its 95 %, and a few draws. */
static GArray *
lessons_of (const Sampling *s)
{
  GArray *out = g_array_new (FALSE, FALSE, sizeof (HeatDrive));
  HeatDrive drive = s->drive;

  g_array_append_val (out, drive);
  for (guint i = 0; i < FIRST_SAMPLE + MIN (JOINT_LESSONS, s->draws->n); i++)
    if (i >= FIRST_SAMPLE || s->spreads.spread[i / 2] > 0) {
      drive_of_run (s, i, &drive);
      g_array_append_val (out, drive);
    }
  return out;
}

static bool
learning_cb (double done, void *user)
{
  const Sampling *s = user;

  if (s->watch == NULL)
    return true;
  lw_watch_tell (s->watch, LEARNING * done);
  return !g_cancellable_is_cancelled (s->watch->cancellable);
}

/* Of neighbours the findings weigh peaks and ramps (figure.h); of the target everything. */
static unsigned char *
asked_of (const Sampling *s)
{
  unsigned char *asked = g_new (unsigned char, MAX (s->n_bodies, 1));

  memset (asked, HEAT_COMPACT_RAMPS | HEAT_COMPACT_SHAPE, MAX (s->n_bodies, 1));
  return asked;
}

static gboolean
learn (Sampling *s, const HeatReduced *model)
{
  g_autoptr (GArray) lessons = lessons_of (s);
  g_autofree unsigned char *asked = asked_of (s);
  HeatCompactOptions options
      = { .asked = asked, .parallel = lw_quick_parallel (), .progress = learning_cb, .user = s };
  HeatStatus status
      = heat_compact_new (model, (const HeatDrive *) (gpointer) lessons->data, lessons->len, &options, &s->model);
  GError *error = NULL;

  if (status == HEAT_OK)
    return TRUE;
  if (s->watch == NULL || !g_cancellable_set_error_if_cancelled (s->watch->cancellable, &error))
    lw_set_heat_error (&error, status, "");
  return fail (s, error);
}

/* ---- all of it ---- */

guint
lw_doubt_samples_for (guint n_bodies)
{
  return CLAMP (READINGS_MOST / MAX (n_bodies, 1), SAMPLES_LEAST, SAMPLES);
}

static void
begin (Sampling *s, const LwDoubtOptions *options, gboolean in_range)
{
  guint samples = options != NULL && options->samples > 0 ? options->samples : lw_doubt_samples_for (s->of->n_bodies);
  guint curves = options != NULL && options->curves > 0 ? options->curves : CURVES;
  guint64 seed = options != NULL && options->seed > 0 ? options->seed : 1;

  g_mutex_init (&s->lock);
  s->caller = g_thread_self ();
  s->n_bodies = s->of->n_bodies;
  s->n_curves = MIN (curves, samples);
  s->n_runs = FIRST_SAMPLE + samples;
  lw_doubt_spreads (s->of, in_range, &s->spreads);
  s->draws = lw_draws_new_tied (samples, LW_N_UNSURE, seed, s->spreads.ties);
  s->still = g_new (HeatFigures, MAX (s->n_bodies, 1));
  s->curve_of = g_new (gint, MAX (s->n_bodies, 1));
  for (guint k = 0; k < MOMENTS; k++)
    s->t_s[k] = s->drive.end_s * k / (MOMENTS - 1);
  s->doubt = lw_doubt_new (samples, s->n_bodies, s->t_s, MOMENTS, &s->spreads);
}

static gboolean
hire (Sampling *s, guint threads)
{
  for (guint i = 0; i < lw_draws_threads (threads); i++) {
    s->worker[i].figures = g_new (HeatFigures, MAX (s->n_bodies, 1));
    s->worker[i].run = heat_compact_run_new (s->model);
    if (s->worker[i].run == NULL) {
      GError *error = NULL;

      lw_set_heat_error (&error, HEAT_NO_MEMORY, "");
      return fail (s, error);
    }
  }
  return TRUE;
}

static void
finish (Sampling *s)
{
  for (guint i = 0; i < G_N_ELEMENTS (s->worker); i++) {
    g_free (s->worker[i].figures);
    g_free (s->worker[i].series);
    heat_compact_run_free (s->worker[i].run);
  }
  heat_compact_free (s->model);
  lw_draws_free (s->draws);
  lw_doubt_unref (s->doubt);
  g_free (s->still);
  g_free (s->curve_of);
  g_free (s->curves);
  g_mutex_clear (&s->lock);
  g_clear_error (&s->error);
}

static LwDoubt *
sample (Sampling *s, const HeatReduced *model, guint threads)
{
  if (!learn (s, model) || !hire (s, threads) || !run_still (s) || !lw_draws_run (s->n_runs, threads, run_one, s))
    return NULL;
  lw_draws_run (s->n_kept * LW_N_CURVES, threads, band_curve, s);
  lw_doubt_seal (s->doubt);
  return g_steal_pointer (&s->doubt);
}

LwDoubt *
lw_doubt_sample (LwQuick *quick, const HeatDrive *drive, gboolean in_range, const LwDoubtOptions *options,
                 const LwWatch *watch, GError **error)
{
  Sampling s = { .of = lw_quick_case (quick), .watch = watch };
  LwDoubt *out;

  s.drive = drive != NULL ? *drive : lw_quick_own_drive (quick);
  begin (&s, options, in_range);
  out = sample (&s, lw_quick_model (quick), options != NULL ? options->threads : 0);
  if (out == NULL)
    g_propagate_error (error, g_steal_pointer (&s.error));
  finish (&s);
  return out;
}

static void
building_cb (double done, gpointer user)
{
  lw_watch_tell (user, done);
}

LwDoubt *
lw_doubt_of_plan (LwJob *job, guint plan, gboolean in_range, const LwDoubtOptions *options, const LwWatch *watch,
                  GError **error)
{
  LwQuickOptions coarse = { .cell_mm = CELL_MM, .coarse_mm = COARSE_MM, .scout = TRUE, .vary_conductance = TRUE };
  LwWatch none = { .to = 1 }, first = watch != NULL ? *watch : none, rest = first;
  g_autoptr (LwQuick) quick = NULL;

  first.to = rest.from = first.from + BUILDING * (first.to - first.from);
  quick = lw_quick_new (job, plan, &coarse, first.cancellable, building_cb, &first, error);
  return quick == NULL ? NULL : lw_doubt_sample (quick, NULL, in_range, options, &rest, error);
}
