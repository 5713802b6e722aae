#include "plan/quick.h"

#include <glib/gi18n.h>

#include "plan/gauge.h"
#include "plan/quick-inside.h"
#include "plan/same-case.h"
#include "plan/solve-scene.h"

/* Memory of a row of models, each built near the one before; of a counted box. */
typedef struct {
  HeatWorkspace *heat;
} Memory;

struct LwQuick {
  gint ref_count;
  Memory *memory; /* NULL: it is of no row */
  LwJob *job;
  LwCase *of;
  HeatReduced *model;
  LwLee *lee; /* it depends on the geometry alone */
};

struct LwQuickRun {
  LwQuick *quick;
  HeatReducedRun *heat;
};

/* ---- life ---- */

static void
memory_clear (gpointer data)
{
  heat_workspace_free (((Memory *) data)->heat);
}

/* A model that is built near another is one of a row, as those of a moved thing are: the row hands its memory on. */
static Memory *
memory_of (const LwQuickOptions *options)
{
  Memory *memory;

  if (options->near != NULL && options->near->memory != NULL)
    return g_atomic_rc_box_acquire (options->near->memory);
  memory = g_atomic_rc_box_new0 (Memory);
  memory->heat = heat_workspace_new (0);
  return memory;
}

static HeatReducedOptions
heat_options (LwQuick *self, const LwQuickOptions *options)
{
  HeatReducedOptions out = { .parallel = lw_quick_parallel (), .progress = lw_watch_progress };

  if (options == NULL)
    return out;
  out.cell_m = options->cell_mm * 1e-3;
  out.coarse_m = options->coarse_mm * 1e-3;
  out.error_k = options->error_k;
  out.scout = options->scout;
  out.vary_conductance = options->vary_conductance;
  if (options->near != NULL)
    out.near = options->near->model;
  if (options->near != NULL || options->keep) {
    self->memory = memory_of (options);
    out.workspace = self->memory->heat;
  }
  return out;
}

static gboolean
build (LwQuick *self, const LwQuickOptions *options, LwWatch *watch, GError **error)
{
  HeatReducedOptions how = heat_options (self, options);
  const char *fault = heat_scene_fault (&self->of->scene);
  HeatStatus status;

  if (fault != NULL) {
    lw_set_heat_error (error, HEAT_BAD_SCENE, fault);
    return FALSE;
  }
  if (g_cancellable_set_error_if_cancelled (watch->cancellable, error))
    return FALSE;
  how.user = watch;
  status = heat_reduced_new (&self->of->scene, &how, &self->model);
  if (status != HEAT_OK) {
    lw_set_heat_error (error, status, "");
    return FALSE;
  }
  self->lee = lw_lee_new (self->of);
  return TRUE;
}

LwQuick *
lw_quick_new (LwJob *job, guint plan, const LwQuickOptions *options, GCancellable *cancellable,
              LwPredictProgress progress, gpointer user, GError **error)
{
  LwWatch watch = { cancellable, progress, user, 0, 1 };
  g_autoptr (LwQuick) self = g_new0 (LwQuick, 1);

  self->ref_count = 1;
  self->job = lw_job_ref (job);
  self->of = lw_case_new (job, plan, error);
  if (self->of == NULL || !build (self, options, &watch, error))
    return NULL;
  return g_steal_pointer (&self);
}

LwQuick *
lw_quick_ref (LwQuick *self)
{
  g_atomic_int_inc (&self->ref_count);
  return self;
}

void
lw_quick_unref (LwQuick *self)
{
  if (self == NULL || !g_atomic_int_dec_and_test (&self->ref_count))
    return;
  heat_reduced_free (self->model);
  if (self->memory != NULL)
    g_atomic_rc_box_release_full (self->memory, memory_clear);
  lw_lee_unref (self->lee);
  lw_case_free (self->of);
  lw_job_unref (self->job);
  g_free (self);
}

const LwJob *
lw_quick_job (const LwQuick *self)
{
  return self->job;
}

const LwCase *
lw_quick_case (const LwQuick *self)
{
  return self->of;
}

