#include "app/window-private.h"

#include <glib/gi18n.h>

#include "app/reopen.h"
#include "app/settings.h"
#include "board/library.h"
#include "widgets/form.h"
#include "widgets/spoken.h"
#include "widgets/whole-text.h"

G_DEFINE_FINAL_TYPE (LwWindow, lw_window, GTK_TYPE_APPLICATION_WINDOW)

LwDesk *
lw_window_desk (LwWindow *self)
{
  return lw_session_desk (self->session);
}

static void
show_title (LwWindow *self)
{
  LwDocument *document = lw_desk_document (lw_window_desk (self));
  g_autofree char *name = lw_session_title (self->session), *place = lw_session_place (self->session);
  gboolean modified = document != NULL && lw_document_modified (document);
  g_autofree char *shown = g_strconcat (modified ? "• " : "", name, NULL), *full = NULL;

  gtk_label_set_text (self->title, shown);
  gtk_label_set_text (self->subtitle, place);
  gtk_widget_set_visible (GTK_WIDGET (self->subtitle), *place != '\0');
  full = document == NULL ? g_strdup (name) : g_strdup_printf ("%s – %s", shown, _("Leeward"));
  if (g_strcmp0 (gtk_window_get_title (GTK_WINDOW (self)), full) != 0) /* each telling may be spoken */
    gtk_window_set_title (GTK_WINDOW (self), full);
}

/* The whole name, and what the dot before it says. */
static gboolean
title_tooltip_cb (LwWindow *self, int x, int y, gboolean keyboard, GtkTooltip *tooltip)
{
  LwDocument *document = lw_desk_document (lw_window_desk (self));
  gboolean modified = document != NULL && lw_document_modified (document);
  g_autofree char *name = lw_session_title (self->session);
  g_autofree char *text = g_strconcat (name, modified ? "\n" : NULL, _("Has changes that are not saved"), NULL);

  gtk_tooltip_set_text (tooltip, text);
  return TRUE;
}

static void
show_undo (LwWindow *self)
{
  LwDocument *document = lw_desk_document (lw_window_desk (self));
  const char *undo = document == NULL ? NULL : lw_document_undo_label (document);
  const char *redo = document == NULL ? NULL : lw_document_redo_label (document);
  g_autofree char *undo_tip = NULL, *redo_tip = NULL;

  /* Translators: %s names an edit, such as Move U7. */
  undo_tip = undo == NULL ? g_strdup (_("Undo (Ctrl+Z)")) : g_strdup_printf (_("Undo: %s (Ctrl+Z)"), undo);
  redo_tip
    = redo == NULL ? g_strdup (_("Redo (Ctrl+Shift+Z)")) : g_strdup_printf (_("Redo: %s (Ctrl+Shift+Z)"), redo);
  gtk_widget_set_tooltip_text (GTK_WIDGET (self->undo_button), undo_tip);
  gtk_widget_set_tooltip_text (GTK_WIDGET (self->redo_button), redo_tip);
}

/* The desktop asks before it ends a session in which something is not saved. */
static void
inhibit_logout (LwWindow *self)
{
  LwDocument *document = lw_desk_document (lw_window_desk (self));
  gboolean modified = document != NULL && lw_document_modified (document);
  GtkApplication *app = gtk_window_get_application (GTK_WINDOW (self));

  if (app == NULL || modified == (self->inhibit_cookie != 0))
    return;
  if (modified)
    self->inhibit_cookie = gtk_application_inhibit (app, GTK_WINDOW (self), GTK_APPLICATION_INHIBIT_LOGOUT,
                                                    _("A job has changes that are not saved"));
  else {
    gtk_application_uninhibit (app, self->inhibit_cookie);
    self->inhibit_cookie = 0;
  }
}

void
lw_window_show_document (LwWindow *self)
{
  gboolean open = lw_desk_document (lw_window_desk (self)) != NULL;

  inhibit_logout (self);
  gtk_stack_set_visible_child_name (self->content, open ? "job" : "empty");
  show_title (self);
  show_undo (self);
  lw_window_update_actions (self);
}

void
lw_window_show_part (LwWindow *self, int part)
{
  lw_board_view_show_part (self->board_view, part);
}

static void
on_show_part (GtkWidget *from, int part, LwWindow *self)
{
  lw_window_show_part (self, part);
}

