/* Edits of plans: the target, stages, shields, thermocouples. */
#include <math.h>
#include <string.h>

#include <glib/gi18n.h>

#include "board/assume.h"
#include "board/default-plan.h"
#include "board/edit-finish.h"
#include "board/fields.h"
#include "board/library.h"

LwJob *
lw_edit_choose_target (const LwJob *job, const char *ref, GError **error)
{
  int part = lw_job_find_part (job, ref), plan = lw_job_find_plan (job, ref);

  if (part < 0)
    {
      g_set_error (error, LW_EDIT_ERROR, LW_EDIT_ERROR_REFERENCE, _("no part is named %s"), ref);
      return NULL;
    }
  const LwPart *target = g_ptr_array_index (job->parts, part);
  if (!target->placed)
    {
      g_set_error (error, LW_EDIT_ERROR, LW_EDIT_ERROR_REFERENCE, _("%s is not on the board"), ref);
      return NULL;
    }
  LwJob *after = lw_job_copy (job);
  if (lw_part_lacks_package (job, target))
    lw_job_assume_packages (after);
  if (plan < 0)
    {
      plan = (int) after->plans->len;
      g_ptr_array_add (after->plans, lw_default_plan (after, g_ptr_array_index (after->parts, part)));
    }
  after->active_plan = (guint) plan;
  return lw_edit_finish (job, after, NULL, error);
}

static gboolean
has_element (const GPtrArray *array, guint index, const char *text, GError **error)
{
  if (index < array->len)
    return TRUE;
  g_set_error (error, LW_EDIT_ERROR, LW_EDIT_ERROR_REFERENCE, text, index);
  return FALSE;
}

/* ---- stages ---- */

static const double NEW_STAGE_S = 30.0;

/* The new stage goes on with what its neighbour sets. */
LwJob *
lw_edit_add_stage (const LwJob *job, guint plan, guint at, GError **error)
{
  if (!lw_edit_has_plan (job, plan, error))
    return NULL;
  LwJob *after = lw_job_copy (job);
  GPtrArray *stages = lw_job_edit_plan (after, plan)->stages;
  at = MIN (at, stages->len);
  LwStage *stage = stages->len > 0 ? lw_stage_copy (g_ptr_array_index (stages, at > 0 ? at - 1 : 0)) : lw_stage_new ();
  g_free (stage->name);
  stage->name = g_strdup_printf (_("Stage %u"), at + 1);
  stage->duration_s = NEW_STAGE_S;
  g_clear_pointer (&stage->extra, lw_extra_unref); /* belonged to the neighbour */
  g_ptr_array_insert (stages, (gint) at, stage);
  return lw_edit_finish (job, after, NULL, error);
}

LwJob *
lw_edit_remove_stage (const LwJob *job, guint plan, guint stage, GError **error)
{
  if (!lw_edit_has_plan (job, plan, error)
      || !has_element (((const LwPlan *) g_ptr_array_index (job->plans, plan))->stages, stage,
                       _("the plan has no stage %u"), error))
    return NULL;
  LwJob *after = lw_job_copy (job);
  g_ptr_array_remove_index (lw_job_edit_plan (after, plan)->stages, stage);
  return lw_edit_finish (job, after, NULL, error);
}

/* ---- shields ---- */

static const double SHIELD_MM = 10.0, SHIELD_MARGIN_MM = 0.5;

/* Covers the part that lies there, else a square. */
static LwLoop *
shield_loop (const LwJob *job, double x_mm, double y_mm)
{
  for (guint i = 0; i < job->parts->len; i++)
    {
      const LwPart *part = g_ptr_array_index (job->parts, i);
      g_autoptr (LwLoop) body = NULL;

      if (!part->placed)
        continue;
      body = lw_part_outline (part, lw_job_package_of (job, part));
      if (!lw_loop_contains (body, x_mm, y_mm))
        continue;
      LwBox box = lw_loop_box (body);
      return lw_loop_new_rectangle (box.x0_mm - SHIELD_MARGIN_MM, box.y0_mm - SHIELD_MARGIN_MM,
                                    box.x1_mm + SHIELD_MARGIN_MM, box.y1_mm + SHIELD_MARGIN_MM);
    }
  return lw_loop_new_rectangle (x_mm - SHIELD_MM / 2.0, y_mm - SHIELD_MM / 2.0, x_mm + SHIELD_MM / 2.0,
                                y_mm + SHIELD_MM / 2.0);
}

