/* The window's part in drawing by hand: menus to the board's own actions, a new board, finding, hints. */
#include <glib/gi18n.h>

#include "app/window-private.h"
#include "board/edits-outline.h"
#include "widgets/find-bar.h"
#include "widgets/form.h"
#include "widgets/sketch.h"

/* ---- a new board ---- */

static LwWindow *
window_for_new_job (LwWindow *self)
{
  LwWindow *other;

  if (lw_desk_document (lw_window_desk (self)) == NULL)
    return self;
  other = lw_window_new (gtk_window_get_application (GTK_WINDOW (self)));
  gtk_window_present (GTK_WINDOW (other));
  return other;
}

/* A new document with a bare rectangular board, here or, when something is open, in a window of its own. */
static gboolean
start_board (LwWindow *self, double length_mm, double width_mm, double radius_mm, double thickness_mm, GError **error)
{
  LwJob *job = lw_job_new_rectangle (length_mm, width_mm, radius_mm, thickness_mm, error);
  g_autoptr (LwDocument) document = NULL;
  LwWindow *window;

  if (job == NULL)
    return FALSE;
  document = lw_document_new (job, NULL);
  window = window_for_new_job (self);
  lw_session_take_document (window->session, document);
  lw_lower_pane_show_page (window->lower, "packages");
  return TRUE;
}

static gboolean
new_board_cb (LwForm *form, gpointer user, GError **error)
{
  double length, width, radius, thickness;

  return lw_form_number (form, "length", &length, error) && lw_form_number (form, "width", &width, error)
         && lw_form_number (form, "radius", &radius, error) && lw_form_number (form, "thickness", &thickness, error)
         && start_board (user, length, width, radius, thickness, error);
}

static void
new_board_action (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  LwWindow *self = user;
  /* Not over the stack itself: what is below a stack and no page of it has GTK 4.8 fall when a screen reader asks for it. */
  GtkWidget *over = gtk_widget_get_parent (GTK_WIDGET (self->content));
  LwForm *form = lw_form_new (over, _("New board"), _("_Start"), new_board_cb, self);
  int width = gtk_widget_get_width (over);

  lw_form_add_number (form, "length", _("_Length"), "mm", 3, 100);
  lw_form_add_number (form, "width", _("_Width"), "mm", 3, 80);
  lw_form_add_number (form, "radius", _("Corner _radius"), "mm", 3, 0);
  lw_form_add_number (form, "thickness", _("_Thickness"), "mm", 3, 1.6);
  g_signal_connect (form, "closed", G_CALLBACK (lw_form_put_away), NULL);
  gtk_popover_set_has_arrow (GTK_POPOVER (form), FALSE);
  gtk_popover_set_position (GTK_POPOVER (form), GTK_POS_BOTTOM);
  gtk_popover_set_pointing_to (GTK_POPOVER (form), &(GdkRectangle){ width / 2, 60, 1, 1 });
  gtk_popover_popup (GTK_POPOVER (form));
  lw_form_focus (form, "length");
}

/* ---- actions of the board ---- */

/* "group.align(0)": an action of the board view, for menus and buttons that stand outside it. */
static void
board_action (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  LwWindow *self = user;
  g_autofree char *name = NULL;
  g_autoptr (GVariant) target = NULL;
  g_autoptr (GError) error = NULL;

  if (!g_action_parse_detailed_name (g_variant_get_string (parameter, NULL), &name, &target, &error)) {
    g_warning ("%s", error->message);
    return;
  }
  gtk_widget_grab_focus (GTK_WIDGET (self->board_view));
  gtk_widget_activate_action_variant (GTK_WIDGET (self->board_view), name, target);
}

static void
focus_board_action (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  gtk_widget_grab_focus (GTK_WIDGET (((LwWindow *) user)->board_view));
}

static void
find_action (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  lw_find_bar_open (LW_FIND_BAR (((LwWindow *) user)->find_bar));
}

static const GActionEntry entries[] = {
  { "new-board", new_board_action },
  { "board", board_action, "s" },
  { "focus-board", focus_board_action },
  { "find-on-board", find_action },
};

