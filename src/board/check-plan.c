/* Contradictions of station and plans. */
#include <math.h>

#include <glib/gi18n.h>

#include "board/job-check.h"
#include "board/library.h"
#include "board/names.h"
#include "board/operations.h"

/* ---- station ---- */

void
lw_check_station (LwCheck *check)
{
  const LwStation *station = check->job->station;

  for (guint i = 0; i < station->nozzles->len; i++)
    {
      const LwNozzle *nozzle = g_ptr_array_index (station->nozzles, i);

      if (lw_station_find_nozzle (station, nozzle->name) != nozzle)
        lw_check_stop (check, LW_PATH ("station.nozzles[%u].name", i), _("“%s” is given twice"), nozzle->name);
    }
  if (station->gas_min_c > station->gas_max_c)
    lw_check_stop (check, g_strdup ("station.gas_max_c"), _("is below gas_min_c"));
  if (station->flow_min_l_per_min > station->flow_max_l_per_min)
    lw_check_stop (check, g_strdup ("station.flow_max_l_per_min"), _("is below flow_min_l_per_min"));
  if (station->preheater.min_c > station->preheater.max_c)
    lw_check_stop (check, g_strdup ("station.preheater.max_c"), _("is below min_c"));
}

/* ---- plans ---- */

static void
check_range (LwCheck *check, char *path, double value, double min, double max, const char *unit)
{
  LwNumberText is, low, high;

  if (value < min || value > max)
    lw_check_stop (check, path, _("%s %s is outside the station’s range of %s to %s %s"), lw_number_text (&is, value),
                   unit, lw_number_text (&low, min), lw_number_text (&high, max), unit);
  else
    g_free (path);
}

static void
check_stage (LwCheck *check, const LwStage *stage, guint plan, guint index)
{
  const LwStation *s = check->job->station;
  gboolean film_given = s->films.given && !isnan (s->films.nozzle_w_per_m2k);

  if (!isnan (stage->gas_c))
    check_range (check, LW_PATH ("plans[%u].stages[%u].gas_c", plan, index), stage->gas_c, s->gas_min_c, s->gas_max_c,
                 "°C");
  if (!isnan (stage->gas_c) && !film_given)
    check_range (check, LW_PATH ("plans[%u].stages[%u].flow_l_per_min", plan, index), stage->flow_l_per_min,
                 s->flow_min_l_per_min, s->flow_max_l_per_min, "L/min");
  if (isnan (stage->preheat_c))
    return;
  if (s->preheater.kind == LW_PREHEATER_NONE)
    lw_check_note (check, LW_PATH ("plans[%u].stages[%u].preheat_c", plan, index),
                   _("the station has no preheater; this set point does nothing"));
  else
    check_range (check, LW_PATH ("plans[%u].stages[%u].preheat_c", plan, index), stage->preheat_c, s->preheater.min_c,
                 s->preheater.max_c, "°C");
}

/* A table is what was delivered, not a set point: the station's range does not bind it. */
static void
check_table (LwCheck *check, const LwPlan *plan, guint index)
{
  if (plan->table->len == 0)
    lw_check_stop (check, LW_PATH ("plans[%u].table", index), _("is empty"));
  for (guint i = 1; i < plan->table->len; i++)
    if (g_array_index (plan->table, LwKnot, i).t_s < g_array_index (plan->table, LwKnot, i - 1).t_s)
      lw_check_stop (check, LW_PATH ("plans[%u].table[%u].t_s", index, i), _("is before the time above it"));
}

static void
check_course (LwCheck *check, const LwPlan *plan, guint index)
{
  if (plan->table != NULL)
    check_table (check, plan, index);
  else if (plan->stages->len == 0 && lw_plan_heats (plan))
    lw_check_note (check, LW_PATH ("plans[%u].stages", index), _("the plan has no stages yet"));
  else if (plan->stages->len > 0 && !lw_plan_heats (plan))
    lw_check_note (check, LW_PATH ("plans[%u].stages", index), _("this operation does not heat; its stages do nothing"));
  else
    for (guint i = 0; i < plan->stages->len; i++)
      check_stage (check, g_ptr_array_index (plan->stages, i), index, i);
}

