/* The window's way with files: open, save, recent, dropped, changed by others, recovered. */
#include <glib/gi18n.h>

#include "app/settings.h"
#include "app/window-private.h"
#include "board/job-file.h"

#define MIME_TYPE "application/x-leeward+json"
#define MAX_RECENT 10

/* ---- choosers ---- */

void
lw_window_remember_folder (GtkFileChooser *chooser, GFile *file)
{
  g_autoptr (GFile) parent = g_file_get_parent (file);
  g_autofree char *uri = parent == NULL ? NULL : g_file_get_uri (parent);

  if (uri != NULL)
    lw_settings_set_text ("last-folder", uri);
}

void
lw_window_restore_folder (GtkFileChooser *chooser)
{
  g_autofree char *uri = lw_settings_text ("last-folder", "");
  g_autoptr (GFile) folder = *uri == '\0' ? NULL : g_file_new_for_uri (uri);

  if (folder != NULL && g_file_query_exists (folder, NULL))
    gtk_file_chooser_set_current_folder (chooser, folder, NULL);
}

static void
add_filter (GtkFileChooser *chooser, const char *name, const char *const *suffixes)
{
  g_autoptr (GtkFileFilter) filter = gtk_file_filter_new ();

  gtk_file_filter_set_name (filter, name);
  if (suffixes == NULL)
    gtk_file_filter_add_pattern (filter, "*");
  for (guint i = 0; suffixes != NULL && suffixes[i] != NULL; i++)
    gtk_file_filter_add_suffix (filter, suffixes[i]);
  gtk_file_chooser_add_filter (chooser, filter);
}

/* The chooser must be held until it answers. */
static GtkFileChooser *
new_chooser (LwWindow *self, const char *title, GtkFileChooserAction action, const char *accept, GCallback answered)
{
  g_clear_object (&self->chooser);
  self->chooser = gtk_file_chooser_native_new (title, GTK_WINDOW (self), action, accept, _("_Cancel"));
  gtk_native_dialog_set_modal (GTK_NATIVE_DIALOG (self->chooser), TRUE);
  lw_window_restore_folder (GTK_FILE_CHOOSER (self->chooser));
  g_signal_connect_object (self->chooser, "response", answered, self, 0);
  return GTK_FILE_CHOOSER (self->chooser);
}

static GFile *
answer_of (LwWindow *self, GtkNativeDialog *dialog, int response)
{
  GFile *file = response == GTK_RESPONSE_ACCEPT ? gtk_file_chooser_get_file (GTK_FILE_CHOOSER (dialog)) : NULL;

  if (file != NULL)
    lw_window_remember_folder (GTK_FILE_CHOOSER (dialog), file);
  return file;
}

/* ---- opening ---- */

static void
set_reading (LwWindow *self, gboolean reading)
{
  gtk_widget_set_visible (GTK_WIDGET (self->reading_spinner), reading);
  gtk_spinner_set_spinning (self->reading_spinner, reading);
}

static void
remember_recent (GFile *file)
{
  g_autofree char *uri = g_file_get_uri (file);
  char *groups[] = { (char *) "leeward", NULL };
  GtkRecentData data = { .mime_type = (char *) MIME_TYPE, .app_name = (char *) "Leeward",
                         .app_exec = (char *) "leeward %u", .groups = groups };

  gtk_recent_manager_add_full (gtk_recent_manager_get_default (), uri, &data);
}

static void
tell_remarks (LwWindow *self)
{
  guint remarks = lw_session_warnings (self->session)->len;
  g_autofree char *text = NULL;

  if (remarks == 0)
    return;
  text = g_strdup_printf (ngettext ("The file was read with %u remark.", "The file was read with %u remarks.", remarks),
                          remarks);
  lw_toast_show (self->toast, text, _("Show"), "win.remarks");
}

static void
partner_asked_cb (GtkDialog *dialog, int response, LwWindow *self)
{
  gtk_window_destroy (GTK_WINDOW (dialog));
  if (response == GTK_RESPONSE_ACCEPT)
    lw_window_choose_partner (self);
}

/* A board whose parts nothing describes most likely has a library that lies elsewhere. */
static void
ask_for_partner (LwWindow *self, guint unknown)
{
  GtkWidget *dialog = gtk_message_dialog_new (
    GTK_WINDOW (self), GTK_DIALOG_MODAL | GTK_DIALOG_DESTROY_WITH_PARENT, GTK_MESSAGE_QUESTION, GTK_BUTTONS_NONE,
    ngettext ("%u part has no description", "%u parts have no description", unknown), unknown);

  gtk_message_dialog_format_secondary_text (
    GTK_MESSAGE_DIALOG (dialog),
    _("No library file of the same name lies beside the board. Choose it to read sizes and heights, or go on with "
      "stated defaults."));
  gtk_dialog_add_buttons (GTK_DIALOG (dialog), _("_Go On"), GTK_RESPONSE_CANCEL, _("_Choose Library…"),
                          GTK_RESPONSE_ACCEPT, NULL);
  g_signal_connect_object (dialog, "response", G_CALLBACK (partner_asked_cb), self, 0);
  gtk_window_present (GTK_WINDOW (dialog));
}

