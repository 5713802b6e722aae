/* What the board view asks for in figures: parts placed, moved, repeated and numbered, shapes drawn, corners cut. */
#include "widgets/board-view-private.h"

#include <math.h>

#include <glib/gi18n.h>

#include "board/edits-group.h"
#include "board/edits.h"
#include "board/loop-edits.h"
#include "widgets/form.h"
#include "widgets/part-entry.h"

static void
closed_cb (GtkWidget *form, LwBoardView *self)
{
  if (self->form == form)
    self->form = NULL;
  if (!gtk_widget_in_destruction (GTK_WIDGET (self)))
    gtk_widget_grab_focus (GTK_WIDGET (self));
  lw_form_put_away (LW_FORM (form));
}

/* One form at a time, below the upper edge, so that what it is about stays in sight. */
static void
show_form (LwBoardView *self, LwForm *form)
{
  GtkPopover *popover = GTK_POPOVER (form);

  if (self->form != NULL)
    gtk_popover_popdown (GTK_POPOVER (self->form));
  self->form = GTK_WIDGET (form);
  g_signal_connect (form, "closed", G_CALLBACK (closed_cb), self);
  gtk_popover_set_has_arrow (popover, FALSE);
  gtk_popover_set_position (popover, GTK_POS_BOTTOM);
  gtk_popover_set_pointing_to (popover, &(GdkRectangle){ (int) (0.5 * self->view.width), 6, 1, 1 });
  gtk_popover_popup (popover);
}

static gboolean
has_job (LwBoardView *self)
{
  return self->desk != NULL && lw_board_view_job (self) != NULL;
}

static gboolean
has_parts (LwBoardView *self)
{
  return has_job (self) && lw_desk_selected_parts (self->desk)->len > 0;
}

static gboolean
edit (LwBoardView *self, LwJob *job, const char *label)
{
  return job != NULL && lw_desk_edit (self->desk, job, label, NULL, NULL);
}

/* ---- parts ---- */

/* "package" may come as a parameter: "" = none. */
static void
place_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  LwBoardView *self = LW_BOARD_VIEW (widget);
  const char *package = parameter == NULL ? "" : g_variant_get_string (parameter, NULL);
  LwForm *form;

  if (!has_job (self))
    return;
  form = lw_part_entry_new (widget, self->desk, *package == '\0' ? NULL : package, lw_board_view_spot (self));
  show_form (self, form);
  lw_form_focus (form, *package == '\0' ? "ref" : "x");
}

static gboolean
move_cb (LwForm *form, gpointer user, GError **error)
{
  LwBoardView *self = user;
  double dx, dy, turn;
  LwJob *job, *turned;

  if (!lw_form_number (form, "dx", &dx, error) || !lw_form_number (form, "dy", &dy, error)
      || !lw_form_number (form, "turn", &turn, error))
    return FALSE;
  job = lw_edit_move_parts (lw_board_view_job (self), lw_desk_selected_parts (self->desk), dx, dy, error);
  if (job == NULL || turn == 0.0)
    return edit (self, job, _("Move parts"));
  turned = lw_edit_turn_parts (job, lw_desk_selected_parts (self->desk), turn, error);
  lw_job_unref (job);
  return edit (self, turned, _("Move parts"));
}

static void
move_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  LwBoardView *self = LW_BOARD_VIEW (widget);
  LwForm *form;

  if (!has_parts (self))
    return;
  form = lw_form_new (widget, _("Move selected parts"), _("_Move"), move_cb, self);
  lw_form_add_number (form, "dx", _("Along _x"), "mm", 3, 0);
  lw_form_add_number (form, "dy", _("Along _y"), "mm", 3, 0);
  lw_form_add_number (form, "turn", _("_Turn"), "°", 2, 0);
  show_form (self, form);
  lw_form_focus (form, "dx");
}

static gboolean
whole_number (LwForm *form, const char *key, double low, double high, guint *value, GError **error)
{
  double number;

  if (!lw_form_number (form, key, &number, error))
    return FALSE;
  if (number != floor (number) || number < low || number > high) {
    g_set_error (error, LW_EDIT_ERROR, LW_EDIT_ERROR_RANGE, _("must be a whole number from %.0f to %.0f"), low, high);
    lw_form_focus (form, key);
    return FALSE;
  }
  *value = (guint) number;
  return TRUE;
}

static gboolean
repeat_cb (LwForm *form, gpointer user, GError **error)
{
  LwBoardView *self = user;
  g_autoptr (GArray) made = NULL, all = NULL;
  guint columns, rows;
  double px, py;
  LwJob *job;

  if (!whole_number (form, "columns", 1, 1000, &columns, error) || !whole_number (form, "rows", 1, 1000, &rows, error)
      || !lw_form_number (form, "px", &px, error) || !lw_form_number (form, "py", &py, error))
    return FALSE;
  all = g_array_copy ((GArray *) lw_desk_selected_parts (self->desk));
  job = lw_edit_repeat_parts (lw_board_view_job (self), all, columns, rows, px, py, &made, error);
  if (!edit (self, job, _("Array of parts")))
    return FALSE;
  g_array_append_vals (all, made->data, made->len);
  lw_desk_select_parts (self->desk, all, -1);
  return TRUE;
}