/* A name "S1", "S2", ... that none of the structs has; NAME_OFFSET is that of their char *name. */
static char *
free_name (const char *letter, const GPtrArray *array, gsize name_offset)
{
  for (guint number = 1;; number++)
    {
      g_autofree char *name = g_strdup_printf ("%s%u", letter, number);
      gboolean taken = FALSE;

      for (guint i = 0; i < array->len && !taken; i++)
        taken = strcmp (G_STRUCT_MEMBER (char *, g_ptr_array_index (array, i), name_offset), name) == 0;
      if (!taken)
        return g_steal_pointer (&name);
    }
}

/* The library's first material. */
static void
give_material (LwShield *shield)
{
  g_autofree const char **names = lw_library_names ("shields");
  const LwShieldMaterial *material = names != NULL && names[0] != NULL ? lw_library_shield (names[0]) : NULL;

  if (material == NULL)
    return;
  g_free (shield->material);
  shield->material = g_strdup (material->name);
  shield->share = isfinite (material->share) ? material->share : 0.0;
}

LwJob *
lw_edit_add_shield (const LwJob *job, guint plan, double x_mm, double y_mm, GError **error)
{
  if (!lw_edit_has_plan (job, plan, error))
    return NULL;
  LwJob *after = lw_job_copy (job);
  GPtrArray *shields = lw_job_edit_plan (after, plan)->shields;
  LwShield *shield = lw_shield_new ();
  g_free (shield->name);
  shield->name = free_name ("S", shields, G_STRUCT_OFFSET (LwShield, name));
  lw_loop_unref (shield->loop);
  shield->loop = shield_loop (job, x_mm, y_mm);
  give_material (shield);
  g_ptr_array_add (shields, shield);
  return lw_edit_finish (job, after, NULL, error);
}

LwJob *
lw_edit_remove_shield (const LwJob *job, guint plan, guint shield, GError **error)
{
  if (!lw_edit_has_plan (job, plan, error)
      || !has_element (((const LwPlan *) g_ptr_array_index (job->plans, plan))->shields, shield,
                       _("the plan has no shield %u"), error))
    return NULL;
  LwJob *after = lw_job_copy (job);
  g_ptr_array_remove_index (lw_job_edit_plan (after, plan)->shields, shield);
  return lw_edit_finish (job, after, NULL, error);
}

/* ---- thermocouples ---- */

LwJob *
lw_edit_add_thermocouple (const LwJob *job, guint plan, const char *ref, double x_mm, double y_mm, LwSide side,
                          GError **error)
{
  if (!lw_edit_has_plan (job, plan, error))
    return NULL;
  if (ref != NULL && ref[0] != '\0' && lw_job_find_part (job, ref) < 0)
    {
      g_set_error (error, LW_EDIT_ERROR, LW_EDIT_ERROR_REFERENCE, _("no part is named %s"), ref);
      return NULL;
    }
  LwJob *after = lw_job_copy (job);
  GPtrArray *all = lw_job_edit_plan (after, plan)->thermocouples;
  LwThermocouple *tc = lw_thermocouple_new ();
  g_free (tc->name);
  tc->name = free_name ("T", all, G_STRUCT_OFFSET (LwThermocouple, name));
  g_free (tc->ref);
  tc->ref = g_strdup (ref != NULL ? ref : "");
  tc->x_mm = x_mm;
  tc->y_mm = y_mm;
  tc->side = side;
  g_ptr_array_add (all, tc);
  return lw_edit_finish (job, after, NULL, error);
}

LwJob *
lw_edit_remove_thermocouple (const LwJob *job, guint plan, guint index, GError **error)
{
  if (!lw_edit_has_plan (job, plan, error)
      || !has_element (((const LwPlan *) g_ptr_array_index (job->plans, plan))->thermocouples, index,
                       _("the plan has no thermocouple %u"), error))
    return NULL;
  LwJob *after = lw_job_copy (job);
  g_ptr_array_remove_index (lw_job_edit_plan (after, plan)->thermocouples, index);
  return lw_edit_finish (job, after, NULL, error);
}
