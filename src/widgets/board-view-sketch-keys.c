/* Drawing by hand without a pointer: tools, guides and measures as actions with keys, corners chosen, moved and taken out. */
#include <string.h>

#include <glib/gi18n.h>

#include "board/edits-outline.h"
#include "board/loop-edits.h"
#include "widgets/board-view-private.h"

static LwSketch *
sketch_of (LwBoardView *self)
{
  return lw_desk_sketch (self->desk);
}

static void
tool_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  LwBoardView *self = LW_BOARD_VIEW (widget);
  LwTool tool = (LwTool) CLAMP (g_variant_get_int32 (parameter), 0, LW_N_TOOLS - 1);

  if (lw_board_view_job (self) == NULL)
    return;
  lw_board_view_sketch_cancel (self);
  lw_sketch_set_tool (sketch_of (self), tool == lw_sketch_tool (sketch_of (self)) ? LW_TOOL_PLAN : tool);
  gtk_widget_grab_focus (widget);
}

/* What is drawn, and with which tool. */
static void
draw_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  LwBoardView *self = LW_BOARD_VIEW (widget);
  gint32 owner, tool;

  if (lw_board_view_job (self) == NULL)
    return;
  g_variant_get (parameter, "(ii)", &owner, &tool);
  lw_board_view_sketch_cancel (self);
  lw_sketch_set_draws (sketch_of (self), (LwLoopOwner) CLAMP (owner, 0, LW_N_LOOP_OWNERS - 1));
  lw_sketch_set_tool (sketch_of (self), (LwTool) CLAMP (tool, 0, LW_N_TOOLS - 1));
  gtk_widget_grab_focus (widget);
}

static void
close_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  lw_board_view_sketch_close (LW_BOARD_VIEW (widget));
}

static void
guide_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  LwBoardView *self = LW_BOARD_VIEW (widget);
  LwPoint at;

  if (lw_board_view_job (self) == NULL)
    return;
  at = lw_board_view_spot (self);
  if (strcmp (name, "sketch.clear-guides") == 0)
    lw_sketch_clear_guides (sketch_of (self));
  else if (strcmp (name, "sketch.guide-upright") == 0)
    lw_sketch_toggle_guide (sketch_of (self), TRUE, at.x_mm);
  else
    lw_sketch_toggle_guide (sketch_of (self), FALSE, at.y_mm);
}

/* Between the middles of two selected parts; else the tool for the pointer. */
static void
measure_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  LwBoardView *self = LW_BOARD_VIEW (widget);
  LwJob *job = lw_board_view_job (self);
  const GArray *parts = job == NULL ? NULL : lw_desk_selected_parts (self->desk);
  LwPoint ends[2];

  if (job == NULL)
    return;
  if (parts->len != 2) {
    gtk_widget_activate_action (widget, "sketch.tool", "i", LW_TOOL_MEASURE);
    return;
  }
  for (guint i = 0; i < 2; i++) {
    const LwPart *part = g_ptr_array_index (job->parts, g_array_index (parts, guint, i));

    ends[i] = lw_part_body_center (part, lw_job_package_of (job, part));
  }
  lw_sketch_set_tool (sketch_of (self), LW_TOOL_MEASURE);
  lw_sketch_set_measured (sketch_of (self), ends[0], ends[1]);
}

static gboolean
take_out (LwBoardView *self)
{
  LwSketch *sketch = sketch_of (self);
  LwLoopPlace place = lw_sketch_place (sketch);
  LwJob *job = lw_board_view_job (self);
  const LwLoop *loop = lw_job_loop (job, place);
  int corner = lw_sketch_corner (sketch);
  GError *error = NULL;
  LwLoop *next;

  if (loop == NULL)
    return FALSE;
  if (corner < 0)
    return lw_desk_edit (self->desk, lw_edit_remove_loop (job, place, &error), _("Remove shape"), NULL, error);
  next = lw_loop_remove_corner (loop, (guint) corner, &error);
  return lw_desk_edit (self->desk, next == NULL ? NULL : lw_edit_set_loop (job, place, next, &error),
                       _("Remove corner"), NULL, error);
}