void
lw_window_update_drawing (LwWindow *self)
{
  gboolean job = lw_desk_job (lw_window_desk (self)) != NULL;

  for (guint i = 1; i < G_N_ELEMENTS (entries); i++)
    g_simple_action_set_enabled (G_SIMPLE_ACTION (g_action_map_lookup_action (G_ACTION_MAP (self), entries[i].name)), job);
}

/* ---- hints ---- */

static void
show_hint (LwWindow *self)
{
  static const char *const hints[LW_N_TOOLS] = {
    [LW_TOOL_SHAPE] = N_ ("Drag corners and edges · Ctrl bends · double click: new corner · Shift: no snapping · Esc"),
    [LW_TOOL_RECTANGLE] = N_ ("Drag from corner to corner · Shift: no snapping · Esc when done"),
    [LW_TOOL_CIRCLE] = N_ ("Drag from the middle outwards · Shift: no snapping · Esc when done"),
    [LW_TOOL_SLOT] = N_ ("Drag from end to end · its width is set with the grid · Esc when done"),
    [LW_TOOL_POLYGON] = N_ ("Click corner by corner · Enter or a double click closes it · Esc drops it"),
    [LW_TOOL_MEASURE] = N_ ("Drag to measure · with two parts selected, M measures between them · Esc when done"),
  };
  LwTool tool = lw_sketch_tool (lw_desk_sketch (lw_window_desk (self)));

  gtk_label_set_text (GTK_LABEL (self->tool_hint), hints[tool] == NULL ? "" : _(hints[tool]));
  gtk_widget_set_visible (self->tool_hint, hints[tool] != NULL);
  if (tool == LW_TOOL_SHAPE)
    lw_lower_pane_show_page (self->lower, "outline");
}

static void
package_chosen_cb (LwLowerPane *lower, const char *name, LwWindow *self)
{
  gtk_widget_grab_focus (GTK_WIDGET (self->board_view));
  gtk_widget_activate_action (GTK_WIDGET (self->board_view), "form.place-package", "s", name);
}

static void
found_cb (LwFindBar *bar, int part, LwWindow *self)
{
  lw_window_show_part (self, part);
}

static void
set_menu (GtkMenuButton *button, const char *id)
{
  g_autoptr (GtkBuilder) builder = gtk_builder_new_from_resource ("/org/leeward/Leeward/ui/draw-menus.ui");

  gtk_menu_button_set_menu_model (button, G_MENU_MODEL (gtk_builder_get_object (builder, id)));
}

void
lw_window_init_drawing (LwWindow *self)
{
  g_action_map_add_action_entries (G_ACTION_MAP (self), entries, G_N_ELEMENTS (entries), self);
  set_menu (self->parts_button, "parts_menu");
  set_menu (self->draw_button, "draw_menu");
  self->find_bar = lw_find_bar_new (lw_window_desk (self));
  gtk_widget_set_halign (self->find_bar, GTK_ALIGN_FILL);
  gtk_widget_set_valign (self->find_bar, GTK_ALIGN_END);
  gtk_overlay_add_overlay (self->board_overlay, self->find_bar);
  self->tool_hint = gtk_label_new (NULL);
  gtk_label_set_wrap (GTK_LABEL (self->tool_hint), TRUE);
  gtk_label_set_justify (GTK_LABEL (self->tool_hint), GTK_JUSTIFY_CENTER);
  gtk_widget_set_halign (self->tool_hint, GTK_ALIGN_CENTER);
  gtk_widget_set_valign (self->tool_hint, GTK_ALIGN_END);
  gtk_widget_set_can_target (self->tool_hint, FALSE);
  gtk_widget_set_visible (self->tool_hint, FALSE);
  gtk_widget_add_css_class (self->tool_hint, "tool-hint");
  gtk_overlay_add_overlay (self->board_overlay, self->tool_hint);
  g_signal_connect (self->find_bar, "show-part", G_CALLBACK (found_cb), self);
  g_signal_connect_object (self->lower, "package-chosen", G_CALLBACK (package_chosen_cb), self, 0);
  g_signal_connect_object (lw_desk_sketch (lw_window_desk (self)), "changed", G_CALLBACK (show_hint), self,
                           G_CONNECT_SWAPPED);
}