GtkWidget *
lw_window_report (LwWindow *self, const char *title, const char *detail)
{
  GtkWidget *dialog
    = gtk_message_dialog_new (GTK_WINDOW (self), GTK_DIALOG_MODAL | GTK_DIALOG_DESTROY_WITH_PARENT,
                              GTK_MESSAGE_ERROR, GTK_BUTTONS_CLOSE, "%s", title);

  gtk_message_dialog_format_secondary_text (GTK_MESSAGE_DIALOG (dialog), "%s", detail);
  g_signal_connect_after (dialog, "response", G_CALLBACK (gtk_window_destroy), NULL);
  gtk_window_present (GTK_WINDOW (dialog));
  g_free (self->last_problem);
  self->last_problem = g_strdup (detail);
  return dialog;
}

/* ---- what the desk says ---- */

static void
message_cb (LwDesk *desk, const char *text, gboolean offer_undo, LwWindow *self)
{
  lw_toast_show (self->toast, text, offer_undo ? _("Undo") : NULL, offer_undo ? "win.undo" : NULL);
}

static void
document_cb (LwWindow *self)
{
  g_signal_group_set_target (self->document_signals, lw_desk_document (lw_window_desk (self)));
  gtk_info_bar_set_revealed (self->disk_bar, FALSE);
  lw_window_show_document (self);
  if (lw_desk_document (lw_window_desk (self)) != NULL)
    gtk_widget_grab_focus (GTK_WIDGET (self->board_view));
}

/* Motions of a drag take no title and no action along. */
static void
changed_cb (LwWindow *self)
{
  if (!lw_desk_dragging (lw_window_desk (self)))
    lw_window_show_document (self);
}

static void
changed_on_disk_cb (LwWindow *self)
{
  gtk_info_bar_set_revealed (self->disk_bar, TRUE);
  lw_spoken_tell (GTK_WIDGET (self), gtk_label_get_text (self->disk_label));
}

/* Once for the program: the first fault in the user's own libraries, and how many more. */
static void
tell_library (LwWindow *self)
{
  static gboolean told;
  g_auto (GStrv) lines = g_strsplit (lw_library_warnings (), "\n", -1);
  guint n = g_strv_length (lines);
  g_autofree char *text = NULL;

  if (told || n == 0 || *lines[0] == '\0')
    return;
  told = TRUE;
  text = n == 1 ? g_strdup_printf (_("Your library: %s"), lines[0])
                : g_strdup_printf (ngettext ("Your library: %s (and %u more)", "Your library: %s (and %u more)", n - 1),
                                   lines[0], n - 1);
  lw_toast_show (self->toast, text, NULL, NULL);
}

static void
connect_desk (LwWindow *self)
{
  static const char *document_props[] = { "notify::modified", "notify::file", "notify::undo-label",
                                          "notify::redo-label" };

  self->document_signals = g_signal_group_new (LW_TYPE_DOCUMENT);
  for (guint i = 0; i < G_N_ELEMENTS (document_props); i++)
    g_signal_group_connect_swapped (self->document_signals, document_props[i],
                                    G_CALLBACK (lw_window_show_document), self);
  g_signal_group_connect_swapped (self->document_signals, "changed", G_CALLBACK (changed_cb), self);
  self->desk_signals = g_signal_group_new (LW_TYPE_DESK);
  g_signal_group_connect_swapped (self->desk_signals, "notify::document", G_CALLBACK (document_cb), self);
  g_signal_group_connect_swapped (self->desk_signals, "notify::selection", G_CALLBACK (lw_window_update_actions),
                                  self);
  g_signal_group_connect_swapped (self->desk_signals, "notify::busy", G_CALLBACK (lw_window_update_actions), self);
  g_signal_group_connect_swapped (self->desk_signals, "notify::dragging", G_CALLBACK (changed_cb), self);
  g_signal_group_connect (self->desk_signals, "message", G_CALLBACK (message_cb), self);
  g_signal_group_set_target (self->desk_signals, lw_window_desk (self));
  g_signal_connect_object (self->session, "changed-on-disk", G_CALLBACK (changed_on_disk_cb), self,
                           G_CONNECT_SWAPPED);
  tell_library (self);
}

static void
add_board_view (LwWindow *self)
{
  self->board_view = LW_BOARD_VIEW (lw_board_view_new (lw_window_desk (self)));
  gtk_overlay_set_child (self->board_overlay, GTK_WIDGET (self->board_view));
  lw_board_view_set_tools (self->board_view, self->board_tools);
  lw_window_init_part_menu (self);
}

static void
set_desks (LwWindow *self)
{
  LwDesk *desk = lw_window_desk (self);

  lw_target_chooser_set_desk (self->target_chooser, desk);
  lw_run_state_set_desk (self->run_state, desk);
  lw_findings_panel_set_desk (self->findings, desk);
  lw_inspector_set_desk (self->inspector, desk);
  lw_lower_pane_set_desk (self->lower, desk);
  lw_window_init_runs (self);
}

