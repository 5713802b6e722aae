/* The inspector's page of a part. */
#include <math.h>

#include <glib/gi18n.h>

#include "plan/classify.h"
#include "widgets/inspector-private.h"
#include "widgets/words.h"

static const LwPart *
part_at (LwInspector *self, guint index)
{
  return g_ptr_array_index (lw_desk_job (lw_inspector_desk (self))->parts, index);
}

static gboolean
is_target (LwInspector *self, const LwPart *part)
{
  LwDesk *desk = lw_inspector_desk (self);
  int plan = lw_desk_plan (desk);

  return plan >= 0
         && g_strcmp0 (((const LwPlan *) g_ptr_array_index (lw_desk_job (desk)->plans, plan))->ref, part->ref) == 0;
}

static void
number (LwInspector *self, guint index, const char *member, const char *title, const char *unit, int digits,
        double step, const char *absent)
{
  g_autofree char *path = g_strdup_printf ("parts[%u].%s", index, member);

  lw_inspector_number (self, path, title, unit, digits, step, absent);
}

static void
height_row (LwInspector *self, guint index)
{
  const LwPart *part = part_at (self, index);
  const LwPackage *package = lw_job_package_of (lw_desk_job (lw_inspector_desk (self)), part);
  gboolean known = FALSE;
  double height = lw_part_height_mm (part, package, &known);
  g_autofree char *figure = lw_figure_in (height, 2, "mm"), *absent = NULL;

  /* Translators: shown in an empty field; %s is a height. */
  absent = known && isnan (part->height_mm) ? g_strdup (figure) : g_strdup (_("unknown"));
  number (self, index, "height_mm", _("Height"), "mm", 2, 0.1, absent);
}

void
lw_inspector_build_part (LwInspector *self, guint index)
{
  const LwPart *part = part_at (self, index);
  const LwPackage *package = lw_job_package_of (lw_desk_job (lw_inspector_desk (self)), part);
  g_autofree char *subtitle
    = g_strdup_printf ("%s · %s", lw_kind_label (package == NULL ? LW_KIND_OTHER : package->kind), part->package);

  lw_inspector_set_heading (self, part->ref, subtitle);
  height_row (self, index);
  number (self, index, "x_mm", C_ ("coordinate", "x"), "mm", 2, 0.5, NULL);
  number (self, index, "y_mm", C_ ("coordinate", "y"), "mm", 2, 0.5, NULL);
  number (self, index, "rotation_deg", _("Rotation"), "°", 1, 90, NULL);
  lw_inspector_build_instead (self, index);
  lw_inspector_build_past (self, index);
  lw_inspector_button (self, _("Package from a Data Sheet…"), "win.make-package-of", g_variant_new_string (part->ref));
  if (!is_target (self, part))
    lw_inspector_button (self, _("Rework This Part"), "win.rework-part", g_variant_new_string (part->ref));
}

static const LwPartTrace *
trace_of (LwInspector *self, guint index, double *sky, double *preheat)
{
  const LwPrediction *prediction = lw_desk_prediction (lw_inspector_desk (self));

  int at = prediction != NULL ? lw_prediction_find (prediction, index) : -1;

  if (at < 0)
    return NULL;
  lw_prediction_hidden (prediction, (guint) at, sky, preheat);
  return g_ptr_array_index (prediction->parts, at);
}

static void
fact (LwInspector *self, const char *title, double value, double doubt, int digits, const char *unit)
{
  g_autofree char *text = NULL;

  if (!isfinite (value))
    return;
  text = lw_figure_doubt (value, doubt, digits, unit);
  lw_inspector_fact (self, title, text);
}

static void
tell_trace (LwInspector *self, const LwPartTrace *trace, double sky, double preheat)
{
  fact (self, _("Joint peak"), trace->joint_peak_c, trace->joint_doubt_k, 0, "°C");
  if (trace->is_target)
    fact (self, _("Coldest joint above liquidus"), trace->above_liquidus_s, NAN, 0, "s");
  fact (self, _("Body peak"), trace->body_peak_c, trace->body_doubt_k, 0, "°C");
  fact (self, _("Fastest heating"), trace->ramp_up_c_per_s, NAN, 1, "°C/s");
  fact (self, _("Fastest cooling"), trace->ramp_down_c_per_s, NAN, 1, "°C/s");
  fact (self, _("Sky hidden by others"), sky * 100, NAN, 0, "%");
  fact (self, _("Preheat hidden by others"), preheat * 100, NAN, 0, "%");
  fact (self, _("Sheltered from spill"), trace->spill_sheltered * 100, NAN, 0, "%");
}

static const char *
limit_unit (LwLimitKind kind)
{
  switch (kind) {
  case LW_LIMIT_RAMP_UP_C_PER_S:
  case LW_LIMIT_RAMP_DOWN_C_PER_S: return "°C/s";
  case LW_LIMIT_BODY_TIME_ABOVE_S: return "s";
  default: return "°C";
  }
}

static void
tell_limits (LwInspector *self, const LwPart *part)
{
  g_autoptr (GArray) limits = lw_limits_of (lw_desk_job (lw_inspector_desk (self)), part);

  for (guint i = 0; i < limits->len; i++) {
    const LwLimit *limit = &g_array_index (limits, LwLimit, i);
    g_autofree char *title = NULL, *value = lw_figure_unit (limit->value, 1, limit_unit (limit->kind));

    /* Translators: %s is a kind of limit, such as Body peak. */
    title = g_strdup_printf (_("Limit: %s"), lw_limit_label (limit->kind));
    lw_inspector_fact (self, title, value);
    if (limit->source != NULL && *limit->source != '\0')
      lw_inspector_note (self, limit->source); /* a sentence: it reads from the left, across both columns */
  }
}

void
lw_inspector_tell_part (LwInspector *self, guint index)
{
  const LwJob *job = lw_desk_job (lw_inspector_desk (self));
  const LwPart *part = part_at (self, index);
  const LwPackage *package = lw_job_package_of (job, part);
  double sky = NAN, preheat = NAN;
  const LwPartTrace *trace = trace_of (self, index, &sky, &preheat);
  gboolean known = TRUE;
  double height = lw_part_height_mm (part, package, &known);

  if (trace != NULL)
    tell_trace (self, trace, sky, preheat);
  lw_inspector_fact (self, _("Side"), lw_side_label (part->side));
  if (part->value != NULL && *part->value != '\0')
    lw_inspector_fact (self, _("Value"), part->value);
  if (package != NULL) {
    g_autofree char *length = lw_figure_in (package->length_mm, 2, "mm"), *width = lw_figure_in (package->width_mm, 2, "mm");
    g_autofree char *size = g_strdup_printf ("%s × %s %s", length, width, lw_units_word (lw_shown_units (), "mm"));

    lw_inspector_fact (self, _("Body"), size);
  }
  if (!known) {
    g_autofree char *assumed = lw_figure_unit (height, 2, "mm");

    lw_inspector_fact (self, _("Height assumed for computing"), assumed);
  }
  tell_limits (self, part);
}
