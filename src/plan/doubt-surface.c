#include "plan/doubt-surface.h"

#include <math.h>

#include "plan/doubt-scene.h"
#include "plan/draws.h"
#include "plan/gauge.h"
#include "plan/profile.h"

#define SAMPLES 1000
#define CURVE_SAMPLES 256
#define MOMENTS 121
#define CURVE_BODIES 64
/* Standard normal number below which LW_BAND_SHARE (5 %) of all cases lie: Abramowitz and Stegun, Table 26.1. */
#define Z_BAND 1.6448536269514722
/* An input that moves nothing by this share of what the strongest moves is taken to act evenly both ways. */
#define WEAK 0.15
/* Runs for differences alone. */
static const double coarse_cell_m = 4e-3, coarse_step_s = 8;

/* Run 0 has nothing moved; 1 + 2 input + end has one input at its 5 % (end 0) or 95 % (end 1). All that is wanted
 * of a run is one row of numbers: figures [body * LW_N_FIGURES + figure], then curves
 * [(kept * LW_N_CURVES + curve) * MOMENTS + moment]. */
#define N_ALONE (1 + 2 * LW_N_UNSURE)
/* Then come the pairs of the strongest inputs, both at their 95 %. */
#define STRONG 3
#define N_PAIRS (STRONG * (STRONG - 1) / 2)
#define N_RUNS (N_ALONE + N_PAIRS)

typedef struct {
  const LwCase *of;
  LwDoubtRun run;
  gpointer user;
  const LwWatch *watch;
  HeatDrive drive;
  LwUnsureSpreads spreads;
  guint n_bodies, n_kept, n_done, n_wanted;
  guint *kept; /* bodies */
  gsize n_figures, n_numbers;
  float *row[N_RUNS];
  guint wanted[N_RUNS];
  guint pair[N_PAIRS][2]; /* inputs */
  LwDraws *draws;
  guint n_curve_samples;
  double t_s[MOMENTS];
  LwDoubt *doubt;
  GMutex lock; /* guards error and n_done */
  GError *error;
} Surface;

/* ---- runs ---- */

HeatDrive
lw_doubt_drive (const LwCase *of)
{
  HeatDrive drive = heat_drive_of (&of->scene);

  drive.mark_s = lw_plan_heating_end_s (lw_case_plan (of));
  return drive;
}

HeatResult *
lw_doubt_run_full (gpointer user, guint worker, const HeatDrive *drive, GError **error)
{
  const LwCase *of = user;
  HeatOptions options
      = { .cell_m = coarse_cell_m, .step_s = coarse_step_s, .adaptive = true, .frame_s = 2 * of->scene.end_s };
  LwWatch quiet = { 0 };
  g_autoptr (LwMovedScene) moved = lw_moved_scene_new (of, drive);

  return lw_solve_scene (&moved->scene, &options, &quiet, error);
}

static double
figure_of (const HeatFigures *figures, double board_c, guint body, LwFigure figure)
{
  LwGaugeRule rule = { .figure = figure, .body = body };

  return figure == LW_FIGURE_BOARD_PEAK && body > 0 ? NAN : lw_gauge_figure (&rule, figures, board_c);
}

static const double *
series_of (const HeatTrace *trace, LwCurve curve)
{
  const double *const series[LW_N_CURVES] = { trace->joint_min, trace->joint_mean, trace->joint_max, trace->body_top };

  return series[curve];
}

static void
read_curve (const Surface *s, const HeatResult *result, const double *series, float *out)
{
  guint at = 0;

  for (guint k = 0; k < MOMENTS; k++) {
    double share = 0;
    while (at + 2 < result->n_times && result->t_s[at + 1] < s->t_s[k])
      at++;
    if (series != NULL && at + 1 < result->n_times && result->t_s[at + 1] > result->t_s[at])
      share = CLAMP ((s->t_s[k] - result->t_s[at]) / (result->t_s[at + 1] - result->t_s[at]), 0, 1);
    out[k] = series == NULL ? NAN
                            : (float) (series[at] + (share > 0 ? share * (series[at + 1] - series[at]) : 0));
  }
}