static void
set_menus (LwWindow *self)
{
  g_autoptr (GtkBuilder) builder = gtk_builder_new_from_resource ("/org/leeward/Leeward/ui/menus.ui");

  gtk_menu_button_set_menu_model (self->menu_button,
                                  G_MENU_MODEL (gtk_builder_get_object (builder, "primary_menu")));
  gtk_menu_button_set_menu_model (self->view_button, G_MENU_MODEL (gtk_builder_get_object (builder, "view_menu")));
}

/* ---- size and panes ---- */

/* Panes are remembered from the right and from below: their sizes are known once the window has its own. */
static gboolean
restore_panes_cb (GtkWidget *widget, GdkFrameClock *clock, gpointer user)
{
  LwWindow *self = user;
  int width = gtk_widget_get_width (GTK_WIDGET (self->main_paned));
  int height = gtk_widget_get_height (GTK_WIDGET (self->main_paned));

  if (width == 0 || height == 0)
    return G_SOURCE_CONTINUE;
  gtk_paned_set_position (self->main_paned, MAX (width - lw_settings_int ("side-width", 340), 360));
  gtk_paned_set_position (self->center_paned, MAX (height - lw_settings_int ("lower-height", 270), 220));
  gtk_paned_set_position (self->side_paned, MAX (height - lw_settings_int ("inspector-height", 320), 160));
  self->panes_restored = TRUE;
  return G_SOURCE_REMOVE;
}

static void
job_page_mapped_cb (LwWindow *self)
{
  if (!self->panes_restored)
    gtk_widget_add_tick_callback (GTK_WIDGET (self->main_paned), restore_panes_cb, self, NULL);
}

static void
restore_size (LwWindow *self)
{
  gtk_window_set_default_size (GTK_WINDOW (self), lw_settings_int ("window-width", 1280),
                               lw_settings_int ("window-height", 800));
  if (lw_settings_flag ("window-maximized", FALSE))
    gtk_window_maximize (GTK_WINDOW (self));
  g_signal_connect_object (self->main_paned, "map", G_CALLBACK (job_page_mapped_cb), self, G_CONNECT_SWAPPED);
}

static void
remember_size (LwWindow *self)
{
  int width, height;

  gtk_window_get_default_size (GTK_WINDOW (self), &width, &height);
  lw_settings_set_flag ("window-maximized", gtk_window_is_maximized (GTK_WINDOW (self)));
  if (width >= 640 && height >= 480) {
    lw_settings_set_int ("window-width", width);
    lw_settings_set_int ("window-height", height);
  }
  if (!self->panes_restored)
    return;
  lw_settings_set_int ("side-width", gtk_widget_get_width (GTK_WIDGET (self->side_paned)));
  lw_settings_set_int ("lower-height", gtk_widget_get_height (GTK_WIDGET (self->lower)));
  lw_settings_set_int ("inspector-height", gtk_widget_get_height (GTK_WIDGET (self->inspector)));
}

static gboolean
lw_window_close_request (GtkWindow *window)
{
  LwWindow *self = LW_WINDOW (window);

  remember_size (self);
  if (gtk_window_get_application (window) != NULL)
    lw_reopen_note (gtk_window_get_application (window));
  if (!self->closing && lw_window_ask_before_close (self))
    return TRUE;
  if (self->inhibit_cookie != 0)
    gtk_application_uninhibit (gtk_window_get_application (window), self->inhibit_cookie);
  self->inhibit_cookie = 0;
  lw_session_close (self->session);
  return GTK_WINDOW_CLASS (lw_window_parent_class)->close_request (window);
}

/* ---- the object ---- */

LwSession *
lw_window_session (LwWindow *self)
{
  g_return_val_if_fail (LW_IS_WINDOW (self), NULL);
  return self->session;
}

gboolean
lw_window_reading (LwWindow *self)
{
  g_return_val_if_fail (LW_IS_WINDOW (self), FALSE);
  return self->reading != NULL;
}

const char *
lw_window_last_problem (LwWindow *self)
{
  g_return_val_if_fail (LW_IS_WINDOW (self), NULL);
  return self->last_problem;
}