gboolean
lw_board_view_sketch_delete (LwBoardView *self)
{
  if (lw_board_view_sketch_tool (self) != LW_TOOL_SHAPE)
    return FALSE;
  if (take_out (self))
    lw_sketch_choose (sketch_of (self), (LwLoopPlace){ LW_LOOP_OUTLINE, 0 }, -1, -1);
  return TRUE;
}

gboolean
lw_board_view_sketch_nudge (LwBoardView *self, double dx_mm, double dy_mm)
{
  LwSketch *sketch = sketch_of (self);
  LwLoopPlace place = lw_sketch_place (sketch);
  LwJob *job = lw_board_view_job (self);
  const LwLoop *loop;
  int corner = lw_sketch_corner (sketch);
  g_autofree char *key = g_strdup_printf ("nudge-%d-%u-%d", place.owner, place.index, corner);
  GError *error = NULL;
  LwLoop *next;

  if (lw_board_view_sketch_tool (self) != LW_TOOL_SHAPE || (loop = lw_job_loop (job, place)) == NULL)
    return FALSE;
  if (corner < 0 && place.owner == LW_LOOP_OUTLINE && place.index == 0)
    return FALSE; /* the board itself stays where it is; the view moves */
  next = corner < 0 ? lw_loop_moved (loop, dx_mm, dy_mm)
                    : lw_loop_move_corner (loop, (guint) corner,
                                           g_array_index (loop->corners, LwVertex, corner).x_mm + dx_mm,
                                           g_array_index (loop->corners, LwVertex, corner).y_mm + dy_mm, &error);
  lw_desk_edit (self->desk, next == NULL ? NULL : lw_edit_set_loop (job, place, next, &error), _("Change outline"), key,
                error);
  return TRUE;
}

gboolean
lw_board_view_sketch_step (LwBoardView *self, int step)
{
  LwSketch *sketch = sketch_of (self);
  const LwLoop *loop = lw_job_loop (lw_board_view_job (self), lw_sketch_place (sketch));
  int n = loop == NULL ? 0 : (int) loop->corners->len, corner = lw_sketch_corner (sketch);

  if (lw_board_view_sketch_tool (self) != LW_TOOL_SHAPE || n == 0)
    return FALSE;
  corner = corner < 0 ? (step > 0 ? 0 : n - 1) : (corner + step + n) % n;
  lw_sketch_choose (sketch, lw_sketch_place (sketch), corner, -1);
  return TRUE;
}

static const struct {
  const char *name, *parameter;
  GtkWidgetActionActivateFunc activate;
} actions[] = {
  { "sketch.draw", "(ii)", draw_action },
  { "sketch.tool", "i", tool_action },           { "sketch.close", NULL, close_action },
  { "sketch.guide-upright", NULL, guide_action }, { "sketch.guide-lying", NULL, guide_action },
  { "sketch.clear-guides", NULL, guide_action },  { "sketch.measure", NULL, measure_action },
};

void
lw_board_view_install_sketch_actions (GtkWidgetClass *widget_class)
{
  for (guint i = 0; i < G_N_ELEMENTS (actions); i++)
    gtk_widget_class_install_action (widget_class, actions[i].name, actions[i].parameter, actions[i].activate);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_o, 0, "sketch.tool", "i", LW_TOOL_SHAPE);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_m, 0, "sketch.measure", NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_g, 0, "sketch.guide-upright", NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_g, GDK_SHIFT_MASK, "sketch.guide-lying", NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_d, 0, "sketch.draw", "(ii)", LW_LOOP_OUTLINE,
                                       LW_TOOL_RECTANGLE);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Return, 0, "sketch.close", NULL);
}
