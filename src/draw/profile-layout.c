/* Axes, plot area and set-point lines, as a pure function of the picture. */
#include <math.h>
#include <string.h>

#include "draw/nice.h"
#include "draw/profile-painter.h"

#define END_MIN_S 10.0

void
lw_profile_picture_init (LwProfilePicture *self, const LwJob *job, double width, double height)
{
  memset (self, 0, sizeof *self);
  self->job = job;
  self->plan = job && job->active_plan < job->plans->len ? (int) job->active_plan : -1;
  self->t_s = NAN;
  self->selected_part = self->selected_stage = -1;
  self->n_neighbours = 3;
  self->show_limits = self->show_stage_names = self->show_legend = self->show_bands = TRUE;
  self->width = width;
  self->height = height;
}

const LwPlan *
lw_profile_plan (const LwProfilePicture *picture)
{
  const LwJob *job = picture->job;

  return job && picture->plan >= 0 && (guint) picture->plan < job->plans->len
             ? g_ptr_array_index (job->plans, picture->plan)
             : NULL;
}

const LwPartTrace *
lw_profile_target (const LwProfilePicture *picture)
{
  const LwPrediction *p = picture->prediction;

  return p && p->target >= 0 && (guint) p->target < p->parts->len ? g_ptr_array_index (p->parts, p->target)
                                                                   : NULL;
}

const LwPartTrace *
lw_profile_trace (const LwProfilePicture *picture, int part)
{
  const LwPrediction *p = picture->prediction;

  int at = p && part >= 0 ? lw_prediction_find (p, (guint) part) : -1;

  return at < 0 ? NULL : g_ptr_array_index (p->parts, at);
}

static void
add_table (const LwPlan *plan, GArray *lines)
{
  for (guint i = 1; i < plan->table->len; i++) {
    const LwKnot *a = &g_array_index (plan->table, LwKnot, i - 1), *b = &g_array_index (plan->table, LwKnot, i);
    LwSetLine line = { a->t_s, b->t_s, a->gas_c, b->gas_c, a->preheat_c, b->preheat_c, TRUE };

    g_array_append_val (lines, line);
  }
}

/* A ramp starts where the stage before left off, or at the room's temperature. */
static double
ramp_start (double before, double to, double ambient_c)
{
  if (isnan (to))
    return NAN;
  return isnan (before) ? ambient_c : before;
}

GArray *
lw_profile_set_lines (const LwProfilePicture *picture)
{
  const LwPlan *plan = lw_profile_plan (picture);
  GArray *lines = g_array_new (FALSE, FALSE, sizeof (LwSetLine));
  double t = 0.0, gas = NAN, warm = NAN;

  if (plan && plan->table) {
    add_table (plan, lines);
    return lines;
  }
  for (guint i = 0; plan && i < plan->stages->len; i++) {
    const LwStage *stage = g_ptr_array_index (plan->stages, i);
    LwSetLine line = { t, t + stage->duration_s, stage->gas_c, stage->gas_c, stage->preheat_c,
                       stage->preheat_c, stage->shape == LW_SHAPE_RAMP };

    if (line.ramp) {
      line.gas0_c = ramp_start (gas, stage->gas_c, picture->job->ambient_c);
      line.warm0_c = ramp_start (warm, stage->preheat_c, picture->job->ambient_c);
    }
    g_array_append_val (lines, line);
    t = line.t1_s;
    gas = stage->gas_c;
    warm = stage->preheat_c;
  }
  return lines;
}

static void
reach (double value, double *high)
{
  if (isfinite (value) && value > *high)
    *high = value;
}

static void
reach_prediction (const LwProfilePicture *picture, LwProfileLayout *layout, double *high)
{
  const LwPrediction *p = picture->prediction;
  const LwPartTrace *target = lw_profile_target (picture), *selected;

  if (!p)
    return;
  if (p->n_times > 0 && isfinite (p->t_s[p->n_times - 1]))
    layout->end_s = MAX (layout->end_s, p->t_s[p->n_times - 1]);
  if (target) {
    reach (target->joint_peak_c, high);
    reach (target->body_peak_c, high);
  }
  selected = lw_profile_trace (picture, picture->selected_part);
  if (selected) {
    reach (selected->joint_peak_c, high);
    reach (selected->body_peak_c, high);
  }
}

static void
find_ranges (const LwProfilePicture *picture, LwProfileLayout *layout)
{
  g_autoptr (GArray) lines = lw_profile_set_lines (picture);
  double high = 100.0, step;

  layout->end_s = 0.0;
  for (guint i = 0; i < lines->len; i++) {
    const LwSetLine *line = &g_array_index (lines, LwSetLine, i);

    if (isfinite (line->t1_s))
      layout->end_s = MAX (layout->end_s, line->t1_s);
    reach (line->gas0_c, &high);
    reach (line->gas1_c, &high);
    reach (line->warm0_c, &high);
    reach (line->warm1_c, &high);
  }
  reach_prediction (picture, layout, &high);
  layout->end_s = MAX (layout->end_s, END_MIN_S);
  step = lw_nice_step (high / 8.0, FALSE);
  layout->low_c = 0.0;
  if (picture->job && isfinite (picture->job->ambient_c) && picture->job->ambient_c < 0.0)
    layout->low_c = step * floor (picture->job->ambient_c / step);
  layout->high_c = step * ceil ((high * 1.03) / step);
  if (isfinite (picture->end_s) && picture->end_s > 0.0)
    layout->end_s = picture->end_s;
  if (isfinite (picture->high_c) && picture->high_c > layout->low_c)
    layout->high_c = picture->high_c;
}

