/* Life of the structs of a job, and look-ups. */
#include "board/job.h"

#include <math.h>
#include <string.h>

#include "board/copper-map.h"
#include "board/package-book.h"
#include "board/part-names.h"
#include "board/types.h"

#define DEFINE_COUNTED(Type, prefix)                                                                     \
  static void prefix##_clear (gpointer self)                                                             \
  {                                                                                                      \
    lw_type_clear (&prefix##_type, self);                                                                \
  }                                                                                                      \
  Type *prefix##_new (void)                                                                              \
  {                                                                                                      \
    return lw_type_new (&prefix##_type);                                                                 \
  }                                                                                                      \
  Type *prefix##_copy (const Type *self)                                                                 \
  {                                                                                                      \
    return lw_type_dup (&prefix##_type, self);                                                           \
  }                                                                                                      \
  Type *prefix##_ref (Type *self)                                                                        \
  {                                                                                                      \
    return g_atomic_rc_box_acquire (self);                                                               \
  }                                                                                                      \
  void prefix##_unref (Type *self)                                                                       \
  {                                                                                                      \
    if (self != NULL)                                                                                    \
      g_atomic_rc_box_release_full (self, prefix##_clear);                                               \
  }

DEFINE_COUNTED (LwLayer, lw_layer)
DEFINE_COUNTED (LwCopperRegion, lw_copper_region)
DEFINE_COUNTED (LwViaField, lw_via_field)
DEFINE_COUNTED (LwLayerCover, lw_layer_cover)
DEFINE_COUNTED (LwCopperMap, lw_copper_map)
DEFINE_COUNTED (LwBoard, lw_board)
DEFINE_COUNTED (LwBodyLayer, lw_body_layer)
DEFINE_COUNTED (LwPackage, lw_package)
DEFINE_COUNTED (LwPart, lw_part)
DEFINE_COUNTED (LwNozzle, lw_nozzle)
DEFINE_COUNTED (LwStation, lw_station)
DEFINE_COUNTED (LwStage, lw_stage)
DEFINE_COUNTED (LwShield, lw_shield)
DEFINE_COUNTED (LwThermocouple, lw_thermocouple)
DEFINE_COUNTED (LwPlan, lw_plan)
DEFINE_COUNTED (LwRunColumn, lw_run_column)
DEFINE_COUNTED (LwRun, lw_run)
DEFINE_COUNTED (LwFitFigure, lw_fit_figure)
DEFINE_COUNTED (LwFit, lw_fit)
DEFINE_COUNTED (LwRevision, lw_revision)

static void
lw_job_clear (gpointer self)
{
  lw_package_book_forget (self);
  lw_part_names_drop (self);
  lw_type_clear (&lw_job_type, self);
}

LwJob *
lw_job_new (void)
{
  return lw_type_new (&lw_job_type);
}

LwJob *
lw_job_copy (const LwJob *self)
{
  LwJob *copy = lw_type_dup (&lw_job_type, self);

  lw_package_book_share (copy, self);
  return copy;
}

LwJob *
lw_job_ref (LwJob *self)
{
  return g_atomic_rc_box_acquire (self);
}

void
lw_job_unref (LwJob *self)
{
  if (self != NULL)
    g_atomic_rc_box_release_full (self, lw_job_clear);
}

GArray *
lw_limits_new (void)
{
  return lw_type_new_array (&lw_limit_type);
}

void
lw_limits_add (GArray *limits, LwLimitKind kind, double value, double at_c, const char *source)
{
  LwLimit limit = { .kind = kind, .value = value, .at_c = kind == LW_LIMIT_BODY_TIME_ABOVE_S ? at_c : NAN,
                    .source = g_strdup (source != NULL ? source : "") };

  g_array_append_val (limits, limit);
}

/* ---- editing a job nobody else sees ---- */

static gpointer
edit_element (GPtrArray *array, guint index, const LwType *type)
{
  g_return_val_if_fail (index < array->len, NULL);
  gpointer old = g_ptr_array_index (array, index);

  g_ptr_array_index (array, index) = lw_type_dup (type, old);
  type->unref (old);
  return g_ptr_array_index (array, index);
}

LwBoard *
lw_job_edit_board (LwJob *job)
{
  LwBoard *old = job->board;

  job->board = lw_board_copy (old);
  lw_board_unref (old);
  return job->board;
}

LwStation *
lw_job_edit_station (LwJob *job)
{
  LwStation *old = job->station;

  job->station = lw_station_copy (old);
  lw_station_unref (old);
  return job->station;
}

LwPart *
lw_job_edit_part (LwJob *job, guint index)
{
  lw_part_names_drop (job);
  return edit_element (job->parts, index, &lw_part_type);
}

LwPlan *
lw_job_edit_plan (LwJob *job, guint index)
{
  return edit_element (job->plans, index, &lw_plan_type);
}

LwPackage *
lw_job_edit_package (LwJob *job, guint index)
{
  lw_package_book_drop (job);
  return edit_element (job->packages, index, &lw_package_type);
}

LwRun *
lw_job_edit_run (LwJob *job, guint index)
{
  return edit_element (job->runs, index, &lw_run_type);
}

LwFit *
lw_job_edit_fit (LwJob *job, guint index)
{
  return edit_element (job->fits, index, &lw_fit_type);
}

LwRevision *
lw_job_edit_revision (LwJob *job, guint index)
{
  return edit_element (job->revisions, index, &lw_revision_type);
}

/* ---- look-ups ---- */

int
lw_job_find_part (const LwJob *job, const char *ref)
{
  return lw_part_names_find ((LwJob *) job, ref);
}

int
lw_job_find_plan (const LwJob *job, const char *ref)
{
  for (guint i = 0; i < job->plans->len; i++)
    if (strcmp (((const LwPlan *) g_ptr_array_index (job->plans, i))->ref, ref) == 0)
      return (int) i;
  return -1;
}

int
lw_job_find_run (const LwJob *job, const char *name)
{
  for (guint i = 0; i < job->runs->len; i++)
    if (strcmp (((const LwRun *) g_ptr_array_index (job->runs, i))->name, name) == 0)
      return (int) i;
  return -1;
}

int
lw_job_find_fit (const LwJob *job, const char *name)
{
  for (guint i = 0; i < job->fits->len; i++)
    if (strcmp (((const LwFit *) g_ptr_array_index (job->fits, i))->name, name) == 0)
      return (int) i;
  return -1;
}

const LwNozzle *
lw_station_find_nozzle (const LwStation *station, const char *name)
{
  for (guint i = 0; i < station->nozzles->len; i++)
    {
      const LwNozzle *nozzle = g_ptr_array_index (station->nozzles, i);

      if (strcmp (nozzle->name, name) == 0)
        return nozzle;
    }
  return NULL;
}

const LwPackage *
lw_job_package_of (const LwJob *job, const LwPart *part)
{
  return lw_package_book_find ((LwJob *) job, part);
}

/* ---- words ---- */

const char *
lw_side_word (LwSide side)
{
  return side == LW_SIDE_BOTTOM ? lw_side_words[LW_SIDE_BOTTOM] : lw_side_words[LW_SIDE_TOP];
}

const char *
lw_kind_word (LwPackageKind kind)
{
  g_return_val_if_fail (kind < LW_N_KINDS, "other");
  return lw_kind_words[kind];
}

const char *
lw_operation_word (LwOperation op)
{
  g_return_val_if_fail (op < LW_N_OPS, "remove");
  return lw_operation_words[op];
}

const char *
lw_limit_word (LwLimitKind kind)
{
  g_return_val_if_fail (kind < LW_N_LIMITS, "");
  return lw_limit_words[kind];
}