const HeatReduced *
lw_quick_model (const LwQuick *self)
{
  return self->model;
}

guint
lw_quick_n_bodies (const LwQuick *self)
{
  return self->of->n_bodies;
}

/* ---- drives ---- */

static HeatDrive
drive_of (const LwCase *of)
{
  HeatDrive drive = heat_drive_of (&of->scene);

  drive.mark_s = lw_plan_heating_end_s (lw_case_plan (of));
  return drive;
}

HeatDrive
lw_quick_own_drive (const LwQuick *self)
{
  return drive_of (self->of);
}

gboolean
lw_quick_fits (const LwQuick *self, LwJob *job, guint plan)
{
  g_autoptr (LwCase) of = lw_case_new (job, plan, NULL);

  return of != NULL && lw_case_same (self->of, of);
}

gboolean
lw_quick_drive (const LwQuick *self, LwJob *job, guint plan, LwQuickDrive *drive, GError **error)
{
  LwCase *of = lw_case_new (job, plan, error);

  if (of == NULL)
    return FALSE;
  if (!lw_case_same (self->of, of)) {
    lw_case_free (of);
    g_set_error_literal (error, LW_PREDICT_ERROR, LW_PREDICT_ERROR_JOB,
                         _("The plan differs from the one that was computed in more than its set points."));
    return FALSE;
  }
  *drive = (LwQuickDrive){ drive_of (of), of, lw_job_ref (job) };
  return TRUE;
}

void
lw_quick_drive_clear (LwQuickDrive *drive)
{
  g_clear_pointer (&drive->of, lw_case_free);
  g_clear_pointer (&drive->job, lw_job_unref);
}

/* ---- runs ---- */

LwQuickRun *
lw_quick_run_new (LwQuick *self)
{
  LwQuickRun *run = g_new0 (LwQuickRun, 1);

  run->quick = lw_quick_ref (self);
  run->heat = heat_reduced_run_new (self->model);
  if (run->heat == NULL)
    g_error ("out of memory for a run of the reduced model");
  return run;
}

void
lw_quick_run_free (LwQuickRun *run)
{
  if (run == NULL)
    return;
  heat_reduced_run_free (run->heat);
  lw_quick_unref (run->quick);
  g_free (run);
}

LwLee *
lw_quick_lee (const LwQuick *self)
{
  return self->lee;
}

HeatReducedRun *
lw_quick_run_heat (LwQuickRun *run)
{
  return run->heat;
}

gboolean
lw_quick_run (const LwQuick *self, LwQuickRun *run, const HeatDrive *drive, const HeatReducedWants *wants,
              GError **error)
{
  HeatDrive own = lw_quick_own_drive (self);
  HeatStatus status = heat_reduced_solve (self->model, run->heat, drive != NULL ? drive : &own, wants);

  if (status != HEAT_OK)
    lw_set_heat_error (error, status, heat_reduced_detail (run->heat));
  return status == HEAT_OK;
}

void
lw_quick_figures (const LwQuick *self, LwQuickRun *run, HeatFigures *figures)
{
  heat_reduced_figures (self->model, run->heat, figures);
}

double
lw_quick_board_peak (const LwQuick *self, LwQuickRun *run)
{
  return heat_reduced_board_peak (self->model, run->heat);
}

LwPrediction *
lw_quick_answer (const LwQuick *self, LwQuickRun *run, LwJob *job, guint plan, GError **error)
{
  g_auto (LwQuickDrive) drive = LW_QUICK_DRIVE_INIT;
  gint64 start = g_get_monotonic_time ();
  const HeatReducedWants wants = { .no_figures = true };
  LwPrediction *answer;

  if (!lw_quick_drive (self, job, plan, &drive, error) || !lw_quick_run (self, run, &drive.heat, &wants, error))
    return NULL;
  answer = lw_quick_predict (self, run, &drive, error);
  if (answer != NULL)
    answer->seconds = (double) (g_get_monotonic_time () - start) * 1e-6;
  return answer;
}
