/* What the board view does by keyboard and by action. */
#include "widgets/board-view-private.h"

#include <string.h>

#include <glib/gi18n.h>

#include "board/edits-group.h"
#include "board/edits.h"

#define ZOOM_STEP 1.25
#define PAN_STEP 40.0

static const LwPart *
selected (LwBoardView *self, int *index)
{
  LwJob *job = lw_board_view_job (self);

  *index = self->desk ? lw_desk_selected_part (self->desk) : -1;
  return job && *index >= 0 ? g_ptr_array_index (job->parts, *index) : NULL;
}

static void
view_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  LwBoardView *self = LW_BOARD_VIEW (widget);

  if (!lw_board_view_job (self))
    return;
  if (strcmp (name, "view.fit") == 0)
    lw_board_view_fit (self);
  else
    lw_board_view_zoom_at (self, strcmp (name, "view.zoom-in") == 0 ? ZOOM_STEP : 1.0 / ZOOM_STEP,
                           0.5 * self->view.width, 0.5 * self->view.height);
}

static void
rotate_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  LwBoardView *self = LW_BOARD_VIEW (widget);
  int index;
  const LwPart *part = selected (self, &index);
  GError *error = NULL;
  double turn = strcmp (name, "part.rotate") == 0 ? 90.0 : -90.0;
  LwJob *job;

  if (!part)
    return;
  if (lw_desk_selected_parts (self->desk)->len > 1) {
    job = lw_edit_turn_parts (lw_board_view_job (self), lw_desk_selected_parts (self->desk),
                              self->view.side == LW_SIDE_BOTTOM ? -turn : turn, &error);
    lw_desk_edit (self->desk, job, _ ("Rotate parts"), NULL, error);
    return;
  }
  job = lw_edit_rotate_part (lw_board_view_job (self), (guint) index,
                             lw_angle_normalise (part->rotation_deg + turn), &error);
  lw_desk_edit (self->desk, job, _ ("Rotate part"), NULL, error);
}

/* The side looked at goes along, so that the part stays in sight. */
static void
flip_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  LwBoardView *self = LW_BOARD_VIEW (widget);
  int index;
  const LwPart *part = selected (self, &index);
  GError *error = NULL;
  LwSide to;

  if (!part)
    return;
  to = part->side == LW_SIDE_TOP ? LW_SIDE_BOTTOM : LW_SIDE_TOP;
  if (lw_desk_edit (self->desk,
                    lw_desk_selected_parts (self->desk)->len > 1
                      ? lw_edit_flip_parts (lw_board_view_job (self), lw_desk_selected_parts (self->desk), &error)
                      : lw_edit_flip_part (lw_board_view_job (self), (guint) index, &error),
                    _ ("Flip part"), NULL, error))
    lw_desk_set_side (self->desk, to);
}

/* One grid step; a tenth of it with "fine", ten of them with "far". */
static double
nudge_step (LwBoardView *self, const char *name)
{
  double grid = lw_sketch_grid_mm (lw_desk_sketch (self->desk));

  return g_str_has_prefix (name, "part.fine") ? 0.1 * grid : g_str_has_prefix (name, "part.far") ? 10.0 * grid : grid;
}

/* Arrows push the selected parts as seen, or the whole view when no part is selected. */
static void
nudge_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  LwBoardView *self = LW_BOARD_VIEW (widget);
  int index, dx = 0, dy = 0;
  const LwPart *part = selected (self, &index);
  GError *error = NULL;
  g_autofree char *key = NULL;
  double handed = self->view.side == LW_SIDE_BOTTOM ? -1.0 : 1.0;

  dx = g_str_has_suffix (name, "right") - g_str_has_suffix (name, "left");
  dy = g_str_has_suffix (name, "up") - g_str_has_suffix (name, "down");
  if (lw_board_view_job (self)
      && lw_board_view_sketch_nudge (self, handed * nudge_step (self, name) * dx, nudge_step (self, name) * dy))
    return;
  if (!part) {
    if (lw_board_view_job (self))
      lw_board_view_pan (self, -PAN_STEP * dx, PAN_STEP * dy);
    return;
  }
  key = g_strdup_printf ("nudge-%s-%u", part->ref, lw_desk_selected_parts (self->desk)->len);
  lw_desk_edit (self->desk,
                lw_edit_move_parts (lw_board_view_job (self), lw_desk_selected_parts (self->desk),
                                    handed * nudge_step (self, name) * dx, nudge_step (self, name) * dy, &error),
                _ ("Move part"), key, error);
  lw_board_view_show_part (self, index);
}

/* Round through the placed parts of the side looked at. */
static void
step_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  LwBoardView *self = LW_BOARD_VIEW (widget);
  LwJob *job = lw_board_view_job (self);
  int step = strcmp (name, "part.next") == 0 ? 1 : -1, n, at;

  if (!job || lw_board_view_sketch_step (self, step) || job->parts->len == 0)
    return;
  n = (int) job->parts->len;
  at = lw_desk_selected_part (self->desk);
  if (at < 0)
    at = step > 0 ? n - 1 : 0;
  for (int tried = 0; tried < n; tried++) {
    const LwPart *part;

    at = (at + step + n) % n;
    part = g_ptr_array_index (job->parts, at);
    if (part->placed && part->side == self->view.side) {
      lw_desk_select_part (self->desk, at);
      lw_board_view_show_part (self, at);
      return;
    }
  }
}

