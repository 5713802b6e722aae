/* Floor life against exposure, and the bake that answers it. */
#include <glib/gi18n.h>
#include <math.h>

#include "board/moment.h"
#include "board/operations.h"
#include "plan/classify.h"
#include "plan/ready.h"

/* ---- the part ---- */

gboolean
lw_ready_is_classed (const LwJob *job, const LwPart *part)
{
  const LwPackage *package = lw_job_package_of (job, part);

  switch (package != NULL ? package->kind : LW_KIND_MECHANICAL) {
  case LW_KIND_AREA_ARRAY:
  case LW_KIND_LEADED:
  case LW_KIND_LEADLESS:
  case LW_KIND_LED:
  case LW_KIND_OPTOCOUPLER:
  case LW_KIND_MODULE:
  case LW_KIND_MICROPHONE:
    return TRUE;
  default:
    return FALSE;
  }
}

gboolean
lw_ready_uses_spare (const LwJob *job, const LwPlan *plan)
{
  if (plan->operation == LW_OP_PLACE)
    return TRUE;
  return plan->operation == LW_OP_REFLOW
         && (lw_job_find_operation (job, plan->ref, LW_OP_REMOVE) >= 0
             || lw_job_find_operation (job, plan->ref, LW_OP_PLACE) >= 0);
}

/* Thickness of the body itself, as J-STD-020 measures it. */
static double
thickness_of (const LwPart *part, const LwPackage *package)
{
  double height = lw_part_height_mm (part, package, NULL) - part->offset_mm;

  return package != NULL ? fmax (height - package->joints.standoff_mm, 0) : height;
}

static gboolean
is_array (const LwPackage *package)
{
  return package != NULL && package->kind == LW_KIND_AREA_ARRAY;
}

/* ---- exposure ---- */

/* Hours in the room when the work begins; NaN with *MISSING set. */
static double
exposure_of (const LwJob *job, const LwPast *past, const char **missing)
{
  gint64 start = 0, opened = 0;
  gboolean held = past->kept == LW_STORED_DRY_CABINET || past->kept == LW_STORED_DRY_PACK;
  double before = past->exposure_h;

  if (*past->opened == '\0') {
    if (isnan (before) && past->kept == LW_STORED_DRY_PACK)
      before = 0; /* never opened */
    *missing = isnan (before) ? _("how long it lay open") : "";
    return before;
  }
  before = isnan (before) ? 0 : before;
  *missing = "";
  if (held || !lw_moment_parse (past->opened, &opened))
    return before;
  if (!lw_moment_parse (job->schedule.start, &start)) {
    *missing = _("the wanted start");
    return NAN;
  }
  return before + fmax ((double) (start - opened) / 60, 0);
}

static LwWet
wet_of (const LwMoisture *m)
{
  if (m->level == LW_MSL_NONE || isinf (m->life.hours))
    return LW_WET_FREE;
  if (m->level == LW_MSL_UNKNOWN || isnan (m->life.hours) || isnan (m->exposure_h))
    return LW_WET_UNKNOWN;
  return m->exposure_h > m->life.hours ? LW_WET_PAST : LW_WET_WITHIN;
}

LwMoisture
lw_ready_moisture (const LwJob *job, const LwPart *part, gboolean spare)
{
  const LwPast *past = spare ? &part->spare : &part->past;
  const LwPackage *package = lw_job_package_of (job, part);
  double thickness = thickness_of (part, package);
  LwMoisture m = { .level = past->level == LW_MSL_UNKNOWN ? part->past.level : past->level, .missing = "" };

  m.room_assumed = isnan (past->room_c) || isnan (past->room_rh_percent);
  m.life = lw_ready_floor_life (m.level, past->room_c, past->room_rh_percent,
                                thickness >= 3.1 || (is_array (package) && thickness >= 1.0), past->label_life_h);
  m.exposure_h = exposure_of (job, past, &m.missing);
  m.wet = wet_of (&m);
  if (m.wet != LW_WET_UNKNOWN)
    m.missing = "";
  else if (m.level == LW_MSL_UNKNOWN)
    m.missing = _("its moisture sensitivity level");
  else if (isnan (m.life.hours))
    m.missing = _("its floor life in that room");
  return m;
}

/* ---- bake ---- */

#define BAKE_BOARD N_("J-STD-033, rework: populated boards with electrolytics or cells take the cooler rows")

/* Kinds that come off before any heat, bakes included. */
static gboolean
comes_off (LwPackageKind kind)
{
  return kind == LW_KIND_COIN_CELL || kind == LW_KIND_SUPERCAPACITOR || kind == LW_KIND_FILM_CAPACITOR;
}

/* What a part bears for hours. Electrolytics take the middle row, by J-STD-033's advice for populated boards. */
static double
bears_c (const LwJob *job, const LwPart *part)
{
  const LwPackage *package = lw_job_package_of (job, part);
  double most = lw_limits_body_peak_c (job, part);

  if (package != NULL && comes_off (package->kind))
    return INFINITY; /* not on the board any more */
  return package != NULL && package->kind == LW_KIND_ELECTROLYTIC ? fmin (most, lw_ready_bake_c (1)) : most;
}

double
lw_ready_bake_limit_c (const LwJob *job, const LwPart **weakest)
{
  double most = lw_ready_bake_c (0);

  if (weakest != NULL)
    *weakest = NULL;
  for (guint i = 0; i < job->parts->len; i++) {
    const LwPart *part = g_ptr_array_index (job->parts, i);
    double bears = part->placed ? bears_c (job, part) : INFINITY;

    if (bears >= most)
      continue;
    most = bears;
    if (weakest != NULL)
      *weakest = part;
  }
  return most;
}

LwReadyBake
lw_ready_bake_of (const LwJob *job, const LwPart *part, gboolean spare, gboolean alone)
{
  const LwPackage *package = lw_job_package_of (job, part);
  LwMoisture m = lw_ready_moisture (job, part, spare);
  double most = alone ? lw_ready_bake_c (0) : lw_ready_bake_limit_c (job, NULL);
  gboolean late = isnan (m.exposure_h) || isnan (m.life.hours) || m.exposure_h - m.life.hours > 72;
  gboolean large = is_array (package) && package->length_mm * package->width_mm > 17 * 17;
  int row = lw_ready_bake_row (isnan (job->schedule.bake_c) ? most : fmin (most, job->schedule.bake_c));

  if (row < 0)
    return (LwReadyBake){ NAN, NAN, _(BAKE_BOARD) };
  LwReadyFigure hours = lw_ready_bake (m.level, thickness_of (part, package), large, late, (guint) row);
  return (LwReadyBake){ lw_ready_bake_c ((guint) row), hours.hours, hours.source };
}
