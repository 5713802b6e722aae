/* The inspector's pages of what a plan holds: nozzle, preheat area, stages, shields, thermocouples. */
#include <math.h>
#include <stdio.h>

#include <glib/gi18n.h>

#include "board/library.h"
#include "widgets/choice-row.h"
#include "widgets/field-row.h"
#include "widgets/inspector-private.h"
#include "widgets/words.h"

static const LwJob *
job_of (LwInspector *self)
{
  return lw_desk_job (lw_inspector_desk (self));
}

static const LwPlan *
plan_of (LwInspector *self)
{
  return g_ptr_array_index (job_of (self)->plans, lw_desk_plan (lw_inspector_desk (self)));
}

static char *
plan_path (LwInspector *self, const char *member)
{
  return g_strdup_printf ("plans[%d].%s", lw_desk_plan (lw_inspector_desk (self)), member);
}

static void
number (LwInspector *self, const char *member, const char *title, const char *unit, int digits, double step)
{
  g_autofree char *path = plan_path (self, member);

  lw_inspector_number (self, path, title, unit, digits, step, NULL);
}

static const LwPlan *
plan_at_path (const LwJob *job, const char *path)
{
  guint plan = 0;

  if (sscanf (path, "plans[%u]", &plan) != 1 || plan >= job->plans->len)
    return NULL;
  return g_ptr_array_index (job->plans, plan);
}

/* ---- nozzle ---- */

static const char *
read_nozzle (const LwJob *job, const char *path)
{
  const LwPlan *plan = plan_at_path (job, path);

  return plan == NULL ? NULL : plan->nozzle;
}

static const char *
read_operation (const LwJob *job, const char *path)
{
  const LwPlan *plan = plan_at_path (job, path);

  return plan == NULL ? NULL : lw_operation_word (plan->operation);
}

static char *
nozzle_label (const LwNozzle *nozzle)
{
  g_autofree char *length = lw_figure_in (nozzle->length_mm, 1, "mm"), *width = lw_figure_in (nozzle->width_mm, 1, "mm");
  const char *unit = lw_units_word (lw_shown_units (), "mm");

  if (nozzle->round)
    return g_strdup_printf ("%s (⌀ %s %s)", nozzle->name, length, unit);
  return g_strdup_printf ("%s (%s × %s %s)", nozzle->name, length, width, unit);
}

static void
nozzle_choice (LwInspector *self)
{
  const LwStation *station = job_of (self)->station;
  g_autofree char *path = plan_path (self, "nozzle");
  g_autoptr (GStrvBuilder) words = g_strv_builder_new (), labels = g_strv_builder_new ();
  g_auto (GStrv) word_list = NULL, label_list = NULL;

  for (guint i = 0; i < station->nozzles->len; i++) {
    const LwNozzle *nozzle = g_ptr_array_index (station->nozzles, i);
    g_autofree char *label = nozzle_label (nozzle);

    g_strv_builder_add (words, nozzle->name);
    g_strv_builder_add (labels, label);
  }
  word_list = g_strv_builder_end (words);
  label_list = g_strv_builder_end (labels);
  lw_inspector_add_row (self, path,
                        lw_choice_row_new (lw_inspector_desk (self), path, _("Nozzle"),
                                           (const char *const *) word_list, (const char *const *) label_list,
                                           read_nozzle));
}

static void
operation_choice (LwInspector *self)
{
  const char *words[LW_N_OPS + 1] = { NULL }, *labels[LW_N_OPS + 1] = { NULL };
  g_autofree char *path = plan_path (self, "operation");

  for (int i = 0; i < LW_N_OPS; i++) {
    words[i] = lw_operation_word (i);
    labels[i] = lw_operation_label (i);
  }
  lw_inspector_add_row (self, path,
                        lw_choice_row_new (lw_inspector_desk (self), path, _("Operation"), words, labels,
                                           read_operation));
}

void
lw_inspector_build_nozzle (LwInspector *self)
{
  /* Translators: %s is the reference of the part being reworked. */
  g_autofree char *subtitle = g_strdup_printf (_("over %s"), plan_of (self)->ref);

  lw_inspector_set_heading (self, _("Nozzle"), subtitle);
  operation_choice (self);
  nozzle_choice (self);
  number (self, "nozzle_height_mm", _("Height above the part"), "mm", 2, 0.5);
  number (self, "nozzle_dx_mm", _("Shift along x"), "mm", 2, 0.5);
  number (self, "nozzle_dy_mm", _("Shift along y"), "mm", 2, 0.5);
  number (self, "nozzle_turn_deg", _("Turn"), "°", 1, 5);
}

