/* Where the keyboard goes without a pointer: from panel to panel, into a page that was called by its key, and back to the
 * board. F6 and Shift+F6 for panels are common practice of desktops, no source. */
#include "app/window-private.h"
#include "widgets/panel-focus.h"

static GtkWidget *
panel_at (LwWindow *self, int panel)
{
  GtkWidget *const panels[LW_N_PANELS] = { GTK_WIDGET (self->board_overlay), GTK_WIDGET (self->lower),
                                           GTK_WIDGET (self->findings), GTK_WIDGET (self->inspector) };

  return panels[panel];
}

static gboolean
lies_in (GtkWidget *widget, GtkWidget *panel)
{
  return widget == panel || gtk_widget_is_ancestor (widget, panel);
}

/* -1: in none of them. */
static int
panel_in_hand (LwWindow *self, GtkWidget *focus)
{
  for (int i = 0; focus != NULL && i < LW_N_PANELS; i++)
    if (lies_in (focus, panel_at (self, i)))
      return i;
  return -1;
}

static gboolean
enter_anew (LwWindow *self, int panel)
{
  if (panel == LW_PANEL_BOARD)
    return gtk_widget_grab_focus (GTK_WIDGET (self->board_view));
  if (panel == LW_PANEL_PAGES)
    return lw_panel_enter (lw_lower_pane_child (self->lower));
  return lw_panel_enter (panel_at (self, panel));
}

/* Where it was left, when that is still there. */
static gboolean
enter (LwWindow *self, int panel)
{
  GtkWidget *left = self->left_at[panel];

  if (left != NULL && gtk_widget_get_mapped (left) && lies_in (left, panel_at (self, panel)) && gtk_widget_grab_focus (left))
    return TRUE;
  return enter_anew (self, panel);
}

void
lw_window_step_panel (LwWindow *self, int step)
{
  GtkWidget *focus = gtk_window_get_focus (GTK_WINDOW (self));
  int from = panel_in_hand (self, focus), at = from >= 0 ? from : step > 0 ? -1 : 0;

  if (from >= 0)
    g_set_weak_pointer (&self->left_at[from], focus);
  for (int i = 0; i < LW_N_PANELS; i++) {
    at = (at + step + LW_N_PANELS) % LW_N_PANELS;
    if (enter (self, at))
      break;
  }
  gtk_window_set_focus_visible (GTK_WINDOW (self), TRUE);
}

void
lw_window_enter_page (LwWindow *self, const char *name)
{
  lw_lower_pane_show_page (self->lower, name);
  enter_anew (self, LW_PANEL_PAGES);
  gtk_window_set_focus_visible (GTK_WINDOW (self), TRUE);
}

void
lw_window_enter_inspector (LwWindow *self)
{
  if (!lw_inspector_enter (self->inspector))
    enter_anew (self, LW_PANEL_INSPECTOR);
  gtk_window_set_focus_visible (GTK_WINDOW (self), TRUE);
}

/* Escape that nothing in a panel wanted for itself. */
static gboolean
escape_cb (GtkEventControllerKey *keys, guint keyval, guint code, GdkModifierType state, LwWindow *self)
{
  GtkWidget *focus = gtk_window_get_focus (GTK_WINDOW (self));

  if (keyval != GDK_KEY_Escape || panel_in_hand (self, focus) < 0 || focus == GTK_WIDGET (self->board_view))
    return FALSE;
  return gtk_widget_grab_focus (GTK_WIDGET (self->board_view));
}

void
lw_window_init_focus (LwWindow *self)
{
  GtkEventController *keys = gtk_event_controller_key_new ();

  g_signal_connect (keys, "key-pressed", G_CALLBACK (escape_cb), self);
  gtk_widget_add_controller (GTK_WIDGET (self->main_paned), keys);
}

void
lw_window_drop_focus (LwWindow *self)
{
  for (int i = 0; i < LW_N_PANELS; i++)
    g_clear_weak_pointer (&self->left_at[i]);
}
