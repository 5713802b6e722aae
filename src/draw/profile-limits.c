/* Limits, liquidus, moments of findings, and the column of labels at the right. */
#include <math.h>
#include <string.h>

#include <glib/gi18n.h>

#include "board/library.h"
#include "draw/profile-painter.h"
#include "plan/classify.h"

#define PITCH 13.0

LwColumnLabel *
lw_profile_add_label (LwProfilePainter *self, double temp_c, char *text, LwColor color, const double *dash,
                      int n_dash, double weight, int priority)
{
  LwColumnLabel label = { .text = text, .color = color, .dash = dash, .n_dash = n_dash, .weight = weight,
                          .priority = priority };

  label.y_wanted = isfinite (temp_c) ? lw_layout_y (&self->layout, temp_c) : self->layout.y1;
  label.y_wanted = CLAMP (label.y_wanted, self->layout.y0, self->layout.y1);
  g_array_append_val (self->column, label);
  return &g_array_index (self->column, LwColumnLabel, self->column->len - 1);
}

static void
level_line (LwProfilePainter *self, double temp_c, LwColor color, const double *dash, int n_dash, double weight,
            char *text, int priority)
{
  const LwProfileLayout *l = &self->layout;

  if (!isfinite (temp_c) || temp_c < l->low_c || temp_c > l->high_c) {
    g_free (text);
    return;
  }
  cairo_move_to (self->cr, l->x0, lw_layout_y (l, temp_c));
  cairo_line_to (self->cr, l->x1, lw_layout_y (l, temp_c));
  lw_color_set (self->cr, color);
  cairo_set_line_width (self->cr, weight);
  cairo_set_dash (self->cr, dash, n_dash, 0.0);
  cairo_stroke (self->cr);
  cairo_set_dash (self->cr, NULL, 0, 0.0);
  lw_profile_add_label (self, temp_c, text, color, dash, n_dash, weight, priority)->level = TRUE;
}

/* The selected part, else the target, whose joints are meant to melt: only its body is limited here. */
static const LwPart *
judged_part (const LwProfilePainter *self, gboolean *is_target)
{
  const LwJob *job = self->picture->job;
  int part = self->picture->selected_part;

  if (part < 0 || (guint) part >= job->parts->len)
    part = self->plan ? lw_job_find_part (job, self->plan->ref) : -1;
  *is_target = part >= 0 && self->plan
               && strcmp (((const LwPart *) g_ptr_array_index (job->parts, part))->ref, self->plan->ref) == 0;
  return part >= 0 ? g_ptr_array_index (job->parts, part) : NULL;
}

/* Translators: names of limit lines; the reference designator and the limit in C follow */
const char *
lw_profile_limit_name (LwLimitKind kind)
{
  switch (kind) {
  case LW_LIMIT_BODY_PEAK_C:
    return _ ("%s body limit %.0f");
  case LW_LIMIT_JOINT_PEAK_C:
    return _ ("%s joint limit %.0f");
  case LW_LIMIT_JOINT_CENTER_PEAK_C:
    return _ ("%s center limit %.0f");
  case LW_LIMIT_JOINT_CORNER_PEAK_C:
    return _ ("%s corner limit %.0f");
  default:
    return NULL;
  }
}

static double
liquidus_of (const LwProfilePainter *self)
{
  const LwPartTrace *target = lw_profile_target (self->picture);
  const LwJob *job = self->picture->job;
  int part = self->plan ? lw_job_find_part (job, self->plan->ref) : -1;
  const char *name = job->alloy;
  const LwAlloy *alloy;

  if (target && isfinite (target->joint_liquidus_c))
    return target->joint_liquidus_c;
  if (part >= 0 && ((const LwPart *) g_ptr_array_index (job->parts, part))->alloy[0])
    name = ((const LwPart *) g_ptr_array_index (job->parts, part))->alloy;
  alloy = lw_library_alloy (name);
  return alloy ? alloy->liquidus_c : NAN;
}

void
lw_profile_paint_limits (LwProfilePainter *self)
{
  gboolean is_target;
  const LwPart *part = judged_part (self, &is_target);
  g_autoptr (GArray) limits = part ? lw_limits_of (self->picture->job, part) : NULL;
  double liquidus = liquidus_of (self);

  for (guint i = 0; limits && i < limits->len; i++) {
    const LwLimit *limit = &g_array_index (limits, LwLimit, i);
    const char *name = lw_profile_limit_name (limit->kind);

    if (name && (!is_target || limit->kind == LW_LIMIT_BODY_PEAK_C))
      level_line (self, limit->value, self->ink->limit, lw_dash_limit, 2, 1.2,
                  g_strdup_printf (name, part->ref, lw_units_shown (self->picture->units, limit->value, "°C")), 8);
  }
  if (isfinite (liquidus))
    level_line (self, liquidus, self->ink->ink_soft, lw_dash_liquidus, 2, 1.2,
                g_strdup_printf (_ ("liquidus %.0f"), lw_units_shown (self->picture->units, liquidus, "°C")), 8);
}

