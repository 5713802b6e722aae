#include "plan/doubt-moved.h"

#include <glib/gi18n.h>
#include <math.h>

#include "plan/profile.h"

typedef enum {
  DOUBT_NOTHING, /* the run the others are compared with */
  DOUBT_NOZZLE_FILM,
  DOUBT_PREHEAT_FILM,
  DOUBT_ROOM_FILM,
  DOUBT_CONDUCTIVITY,
  DOUBT_CAPACITY,
  DOUBT_GAS,
  DOUBT_EMISSIVITY,
  N_DOUBTS
} Doubt;

/* Half-widths at about 95 %, as shares of the value. */
static const double nozzle_in_range = 0.25; /* scatter of jet data about the correlations; from memory */
static const double nozzle_outside = 0.50;  /* extrapolated: common practice, no source */
static const double preheat_film = 0.25;    /* from memory */
static const double room_film = 0.20;       /* free convection correlations, 15-20 %; from memory */
static const double conductivity = 0.20;    /* copper cover as drawn against as etched; no source */
static const double capacity = 0.10;        /* content sheets against the model, one deviation 7 % */
static const double emissivity = 0.05;      /* solder mask 0.85-0.95, absolute; handbooks */

/* Runs for differences alone: coarse cells, long steps. */
static const double doubt_cell_m = 3e-3, doubt_step_s = 5;

typedef struct {
  double *joint, *body; /* peaks of each body; NaN without joints */
} Peaks;

/* ---- the moved scenes ---- */

typedef struct {
  HeatScene scene;
  double *set;      /* gas set points when moved, else NULL */
  HeatBody *bodies; /* with other emissivities, else NULL */
} Moved;

static void
raise_gas (const LwCase *self, Moved *moved)
{
  const HeatTable *set = &self->scene.nozzle.set_c, *flow = &self->scene.nozzle.flow_m3_s;

  moved->set = g_new (double, MAX (set->n, 1));
  for (size_t i = 0; i < set->n; i++)
    moved->set[i] = set->v[i] + (flow->v[i] > 0 ? self->gas_set_error_c : 0);
  moved->scene.nozzle.set_c.v = moved->set;
}

static void
lower_emissivities (const LwCase *self, Moved *moved)
{
  moved->bodies = g_memdup2 (self->bodies, MAX (self->n_bodies, 1) * sizeof (HeatBody));
  moved->scene.bodies = moved->bodies;
  moved->scene.board.emissivity = fmax (self->scene.board.emissivity - emissivity, 0);
  for (guint i = 0; i < self->n_bodies; i++)
    moved->bodies[i].emissivity = fmax (moved->bodies[i].emissivity - emissivity, 0);
}

static Moved
move (const LwCase *self, Doubt doubt, gboolean in_range)
{
  Moved moved = { self->scene, NULL, NULL };

  switch (doubt) {
  case DOUBT_NOZZLE_FILM:
    moved.scene.scale_nozzle_film += in_range ? nozzle_in_range : nozzle_outside;
    break;
  case DOUBT_PREHEAT_FILM:
    moved.scene.scale_preheat_film += preheat_film;
    break;
  case DOUBT_ROOM_FILM:
    moved.scene.scale_room_film += room_film;
    break;
  case DOUBT_CONDUCTIVITY:
    moved.scene.scale_conductivity += conductivity;
    break;
  case DOUBT_CAPACITY:
    moved.scene.scale_capacity += capacity;
    break;
  case DOUBT_GAS:
    raise_gas (self, &moved);
    break;
  case DOUBT_EMISSIVITY:
    lower_emissivities (self, &moved);
    break;
  case DOUBT_NOTHING:
  case N_DOUBTS:
  default:
    break;
  }
  return moved;
}

/* Whether the job has what is moved. */
static gboolean
applies (const LwCase *self, Doubt doubt)
{
  const HeatScene *scene = &self->scene;

  switch (doubt) {
  case DOUBT_NOZZLE_FILM:
    return scene->nozzle.present;
  case DOUBT_GAS:
    return scene->nozzle.present && self->gas_set_error_c > 0;
  case DOUBT_PREHEAT_FILM:
    return scene->preheat.kind != HEAT_PREHEAT_NONE;
  default:
    return TRUE;
  }
}

/* ---- runs, a few at a time ---- */

typedef struct {
  const LwCase *self;
  const LwWatch *watch;
  gboolean in_range;
  gint next; /* next run to take */
  gint done;
  Peaks peaks[N_DOUBTS];
  GMutex lock; /* guards error */
  GError *error;
} Runs;

static double
peak_of (const double *v, guint n)
{
  return v != NULL ? lw_profile_peak (v, n, NULL) : NAN;
}