static void
show_import (LwWindow *self, LwImport *import)
{
  guint unknown;

  lw_session_take (self->session, import, self->reading_file);
  g_clear_pointer (&self->last_problem, g_free);
  remember_recent (self->reading_file);
  unknown = self->reading_partner == NULL ? lw_session_count_unknown_packages (self->session) : 0;
  if (unknown > 0 && g_str_has_prefix (lw_session_format (self->session), "IDF"))
    ask_for_partner (self, unknown);
  tell_remarks (self);
}

static void
read_cb (GObject *source, GAsyncResult *result, gpointer user)
{
  g_autoptr (LwWindow) self = user;
  g_autoptr (GError) error = NULL;
  LwImport *import = lw_session_read_finish (result, &error);

  if (self->session == NULL || g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED)) {
    lw_import_free (import);
    return;
  }
  g_clear_object (&self->reading);
  set_reading (self, FALSE);
  if (import != NULL)
    show_import (self, import);
  else {
    g_autofree char *name = g_file_get_basename (self->reading_file);
    g_autofree char *shown = g_filename_display_name (name);
    g_autofree char *title = g_strdup_printf (_("“%s” could not be opened"), shown);

    lw_window_report (self, title, error->message);
  }
}

static void
read_here (LwWindow *self, GFile *file, GFile *partner)
{
  if (self->reading != NULL)
    g_cancellable_cancel (self->reading);
  g_clear_object (&self->reading);
  self->reading = g_cancellable_new ();
  g_set_object (&self->reading_file, file);
  g_set_object (&self->reading_partner, partner);
  set_reading (self, TRUE);
  lw_session_read_async (file, partner, self->reading, read_cb, g_object_ref (self));
}

static LwWindow *
window_to_fill (LwWindow *self)
{
  LwWindow *other;

  if (lw_desk_document (lw_window_desk (self)) == NULL)
    return self;
  other = lw_window_new (gtk_window_get_application (GTK_WINDOW (self)));
  gtk_window_present (GTK_WINDOW (other));
  return other;
}

/* A bad file must not leave an empty second window behind: it is read here, and only shown there. */
typedef struct {
  LwWindow *from;
  GFile *file, *partner;
} Elsewhere;

static void
read_for_other_cb (GObject *source, GAsyncResult *result, gpointer user)
{
  Elsewhere *order = user;
  g_autoptr (GError) error = NULL;
  LwImport *import = lw_session_read_finish (result, &error);
  LwWindow *self = order->from;

  g_clear_object (&self->reading);
  if (self->session != NULL) {
    set_reading (self, FALSE);
    if (import == NULL)
      lw_window_report (self, _("The file could not be opened"), error->message);
    else {
      LwWindow *other = window_to_fill (self);

      g_set_object (&other->reading_file, order->file);
      g_set_object (&other->reading_partner, order->partner);
      show_import (other, g_steal_pointer (&import));
      g_clear_pointer (&self->last_problem, g_free);
    }
  }
  lw_import_free (import);
  g_object_unref (order->from);
  g_object_unref (order->file);
  g_clear_object (&order->partner);
  g_free (order);
}

static void
read_for_other (LwWindow *self, GFile *file, GFile *partner)
{
  Elsewhere *order = g_new0 (Elsewhere, 1);

  order->from = g_object_ref (self);
  order->file = g_object_ref (file);
  order->partner = partner == NULL ? NULL : g_object_ref (partner);
  g_clear_object (&self->reading);
  self->reading = g_cancellable_new ();
  set_reading (self, TRUE);
  lw_session_read_async (file, partner, self->reading, read_for_other_cb, order);
}

static LwWindow *
window_showing (LwWindow *self, GFile *file)
{
  GtkApplication *app = gtk_window_get_application (GTK_WINDOW (self));

  for (GList *l = app == NULL ? NULL : gtk_application_get_windows (app); l != NULL; l = l->next) {
    LwDocument *document = LW_IS_WINDOW (l->data) ? lw_desk_document (lw_window_desk (l->data)) : NULL;

    if (document != NULL && lw_document_file (document) != NULL && g_file_equal (lw_document_file (document), file))
      return l->data;
  }
  return NULL;
}

