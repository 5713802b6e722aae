/* The window's actions, apart from what touches files. */
#include <glib/gi18n.h>

#include "app/remarks.h"
#include "app/fit-window.h"
#include "app/seek-window.h"
#include "app/shortcuts-window.h"
#include "app/show-window.h"
#include "app/settings.h"
#include "app/window-print.h"
#include "app/window-private.h"
#include "board/edits.h"
#include "widgets/package-maker.h"
#include "widgets/spoken.h"

static LwDocument *
document_of (LwWindow *self)
{
  return lw_desk_document (lw_window_desk (self));
}

/* ---- editing ---- */

static void
undo_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  LwWindow *self = user;
  LwDocument *document = document_of (self);
  const char *label = document != NULL ? lw_document_undo_label (document) : NULL;
  /* Translators: said when it is done; names an edit, such as Move U7. */
  g_autofree char *text = label != NULL ? g_strdup_printf (_("Undone: %s"), label) : NULL;

  lw_toast_hide (self->toast);
  if (document != NULL && lw_document_undo (document) && text != NULL)
    lw_spoken_tell (GTK_WIDGET (self), text);
}

static void
redo_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  LwDocument *document = document_of (user);
  const char *label = document != NULL ? lw_document_redo_label (document) : NULL;
  /* Translators: said when it is done; names an edit, such as Move U7. */
  g_autofree char *text = label != NULL ? g_strdup_printf (_("Done again: %s"), label) : NULL;

  if (document != NULL && lw_document_redo (document) && text != NULL)
    lw_spoken_tell (GTK_WIDGET (user), text);
}

static void
select_target (LwWindow *self, const char *ref)
{
  LwDesk *desk = lw_window_desk (self);
  int part = lw_job_find_part (lw_desk_job (desk), ref);

  if (part < 0)
    return;
  lw_desk_set_side (desk, ((const LwPart *) g_ptr_array_index (lw_desk_job (desk)->parts, part))->side);
  lw_desk_select_part (desk, part);
  lw_window_show_part (self, part);
  gtk_widget_grab_focus (GTK_WIDGET (self->board_view)); /* from the chooser, or a button that is gone now */
}

static void
rework (LwWindow *self, const char *ref)
{
  LwDesk *desk = lw_window_desk (self);
  g_autofree char *label = NULL, *name = g_strdup (ref);
  const LwJob *job = lw_desk_job (desk);
  int plan = lw_desk_plan (desk);

  if (job == NULL)
    return;
  if (plan < 0 || g_strcmp0 (((const LwPlan *) g_ptr_array_index (job->plans, plan))->ref, name) != 0) {
    /* Translators: %s is the reference of a part. */
    label = g_strdup_printf (_("Rework %s"), name);
    if (!lw_desk_choose_target (desk, name, label))
      return;
  }
  select_target (self, name);
}

static void
rework_part_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  rework (user, g_variant_get_string (parameter, NULL));
}

static const LwPart *
selected_part (LwWindow *self)
{
  const LwJob *job = lw_desk_job (lw_window_desk (self));
  int part = lw_desk_selected_part (lw_window_desk (self));

  return job == NULL || part < 0 ? NULL : g_ptr_array_index (job->parts, part);
}

static void
rework_selected_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  const LwPart *part = selected_part (user);

  if (part != NULL)
    rework (user, part->ref);
}

static void
choose_target_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  lw_target_chooser_popup (((LwWindow *) user)->target_chooser);
}

static void
add_thermocouple_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  LwDesk *desk = lw_window_desk (user);
  const LwPart *part = selected_part (user);
  int plan = lw_desk_plan (desk);
  GError *error = NULL;
  LwJob *job;

  if (part == NULL || plan < 0)
    return;
  job = lw_edit_add_thermocouple (lw_desk_job (desk), plan, part->ref, part->x_mm, part->y_mm, part->side, &error);
  lw_desk_edit (desk, job, _("Add thermocouple"), NULL, error);
}

static void
add_shield_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  LwDesk *desk = lw_window_desk (user);
  const LwPart *part = selected_part (user);
  int plan = lw_desk_plan (desk);
  GError *error = NULL;
  LwJob *job;

  if (part == NULL || plan < 0)
    return;
  job = lw_edit_add_shield (lw_desk_job (desk), plan, part->x_mm, part->y_mm, &error);
  lw_desk_edit (desk, job, _("Add shield"), NULL, error);
}

static void
make_package_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  gtk_window_present (GTK_WINDOW (lw_package_maker_new (user, lw_window_desk (user), NULL)));
}

static void
make_package_of_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  const char *ref = g_variant_get_string (parameter, NULL);

  gtk_window_present (GTK_WINDOW (lw_package_maker_new (user, lw_window_desk (user), ref)));
}

/* ---- the run ---- */