void
lw_profile_paint_findings (LwProfilePainter *self)
{
  const GPtrArray *findings = self->picture->findings;
  const LwProfileLayout *l = &self->layout;
  double last[64];
  guint n = 0;

  for (guint i = 0; findings && i < findings->len && n < G_N_ELEMENTS (last); i++) {
    const LwFinding *finding = g_ptr_array_index (findings, i);
    double x = lw_layout_x (l, finding->moment_s);
    gboolean crowded = FALSE;

    if (finding->grade == LW_GRADE_FINE || !isfinite (x) || x < l->x0 || x > l->x1 + 0.5)
      continue;
    for (guint k = 0; k < n; k++)
      crowded = crowded || fabs (last[k] - x) < 12.0;
    if (crowded)
      continue;
    last[n++] = x;
    lw_draw_grade_mark (self->cr, x, l->y1 - 9.0, 10.0, finding->grade, self->picture->look);
  }
}

static int
by_height (gconstpointer a, gconstpointer b)
{
  const LwColumnLabel *la = a, *lb = b;

  if (la->y_wanted != lb->y_wanted)
    return la->y_wanted < lb->y_wanted ? -1 : 1;
  return lb->priority - la->priority;
}

static void
drop_least (GArray *labels)
{
  guint least = 0;

  for (guint i = 1; i < labels->len; i++) {
    if (g_array_index (labels, LwColumnLabel, i).priority < g_array_index (labels, LwColumnLabel, least).priority)
      least = i;
  }
  g_free (g_array_index (labels, LwColumnLabel, least).text);
  g_array_remove_index (labels, least);
}

/* Runs of touching labels are moved together to the mean of what they wanted (pool adjacent violators). */
void
lw_column_spread (GArray *labels, double top, double bottom, double pitch)
{
  guint most = bottom > top ? (guint) floor ((bottom - top) / pitch) + 1 : 0;

  while (labels->len > most)
    drop_least (labels);
  g_array_sort (labels, by_height);
  for (guint i = 0; i < labels->len; i++)
    g_array_index (labels, LwColumnLabel, i).y = g_array_index (labels, LwColumnLabel, i).y_wanted;
  for (guint i = 0; i < labels->len; i++) {
    guint first = i;
    double mean;

    for (;;) {
      double sum = 0.0, low = top + first * pitch, high = bottom - (labels->len - 1 - first) * pitch;

      for (guint k = first; k <= i; k++)
        sum += g_array_index (labels, LwColumnLabel, k).y_wanted - (k - first) * pitch;
      mean = CLAMP (sum / (i - first + 1), low, MAX (high, low));
      if (first == 0 || g_array_index (labels, LwColumnLabel, first - 1).y + pitch <= mean + 1e-9)
        break;
      /* Swallow the run that ends just above: its members keep the pitch. */
      do
        first--;
      while (first > 0
             && g_array_index (labels, LwColumnLabel, first - 1).y + pitch
                    > g_array_index (labels, LwColumnLabel, first).y - 1e-9);
    }
    for (guint k = first; k <= i; k++)
      g_array_index (labels, LwColumnLabel, k).y = mean + (k - first) * pitch;
  }
}

static void
paint_column_label (LwProfilePainter *self, const LwColumnLabel *label)
{
  cairo_t *cr = self->cr;
  double x = self->layout.x1;
  g_autofree char *text = NULL;

  cairo_move_to (cr, x, label->y_wanted);
  cairo_line_to (cr, x + 9.0, label->y);
  lw_color_set (cr, lw_color_fade (label->color, 0.6));
  cairo_set_line_width (cr, 0.7);
  cairo_stroke (cr);
  if (label->weight > 0.0) {
    cairo_move_to (cr, x + 10.0, label->y);
    cairo_line_to (cr, x + 26.0, label->y);
    cairo_set_dash (cr, label->dash, label->n_dash, 0.0);
    lw_color_set (cr, label->color);
    cairo_set_line_width (cr, label->weight);
    cairo_stroke (cr);
    cairo_set_dash (cr, NULL, 0, 0.0);
  }
  lw_letter_face (&self->type, 9.5, label->priority >= 10);
  text = lw_letter_cut (&self->type, label->text, self->layout.column - LW_COLUMN_SAMPLE);
  lw_letter_draw (&self->type, text, x + 30.0, label->y, 0.0, 0.5, 0.0, label->color, (LwColor){ 0, 0, 0, 0 });
}

void
lw_profile_paint_column (LwProfilePainter *self)
{
  if (self->layout.column <= 0.0)
    return;
  lw_column_spread (self->column, self->layout.y0 + 4.0, self->layout.y1 - 4.0, PITCH);
  for (guint i = 0; i < self->column->len; i++)
    paint_column_label (self, &g_array_index (self->column, LwColumnLabel, i));
}
