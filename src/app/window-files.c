/* The window's way with its document's file: saved, changed by others, recovered. */
#include <glib/gi18n.h>

#include "app/settings.h"
#include "app/window-private.h"
#include "board/job-file.h"
#include "widgets/spoken.h"

/* ---- choosers ---- */

void
lw_window_remember_folder (GFile *file)
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

void
lw_window_add_filter (GtkFileChooser *chooser, const char *name, const char *const *suffixes)
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
GtkFileChooser *
lw_window_new_chooser (LwWindow *self, const char *title, GtkFileChooserAction action, const char *accept, GCallback answered)
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
    lw_window_remember_folder (file);
  return file;
}

/* ---- reading again ---- */

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
  lw_session_has_read (self->session);
}

/* ---- saving ---- */

enum { RESPONSE_REPLACE = 1, RESPONSE_ELSEWHERE };

static void
unsaved_answered_cb (GtkDialog *dialog, int response, LwWindow *self)
{
  if (response == RESPONSE_ELSEWHERE)
    lw_window_choose_save_as (self);
  else
    self->close_after_save = FALSE;
}

/* A place that cannot be written to today is no reason to lose the work: another is offered. */
static void
report_unsaved (LwWindow *self, const GError *error)
{
  GtkDialog *dialog = GTK_DIALOG (lw_window_report (self, _("The job was not saved"), error->message));

  gtk_dialog_add_button (dialog, _("Save _As…"), RESPONSE_ELSEWHERE);
  gtk_dialog_set_default_response (dialog, RESPONSE_ELSEWHERE);
  g_signal_connect_object (dialog, "response", G_CALLBACK (unsaved_answered_cb), self, 0);
}

static gboolean
save_to (LwWindow *self, GFile *file)
{
  g_autoptr (GError) error = NULL;

  if (!lw_session_save (self->session, file, &error)) {
    report_unsaved (self, error);
    return FALSE;
  }
  gtk_info_bar_set_revealed (self->disk_bar, FALSE);
  g_clear_pointer (&self->last_problem, g_free);
  lw_window_remember_recent (file);
  lw_window_show_document (self);
  if (self->close_after_save)
    gtk_window_close (GTK_WINDOW (self));
  return TRUE;
}

static void
replace_answered_cb (GtkDialog *dialog, int response, LwWindow *self)
{
  LwDocument *document = lw_desk_document (lw_window_desk (self));

  gtk_window_set_transient_for (GTK_WINDOW (dialog), NULL); /* the window may go before the dialog is freed */
  gtk_window_destroy (GTK_WINDOW (dialog));
  if (response == RESPONSE_REPLACE && document != NULL && lw_document_file (document) != NULL)
    save_to (self, lw_document_file (document));
  else if (response == RESPONSE_ELSEWHERE)
    lw_window_choose_save_as (self);
  else
    self->close_after_save = FALSE;
}

/* What another program wrote is not replaced unasked. */
static void
ask_before_replacing (LwWindow *self)
{
  g_autofree char *name = lw_session_title (self->session);
  GtkWidget *dialog = gtk_message_dialog_new (GTK_WINDOW (self), GTK_DIALOG_MODAL | GTK_DIALOG_DESTROY_WITH_PARENT,
                                              GTK_MESSAGE_QUESTION, GTK_BUTTONS_NONE,
                                              _("“%s” was changed by another program"), name);
  GtkWidget *replace;

  gtk_message_dialog_format_secondary_text (GTK_MESSAGE_DIALOG (dialog), "%s",
                                            _("Saving over it would lose what was written there."));
  gtk_dialog_add_button (GTK_DIALOG (dialog), _("_Cancel"), GTK_RESPONSE_CANCEL);
  replace = gtk_dialog_add_button (GTK_DIALOG (dialog), _("_Replace"), RESPONSE_REPLACE);
  gtk_dialog_add_button (GTK_DIALOG (dialog), _("Save _As…"), RESPONSE_ELSEWHERE);
  gtk_widget_add_css_class (replace, "destructive-action");
  gtk_dialog_set_default_response (GTK_DIALOG (dialog), RESPONSE_ELSEWHERE);
  g_signal_connect_object (dialog, "response", G_CALLBACK (replace_answered_cb), self, 0);
  gtk_window_present (GTK_WINDOW (dialog));
}

void
lw_window_save (LwWindow *self)
{
  LwDocument *document = lw_desk_document (lw_window_desk (self));

  if (document == NULL)
    return;
  if (lw_document_file (document) == NULL)
    lw_window_choose_save_as (self);
  else if (lw_session_is_changed_elsewhere (self->session))
    ask_before_replacing (self);
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
  /* Beside the file there is. The chooser is told once: a second folder while it reads the first makes it complain. */
  if (lw_document_file (document) != NULL)
    lw_window_remember_folder (lw_document_file (document));
  chooser = lw_window_new_chooser (self, _("Save the job"), GTK_FILE_CHOOSER_ACTION_SAVE, _("_Save"),
                                   G_CALLBACK (save_answered_cb));
  lw_window_add_filter (chooser, _("Leeward jobs"), jobs);
  gtk_file_chooser_set_current_name (chooser, name);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (self->chooser));
}

/* ---- recovery ---- */

void
lw_window_offer_recovery (LwWindow *self, LwLeftover *leftover)
{
  g_autoptr (GDateTime) when = g_date_time_new_from_unix_local (leftover->written_s);
  g_autofree char *time = when == NULL ? g_strdup ("") : g_date_time_format (when, "%Y-%m-%d %H:%M");
  g_autofree char *text = NULL;

  g_clear_pointer (&self->leftover, lw_leftover_free);
  self->leftover = leftover;
  /* Translators: title of a job, and when its recovery copy was written. */
  text = g_strdup_printf (_("“%s” was not saved when the program ended. A copy from %s can be recovered."),
                          *leftover->title == '\0' ? _("Untitled job") : leftover->title, time);
  gtk_label_set_text (self->recovery_label, text);
  gtk_info_bar_set_revealed (self->recovery_bar, TRUE);
  lw_spoken_tell (GTK_WIDGET (self), gtk_label_get_text (self->recovery_label));
}

void
lw_window_recover (LwWindow *self)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwDocument) document = NULL;
  LwSession *session;

  if (self->leftover == NULL)
    return;
  document = lw_leftover_open (self->leftover, &error);
  gtk_info_bar_set_revealed (self->recovery_bar, FALSE);
  if (document == NULL) {
    lw_window_report (self, _("The copy could not be recovered"), error->message);
    return;
  }
  session = lw_window_to_fill (self)->session;
  lw_session_take_document (session, document);
  if (lw_session_keep (session, NULL)) /* the old copy goes when there is a new one: at no moment is there none */
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