/* About how wide a line of the column's letters is. */
static double
about_width (const char *text)
{
  double width = 0.0;

  for (; *text; text = g_utf8_next_char (text))
    width += g_unichar_iswide (g_utf8_get_char (text)) ? 9.5 : 5.6;
  return width;
}

/* The column at the right: long references and words of other languages ask for more, up to a third. */
static double
column_width (const LwProfilePicture *picture, double width)
{
  const LwPlan *plan = lw_profile_plan (picture);
  const LwPartTrace *selected = lw_profile_trace (picture, picture->selected_part);
  /* Paper has no tooltip: what stands there must be whole. */
  double least = width >= 620.0 || (picture->look == LW_LOOK_PRINT && width >= 430.0) ? 142.0
                 : width >= 500.0 ? 136.0 : width >= 430.0 ? 128.0 : 0.0;
  double ref = MAX (plan ? about_width (plan->ref) : 0.0, selected ? about_width (selected->ref) : 0.0);
  /* The formats are as long as what they stand for, but for the reference. */
  double wanted = LW_COLUMN_SAMPLE + 4.0 + ref + about_width (lw_profile_limit_name (LW_LIMIT_BODY_PEAK_C)) - 3.0 * 5.6;

  return least > 0.0 ? MAX (least, MIN (wanted, 0.32 * width)) : 0.0;
}

LwProfilePicture
lw_profile_lettered (const LwProfilePicture *picture)
{
  LwProfilePicture out = *picture;

  out.width /= lw_letters (picture->letters);
  out.height /= lw_letters (picture->letters);
  out.letters = 1.0;
  return out;
}

void
lw_profile_layout (const LwProfilePicture *picture, LwProfileLayout *layout)
{
  double width = isfinite (picture->width) ? MAX (picture->width, 1.0) : 1.0;
  double height = isfinite (picture->height) ? MAX (picture->height, 1.0) : 1.0;
  gboolean roomy = height > LW_PROFILE_LOW;

  layout->column = column_width (picture, width);
  layout->strip = picture->show_stage_names && height > 110.0 ? 21.0 : 0.0;
  layout->small = !roomy && layout->column <= 0.0 && layout->strip > 0.0;
  layout->x0 = MIN (46.0, 0.2 * width);
  layout->x1 = MAX (width - MAX (layout->column, 10.0), layout->x0 + 1.0);
  layout->y0 = MIN (8.0 + layout->strip, 0.3 * height);
  layout->y1 = MAX (height - (roomy ? 26.0 : 16.0) - (picture->show_legend && roomy ? 18.0 : 0.0),
                    layout->y0 + 1.0);
  find_ranges (picture, layout);
}

double
lw_layout_x (const LwProfileLayout *layout, double t_s)
{
  return layout->x0 + (layout->x1 - layout->x0) * t_s / layout->end_s;
}

double
lw_layout_y (const LwProfileLayout *layout, double temp_c)
{
  return layout->y1 - (layout->y1 - layout->y0) * (temp_c - layout->low_c) / (layout->high_c - layout->low_c);
}

double
lw_layout_y_near (const LwProfileLayout *layout, double temp_c)
{
  double far = 20.0 * (layout->y1 - layout->y0) + 1000.0;

  return CLAMP (lw_layout_y (layout, temp_c), layout->y0 - far, layout->y1 + far);
}

static LwProfileLayout
layout_of (const LwProfilePicture *picture)
{
  LwProfilePicture lettered = lw_profile_lettered (picture);
  LwProfileLayout layout;

  lw_profile_layout (&lettered, &layout);
  return layout;
}

void
lw_profile_range (const LwProfilePicture *picture, double *end_s, double *high_c)
{
  LwProfileLayout layout = layout_of (picture);

  *end_s = layout.end_s;
  *high_c = layout.high_c;
}

double
lw_profile_time_at (const LwProfilePicture *picture, double px)
{
  LwProfileLayout layout = layout_of (picture);

  return layout.end_s * (px / lw_letters (picture->letters) - layout.x0) / (layout.x1 - layout.x0);
}

double
lw_profile_temp_at (const LwProfilePicture *picture, double py)
{
  LwProfileLayout layout = layout_of (picture);

  return layout.low_c
         + (layout.high_c - layout.low_c) * (layout.y1 - py / lw_letters (picture->letters)) / (layout.y1 - layout.y0);
}

double
lw_profile_x_of (const LwProfilePicture *picture, double t_s)
{
  LwProfileLayout layout = layout_of (picture);

  return lw_letters (picture->letters) * lw_layout_x (&layout, t_s);
}

double
lw_profile_y_of (const LwProfilePicture *picture, double temp_c)
{
  LwProfileLayout layout = layout_of (picture);

  return lw_letters (picture->letters) * lw_layout_y (&layout, temp_c);
}

/* In the middle of a held level, at the end of a ramp. */
gboolean
lw_profile_handle (const LwProfileLayout *layout, const LwSetLine *line, gboolean gas, LwPoint *at)
{
  double level = gas ? line->gas1_c : line->warm1_c;
  double t = line->ramp ? line->t1_s : 0.5 * (line->t0_s + line->t1_s);

  if (!isfinite (level) || !isfinite (t))
    return FALSE;
  at->x_mm = lw_layout_x (layout, t);
  at->y_mm = lw_layout_y (layout, level);
  return TRUE;
}