void
lw_window_open (LwWindow *self, GFile *file, GFile *partner)
{
  LwWindow *there;

  g_return_if_fail (LW_IS_WINDOW (self));
  g_return_if_fail (G_IS_FILE (file));

  there = window_showing (self, file);
  if (there != NULL)
    gtk_window_present (GTK_WINDOW (there));
  else if (lw_desk_document (lw_window_desk (self)) == NULL)
    read_here (self, file, partner);
  else
    read_for_other (self, file, partner);
}

void
lw_window_open_demo (LwWindow *self)
{
  g_autoptr (GError) error = NULL;
  LwImport *import = lw_session_demo (&error);

  g_return_if_fail (LW_IS_WINDOW (self));

  if (import == NULL)
    lw_window_report (self, _("The demo job could not be opened"), error->message);
  else
    lw_session_take (window_to_fill (self)->session, import, NULL);
}

static void
open_answered_cb (GtkNativeDialog *dialog, int response, LwWindow *self)
{
  g_autoptr (GFile) file = answer_of (self, dialog, response);

  if (file != NULL)
    lw_window_open (self, file, NULL);
}

void
lw_window_choose_open (LwWindow *self)
{
  static const char *all[] = { "leeward", "emn", "brd", "bdf", "idf", NULL };
  static const char *jobs[] = { "leeward", NULL };
  static const char *boards[] = { "emn", "brd", "bdf", "idf", NULL };
  GtkFileChooser *chooser = new_chooser (self, _("Open a job or a board"), GTK_FILE_CHOOSER_ACTION_OPEN, _("_Open"),
                                         G_CALLBACK (open_answered_cb));

  add_filter (chooser, _("Jobs and boards"), all);
  add_filter (chooser, _("Leeward jobs"), jobs);
  add_filter (chooser, _("IDF boards"), boards);
  add_filter (chooser, _("All files"), NULL);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (self->chooser));
}

static void
partner_answered_cb (GtkNativeDialog *dialog, int response, LwWindow *self)
{
  g_autoptr (GFile) file = answer_of (self, dialog, response);

  if (file != NULL && self->reading_file != NULL)
    read_here (self, self->reading_file, file);
}

void
lw_window_choose_partner (LwWindow *self)
{
  static const char *libraries[] = { "emp", "lib", "ldf", "pro", NULL };
  GtkFileChooser *chooser = new_chooser (self, _("Library of the board"), GTK_FILE_CHOOSER_ACTION_OPEN, _("_Open"),
                                         G_CALLBACK (partner_answered_cb));

  add_filter (chooser, _("IDF libraries"), libraries);
  add_filter (chooser, _("All files"), NULL);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (self->chooser));
}

void
lw_window_reload (LwWindow *self)
{
  LwDocument *document = lw_desk_document (lw_window_desk (self));
  g_autoptr (GError) error = NULL;
  GFile *file = document == NULL ? NULL : lw_document_file (document);
  LwJob *job;

  if (file == NULL)
    return;
  job = lw_job_load (file, NULL, &error);
  if (job == NULL) {
    lw_window_report (self, _("The file could not be read again"), error->message);
    return;
  }
  gtk_info_bar_set_revealed (self->disk_bar, FALSE);
  lw_document_edit (document, job, _("Read again"), NULL); /* so that it can be undone */
  lw_document_mark_saved (document, file);
}

/* ---- saving ---- */

static gboolean
save_to (LwWindow *self, GFile *file)
{
  g_autoptr (GError) error = NULL;

  if (!lw_session_save (self->session, file, &error)) {
    self->close_after_save = FALSE;
    lw_window_report (self, _("The job was not saved"), error->message);
    return FALSE;
  }
  gtk_info_bar_set_revealed (self->disk_bar, FALSE);
  g_clear_pointer (&self->last_problem, g_free);
  remember_recent (file);
  lw_window_show_document (self);
  if (self->close_after_save)
    gtk_window_close (GTK_WINDOW (self));
  return TRUE;
}

void
lw_window_save (LwWindow *self)
{
  LwDocument *document = lw_desk_document (lw_window_desk (self));

  if (document == NULL)
    return;
  if (lw_document_file (document) == NULL)
    lw_window_choose_save_as (self);
  else
    save_to (self, lw_document_file (document));
}

static void
save_answered_cb (GtkNativeDialog *dialog, int response, LwWindow *self)
{
  g_autoptr (GFile) file = answer_of (self, dialog, response);

  if (file != NULL)
    save_to (self, file);
  else
    self->close_after_save = FALSE;
}

static char *
suggested_name (LwWindow *self)
{
  g_autofree char *title = lw_session_title (self->session);

  if (g_str_has_suffix (title, ".leeward"))
    return g_steal_pointer (&title);
  g_strdelimit (title, "/\\:*?\"<>|", '-');
  return g_strconcat (title, ".leeward", NULL);
}