static void
read_figures (const Surface *s, const HeatResult *result, float *out)
{
  g_autofree HeatFigures *figures = g_new (HeatFigures, MAX (s->n_bodies, 1));
  double board_c = lw_profile_peak (result->board_max, (guint) result->n_times, NULL);

  heat_figures (&s->of->scene, result, s->drive.mark_s, figures);
  for (guint body = 0; body < s->n_bodies; body++)
    for (guint f = 0; f < LW_N_FIGURES; f++)
      out[body * LW_N_FIGURES + f] = (float) figure_of (figures, board_c, body, f);
}

static void
read_curves (const Surface *s, const HeatResult *result, float *out)
{
  for (guint k = 0; k < s->n_kept; k++)
    for (guint c = 0; c < LW_N_CURVES; c++)
      read_curve (s, result, series_of (&result->bodies[s->kept[k]], c), out + (k * LW_N_CURVES + c) * MOMENTS);
}

static HeatResult *
solve (Surface *s, guint worker, guint number)
{
  HeatDrive drive = s->drive;
  double alone[LW_N_UNSURE] = { 0 };
  GError *error = NULL;
  HeatResult *result = NULL;

  if (number >= N_ALONE)
    alone[s->pair[number - N_ALONE][0]] = alone[s->pair[number - N_ALONE][1]] = Z_BAND;
  else if (number > 0)
    alone[(number - 1) / 2] = number % 2 == 1 ? -Z_BAND : Z_BAND;
  lw_doubt_move (&drive, &s->spreads, alone);
  if (s->watch == NULL || !g_cancellable_set_error_if_cancelled (s->watch->cancellable, &error))
    result = s->run (s->user, worker, &drive, &error);
  g_mutex_lock (&s->lock);
  s->n_done++;
  if (s->error == NULL)
    s->error = error;
  else
    g_clear_error (&error);
  g_mutex_unlock (&s->lock);
  return result;
}

static gboolean
run_one (gpointer user, guint worker, guint i)
{
  Surface *s = user;
  guint number = s->wanted[i];
  g_autoptr (HeatResult) result = solve (s, worker, number);
  float *row;

  if (result == NULL)
    return FALSE;
  row = g_new (float, MAX (s->n_numbers, 1));
  read_figures (s, result, row);
  read_curves (s, result, row + s->n_figures);
  s->row[number] = row;
  if (worker == 0 && s->watch != NULL) /* the caller's own thread */
    lw_watch_tell (s->watch, MIN (s->n_done / (double) N_RUNS, 1));
  return TRUE;
}

static gboolean
run_all (Surface *s, guint threads)
{
  return s->n_wanted == 0 || lw_draws_run (s->n_wanted, threads, run_one, s);
}

/* ---- which runs ---- */

static int
hotter (gconstpointer a, gconstpointer b, gpointer user)
{
  const HeatFigures *f = user;
  guint i = *(const guint *) a, k = *(const guint *) b;

  return f[i].body_peak_c > f[k].body_peak_c ? -1 : f[i].body_peak_c < f[k].body_peak_c ? 1 : (int) i - (int) k;
}

/* The target and the hottest others have curves. */
static void
choose_curves (Surface *s, const HeatResult *result)
{
  g_autofree HeatFigures *figures = g_new (HeatFigures, MAX (s->n_bodies, 1));
  size_t target = s->of->scene.target;

  heat_figures (&s->of->scene, result, s->drive.mark_s, figures);
  s->kept = g_new (guint, MAX (s->n_bodies, 1));
  for (guint i = 0; i < s->n_bodies; i++)
    s->kept[i] = i;
  if (target < s->n_bodies)
    figures[target].body_peak_c = INFINITY;
  g_qsort_with_data (s->kept, (gint) s->n_bodies, sizeof *s->kept, hotter, figures);
  s->n_kept = MIN (s->n_bodies, CURVE_BODIES);
  s->n_numbers = s->n_figures + (gsize) s->n_kept * LW_N_CURVES * MOMENTS;
}

static gboolean
run_still (Surface *s)
{
  g_autoptr (HeatResult) result = solve (s, 0, 0);

  if (result == NULL)
    return FALSE;
  choose_curves (s, result);
  s->row[0] = g_new (float, MAX (s->n_numbers, 1));
  read_figures (s, result, s->row[0]);
  read_curves (s, result, s->row[0] + s->n_figures);
  return TRUE;
}

