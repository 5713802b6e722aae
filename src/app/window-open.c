/* Opening: one file, the files of one board, a folder, an archive; chosen, dropped, recent. */
#include <glib/gi18n.h>

#include "app/log-window.h"
#include "app/table-window.h"
#include "app/window-private.h"
#include "widgets/recent.h"

#define MIME_TYPE "application/x-leeward+json"
#define MAX_RECENT 10
#define PROGRESS_MS 120

/* ---- while it reads ---- */

static gboolean
show_progress (gpointer user)
{
  LwWindow *self = user;
  double done = self->reading == NULL ? 0 : lw_reading_done (self->reading);
  g_autofree char *text = done > 0 ? g_strdup_printf (_("%d %%"), (int) (100 * done)) : g_strdup ("");

  gtk_label_set_text (self->reading_label, text);
  return G_SOURCE_CONTINUE;
}

static void
set_reading (LwWindow *self, LwReading *reading)
{
  g_autofree char *name = reading == NULL ? NULL : lw_reading_name (reading);
  g_autofree char *tip = name == NULL ? NULL : g_strdup_printf (_("Reading %s"), name);

  g_set_object (&self->reading, reading);
  gtk_widget_set_visible (GTK_WIDGET (self->reading_box), reading != NULL);
  gtk_widget_set_tooltip_text (GTK_WIDGET (self->reading_box), tip);
  gtk_spinner_set_spinning (self->reading_spinner, reading != NULL);
  g_clear_handle_id (&self->reading_timer, g_source_remove);
  if (reading != NULL)
    self->reading_timer = g_timeout_add (PROGRESS_MS, show_progress, self);
  show_progress (self);
}

void
lw_window_stop_reading (LwWindow *self)
{
  if (self->reading != NULL)
    lw_reading_cancel (self->reading);
  set_reading (self, NULL);
}

/* ---- what came of it ---- */

void
lw_window_remember_recent (GFile *file)
{
  g_autofree char *uri = g_file_get_uri (file);
  GtkRecentData data = { .mime_type = (char *) MIME_TYPE, .app_name = (char *) LW_RECENT_APPLICATION,
                         .app_exec = (char *) "leeward %u" };

  gtk_recent_manager_add_full (gtk_recent_manager_get_default (), uri, &data);
}

static void
tell_remarks (LwWindow *self)
{
  const GPtrArray *warnings = lw_session_warnings (self->session);
  guint remarks = warnings->len, unknowns = lw_session_unknowns (self->session)->len;
  gboolean damaged = remarks > 0 && ((const LwImportWarning *) g_ptr_array_index (warnings, 0))->damage;
  g_autofree char *said = g_strdup_printf (ngettext ("%u remark", "%u remarks", remarks), remarks);
  g_autofree char *open = g_strdup_printf (ngettext ("%u thing to measure", "%u things to measure", unknowns), unknowns);
  g_autofree char *text = NULL;

  if (remarks == 0 && unknowns == 0)
    return;
  /* Translators: "3 remarks, 2 things to measure". */
  text = g_strdup_printf (damaged ? _("Only a part of the board was read: %s, %s.") : _("The board was read: %s, %s."), said,
                          open);
  lw_toast_show (self->toast, text, _("Show"), "win.remarks");
}

static void choose_partner (LwWindow *self);

