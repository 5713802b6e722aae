/* Closing a window whose job has changes. */
#include <glib/gi18n.h>

#include "app/window-private.h"

enum { RESPONSE_SAVE = 1, RESPONSE_DISCARD };

static void
answered_cb (GtkDialog *dialog, int response, LwWindow *self)
{
  gtk_window_set_transient_for (GTK_WINDOW (dialog), NULL); /* the window may go before the dialog is freed */
  gtk_window_destroy (GTK_WINDOW (dialog));
  if (response == RESPONSE_SAVE) {
    self->close_after_save = TRUE;
    lw_window_save (self);
  }
  else if (response == RESPONSE_DISCARD) {
    self->closing = TRUE;
    gtk_window_close (GTK_WINDOW (self));
  }
}

gboolean
lw_window_ask_before_close (LwWindow *self)
{
  LwDocument *document = lw_desk_document (lw_window_desk (self));
  g_autofree char *name = NULL;
  GtkWidget *dialog, *discard;

  if (document == NULL || !lw_document_modified (document))
    return FALSE;
  name = lw_session_title (self->session);
  dialog = gtk_message_dialog_new (GTK_WINDOW (self), GTK_DIALOG_MODAL | GTK_DIALOG_DESTROY_WITH_PARENT,
                                   GTK_MESSAGE_QUESTION, GTK_BUTTONS_NONE, _("Save the changes to “%s”?"), name);
  gtk_message_dialog_format_secondary_text (GTK_MESSAGE_DIALOG (dialog),
                                            _("Changes that are not saved are lost for good."));
  gtk_dialog_add_button (GTK_DIALOG (dialog), _("_Cancel"), GTK_RESPONSE_CANCEL);
  discard = gtk_dialog_add_button (GTK_DIALOG (dialog), _("D_iscard"), RESPONSE_DISCARD);
  gtk_dialog_add_button (GTK_DIALOG (dialog), _("_Save"), RESPONSE_SAVE);
  gtk_widget_add_css_class (discard, "destructive-action");
  gtk_dialog_set_default_response (GTK_DIALOG (dialog), RESPONSE_SAVE);
  g_signal_connect_object (dialog, "response", G_CALLBACK (answered_cb), self, 0);
  gtk_window_present (GTK_WINDOW (dialog));
  return TRUE;
}