static void
lw_window_dispose (GObject *object)
{
  LwWindow *self = LW_WINDOW (object);

  if (self->reading != NULL)
    lw_reading_cancel (self->reading);
  g_clear_object (&self->reading);
  g_clear_handle_id (&self->reading_timer, g_source_remove);
  g_clear_object (&self->last_file);
  g_clear_object (&self->desk_signals);
  g_clear_object (&self->document_signals);
  g_clear_object (&self->chooser);
  g_clear_pointer (&self->part_menu, gtk_widget_unparent);
  lw_window_drop_focus (self);
  if (self->content != NULL)
    lw_forms_drop (GTK_WIDGET (self->content));
  gtk_widget_dispose_template (GTK_WIDGET (self), LW_TYPE_WINDOW);
  g_clear_object (&self->session);
  G_OBJECT_CLASS (lw_window_parent_class)->dispose (object);
}

static void
lw_window_finalize (GObject *object)
{
  LwWindow *self = LW_WINDOW (object);

  g_clear_pointer (&self->leftover, lw_leftover_free);
  g_free (self->last_problem);
  G_OBJECT_CLASS (lw_window_parent_class)->finalize (object);
}

static void
bind_template (GtkWidgetClass *class)
{
  gtk_widget_class_set_template_from_resource (class, "/org/leeward/Leeward/ui/window.ui");
  gtk_widget_class_bind_template_child (class, LwWindow, title);
  gtk_widget_class_bind_template_child (class, LwWindow, subtitle);
  gtk_widget_class_bind_template_child (class, LwWindow, recent_button);
  gtk_widget_class_bind_template_child (class, LwWindow, menu_button);
  gtk_widget_class_bind_template_child (class, LwWindow, view_button);
  gtk_widget_class_bind_template_child (class, LwWindow, parts_button);
  gtk_widget_class_bind_template_child (class, LwWindow, draw_button);
  gtk_widget_class_bind_template_child (class, LwWindow, side_top);
  gtk_widget_class_bind_template_child (class, LwWindow, side_bottom);
  gtk_widget_class_bind_template_child (class, LwWindow, target_chooser);
  gtk_widget_class_bind_template_child (class, LwWindow, run_state);
  gtk_widget_class_bind_template_child (class, LwWindow, undo_button);
  gtk_widget_class_bind_template_child (class, LwWindow, redo_button);
  gtk_widget_class_bind_template_child (class, LwWindow, content);
  gtk_widget_class_bind_template_child (class, LwWindow, main_paned);
  gtk_widget_class_bind_template_child (class, LwWindow, center_paned);
  gtk_widget_class_bind_template_child (class, LwWindow, side_paned);
  gtk_widget_class_bind_template_child (class, LwWindow, board_overlay);
  gtk_widget_class_bind_template_child (class, LwWindow, board_tools);
  gtk_widget_class_bind_template_child (class, LwWindow, findings);
  gtk_widget_class_bind_template_child (class, LwWindow, inspector);
  gtk_widget_class_bind_template_child (class, LwWindow, lower);
  gtk_widget_class_bind_template_child (class, LwWindow, toast);
  gtk_widget_class_bind_template_child (class, LwWindow, disk_bar);
  gtk_widget_class_bind_template_child (class, LwWindow, recovery_bar);
  gtk_widget_class_bind_template_child (class, LwWindow, recovery_label);
  gtk_widget_class_bind_template_child (class, LwWindow, disk_label);
  gtk_widget_class_bind_template_child (class, LwWindow, reading_box);
  gtk_widget_class_bind_template_child (class, LwWindow, reading_spinner);
  gtk_widget_class_bind_template_child (class, LwWindow, reading_label);
  gtk_widget_class_bind_template_callback (class, on_show_part);
}

static void
lw_window_class_init (LwWindowClass *class)
{
  G_OBJECT_CLASS (class)->dispose = lw_window_dispose;
  G_OBJECT_CLASS (class)->finalize = lw_window_finalize;
  GTK_WINDOW_CLASS (class)->close_request = lw_window_close_request;
  bind_template (GTK_WIDGET_CLASS (class));
}

static void
lw_window_init (LwWindow *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
  lw_tell_whole_text (GTK_WIDGET (self->subtitle));
  gtk_widget_set_has_tooltip (GTK_WIDGET (self->title), TRUE);
  g_signal_connect_object (self->title, "query-tooltip", G_CALLBACK (title_tooltip_cb), self, G_CONNECT_SWAPPED);
  self->session = lw_session_new ();
  set_menus (self);
  add_board_view (self);
  set_desks (self);
  lw_window_init_drawing (self);
  lw_window_init_actions (self);
  lw_window_init_focus (self);
  lw_window_init_files (self);
  connect_desk (self);
  restore_size (self);
  lw_window_show_document (self);
}

LwWindow *
lw_window_new (GtkApplication *app)
{
  return g_object_new (LW_TYPE_WINDOW, "application", app, NULL);
}