static void
check_names (LwCheck *check, const LwPlan *plan, guint index)
{
  const LwJob *job = check->job;
  const LwPart *part = g_hash_table_lookup (check->parts, plan->ref);

  if (lw_job_find_operation (job, plan->ref, plan->operation) != (int) index)
    lw_check_stop (check, LW_PATH ("plans[%u].operation", index), _("%s already has a plan for “%s”"), plan->ref,
                   lw_operation_label (plan->operation));
  if (part == NULL)
    lw_check_note (check, LW_PATH ("plans[%u].ref", index), _("no part is named %s"), plan->ref);
  else if (!part->placed)
    lw_check_note (check, LW_PATH ("plans[%u].ref", index), _("%s is not on the board"), plan->ref);
  if (!lw_plan_heats (plan))
    return;
  if (plan->nozzle[0] == '\0')
    lw_check_note (check, LW_PATH ("plans[%u].nozzle", index), _("no nozzle is chosen"));
  else if (lw_station_find_nozzle (job->station, plan->nozzle) == NULL)
    lw_check_note (check, LW_PATH ("plans[%u].nozzle", index), _("the station has no nozzle “%s”"), plan->nozzle);
}

static void
check_preheat_area (LwCheck *check, const LwPlan *plan, guint index)
{
  const LwPreheater *p = &check->job->station->preheater;
  LwNumberText length, width;
  double longer = MAX (plan->preheat_length_mm, plan->preheat_width_mm);
  double shorter = MIN (plan->preheat_length_mm, plan->preheat_width_mm);

  if (p->kind == LW_PREHEATER_NONE)
    return;
  if (longer > MAX (p->max_length_mm, p->max_width_mm) || shorter > MIN (p->max_length_mm, p->max_width_mm))
    lw_check_note (check, LW_PATH ("plans[%u].preheat_area", index),
                   _("is larger than the station’s preheater, %s x %s mm"), lw_number_text (&length, p->max_length_mm),
                   lw_number_text (&width, p->max_width_mm));
}

static void
check_objects (LwCheck *check, const LwPlan *plan, guint index)
{
  for (guint i = 0; i < plan->shields->len; i++)
    {
      const LwShield *shield = g_ptr_array_index (plan->shields, i);

      if (shield->loop->corners->len < 2 || lw_loop_crosses_itself (shield->loop, NULL, NULL))
        lw_check_stop (check, LW_PATH ("plans[%u].shields[%u].loop", index, i),
                       _("must be a closed shape that does not cross itself"));
      if (shield->material[0] != '\0' && lw_library_shield (shield->material) == NULL)
        lw_check_note (check, LW_PATH ("plans[%u].shields[%u].material", index, i), _("“%s” is not in the library"),
                       shield->material);
    }
  for (guint i = 0; i < plan->thermocouples->len; i++)
    {
      const LwThermocouple *tc = g_ptr_array_index (plan->thermocouples, i);

      if (tc->ref[0] != '\0' && !g_hash_table_contains (check->parts, tc->ref))
        lw_check_note (check, LW_PATH ("plans[%u].thermocouples[%u].ref", index, i), _("no part is named %s"), tc->ref);
    }
}

static void
check_wanted (LwCheck *check, const LwWanted *wanted, guint index)
{
  if (wanted->above_liquidus_min_s > wanted->above_liquidus_max_s)
    lw_check_stop (check, LW_PATH ("plans[%u].wanted.above_liquidus_max_s", index), _("is below the least time wanted"));
  if (wanted->joint_min_c > wanted->joint_max_c)
    lw_check_stop (check, LW_PATH ("plans[%u].wanted.joint_max_c", index), _("is below the least temperature wanted"));
}

void
lw_check_plans (LwCheck *check)
{
  const LwJob *job = check->job;

  for (guint i = 0; i < job->plans->len; i++)
    {
      const LwPlan *plan = g_ptr_array_index (job->plans, i);

      check_names (check, plan, i);
      check_preheat_area (check, plan, i);
      check_course (check, plan, i);
      check_objects (check, plan, i);
      check_wanted (check, &plan->wanted, i);
    }
  if (job->plans->len > 0 && job->active_plan >= job->plans->len)
    lw_check_stop (check, g_strdup ("active_plan"), _("must name one of the %u plans, counted from 0"),
                   job->plans->len);
}
