#include "widgets/board-view-private.h"
#include "widgets/form.h"
#include "widgets/text-scale.h"

#include <glib/gi18n.h>

G_DEFINE_FINAL_TYPE (LwBoardView, lw_board_view, GTK_TYPE_WIDGET)

enum { PROP_DESK = 1, N_PROPS };
static GParamSpec *props[N_PROPS];

#define FIT_MARGIN 28.0
#define COVER_GAP 6.0 /* between the board and what lies over the picture */
/* The most that the bar which tells the scale takes with its words, in the lower left corner. */
#define BAR_WIDTH 170.0
#define BAR_HEIGHT 26.0

LwJob *
lw_board_view_job (LwBoardView *self)
{
  return self->desk ? lw_desk_job (self->desk) : NULL;
}

void
lw_board_view_redraw (LwBoardView *self, LwBoardLayers layers)
{
  if (layers & (LW_BOARD_LAYER_GROUND | LW_BOARD_LAYER_PARTS))
    self->content++;
  self->dirty |= layers | LW_BOARD_LAYER_OVER;
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

/* The same board from elsewhere. */
static void
travel (LwBoardView *self)
{
  lw_board_view_hurry (self);
  self->travelled_us = self->moved_us;
  self->fitted = FALSE;
  self->dirty = LW_BOARD_LAYER_ALL;
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

void
lw_board_view_set_tools (LwBoardView *self, GtkWidget *tools)
{
  self->tools = tools;
  gtk_widget_queue_allocate (GTK_WIDGET (self));
}

guint
lw_board_view_covered (LwBoardView *self, LwBox boxes[LW_BOARD_COVERED])
{
  double gap = COVER_GAP * lw_text_scale (GTK_WIDGET (self));
  LwBox scale = lw_board_view_scale_box (self);
  GtkRequisition size;
  guint n = 0;

  if (scale.x1_mm > scale.x0_mm)
    boxes[n++] = (LwBox){ scale.x0_mm - gap, 0.0, self->view.width, scale.y1_mm + gap };
  if (self->tools && gtk_widget_get_visible (self->tools)) {
    gtk_widget_get_preferred_size (self->tools, NULL, &size);
    boxes[n++] = (LwBox){ 0.0, 0.0, size.width, size.height };
  }
  return n;
}

void
lw_board_view_fit (LwBoardView *self)
{
  LwViewport before = self->view;
  double large = lw_text_scale (GTK_WIDGET (self));
  LwBox covered[LW_BOARD_COVERED + 1];
  guint n;

  n = lw_board_view_covered (self, covered);
  covered[n++] = (LwBox){ 0.0, self->view.height - BAR_HEIGHT * large, BAR_WIDTH * large, self->view.height };
  self->fitted = TRUE;
  lw_viewport_fit_beside (&self->view,
                          lw_board_scene (lw_board_view_job (self), self->desk ? lw_desk_plan (self->desk) : -1),
                          MIN (FIT_MARGIN, 0.08 * MIN (self->view.width, self->view.height)), covered, n);
  if (self->view.scale != before.scale || self->view.center_x_mm != before.center_x_mm
      || self->view.center_y_mm != before.center_y_mm)
    lw_board_view_redraw (self, LW_BOARD_LAYER_ALL);
}

void
lw_board_view_zoom_at (LwBoardView *self, double factor, double px, double py)
{
  lw_viewport_zoom (&self->view, factor, px, py);
  travel (self);
}

/* Some of the board always stays in the picture. */
static void
keep_in_sight (LwBoardView *self)
{
  LwBox box = lw_board_extent (lw_board_view_job (self));

  self->view.center_x_mm = CLAMP (self->view.center_x_mm, box.x0_mm, box.x1_mm);
  self->view.center_y_mm = CLAMP (self->view.center_y_mm, box.y0_mm, box.y1_mm);
}

/* How fast the hand moves, over the last few motions. */
static void
note_speed (LwBoardView *self, double dx, double dy)
{
  const double pause_us = 100000.0, keep = 0.7;
  gint64 now = g_get_monotonic_time ();
  double span = MAX ((double) (now - self->panned_us), 1000.0);

  if (span > pause_us) {
    self->speed_x = self->speed_y = 0.0;
  } else {
    self->speed_x = keep * self->speed_x + (1.0 - keep) * dx / span;
    self->speed_y = keep * self->speed_y + (1.0 - keep) * dy / span;
  }
  self->panned_us = now;
}

void
lw_board_view_pan (LwBoardView *self, double dx, double dy)
{
  lw_viewport_pan (&self->view, dx, dy);
  keep_in_sight (self);
  note_speed (self, dx, dy);
  travel (self);
}

static gboolean
is_in_view (const LwBoardView *self, double px, double py)
{
  double margin = MIN (30.0, 0.1 * MIN (self->view.width, self->view.height));

  return px >= margin && py >= margin && px <= self->view.width - margin && py <= self->view.height - margin;
}

int
lw_board_view_part_at (LwBoardView *self, double x, double y)
{
  LwJob *job = lw_board_view_job (self);

  return job == NULL ? -1 : lw_board_hit_part (job, &self->view, x, y);
}

LwGrip
lw_board_view_grip_at (LwBoardView *self, double x, double y, guint *index)
{
  double letters = lw_text_scale (GTK_WIDGET (self)); /* grips are as large */
  LwViewport view = lw_viewport_lettered (&self->view, letters);

  return lw_board_hit_grip (lw_board_view_job (self), lw_desk_plan (self->desk), &view, x / letters, y / letters, index);
}

void
lw_board_view_place_of (LwBoardView *self, int part, double *x, double *y)
{
  LwJob *job = lw_board_view_job (self);
  const LwPart *of;
  LwPoint center;

  *x = *y = 0.0;
  g_return_if_fail (job != NULL && part >= 0 && (guint) part < job->parts->len);
  of = g_ptr_array_index (job->parts, part);
  center = lw_part_body_center (of, lw_job_package_of (job, of));
  lw_viewport_to_picture (&self->view, center.x_mm, center.y_mm, x, y);
}

void
lw_board_view_show_part (LwBoardView *self, int part)
{
  LwJob *job;
  const LwPart *shown;
  LwPoint center;
  double px, py;

  g_return_if_fail (LW_IS_BOARD_VIEW (self));
  job = lw_board_view_job (self);
  if (!job || part < 0 || (guint) part >= job->parts->len)
    return;
  if (self->view.width <= 0.0) {
    self->show_pending = part;
    return;
  }
  shown = g_ptr_array_index (job->parts, part);
  if (!shown->placed)
    return;
  if (shown->side != self->view.side)
    lw_desk_set_side (self->desk, shown->side);
  center = lw_part_body_center (shown, lw_job_package_of (job, shown));
  lw_viewport_to_picture (&self->view, center.x_mm, center.y_mm, &px, &py);
  if (is_in_view (self, px, py))
    return;
  self->view.center_x_mm = center.x_mm;
  self->view.center_y_mm = center.y_mm;
  self->fitted = FALSE;
  lw_board_view_redraw (self, LW_BOARD_LAYER_ALL);
}

static void
update_label (LwBoardView *self)
{
  int part = self->desk ? lw_desk_selected_part (self->desk) : -1;
  const char *side = self->view.side == LW_SIDE_TOP ? _ ("Board from the top") : _ ("Board from the bottom");
  g_autofree char *about = part >= 0 ? lw_board_view_describe (self, part) : NULL;

  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL, side,
                                  GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, about ? about : _ ("Nothing selected"), -1);
}

/* ---- the desk ---- */

static void
job_changed_cb (LwBoardView *self)
{
  LwBoardLayers changed = LW_BOARD_LAYER_ALL;
  LwJob *job = lw_board_view_job (self);

  if (!job || self->hovered >= (int) job->parts->len)
    self->hovered = -1;
  if (self->fitted && self->drag.kind == LW_DRAG_NONE)
    lw_board_view_fit (self);
  /* Our own drag touches only what it drags. */
  if (self->drag.edited)
    changed = self->drag.kind == LW_DRAG_SKETCH ? LW_BOARD_LAYER_ALL
              : self->drag.kind == LW_DRAG_GRIP ? LW_BOARD_LAYER_PLAN : LW_BOARD_LAYER_PARTS | LW_BOARD_LAYER_PLAN;
  else if (self->desk && lw_desk_dragging (self->desk))
    return; /* a set point: the board waits for the answer */
  lw_board_view_redraw (self, changed);
  if (self->desk && lw_desk_dragging (self->desk))
    return; /* nothing came or went */
  lw_board_view_update_actions (self);
  update_label (self);
}

static void
document_cb (LwBoardView *self)
{
  lw_board_view_drag_cancel (self);
  lw_board_view_drop_sheets (self);
  self->hovered = -1;
  lw_board_view_fit (self);
  lw_board_view_redraw (self, LW_BOARD_LAYER_ALL);
  lw_board_view_update_actions (self);
  update_label (self);
}

static void
side_cb (LwBoardView *self)
{
  self->view.side = lw_desk_side (self->desk);
  self->hovered = -1;
  lw_board_view_redraw (self, LW_BOARD_LAYER_ALL);
  update_label (self);
}

static void
selection_cb (LwBoardView *self)
{
  lw_board_view_redraw (self, LW_BOARD_LAYER_PLAN);
  lw_board_view_update_actions (self);
  update_label (self);
}

static void
sketch_cb (LwBoardView *self)
{
  gboolean other = self->was_sketching != lw_board_view_sketching (self);

  self->was_sketching = lw_board_view_sketching (self);
  lw_board_view_update_actions (self);
  lw_board_view_redraw (self, other ? LW_BOARD_LAYER_ALL : LW_BOARD_LAYER_OVER);
}

static void
all_cb (LwBoardView *self)
{
  if (lw_desk_dragging (self->desk))
    lw_board_view_hurry (self);
  lw_board_view_redraw (self, LW_BOARD_LAYER_ALL);
}

static void
proposed_cb (LwBoardView *self)
{
  lw_board_view_redraw (self, LW_BOARD_LAYER_OVER);
}

static void
listen (LwBoardView *self)
{
  static const char *const shows[] = { "notify::moment", "notify::show-field", "notify::show-isotherms",
                                       "notify::show-names", "notify::show-copper", "notify::show-other-side",
                                       "answer-changed" };

  for (guint i = 0; i < G_N_ELEMENTS (shows); i++)
    g_signal_connect_object (self->desk, shows[i], G_CALLBACK (all_cb), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (self->desk, "job-changed", G_CALLBACK (job_changed_cb), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (self->desk, "notify::document", G_CALLBACK (document_cb), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (self->desk, "notify::side", G_CALLBACK (side_cb), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (self->desk, "notify::selected-part", G_CALLBACK (selection_cb), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (self->desk, "group-changed", G_CALLBACK (selection_cb), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (self->desk, "proposed-changed", G_CALLBACK (proposed_cb), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (lw_desk_sketch (self->desk), "changed", G_CALLBACK (sketch_cb), self, G_CONNECT_SWAPPED);
}

void
lw_board_view_set_desk (LwBoardView *self, LwDesk *desk)
{
  g_return_if_fail (LW_IS_BOARD_VIEW (self));
  g_return_if_fail (desk == NULL || LW_IS_DESK (desk));

  if (self->desk == desk)
    return;
  lw_board_view_drag_cancel (self);
  if (self->desk) {
    g_signal_handlers_disconnect_by_data (self->desk, self);
    g_signal_handlers_disconnect_by_data (lw_desk_sketch (self->desk), self);
  }
  g_set_object (&self->desk, desk);
  if (desk) {
    listen (self);
    self->view.side = lw_desk_side (desk);
  }
  document_cb (self);
  g_object_notify_by_pspec (G_OBJECT (self), props[PROP_DESK]);
}

/* ---- widget ---- */

static void
lw_board_view_size_allocate (GtkWidget *widget, int width, int height, int baseline)
{
  LwBoardView *self = LW_BOARD_VIEW (widget);
  int pending = self->show_pending;

  self->view.width = width;
  self->view.height = height;
  if (self->fitted)
    lw_board_view_fit (self);
  self->dirty = LW_BOARD_LAYER_ALL;
  self->show_pending = -1;
  if (pending >= 0)
    lw_board_view_show_part (self, pending);
}

static void
lw_board_view_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                       int *minimum_baseline, int *natural_baseline)
{
  *minimum = orientation == GTK_ORIENTATION_HORIZONTAL ? 240 : 160;
  *natural = orientation == GTK_ORIENTATION_HORIZONTAL ? 800 : 520;
  *minimum_baseline = *natural_baseline = -1;
}

static void
lw_board_view_css_changed (GtkWidget *widget, GtkCssStyleChange *change)
{
  GTK_WIDGET_CLASS (lw_board_view_parent_class)->css_changed (widget, change);
  lw_board_view_redraw (LW_BOARD_VIEW (widget), LW_BOARD_LAYER_ALL);
}

static gboolean
lw_board_view_query_tooltip (GtkWidget *widget, int x, int y, gboolean keyboard, GtkTooltip *tooltip)
{
  LwBoardView *self = LW_BOARD_VIEW (widget);
  LwJob *job = lw_board_view_job (self);
  int part = keyboard ? lw_desk_selected_part (self->desk) : job ? lw_board_hit_part (job, &self->view, x, y) : -1;
  g_autofree char *text = NULL;

  if (!job || part < 0 || self->drag.kind != LW_DRAG_NONE)
    return FALSE;
  text = lw_board_view_describe (self, part);
  gtk_tooltip_set_text (tooltip, text);
  return TRUE;
}

static void
lw_board_view_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  LwBoardView *self = LW_BOARD_VIEW (object);

  if (id == PROP_DESK)
    g_value_set_object (value, self->desk);
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
lw_board_view_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  if (id == PROP_DESK)
    lw_board_view_set_desk (LW_BOARD_VIEW (object), g_value_get_object (value));
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
lw_board_view_dispose (GObject *object)
{
  LwBoardView *self = LW_BOARD_VIEW (object);

  lw_board_view_drag_cancel (self);
  if (self->desk) {
    g_signal_handlers_disconnect_by_data (self->desk, self);
    g_signal_handlers_disconnect_by_data (lw_desk_sketch (self->desk), self);
  }
  self->form = NULL;
  lw_forms_drop (GTK_WIDGET (self));
  g_clear_pointer (&self->sketch.points, g_array_unref);
  g_clear_object (&self->desk);
  lw_board_view_drop_sheets (self);
  G_OBJECT_CLASS (lw_board_view_parent_class)->dispose (object);
}

static void
lw_board_view_class_init (LwBoardViewClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  object_class->get_property = lw_board_view_get_property;
  object_class->set_property = lw_board_view_set_property;
  object_class->dispose = lw_board_view_dispose;
  widget_class->size_allocate = lw_board_view_size_allocate;
  widget_class->measure = lw_board_view_measure;
  widget_class->snapshot = lw_board_view_snapshot;
  widget_class->css_changed = lw_board_view_css_changed;
  widget_class->query_tooltip = lw_board_view_query_tooltip;
  props[PROP_DESK] = g_param_spec_object ("desk", NULL, NULL, LW_TYPE_DESK,
                                          G_PARAM_READWRITE | G_PARAM_EXPLICIT_NOTIFY | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, N_PROPS, props);
  gtk_widget_class_set_css_name (widget_class, "boardview");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_IMG);
  lw_board_view_install_actions (widget_class);
  lw_board_view_install_group_actions (widget_class);
  lw_board_view_install_sketch_actions (widget_class);
  lw_board_view_install_forms (widget_class);
}

static void
lw_board_view_init (LwBoardView *self)
{
  self->hovered = self->show_pending = -1;
  self->fitted = TRUE;
  self->view.scale = 1.0;
  self->dirty = LW_BOARD_LAYER_ALL;
  gtk_widget_set_focusable (GTK_WIDGET (self), TRUE);
  gtk_widget_set_overflow (GTK_WIDGET (self), GTK_OVERFLOW_HIDDEN);
  gtk_widget_set_hexpand (GTK_WIDGET (self), TRUE);
  gtk_widget_set_vexpand (GTK_WIDGET (self), TRUE);
  gtk_widget_set_has_tooltip (GTK_WIDGET (self), TRUE);
  lw_board_view_add_controllers (self);
  lw_board_view_add_drop (self);
  lw_board_view_update_actions (self);
}

GtkWidget *
lw_board_view_new (LwDesk *desk)
{
  return g_object_new (LW_TYPE_BOARD_VIEW, "desk", desk, NULL);
}
