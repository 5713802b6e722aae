#include "board/default-plan.h"

#include <math.h>

#include <glib/gi18n.h>

#include "board/library.h"

/* ---- nozzle ---- */

/* Gap a side between body and nozzle: 0.5 mm in a published chip-scale study, 0.5 to 1.5 mm common practice. */
static const double GAP_MM = 0.5;

typedef struct {
  const LwNozzle *nozzle;
  double gap_mm;  /* smallest, a side; negative: does not cover */
  double area_mm2;
  gboolean turned; /* by a quarter */
} Fit;

static Fit
fit_round (const LwNozzle *nozzle, double length, double width, gboolean round)
{
  double across = round ? length : hypot (length, width);

  return (Fit){ nozzle, (nozzle->length_mm - across) / 2.0, G_PI * nozzle->length_mm * nozzle->length_mm / 4.0, FALSE };
}

static Fit
fit_box (const LwNozzle *nozzle, double length, double width)
{
  double straight = MIN (nozzle->length_mm - length, nozzle->width_mm - width) / 2.0;
  double turned = MIN (nozzle->width_mm - length, nozzle->length_mm - width) / 2.0;

  return (Fit){ nozzle, MAX (straight, turned), nozzle->length_mm * nozzle->width_mm, turned > straight };
}

/* A nozzle with the wanted gap beats one that only covers, that beats one that does not; then the smaller
 * wins, or, where none covers, the one that lacks least. */
static gboolean
better (const Fit *a, const Fit *b)
{
  int rank_a = a->gap_mm >= GAP_MM ? 2 : a->gap_mm >= 0.0 ? 1 : 0;
  int rank_b = b->gap_mm >= GAP_MM ? 2 : b->gap_mm >= 0.0 ? 1 : 0;

  if (rank_a != rank_b)
    return rank_a > rank_b;
  return rank_a == 0 ? a->gap_mm > b->gap_mm : a->area_mm2 < b->area_mm2;
}

static void
choose_nozzle (LwPlan *plan, const LwJob *job, const LwPackage *package)
{
  double length = package != NULL ? package->length_mm : 2.0;
  double width = package == NULL ? 2.0 : package->round ? package->length_mm : package->width_mm;
  Fit best = { NULL };

  for (guint i = 0; i < job->station->nozzles->len; i++)
    {
      const LwNozzle *nozzle = g_ptr_array_index (job->station->nozzles, i);
      Fit fit = nozzle->round ? fit_round (nozzle, length, width, package != NULL && package->round)
                              : fit_box (nozzle, length, width);

      if (best.nozzle == NULL || better (&fit, &best))
        best = fit;
    }
  if (best.nozzle == NULL)
    return;
  g_free (plan->nozzle);
  plan->nozzle = g_strdup (best.nozzle->name);
  plan->nozzle_turn_deg = best.turned ? 90.0 : 0.0;
}

/* ---- preheat area ---- */

/* One direction: as much of the board as the preheater reaches, the part in the middle where possible. */
static void
place_area (double board_low, double board_high, double reach, double part, double *size, double *middle)
{
  double half;

  *size = MIN (board_high - board_low, reach);
  half = *size / 2.0;
  *middle = CLAMP (part, board_low + half, MAX (board_high - half, board_low + half));
}

static void
choose_preheat_area (LwPlan *plan, const LwJob *job, LwPoint part)
{
  const LwPreheater *p = &job->station->preheater;
  LwBox box = { part.x_mm - 50.0, part.y_mm - 50.0, part.x_mm + 50.0, part.y_mm + 50.0 };
  double x_reach = p->max_length_mm, y_reach = p->max_width_mm;

  if (job->board->outline->len > 0)
    box = lw_loop_box (g_ptr_array_index (job->board->outline, 0));
  if ((box.y1_mm - box.y0_mm > box.x1_mm - box.x0_mm) != (y_reach > x_reach))
    { /* the board goes over the preheater the long way */
      x_reach = p->max_width_mm;
      y_reach = p->max_length_mm;
    }
  place_area (box.x0_mm, box.x1_mm, x_reach, part.x_mm, &plan->preheat_length_mm, &plan->preheat_x_mm);
  place_area (box.y0_mm, box.y1_mm, y_reach, part.y_mm, &plan->preheat_width_mm, &plan->preheat_y_mm);
}