static void
fact (LwInspector *self, const char *title, double value, int digits, const char *unit)
{
  g_autofree char *text = lw_figure_unit (value, digits, unit);

  if (isfinite (value))
    lw_inspector_fact (self, title, text);
}

void
lw_inspector_tell_nozzle (LwInspector *self)
{
  const LwPrediction *prediction = lw_desk_prediction (lw_inspector_desk (self));

  if (prediction == NULL)
    return;
  fact (self, _("Film under the nozzle"), prediction->nozzle_h_eff_w_m2k, 0, "W/m²K");
  fact (self, _("Film of the spill"), prediction->spill_h_w_m2k, 0, "W/m²K");
  fact (self, _("Heat the gas gives up"), prediction->gas_power_w, 0, "W");
  fact (self, C_ ("temperature of the gas", "Gas leaving"), prediction->gas_out_c, 0, "°C");
  fact (self, _("Reynolds number"), prediction->nozzle_reynolds, 0, "");
  if (!prediction->nozzle_in_range)
    lw_inspector_note (self, _("This jet lies outside the published range of its correlation. The nearest "
                               "point inside is used, and the doubt is widened."));
}

/* ---- preheat area ---- */

void
lw_inspector_build_preheat (LwInspector *self)
{
  lw_inspector_set_heading (self, _("Preheat area"), job_of (self)->station->name);
  number (self, "preheat_area.x_mm", _("Centre x"), "mm", 1, 1);
  number (self, "preheat_area.y_mm", _("Centre y"), "mm", 1, 1);
  number (self, "preheat_area.length_mm", _("Length along x"), "mm", 1, 5);
  number (self, "preheat_area.width_mm", _("Width along y"), "mm", 1, 5);
}

void
lw_inspector_tell_preheat (LwInspector *self)
{
  const LwPreheater *preheater = &job_of (self)->station->preheater;
  const LwPrediction *prediction = lw_desk_prediction (lw_inspector_desk (self));

  fact (self, _("Greatest length"), preheater->max_length_mm, 0, "mm");
  fact (self, _("Greatest width"), preheater->max_width_mm, 0, "mm");
  fact (self, _("Gap to the board"), preheater->gap_mm, 0, "mm");
  if (prediction != NULL)
    fact (self, _("Film of the preheater"), prediction->preheat_h_w_m2k, 0, "W/m²K");
}

/* ---- stages ---- */

static const LwStage *
stage_at_path (const LwJob *job, const char *path)
{
  guint plan = 0, stage = 0;

  if (sscanf (path, "plans[%u].stages[%u]", &plan, &stage) != 2 || plan >= job->plans->len
      || stage >= ((const LwPlan *) g_ptr_array_index (job->plans, plan))->stages->len)
    return NULL;
  return g_ptr_array_index (((const LwPlan *) g_ptr_array_index (job->plans, plan))->stages, stage);
}

static const char *
read_stage_name (const LwJob *job, const char *path)
{
  const LwStage *stage = stage_at_path (job, path);

  return stage == NULL ? "" : stage->name;
}

static const char *
read_stage_shape (const LwJob *job, const char *path)
{
  const LwStage *stage = stage_at_path (job, path);

  return stage == NULL ? NULL : stage->shape == LW_SHAPE_STEP ? "step" : "ramp";
}

static void
stage_number (LwInspector *self, guint index, const char *member, const char *title, const char *unit, double step,
              const char *absent, double low, double high)
{
  g_autofree char *path
    = g_strdup_printf ("plans[%d].stages[%u].%s", lw_desk_plan (lw_inspector_desk (self)), index, member);

  lw_inspector_number_within (self, path, title, unit, 1, step, absent, low, high);
}

static void
stage_name (LwInspector *self, guint index)
{
  g_autofree char *path = g_strdup_printf ("plans[%d].stages[%u].name", lw_desk_plan (lw_inspector_desk (self)), index);

  lw_inspector_add_row (self, path,
                        lw_field_row_new_text (lw_inspector_desk (self), path, _("Name"), read_stage_name));
}