static void
partner_asked_cb (GtkDialog *dialog, int response, LwWindow *self)
{
  gtk_window_destroy (GTK_WINDOW (dialog));
  if (response == GTK_RESPONSE_ACCEPT)
    choose_partner (self);
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

/* A table without a standard may have been read with the wrong columns: they are shown beside it at once. */
static void
ask_for_columns (LwWindow *self)
{
  g_autoptr (GError) error = NULL;
  GtkWidget *window = lw_table_window_new (self, self->last_file, &error);

  if (window != NULL)
    gtk_window_present (GTK_WINDOW (window));
}

static void
show_import (LwWindow *self, LwImport *import, LwReading *reading)
{
  gboolean alone = lw_reading_n_files (reading) == 1, table = g_strcmp0 (import->format, _("placement table")) == 0;
  guint unknown;

  g_set_object (&self->last_file, lw_reading_file (reading));
  lw_session_take (self->session, import, self->last_file);
  g_clear_pointer (&self->last_problem, g_free);
  lw_window_remember_recent (self->last_file);
  unknown = alone && lw_reading_partner (reading) == NULL ? lw_session_count_unknown_packages (self->session) : 0;
  if (unknown > 0 && g_str_has_prefix (lw_session_format (self->session), "IDF"))
    ask_for_partner (self, unknown);
  if (alone && table)
    ask_for_columns (self);
  tell_remarks (self);
}

void
lw_window_take_import (LwWindow *self, LwImport *import)
{
  lw_session_take (self->session, import, self->last_file);
  tell_remarks (self);
}

static LwWindow *
window_for (LwWindow *self, gboolean here)
{
  return here || lw_desk_document (lw_window_desk (self)) == NULL ? self : lw_window_to_fill (self);
}

/* ---- damaged files ---- */

/* What a dialog offers; freed with it. */
typedef struct {
  LwWindow *window;
  LwReading *reading;
  LwImport *import;
  gboolean here;
} Offer;

static void
offer_free (gpointer data, GClosure *closure)
{
  Offer *offer = data;

  g_object_unref (offer->window);
  g_object_unref (offer->reading);
  lw_import_free (offer->import);
  g_free (offer);
}

static void
offer_answered_cb (GtkDialog *dialog, int response, Offer *offer)
{
  LwWindow *window = offer->window;

  if (response == GTK_RESPONSE_ACCEPT && window->session != NULL && offer->import != NULL)
    show_import (window_for (window, offer->here), g_steal_pointer (&offer->import), offer->reading);
}

/* The parts are counted, so that one knows what is offered. */
static void
offer_salvaged (LwWindow *self, GtkDialog *dialog, LwReading *reading, LwImport *import, gboolean here)
{
  guint n = import->job->parts->len;
  Offer *offer = g_new0 (Offer, 1);
  g_autofree char *counted = g_strdup_printf (
    ngettext ("%s\n\nThe file is damaged. What stands whole in it, %u part, can be opened; the rest is missing.",
              "%s\n\nThe file is damaged. What stands whole in it, %u parts, can be opened; the rest is missing.", n),
    self->last_problem, n);
  g_autofree char *bare = g_strdup_printf (
    _("%s\n\nThe file is damaged. What stands whole in it, no parts among it, can be opened; the rest is missing."),
    self->last_problem);

  *offer = (Offer) { g_object_ref (self), g_object_ref (reading), import, here };
  gtk_message_dialog_format_secondary_text (GTK_MESSAGE_DIALOG (dialog), "%s", n > 0 ? counted : bare);
  gtk_dialog_add_button (dialog, _("_Open What Could Be Read"), GTK_RESPONSE_ACCEPT);
  g_signal_connect_data (dialog, "response", G_CALLBACK (offer_answered_cb), offer, offer_free, 0);
}

/* What is no board may be the log of a run for the plan in hand. */
static void
log_answered_cb (GtkDialog *dialog, int response, GtkWindow *log)
{
  if (response == GTK_RESPONSE_ACCEPT)
    gtk_window_present (log);
  else
    gtk_window_destroy (log);
}

static void
offer_run (LwWindow *self, GtkDialog *dialog, GFile *file)
{
  GtkWidget *log = lw_log_window_new (self, file, NULL);

  if (log == NULL)
    return;
  gtk_dialog_add_button (dialog, _("_Read as a Recorded Run"), GTK_RESPONSE_ACCEPT);
  g_signal_connect_object (dialog, "response", G_CALLBACK (log_answered_cb), log, 0);
}

/* What is gone is not offered again; a place that is only out of reach, such as a share, may come back. */
static void
forget_if_gone (GFile *file)
{
  g_autofree char *uri = g_file_get_uri (file);

  if (g_file_is_native (file) && !g_file_query_exists (file, NULL))
    gtk_recent_manager_remove_item (gtk_recent_manager_get_default (), uri, NULL);
}

static void
report_unread (LwWindow *self, LwReading *reading, const GError *error, gboolean here)
{
  g_autofree char *name = lw_reading_name (reading);
  g_autofree char *title = g_strdup_printf (_("“%s” could not be opened"), name);
  LwImport *salvaged = lw_reading_take_salvaged (reading);
  GtkWidget *dialog = lw_window_report (self, title, error->message);

  forget_if_gone (lw_reading_file (reading));
  if (salvaged != NULL)
    offer_salvaged (self, GTK_DIALOG (dialog), reading, salvaged, here);
  else if (lw_reading_n_files (reading) == 1)
    offer_run (self, GTK_DIALOG (dialog), lw_reading_file (reading));
}

/* A bad file leaves no empty second window behind: it is read for this one, and shown in another only when this
 * one holds a document. */
typedef struct {
  LwWindow *window;
  gboolean here; /* replaces what is open: the same board read again with its library */
} Order;

static void
read_cb (GObject *source, GAsyncResult *result, gpointer user)
{
  LwReading *reading = LW_READING (source);
  Order *order = user;
  g_autoptr (LwWindow) self = order->window;
  g_autoptr (GError) error = NULL;
  LwImport *import = lw_reading_finish (reading, result, &error);
  gboolean here = order->here;

  g_free (order);
  if (self->session == NULL || self->reading != reading) { /* closed, or overtaken */
    lw_import_free (import);
    return;
  }
  g_object_ref (reading);
  set_reading (self, NULL);
  if (import != NULL)
    show_import (window_for (self, here), import, reading);
  else if (!g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED))
    report_unread (self, reading, error, here);
  g_object_unref (reading);
}