static void
run_again_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  lw_runner_again (lw_session_runner (((LwWindow *) user)->session));
}

static void
cancel_run_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  lw_runner_cancel (lw_session_runner (((LwWindow *) user)->session));
}

/* ---- looking ---- */

static void
view_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  g_autofree char *name = g_strconcat ("view.", g_action_get_name (G_ACTION (action)), NULL);

  gtk_widget_activate_action (GTK_WIDGET (((LwWindow *) user)->board_view), name, NULL);
}

static void
side_state_cb (GSimpleAction *action, GVariant *state, gpointer user)
{
  gboolean top = g_str_equal (g_variant_get_string (state, NULL), lw_side_word (LW_SIDE_TOP));

  lw_desk_set_side (lw_window_desk (user), top ? LW_SIDE_TOP : LW_SIDE_BOTTOM);
}

static void
side_notify_cb (LwWindow *self)
{
  GAction *action = g_action_map_lookup_action (G_ACTION_MAP (self), "side");

  g_simple_action_set_state (G_SIMPLE_ACTION (action),
                             g_variant_new_string (lw_side_word (lw_desk_side (lw_window_desk (self)))));
}

static void
turn_over_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  LwDesk *desk = lw_window_desk (user);

  lw_desk_set_side (desk, lw_desk_side (desk) == LW_SIDE_TOP ? LW_SIDE_BOTTOM : LW_SIDE_TOP);
}

static void
page_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  lw_window_enter_page (user, g_variant_get_string (parameter, NULL));
}

static void
next_panel_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  lw_window_step_panel (user, 1);
}

static void
previous_panel_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  lw_window_step_panel (user, -1);
}

static void
inspect_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  lw_window_enter_inspector (user);
}

static void
find_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  LwWindow *self = user;

  lw_lower_pane_show_page (self->lower, "parts");
  lw_part_list_search (lw_lower_pane_parts (self->lower));
}

static void
remarks_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  LwWindow *self = user;

  lw_remarks_show (GTK_WINDOW (self), self->session);
}

static void
close_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  gtk_window_close (GTK_WINDOW (user));
}

/* ---- files, told apart from here by name ---- */

static void
open_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  lw_window_choose_open (user);
}

static void
open_uri_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  g_autoptr (GFile) file = g_file_new_for_uri (g_variant_get_string (parameter, NULL));

  lw_window_open (user, file, NULL);
}

static void
demo_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  lw_window_open_demo (user);
}

static void
save_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  lw_window_save (user);
}

static void
save_as_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  lw_window_choose_save_as (user);
}

static void
reload_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  lw_window_reload (user);
}

static void
keep_mine_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  LwWindow *self = user;

  lw_session_has_read (self->session); /* of that version the person knows now */
  gtk_info_bar_set_revealed (self->disk_bar, FALSE);
}

static void
recover_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  lw_window_recover (user);
}

static void
discard_recovery_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  lw_window_discard_recovery (user);
}

static void
export_board_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  lw_window_choose_export (user, LW_PICTURE_BOARD);
}

static void
export_profile_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  lw_window_choose_export (user, LW_PICTURE_PROFILE);
}

static void
export_idf_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  lw_window_choose_write_board (user, LW_EXPORT_IDF);
}

static void
export_placement_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  lw_window_choose_write_board (user, LW_EXPORT_CENTROID);
}

static void
open_folder_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  lw_window_choose_folder (user);
}

static void
stop_reading_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  lw_window_stop_reading (user);
}

static void
show_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  gtk_window_present (GTK_WINDOW (lw_show_window_new (user, lw_window_desk (user))));
}

static void
seek_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  gtk_window_present (GTK_WINDOW (lw_seek_window_new (user, lw_window_desk (user))));
}

static void
fit_runs_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  LwWindow *self = user;
  int run = lw_run_panel_run (lw_lower_pane_runs (self->lower));

  gtk_window_present (GTK_WINDOW (lw_fit_window_new (user, lw_window_desk (user), run)));
}

static void
print_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  lw_window_print (user, GTK_PRINT_OPERATION_ACTION_PRINT_DIALOG, NULL);
}

static void
print_preview_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  lw_window_print (user, GTK_PRINT_OPERATION_ACTION_PREVIEW, NULL);
}

static void
export_sheet_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  lw_window_choose_sheet (user, LW_SHEET_FILE_PDF);
}

static void
export_stages_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  lw_window_choose_sheet (user, LW_SHEET_FILE_STAGES);
}

static void
export_field_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  lw_window_choose_sheet (user, LW_SHEET_FILE_FIELD);
}

static void
show_shortcuts_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  gtk_window_present (GTK_WINDOW (lw_shortcuts_window_new (user, gtk_window_get_application (user))));
}

static void
import_run_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  lw_window_choose_run (user);
}