static void
stage_shape (LwInspector *self, guint index)
{
  static const char *words[] = { "step", "ramp", NULL };
  const char *labels[] = { _("At once"), _("Along a line"), NULL };
  g_autofree char *path
    = g_strdup_printf ("plans[%d].stages[%u].shape", lw_desk_plan (lw_inspector_desk (self)), index);

  lw_inspector_add_row (self, path,
                        lw_choice_row_new (lw_inspector_desk (self), path, _("Set points reached"), words, labels,
                                           read_stage_shape));
}

void
lw_inspector_build_stage (LwInspector *self, guint index)
{
  const LwStation *station = job_of (self)->station;
  const LwPreheater *preheater = &station->preheater;
  g_autofree char *heading = g_strdup_printf (_("Stage %u of %u"), index + 1, plan_of (self)->stages->len);

  lw_inspector_set_heading (self, heading, plan_of (self)->ref);
  stage_name (self, index);
  stage_number (self, index, "duration_s", _("Lasts"), "s", 5, NULL, 0, NAN);
  stage_number (self, index, "gas_c", _("Gas"), "°C", 5, _("off"), station->gas_min_c, station->gas_max_c);
  stage_number (self, index, "flow_l_per_min", _("Flow"), "L/min", 1, NULL, station->flow_min_l_per_min,
                station->flow_max_l_per_min);
  if (preheater->kind != LW_PREHEATER_NONE)
    stage_number (self, index, "preheat_c", _("Preheat"), "°C", 5, _("off"), preheater->min_c, preheater->max_c);
  stage_shape (self, index);
}

/* ---- shields ---- */

static const char *
read_shield_material (const LwJob *job, const char *path)
{
  const LwPlan *plan = plan_at_path (job, path);
  guint index = 0, ignored = 0;

  if (plan == NULL || sscanf (path, "plans[%u].shields[%u]", &ignored, &index) != 2
      || index >= plan->shields->len)
    return NULL;
  return ((const LwShield *) g_ptr_array_index (plan->shields, index))->material;
}

void
lw_inspector_build_shield (LwInspector *self, guint index)
{
  const LwShield *shield = g_ptr_array_index (plan_of (self)->shields, index);
  g_autofree const char **names = lw_library_names ("shields");
  g_autofree char *material
    = g_strdup_printf ("plans[%d].shields[%u].material", lw_desk_plan (lw_inspector_desk (self)), index);
  g_autofree char *share
    = g_strdup_printf ("plans[%d].shields[%u].share", lw_desk_plan (lw_inspector_desk (self)), index);

  lw_inspector_set_heading (self, _("Shield"), shield->name);
  lw_inspector_add_row (self, material,
                        lw_choice_row_new (lw_inspector_desk (self), material, _("Material"), names, names,
                                           read_shield_material));
  lw_inspector_number (self, share, _("Share of the film let through"), "0–1", 2, 0.05, NULL);
}

/* ---- thermocouples ---- */

void
lw_inspector_build_thermocouple (LwInspector *self, guint index)
{
  const LwThermocouple *couple = g_ptr_array_index (plan_of (self)->thermocouples, index);
  g_autofree char *x
    = g_strdup_printf ("plans[%d].thermocouples[%u].x_mm", lw_desk_plan (lw_inspector_desk (self)), index);
  g_autofree char *y
    = g_strdup_printf ("plans[%d].thermocouples[%u].y_mm", lw_desk_plan (lw_inspector_desk (self)), index);

  lw_inspector_set_heading (self, couple->name, _("Thermocouple"));
  lw_inspector_number (self, x, C_ ("coordinate", "x"), "mm", 2, 0.5, NULL);
  lw_inspector_number (self, y, C_ ("coordinate", "y"), "mm", 2, 0.5, NULL);
}

void
lw_inspector_tell_thermocouple (LwInspector *self, guint index)
{
  LwDesk *desk = lw_inspector_desk (self);
  const LwThermocouple *couple = g_ptr_array_index (plan_of (self)->thermocouples, index);
  const LwPrediction *prediction = lw_desk_prediction (desk);

  lw_inspector_fact (self, _("Fixed to"), *couple->ref == '\0' ? _("Board") : couple->ref);
  lw_inspector_fact (self, _("Side"), lw_side_label (couple->side));
  if (prediction != NULL)
    fact (self, _("Board there, now"),
          lw_prediction_board_c (prediction, couple->side, couple->x_mm, couple->y_mm, lw_desk_moment (desk)), 0,
          "°C");
}