static void
unselect_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  LwBoardView *self = LW_BOARD_VIEW (widget);

  if (!self->desk)
    return;
  if (lw_board_view_sketching (self))
    lw_sketch_set_tool (lw_desk_sketch (self->desk), LW_TOOL_PLAN);
  else
    lw_desk_select (self->desk, LW_THING_BOARD, -1);
}

static void
delete_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  LwBoardView *self = LW_BOARD_VIEW (widget);
  int index;
  const LwPart *part = selected (self, &index);
  GError *error = NULL;
  g_autofree char *text = NULL;
  guint n;

  if (!lw_board_view_job (self) || lw_board_view_sketch_delete (self) || !part)
    return;
  n = lw_desk_selected_parts (self->desk)->len;
  text = n > 1 ? g_strdup_printf (ngettext ("%u part removed", "%u parts removed", n), n)
               : g_strdup_printf (_ ("%s removed"), part->ref);
  if (lw_desk_edit (self->desk,
                    lw_edit_remove_parts (lw_board_view_job (self), lw_desk_selected_parts (self->desk), &error),
                    n > 1 ? _ ("Remove parts") : _ ("Remove part"), NULL, error))
    lw_desk_tell (self->desk, text, TRUE);
}

static const struct {
  const char *name;
  GtkWidgetActionActivateFunc activate;
} actions[] = {
  { "view.fit", view_action },          { "view.zoom-in", view_action },
  { "view.zoom-out", view_action },     { "part.rotate", rotate_action },
  { "part.rotate-back", rotate_action }, { "part.flip", flip_action },
  { "part.nudge-left", nudge_action },  { "part.nudge-right", nudge_action },
  { "part.nudge-up", nudge_action },    { "part.nudge-down", nudge_action },
  { "part.fine-left", nudge_action },   { "part.fine-right", nudge_action },
  { "part.fine-up", nudge_action },     { "part.fine-down", nudge_action },
  { "part.far-left", nudge_action },    { "part.far-right", nudge_action },
  { "part.far-up", nudge_action },      { "part.far-down", nudge_action },
  { "part.next", step_action },         { "part.previous", step_action },
  { "part.unselect", unselect_action }, { "part.delete", delete_action },
};

static const struct {
  guint key;
  GdkModifierType modifiers;
  const char *action;
} keys[] = {
  { GDK_KEY_0, 0, "view.fit" },
  { GDK_KEY_KP_0, 0, "view.fit" },
  { GDK_KEY_plus, 0, "view.zoom-in" },
  { GDK_KEY_equal, 0, "view.zoom-in" },
  { GDK_KEY_KP_Add, 0, "view.zoom-in" },
  { GDK_KEY_minus, 0, "view.zoom-out" },
  { GDK_KEY_KP_Subtract, 0, "view.zoom-out" },
  { GDK_KEY_r, 0, "part.rotate" },
  { GDK_KEY_r, GDK_SHIFT_MASK, "part.rotate-back" },
  { GDK_KEY_f, 0, "part.flip" },
  { GDK_KEY_Left, 0, "part.nudge-left" },
  { GDK_KEY_Right, 0, "part.nudge-right" },
  { GDK_KEY_Up, 0, "part.nudge-up" },
  { GDK_KEY_Down, 0, "part.nudge-down" },
  { GDK_KEY_Left, GDK_SHIFT_MASK, "part.fine-left" },
  { GDK_KEY_Right, GDK_SHIFT_MASK, "part.fine-right" },
  { GDK_KEY_Up, GDK_SHIFT_MASK, "part.fine-up" },
  { GDK_KEY_Down, GDK_SHIFT_MASK, "part.fine-down" },
  { GDK_KEY_Left, GDK_CONTROL_MASK, "part.far-left" },
  { GDK_KEY_Right, GDK_CONTROL_MASK, "part.far-right" },
  { GDK_KEY_Up, GDK_CONTROL_MASK, "part.far-up" },
  { GDK_KEY_Down, GDK_CONTROL_MASK, "part.far-down" },
  { GDK_KEY_n, 0, "part.next" },
  { GDK_KEY_p, 0, "part.previous" },
  { GDK_KEY_Page_Down, 0, "part.next" },
  { GDK_KEY_Page_Up, 0, "part.previous" },
  { GDK_KEY_Escape, 0, "part.unselect" },
  { GDK_KEY_Delete, 0, "part.delete" },
};

void
lw_board_view_install_actions (GtkWidgetClass *widget_class)
{
  for (guint i = 0; i < G_N_ELEMENTS (actions); i++)
    gtk_widget_class_install_action (widget_class, actions[i].name, NULL, actions[i].activate);
  for (guint i = 0; i < G_N_ELEMENTS (keys); i++)
    gtk_widget_class_add_binding_action (widget_class, keys[i].key, keys[i].modifiers, keys[i].action, NULL);
}

/* Arrows stay enabled: without a part they move the view. */
void
lw_board_view_update_actions (LwBoardView *self)
{
  static const char *const need_part[] = { "part.rotate", "part.rotate-back", "part.flip" };
  gboolean job = lw_board_view_job (self) != NULL;
  gboolean part = job && lw_desk_selected_part (self->desk) >= 0;

  for (guint i = 0; i < G_N_ELEMENTS (actions); i++)
    gtk_widget_action_set_enabled (GTK_WIDGET (self), actions[i].name, job);
  for (guint i = 0; i < G_N_ELEMENTS (need_part); i++)
    gtk_widget_action_set_enabled (GTK_WIDGET (self), need_part[i], part);
  lw_board_view_update_group_actions (self);
}