static const GActionEntry entries[] = {
  { "show-shortcuts", show_shortcuts_cb },
  { "undo", undo_cb },
  { "redo", redo_cb },
  { "make-package", make_package_cb },
  { "make-package-of", make_package_of_cb, "s" },
  { "rework-part", rework_part_cb, "s" },
  { "rework-selected", rework_selected_cb },
  { "choose-target", choose_target_cb },
  { "add-thermocouple", add_thermocouple_cb },
  { "add-shield", add_shield_cb },
  { "run-again", run_again_cb },
  { "cancel-run", cancel_run_cb },
  { "zoom-in", view_cb },
  { "zoom-out", view_cb },
  { "fit", view_cb },
  { "side", NULL, "s", "'top'", side_state_cb },
  { "turn-over", turn_over_cb },
  { "page", page_cb, "s" },
  { "next-panel", next_panel_cb },
  { "previous-panel", previous_panel_cb },
  { "inspect", inspect_cb },
  { "find", find_cb },
  { "seek", seek_cb },
  { "fit-runs", fit_runs_cb },
  { "show", show_cb },
  { "remarks", remarks_cb },
  { "close", close_cb },
  { "open", open_cb },
  { "open-folder", open_folder_cb },
  { "stop-reading", stop_reading_cb },
  { "open-uri", open_uri_cb, "s" },
  { "demo", demo_cb },
  { "save", save_cb },
  { "save-as", save_as_cb },
  { "reload", reload_cb },
  { "keep-mine", keep_mine_cb },
  { "recover", recover_cb },
  { "discard-recovery", discard_recovery_cb },
  { "export-board", export_board_cb },
  { "export-profile", export_profile_cb },
  { "export-idf", export_idf_cb },
  { "export-placement", export_placement_cb },
  { "print", print_cb },
  { "print-preview", print_preview_cb },
  { "export-sheet", export_sheet_cb },
  { "export-stages", export_stages_cb },
  { "export-field", export_field_cb },
  { "import-run", import_run_cb },
};

static void
enable (LwWindow *self, const char *name, gboolean enabled)
{
  g_simple_action_set_enabled (G_SIMPLE_ACTION (g_action_map_lookup_action (G_ACTION_MAP (self), name)), enabled);
}

void
lw_window_update_actions (LwWindow *self)
{
  static const char *need_job[] = { "save", "save-as", "find", "zoom-in", "zoom-out", "fit", "side", "turn-over",
                                    "page", "next-panel", "previous-panel", "inspect", "rework-part", "choose-target", "export-board", "export-idf", "export-placement" };
  static const char *need_plan[] = { "run-again", "seek", "show", "export-profile", "print", "print-preview",
                                     "export-sheet", "export-stages", "export-field", "import-run", "fit-runs" };
  LwDesk *desk = lw_window_desk (self);
  LwDocument *document = lw_desk_document (desk);
  gboolean part = lw_desk_selected_part (desk) >= 0, plan = lw_desk_plan (desk) >= 0;

  for (guint i = 0; i < G_N_ELEMENTS (need_job); i++)
    enable (self, need_job[i], document != NULL);
  for (guint i = 0; i < G_N_ELEMENTS (need_plan); i++)
    enable (self, need_plan[i], plan);
  enable (self, "rework-selected", part);
  enable (self, "add-thermocouple", part && plan);
  enable (self, "add-shield", part && plan);
  enable (self, "cancel-run", lw_desk_busy (desk));
  enable (self, "undo", document != NULL && lw_document_undo_label (document) != NULL);
  enable (self, "redo", document != NULL && lw_document_redo_label (document) != NULL);
  enable (self, "remarks", document != NULL && lw_session_has_remarks (self->session));
  lw_window_update_drawing (self);
  enable (self, "reload", document != NULL && lw_document_file (document) != NULL);
}

void
lw_window_init_actions (LwWindow *self)
{
  static const char *shows[] = { "show-field", "show-isotherms", "show-names", "show-copper", "show-other-side" };
  LwDesk *desk = lw_window_desk (self);

  g_action_map_add_action_entries (G_ACTION_MAP (self), entries, G_N_ELEMENTS (entries), self);
  for (guint i = 0; i < G_N_ELEMENTS (shows); i++) {
    g_autoptr (GPropertyAction) action = g_property_action_new (shows[i], desk, shows[i]);

    g_action_map_add_action (G_ACTION_MAP (self), G_ACTION (action));
    if (lw_settings () != NULL && i < G_N_ELEMENTS (shows) - 1) /* the other side is looked at now and then, not for good */
      g_settings_bind (lw_settings (), shows[i], desk, shows[i], G_SETTINGS_BIND_DEFAULT);
  }
  g_signal_connect_object (desk, "notify::side", G_CALLBACK (side_notify_cb), self, G_CONNECT_SWAPPED);
}