static void
read_files (LwWindow *self, GFile *const *files, guint n, GFile *partner, gboolean here)
{
  g_autoptr (LwReading) reading = lw_reading_new (files, n, partner);
  Order *order = g_new0 (Order, 1);

  if (self->reading != NULL)
    lw_reading_cancel (self->reading);
  order->window = g_object_ref (self);
  order->here = here;
  set_reading (self, reading);
  lw_reading_start (reading, read_cb, order);
}

/* ---- ways in ---- */

LwWindow *
lw_window_to_fill (LwWindow *self)
{
  LwWindow *other;

  if (lw_desk_document (lw_window_desk (self)) == NULL)
    return self;
  other = lw_window_new (gtk_window_get_application (GTK_WINDOW (self)));
  gtk_window_present (GTK_WINDOW (other));
  return other;
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
  else
    read_files (self, &file, 1, partner, FALSE);
}

static gboolean
is_job (GFile *file)
{
  g_autofree char *name = g_file_get_basename (file);

  return name != NULL && g_str_has_suffix (name, ".leeward");
}

/* A window for one more job: the given one for the first of them. */
static LwWindow *
next_window (LwWindow *self, guint n_before)
{
  LwWindow *other;

  if (n_before == 0)
    return self;
  other = lw_window_new (gtk_window_get_application (GTK_WINDOW (self)));
  gtk_window_present (GTK_WINDOW (other));
  return other;
}

/* Jobs open one by one, each in a window; all else is taken for files of one board. */
void
lw_window_open_many (LwWindow *self, GFile *const *files, guint n)
{
  g_autoptr (GPtrArray) board = g_ptr_array_new ();
  guint n_jobs = 0;

  g_return_if_fail (LW_IS_WINDOW (self));

  for (guint i = 0; i < n; i++)
    if (is_job (files[i]))
      lw_window_open (next_window (self, n_jobs++), files[i], NULL);
    else
      g_ptr_array_add (board, files[i]);
  if (board->len == 0)
    return;
  self = next_window (self, n_jobs);
  if (board->len == 1)
    lw_window_open (self, g_ptr_array_index (board, 0), NULL);
  else
    read_files (self, (GFile *const *) board->pdata, board->len, NULL, FALSE);
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
    lw_session_take (lw_window_to_fill (self)->session, import, NULL);
}

static void
open_list (LwWindow *self, GListModel *list)
{
  g_autoptr (GPtrArray) files = g_ptr_array_new_with_free_func (g_object_unref);

  for (guint i = 0; i < g_list_model_get_n_items (list); i++)
    g_ptr_array_add (files, g_list_model_get_item (list, i));
  if (files->len == 0)
    return;
  lw_window_open_many (self, (GFile *const *) files->pdata, files->len);
}