void
lw_window_choose_save_as (LwWindow *self)
{
  static const char *jobs[] = { "leeward", NULL };
  LwDocument *document = lw_desk_document (lw_window_desk (self));
  g_autofree char *name = suggested_name (self);
  GtkFileChooser *chooser;

  if (document == NULL)
    return;
  chooser = new_chooser (self, _("Save the job"), GTK_FILE_CHOOSER_ACTION_SAVE, _("_Save"),
                         G_CALLBACK (save_answered_cb));
  add_filter (chooser, _("Leeward jobs"), jobs);
  if (lw_document_file (document) != NULL)
    gtk_file_chooser_set_file (chooser, lw_document_file (document), NULL);
  gtk_file_chooser_set_current_name (chooser, name);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (self->chooser));
}

/* ---- recovery ---- */

void
lw_window_offer_recovery (LwWindow *self, LwLeftover *leftover)
{
  g_autoptr (GDateTime) when = g_date_time_new_from_unix_local (leftover->written_s);
  g_autofree char *time = when == NULL ? g_strdup ("") : g_date_time_format (when, "%c");
  g_autofree char *text = NULL;

  g_clear_pointer (&self->leftover, lw_leftover_free);
  self->leftover = leftover;
  /* Translators: title of a job, and when its recovery copy was written. */
  text = g_strdup_printf (_("“%s” was not saved when the program ended. A copy from %s can be recovered."),
                          *leftover->title == '\0' ? _("Untitled job") : leftover->title, time);
  gtk_label_set_text (self->recovery_label, text);
  gtk_info_bar_set_revealed (self->recovery_bar, TRUE);
}

void
lw_window_recover (LwWindow *self)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwDocument) document = NULL;

  if (self->leftover == NULL)
    return;
  document = lw_leftover_open (self->leftover, &error);
  gtk_info_bar_set_revealed (self->recovery_bar, FALSE);
  if (document == NULL) {
    lw_window_report (self, _("The copy could not be recovered"), error->message);
    return;
  }
  lw_session_take_document (window_to_fill (self)->session, document);
  lw_leftover_delete (self->leftover);
  g_clear_pointer (&self->leftover, lw_leftover_free);
}

void
lw_window_discard_recovery (LwWindow *self)
{
  gtk_info_bar_set_revealed (self->recovery_bar, FALSE);
  if (self->leftover != NULL)
    lw_leftover_delete (self->leftover);
  g_clear_pointer (&self->leftover, lw_leftover_free);
}

/* ---- recent files and drops ---- */

static int
most_recent_first (gconstpointer a, gconstpointer b)
{
  return g_date_time_compare (gtk_recent_info_get_modified ((GtkRecentInfo *) b),
                              gtk_recent_info_get_modified ((GtkRecentInfo *) a));
}

static void
fill_recent (GtkMenuButton *button, gpointer user)
{
  g_autoptr (GMenu) menu = g_menu_new ();
  GList *infos = g_list_sort (gtk_recent_manager_get_items (gtk_recent_manager_get_default ()), most_recent_first);
  guint n = 0;

  for (GList *l = infos; l != NULL && n < MAX_RECENT; l = l->next) {
    GtkRecentInfo *info = l->data;
    g_autoptr (GMenuItem) item = NULL;

    if (!gtk_recent_info_has_group (info, "leeward") || !gtk_recent_info_exists (info))
      continue;
    item = g_menu_item_new (gtk_recent_info_get_display_name (info), NULL);
    g_menu_item_set_action_and_target (item, "win.open-uri", "s", gtk_recent_info_get_uri (info));
    g_menu_append_item (menu, item);
    n++;
  }
  if (n == 0)
    g_menu_append (menu, _("No recent files"), "win.none");
  gtk_menu_button_set_menu_model (button, G_MENU_MODEL (menu));
  g_list_free_full (infos, (GDestroyNotify) gtk_recent_info_unref);
}

static gboolean
drop_cb (GtkDropTarget *target, const GValue *value, double x, double y, LwWindow *self)
{
  GSList *files = g_value_get_boxed (value);

  for (GSList *l = files; l != NULL; l = l->next)
    lw_window_open (self, l->data, NULL);
  return files != NULL;
}

void
lw_window_init_files (LwWindow *self)
{
  GtkDropTarget *target = gtk_drop_target_new (GDK_TYPE_FILE_LIST, GDK_ACTION_COPY);

  g_signal_connect (target, "drop", G_CALLBACK (drop_cb), self);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (target));
  gtk_menu_button_set_create_popup_func (self->recent_button, fill_recent, NULL, NULL);
}