/* ---- stages ---- */

/* Where the library does not know the alloy: tin-silver-copper, liquidus 217 C (J-STD-020 TL). */
static const double LIQUIDUS_C = 217.0;

static double
liquidus_of (const LwJob *job, const LwPart *part, const LwPlan *plan)
{
  const LwAlloy *alloy = lw_library_alloy (plan->alloy[0] != '\0'   ? plan->alloy
                                           : part->alloy[0] != '\0' ? part->alloy
                                                                    : job->alloy);

  return alloy != NULL && isfinite (alloy->liquidus_c) ? alloy->liquidus_c : LIQUIDUS_C;
}

/* Set points as distances from the liquidus, so that tin-lead and tin-silver-copper share one rule.
 *  - Preheater: warm air 40 K below the liquidus (143 C for tin-lead, 177 C lead-free: J-STD-020's soak
 *    bands are 100-150 C and 150-200 C). An infrared plate 80 K above it: a plate at 300 C holds a board
 *    over it near 175 C when the top loses 10 W/m2K (radiation balance, both emissivities 0.9).
 *  - Gas while soaking: 20 K above the liquidus. While lifting: 110 K above it, within the 300-420 C of
 *    common practice (no source) for lead-free.
 *  - Times: warm 120 s (such a board is within 20 K of its steady state then), soak 60 s (J-STD-020 ts
 *    60-120 s counts the end of warming too), lift 75 s, cool 90 s: common practice, no source. */
static const double AIR_BELOW_K = 40.0, PLATE_ABOVE_K = 80.0, SOAK_ABOVE_K = 20.0, LIFT_ABOVE_K = 110.0;
static const double WARM_S = 120.0, SOAK_S = 60.0, LIFT_S = 75.0, COOL_S = 90.0;
static const double FLOW_L_PER_MIN = 30.0; /* middle of the 10-60 l/min of common practice, no source */

static double
into_range (double value, double min, double max)
{
  return CLAMP (round (value), min, MAX (min, max));
}

static void
add_stage (LwPlan *plan, const LwStation *s, const char *name, double duration_s, double gas_c, double preheat_c)
{
  LwStage *stage = lw_stage_new ();

  g_free (stage->name);
  stage->name = g_strdup (name);
  stage->duration_s = duration_s;
  if (!isnan (gas_c))
    {
      stage->gas_c = into_range (gas_c, s->gas_min_c, s->gas_max_c);
      stage->flow_l_per_min = into_range (FLOW_L_PER_MIN, s->flow_min_l_per_min, s->flow_max_l_per_min);
    }
  if (!isnan (preheat_c) && s->preheater.kind != LW_PREHEATER_NONE)
    stage->preheat_c = into_range (preheat_c, s->preheater.min_c, s->preheater.max_c);
  g_ptr_array_add (plan->stages, stage);
}

void
lw_default_stages (LwPlan *plan, const LwJob *job, const LwPart *part)
{
  const LwStation *s = job->station;
  double liquidus = liquidus_of (job, part, plan);
  double preheat = s->preheater.kind == LW_PREHEATER_INFRARED ? liquidus + PLATE_ABOVE_K : liquidus - AIR_BELOW_K;

  add_stage (plan, s, _("Warm"), WARM_S, NAN, preheat);
  add_stage (plan, s, _("Soak"), SOAK_S, liquidus + SOAK_ABOVE_K, preheat);
  add_stage (plan, s, plan->operation == LW_OP_REMOVE ? _("Melt and lift") : _("Melt"), LIFT_S, liquidus + LIFT_ABOVE_K,
             preheat);
  add_stage (plan, s, _("Cool"), COOL_S, NAN, NAN);
}

LwPlan *
lw_default_plan (const LwJob *job, const LwPart *part)
{
  const LwPackage *package = lw_job_package_of (job, part);
  LwPlan *plan = lw_plan_new ();

  g_free (plan->ref);
  plan->ref = g_strdup (part->ref);
  choose_nozzle (plan, job, package);
  choose_preheat_area (plan, job, lw_part_body_center (part, package));
  lw_default_stages (plan, job, part);
  return plan;
}