/* What the upper run of an input moves most, among temperatures. */
static double
reach_of (const Surface *s, guint input)
{
  const float *up = s->row[2 + 2 * input];
  double most = 0;

  for (guint body = 0; up != NULL && body < s->n_bodies; body++) {
    gsize at = (gsize) body * LW_N_FIGURES + LW_FIGURE_BODY_PEAK;
    most = fmax (most, fabs (up[at] - s->row[0][at]));
  }
  return most;
}

static void
want_upper (Surface *s)
{
  s->n_wanted = 0;
  for (guint i = 0; i < LW_N_UNSURE; i++)
    if (s->spreads.spread[i] > 0)
      s->wanted[s->n_wanted++] = 2 + 2 * i;
}

static void
want_lower (Surface *s)
{
  double strongest = 0;

  s->n_wanted = 0;
  for (guint i = 0; i < LW_N_UNSURE; i++)
    strongest = fmax (strongest, reach_of (s, i));
  for (guint i = 0; i < LW_N_UNSURE; i++)
    if (s->row[2 + 2 * i] != NULL && reach_of (s, i) >= WEAK * strongest)
      s->wanted[s->n_wanted++] = 1 + 2 * i;
}

/* Pairs of the strongest inputs: what they do together is most of what the parabolas leave out. */
static void
want_pairs (Surface *s)
{
  guint strong[STRONG], n = 0, k = 0;

  for (; n < STRONG; n++) {
    guint best = LW_N_UNSURE;
    for (guint i = 0; i < LW_N_UNSURE; i++) {
      gboolean taken = FALSE;
      for (guint j = 0; j < n; j++)
        taken = taken || strong[j] == i;
      if (!taken && s->row[2 + 2 * i] != NULL && (best == LW_N_UNSURE || reach_of (s, i) > reach_of (s, best)))
        best = i;
    }
    if (best == LW_N_UNSURE)
      break;
    strong[n] = best;
  }
  s->n_wanted = 0;
  for (guint a = 0; a < n; a++)
    for (guint b = 0; b < a; b++, k++) {
      s->pair[k][0] = strong[a];
      s->pair[k][1] = strong[b];
      s->wanted[s->n_wanted++] = N_ALONE + k;
    }
}

/* ---- the sum of parabolas ---- */

typedef struct {
  double slope[LW_N_UNSURE], bend[LW_N_UNSURE], twist[N_PAIRS];
} Parabolas;

/* Change of number AT when an input is at one end; an input without a lower run acts evenly. */
static double
change_at (const Surface *s, guint input, guint end, gsize at)
{
  const float *own = s->row[1 + 2 * input + end], *up = s->row[2 + 2 * input];

  if (up == NULL)
    return 0;
  return own != NULL ? own[at] - s->row[0][at] : s->row[0][at] - up[at];
}

static void
fit (const Surface *s, gsize at, Parabolas *p)
{
  for (guint i = 0; i < LW_N_UNSURE; i++) {
    double low = change_at (s, i, 0, at), high = change_at (s, i, 1, at);
    p->slope[i] = (high - low) / (2 * Z_BAND);
    p->bend[i] = (high + low) / (2 * Z_BAND * Z_BAND);
  }
  for (guint k = 0; k < N_PAIRS; k++) {
    const float *both = s->row[N_ALONE + k];
    p->twist[k] = both == NULL ? 0
                               : (both[at] - s->row[0][at] - change_at (s, s->pair[k][0], 1, at)
                                  - change_at (s, s->pair[k][1], 1, at))
                                     / (Z_BAND * Z_BAND);
  }
}

static double
value_at (const Surface *s, const Parabolas *p, const double *z)
{
  double sum = 0;

  for (guint k = 0; k < N_PAIRS; k++)
    sum += p->twist[k] * z[s->pair[k][0]] * z[s->pair[k][1]];
  for (guint i = 0; i < LW_N_UNSURE; i++)
    sum += z[i] * (p->slope[i] + z[i] * p->bend[i]);
  return sum;
}