static void
open_answered_cb (GtkNativeDialog *dialog, int response, LwWindow *self)
{
  g_autoptr (GListModel) files = gtk_file_chooser_get_files (GTK_FILE_CHOOSER (dialog));
  g_autoptr (GFile) first = response == GTK_RESPONSE_ACCEPT ? g_list_model_get_item (files, 0) : NULL;

  if (first == NULL)
    return;
  lw_window_remember_folder (first);
  open_list (self, files);
}

void
lw_window_choose_open (LwWindow *self)
{
  static const char *all[] = { "leeward", "emn", "brd", "bdf", "idf", "xml", "cvg", "gbr", "gbrjob", "drl",
                               "ipc", "csv", "pos", "zip", "tgz", "gz", "7z", NULL };
  static const char *jobs[] = { "leeward", NULL };
  GtkFileChooser *chooser = lw_window_new_chooser (self, _("Open a job, or the files of a board"),
                                                   GTK_FILE_CHOOSER_ACTION_OPEN, _("_Open"), G_CALLBACK (open_answered_cb));

  gtk_file_chooser_set_select_multiple (chooser, TRUE);
  lw_window_add_filter (chooser, _("Jobs and boards"), all);
  lw_window_add_filter (chooser, _("Leeward jobs"), jobs);
  lw_window_add_filter (chooser, _("All files"), NULL);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (self->chooser));
}

void
lw_window_choose_folder (LwWindow *self)
{
  lw_window_new_chooser (self, _("Open a folder with the files of a board"), GTK_FILE_CHOOSER_ACTION_SELECT_FOLDER,
                         _("_Open"), G_CALLBACK (open_answered_cb));
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (self->chooser));
}

static void
partner_answered_cb (GtkNativeDialog *dialog, int response, LwWindow *self)
{
  g_autoptr (GFile) file
    = response == GTK_RESPONSE_ACCEPT ? gtk_file_chooser_get_file (GTK_FILE_CHOOSER (dialog)) : NULL;

  if (file != NULL && self->last_file != NULL)
    read_files (self, &self->last_file, 1, file, TRUE);
}

static void
choose_partner (LwWindow *self)
{
  static const char *libraries[] = { "emp", "lib", "ldf", "pro", NULL };
  GtkFileChooser *chooser = lw_window_new_chooser (self, _("Library of the board"), GTK_FILE_CHOOSER_ACTION_OPEN,
                                                   _("_Open"), G_CALLBACK (partner_answered_cb));

  lw_window_add_filter (chooser, _("IDF libraries"), libraries);
  lw_window_add_filter (chooser, _("All files"), NULL);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (self->chooser));
}

/* ---- recent files and drops ---- */

static void
fill_recent (GtkMenuButton *button, gpointer user)
{
  g_autoptr (GMenu) menu = g_menu_new ();
  g_autoptr (GPtrArray) files = lw_recent_files (MAX_RECENT);

  for (guint i = 0; i < files->len; i++) {
    GtkRecentInfo *info = g_ptr_array_index (files, i);
    g_autoptr (GMenuItem) item = g_menu_item_new (gtk_recent_info_get_display_name (info), NULL);

    g_menu_item_set_action_and_target (item, "win.open-uri", "s", gtk_recent_info_get_uri (info));
    g_menu_append_item (menu, item);
  }
  if (files->len == 0)
    g_menu_append (menu, _("No recent files"), "win.none");
  gtk_menu_button_set_menu_model (button, G_MENU_MODEL (menu));
}

static gboolean
drop_cb (GtkDropTarget *target, const GValue *value, double x, double y, LwWindow *self)
{
  g_autoptr (GPtrArray) files = g_ptr_array_new ();

  for (GSList *l = g_value_get_boxed (value); l != NULL; l = l->next)
    g_ptr_array_add (files, l->data);
  if (files->len > 0)
    lw_window_open_many (self, (GFile *const *) files->pdata, files->len);
  return files->len > 0;
}

void
lw_window_init_files (LwWindow *self)
{
  GtkDropTarget *target = gtk_drop_target_new (GDK_TYPE_FILE_LIST, GDK_ACTION_COPY);

  g_signal_connect (target, "drop", G_CALLBACK (drop_cb), self);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (target));
  gtk_menu_button_set_create_popup_func (self->recent_button, fill_recent, NULL, NULL);
}