static void
keep_peaks (Runs *runs, Doubt doubt, const HeatResult *result)
{
  for (guint i = 0; i < runs->self->n_bodies; i++) {
    runs->peaks[doubt].joint[i] = peak_of (result->bodies[i].joint_max, result->n_times);
    runs->peaks[doubt].body[i] = peak_of (result->bodies[i].body_max, result->n_times);
  }
}

static gboolean
run_one (Runs *runs, Doubt doubt)
{
  HeatOptions options = { .cell_m = doubt_cell_m,
                          .step_s = doubt_step_s,
                          .adaptive = true,
                          .frame_s = 2 * runs->self->scene.end_s };
  LwWatch quiet = { .cancellable = runs->watch->cancellable };
  Moved moved = move (runs->self, doubt, runs->in_range);
  g_autoptr (GError) error = NULL;
  g_autoptr (HeatResult) result = NULL;

  if (applies (runs->self, doubt))
    result = lw_solve_scene (&moved.scene, &options, &quiet, &error);
  g_free (moved.set);
  g_free (moved.bodies);
  if (result != NULL)
    keep_peaks (runs, doubt, result);
  if (error == NULL)
    return TRUE;
  g_mutex_lock (&runs->lock);
  if (runs->error == NULL)
    runs->error = g_steal_pointer (&error);
  g_mutex_unlock (&runs->lock);
  return FALSE;
}

static gpointer
work (gpointer data)
{
  Runs *runs = data;
  gint doubt;

  while ((doubt = g_atomic_int_add (&runs->next, 1)) < N_DOUBTS) {
    if (!run_one (runs, doubt))
      g_atomic_int_set (&runs->next, N_DOUBTS);
    g_atomic_int_inc (&runs->done);
  }
  return NULL;
}

/* Each run is whole and deterministic, so their order and number at a time change nothing. The caller's
 * thread works too, and alone tells of progress. */
static void
run_all (Runs *runs)
{
  guint n = CLAMP (g_get_num_processors (), 1, 4) - 1;
  GThread *threads[4] = { NULL };
  gint doubt;

  for (guint i = 0; i < n; i++)
    threads[i] = g_thread_new ("doubt", work, runs);
  while ((doubt = g_atomic_int_add (&runs->next, 1)) < N_DOUBTS) {
    if (!run_one (runs, doubt))
      g_atomic_int_set (&runs->next, N_DOUBTS);
    g_atomic_int_inc (&runs->done);
    lw_watch_tell (runs->watch, g_atomic_int_get (&runs->done) / (double) N_DOUBTS);
  }
  for (guint i = 0; i < n; i++)
    g_thread_join (threads[i]);
}

/* ---- the sum ---- */

static double
root_sum (const Runs *runs, guint body, gboolean joint)
{
  double sum = 0;

  for (int doubt = DOUBT_NOTHING + 1; doubt < N_DOUBTS; doubt++) {
    const Peaks *was = &runs->peaks[DOUBT_NOTHING], *is = &runs->peaks[doubt];
    double change = joint ? is->joint[body] - was->joint[body] : is->body[body] - was->body[body];
    if (applies (runs->self, doubt))
      sum += change * change;
  }
  return sqrt (sum);
}

gboolean
lw_doubt_moved (const LwCase *self, LwPrediction *prediction, const LwWatch *watch, GError **error)
{
  Runs runs = { .self = self, .watch = watch, .in_range = prediction->nozzle_in_range };
  gboolean prescribed = self->scene.nozzle.prescribed_h_w_m2k > 0 || !self->scene.nozzle.present;

  runs.in_range = runs.in_range || prescribed;
  g_mutex_init (&runs.lock);
  for (int i = 0; i < N_DOUBTS; i++) {
    runs.peaks[i].joint = g_new0 (double, MAX (self->n_bodies, 1));
    runs.peaks[i].body = g_new0 (double, MAX (self->n_bodies, 1));
  }
  run_all (&runs);
  for (guint i = 0; runs.error == NULL && i < self->n_bodies; i++) {
    LwPartTrace *trace = g_ptr_array_index (prediction->parts, i);
    trace->joint_doubt_k = root_sum (&runs, i, TRUE);
    trace->body_doubt_k = root_sum (&runs, i, FALSE);
  }
  for (int i = 0; i < N_DOUBTS; i++) {
    g_free (runs.peaks[i].joint);
    g_free (runs.peaks[i].body);
  }
  g_mutex_clear (&runs.lock);
  if (runs.error == NULL)
    return TRUE;
  g_propagate_error (error, runs.error);
  return FALSE;
}