static void
repeat_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  LwBoardView *self = LW_BOARD_VIEW (widget);
  LwForm *form;
  LwBox box;

  if (!has_parts (self))
    return;
  box = lw_parts_box (lw_board_view_job (self), lw_desk_selected_parts (self->desk));
  form = lw_form_new (widget, _("Array of the selected parts"), _("_Repeat"), repeat_cb, self);
  lw_form_add_number (form, "columns", _("_Columns"), "", 0, 2);
  lw_form_add_number (form, "rows", _("Ro_ws"), "", 0, 1);
  lw_form_add_number (form, "px", _("Pitch along _x"), "mm", 3, ceil (box.x1_mm - box.x0_mm + 1.0));
  lw_form_add_number (form, "py", _("Pitch along _y"), "mm", 3, ceil (box.y1_mm - box.y0_mm + 1.0));
  show_form (self, form);
  lw_form_focus (form, "columns");
}

/* After new names the parts are found again by their places in the job. */
static gboolean
renumber_cb (LwForm *form, gpointer user, GError **error)
{
  LwBoardView *self = user;
  g_autoptr (GArray) parts = g_array_copy ((GArray *) lw_desk_selected_parts (self->desk));
  int lead = lw_desk_selected_part (self->desk);
  guint first;
  LwJob *job;

  if (!whole_number (form, "first", 0, 999999, &first, error))
    return FALSE;
  job = lw_edit_renumber_parts (lw_board_view_job (self), parts, first, lw_form_choice (form, "order") == 1, error);
  if (!edit (self, job, _("Renumber parts")))
    return FALSE;
  lw_desk_select_parts (self->desk, parts, lead);
  return TRUE;
}

static void
renumber_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  const char *orders[] = { _("Row by row from the top"), _("Column by column from the left"), NULL };
  LwBoardView *self = LW_BOARD_VIEW (widget);
  LwForm *form;

  if (!has_parts (self))
    return;
  form = lw_form_new (widget, _("Renumber selected parts"), _("_Renumber"), renumber_cb, self);
  lw_form_add_number (form, "first", _("_First number"), "", 0, 1);
  lw_form_add_choice (form, "order", _("_Order"), orders, 0);
  show_form (self, form);
  lw_form_focus (form, "first");
}

/* ---- shapes ---- */

typedef enum { RECTANGLE, CIRCLE, SLOT } Shape;

/* A slot lies along x, or along y when it is taller than long. */
static LwLoop *
make_shape (Shape shape, double x, double y, double length, double width, double radius, GError **error)
{
  double half = 0.5 * (MAX (length, width) - MIN (length, width));
  gboolean upright = width > length;

  if (!(length > 0.0) || (shape != CIRCLE && !(width > 0.0))) {
    g_set_error_literal (error, LW_EDIT_ERROR, LW_EDIT_ERROR_RANGE, _("length and width must be above 0"));
    return NULL;
  }
  if (shape == RECTANGLE)
    return lw_loop_new_rounded (x - 0.5 * length, y - 0.5 * width, x + 0.5 * length, y + 0.5 * width, radius, error);
  if (shape == CIRCLE)
    return lw_loop_new_circle (x, y, 0.5 * length);
  return lw_loop_new_slot (x - (upright ? 0.0 : half), y - (upright ? half : 0.0), x + (upright ? 0.0 : half),
                           y + (upright ? half : 0.0), MIN (length, width), error);
}

static gboolean
shape_cb (LwForm *form, gpointer user, GError **error)
{
  LwBoardView *self = user;
  double x, y, length, width, radius;
  LwSketch *sketch = lw_desk_sketch (self->desk);
  LwLoop *loop;

  if (!lw_form_number (form, "x", &x, error) || !lw_form_number (form, "y", &y, error)
      || !lw_form_number (form, "length", &length, error) || !lw_form_number (form, "width", &width, error)
      || !lw_form_number (form, "radius", &radius, error))
    return FALSE;
  loop = make_shape ((Shape) lw_form_choice (form, "shape"), x, y, length, width, radius, error);
  if (loop == NULL)
    return FALSE;
  lw_sketch_set_draws (sketch, (LwLoopOwner) lw_form_choice (form, "becomes"));
  if (!lw_board_view_add_loop (self, loop, error))
    return FALSE;
  lw_sketch_set_tool (sketch, LW_TOOL_SHAPE);
  return TRUE;
}