static gboolean
sample_body (gpointer user, guint worker, guint body)
{
  Surface *s = user;

  for (guint f = 0; f < LW_N_FIGURES; f++) {
    gsize at = (gsize) body * LW_N_FIGURES + f;
    Parabolas p;

    if (isnan (s->row[0][at]))
      continue;
    fit (s, at, &p);
    for (guint k = 0; k < s->draws->n; k++)
      lw_doubt_put (s->doubt, k, body, f, value_at (s, &p, lw_draws_row (s->draws, k)));
    for (guint i = 0; i < LW_N_UNSURE; i++)
      for (guint end = 0; s->row[2 + 2 * i] != NULL && end < 2; end++)
        lw_doubt_put_swing (s->doubt, i, end, body, f, change_at (s, i, end, at));
  }
  return TRUE;
}

static gboolean
sample_curve (gpointer user, guint worker, guint i)
{
  Surface *s = user;
  gsize at = s->n_figures + (gsize) i * MOMENTS;
  guint n = s->n_curve_samples;
  g_autofree double *v = g_new (double, MAX (n, 1));
  double low[MOMENTS], high[MOMENTS];

  if (isnan (s->row[0][at]))
    return TRUE; /* no such curve */
  for (guint k = 0; k < MOMENTS; k++) {
    Parabolas p;

    fit (s, at + k, &p);
    for (guint j = 0; j < n; j++)
      v[j] = value_at (s, &p, lw_draws_row (s->draws, j));
    low[k] = lw_draws_quantile (v, n, LW_BAND_SHARE);
    high[k] = lw_draws_quantile (v, n, 1 - LW_BAND_SHARE);
  }
  lw_doubt_put_curve (s->doubt, s->kept[i / LW_N_CURVES], i % LW_N_CURVES, low, high);
  return TRUE;
}

/* ---- all of it ---- */

static void
begin (Surface *s, gboolean in_range, const LwDoubtOptions *options)
{
  guint samples = options != NULL && options->samples > 0 ? options->samples : SAMPLES;
  guint curves = options != NULL && options->curves > 0 ? options->curves : CURVE_SAMPLES;

  g_mutex_init (&s->lock);
  s->drive = lw_doubt_drive (s->of);
  s->n_bodies = s->of->n_bodies;
  s->n_figures = (gsize) s->n_bodies * LW_N_FIGURES;
  lw_doubt_spreads (s->of, in_range, &s->spreads);
  s->draws = lw_draws_new (samples, LW_N_UNSURE, options != NULL && options->seed > 0 ? options->seed : 1,
                           lw_unsure_correlation);
  s->n_curve_samples = MIN (curves, samples);
  for (guint k = 0; k < MOMENTS; k++)
    s->t_s[k] = s->drive.end_s * k / (MOMENTS - 1);
  s->doubt = lw_doubt_new (samples, s->n_bodies, s->t_s, MOMENTS, &s->spreads);
}

static void
finish (Surface *s)
{
  for (guint i = 0; i < N_RUNS; i++)
    g_free (s->row[i]);
  g_free (s->kept);
  lw_draws_free (s->draws);
  lw_doubt_unref (s->doubt);
  g_mutex_clear (&s->lock);
  g_clear_error (&s->error);
}

LwDoubt *
lw_doubt_surface (const LwCase *of, gboolean in_range, const LwDoubtOptions *options, LwDoubtRun run, gpointer user,
                  const LwWatch *watch, GError **error)
{
  Surface s = { .of = of, .run = run, .user = user, .watch = watch };
  guint threads = options != NULL ? options->threads : 0;
  LwDoubt *out = NULL;
  gboolean ran;

  begin (&s, in_range, options);
  ran = run_still (&s);
  if (ran) {
    want_upper (&s);
    ran = run_all (&s, threads);
  }
  if (ran) {
    want_lower (&s);
    ran = run_all (&s, threads);
  }
  if (ran) {
    want_pairs (&s);
    ran = run_all (&s, threads);
  }
  if (ran) {
    lw_draws_run (s.n_bodies, threads, sample_body, &s);
    lw_draws_run (s.n_kept * LW_N_CURVES, threads, sample_curve, &s);
    lw_doubt_seal (s.doubt);
    out = g_steal_pointer (&s.doubt);
  } else {
    g_propagate_error (error, g_steal_pointer (&s.error));
  }
  finish (&s);
  return out;
}