static void
shape_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  const char *shapes[] = { _("Rectangle"), _("Circle"), _("Slot"), NULL };
  const char *become[] = { _("Cut-out"), _("Copper region"), _("Via field"), NULL };
  LwBoardView *self = LW_BOARD_VIEW (widget);
  LwForm *form;
  LwPoint at;

  if (!has_job (self))
    return;
  at = lw_board_view_spot (self);
  form = lw_form_new (widget, _("Add a shape"), _("_Add"), shape_cb, self);
  lw_form_add_choice (form, "becomes", _("_Becomes"), become, lw_sketch_draws (lw_desk_sketch (self->desk)));
  lw_form_add_choice (form, "shape", _("_Shape"), shapes, 0);
  lw_form_add_number (form, "x", _("Middle _x"), "mm", 3, at.x_mm);
  lw_form_add_number (form, "y", _("Middle _y"), "mm", 3, at.y_mm);
  lw_form_add_number (form, "length", _("_Length or diameter"), "mm", 3, 10);
  lw_form_add_number (form, "width", _("_Width"), "mm", 3, 5);
  lw_form_add_number (form, "radius", _("Corner _radius"), "mm", 3, 0);
  show_form (self, form);
  lw_form_focus (form, "x");
}

static gboolean
cut_cb (LwForm *form, gpointer user, GError **error)
{
  LwBoardView *self = user;
  LwSketch *sketch = lw_desk_sketch (self->desk);
  LwLoopPlace place = lw_sketch_place (sketch);
  const LwLoop *loop = lw_job_loop (lw_board_view_job (self), place);
  gboolean chamfer = lw_form_choice (form, "cut") == 1;
  LwLoop *next;
  double size;

  if (loop == NULL || !lw_form_number (form, "size", &size, error))
    return FALSE;
  next = chamfer ? lw_loop_chamfer_corner (loop, (guint) MAX (lw_sketch_corner (sketch), 0), size, error)
                 : lw_loop_round_corner (loop, (guint) MAX (lw_sketch_corner (sketch), 0), size, error);
  return next != NULL
         && edit (self, lw_edit_set_loop (lw_board_view_job (self), place, next, error),
                  chamfer ? _("Chamfer corner") : _("Round corner"));
}

static void
cut_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  const char *cuts[] = { _("Round, by its radius"), _("Chamfer, by its legs"), NULL };
  LwBoardView *self = LW_BOARD_VIEW (widget);
  LwForm *form;

  if (!has_job (self))
    return;
  if (lw_sketch_corner (lw_desk_sketch (self->desk)) < 0) {
    lw_desk_tell (self->desk, _("Choose a corner first"), FALSE);
    return;
  }
  form = lw_form_new (widget, _("Cut the corner"), _("_Cut"), cut_cb, self);
  lw_form_add_choice (form, "cut", _("_How"), cuts, 0);
  lw_form_add_number (form, "size", _("_Size"), "mm", 3, 3);
  show_form (self, form);
  lw_form_focus (form, "size");
}

static gboolean
grid_cb (LwForm *form, gpointer user, GError **error)
{
  LwBoardView *self = user;
  double grid, slot;

  if (!lw_form_number (form, "grid", &grid, error) || !lw_form_number (form, "slot", &slot, error))
    return FALSE;
  if (!(grid >= 0.001 && grid <= 100.0) || !(slot > 0.0 && slot <= 1000.0)) {
    g_set_error_literal (error, LW_EDIT_ERROR, LW_EDIT_ERROR_RANGE,
                         _("the grid goes from 0.001 to 100 mm, a slot’s width is above 0"));
    return FALSE;
  }
  lw_sketch_set_grid_mm (lw_desk_sketch (self->desk), grid);
  lw_sketch_set_slot_width_mm (lw_desk_sketch (self->desk), slot);
  return TRUE;
}

static void
grid_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  LwBoardView *self = LW_BOARD_VIEW (widget);
  LwForm *form;

  if (!has_job (self))
    return;
  form = lw_form_new (widget, _("Grid and widths"), _("_Use"), grid_cb, self);
  lw_form_add_number (form, "grid", _("_Grid"), "mm", 3, lw_sketch_grid_mm (lw_desk_sketch (self->desk)));
  lw_form_add_number (form, "slot", _("Width of _slots"), "mm", 3, lw_sketch_slot_width_mm (lw_desk_sketch (self->desk)));
  show_form (self, form);
  lw_form_focus (form, "grid");
}

static const struct {
  const char *name, *parameter;
  GtkWidgetActionActivateFunc activate;
} actions[] = {
  { "form.place", NULL, place_action },       { "form.place-package", "s", place_action },
  { "form.move", NULL, move_action },         { "form.repeat", NULL, repeat_action },
  { "form.renumber", NULL, renumber_action }, { "form.shape", NULL, shape_action },
  { "form.cut", NULL, cut_action },           { "form.grid", NULL, grid_action },
};

static const struct {
  guint key;
  const char *action;
} keys[] = {
  { GDK_KEY_i, "form.place" }, { GDK_KEY_t, "form.move" }, { GDK_KEY_y, "form.repeat" },
  { GDK_KEY_u, "form.renumber" }, { GDK_KEY_s, "form.shape" }, { GDK_KEY_c, "form.cut" },
};

void
lw_board_view_install_forms (GtkWidgetClass *widget_class)
{
  for (guint i = 0; i < G_N_ELEMENTS (actions); i++)
    gtk_widget_class_install_action (widget_class, actions[i].name, actions[i].parameter, actions[i].activate);
  for (guint i = 0; i < G_N_ELEMENTS (keys); i++)
    gtk_widget_class_add_binding_action (widget_class, keys[i].key, 0, keys[i].action, NULL);
}
