/* Recorded runs of the plan in hand: a log is chosen, dropped or handed in, and shown as it will be read. */
#include <glib/gi18n.h>

#include "app/log-window.h"
#include "app/window-private.h"
#include "widgets/run-panel.h"

gboolean
lw_window_import_run (LwWindow *self, GFile *file, GError **error)
{
  GtkWidget *window = lw_log_window_new (self, file, error);

  if (window != NULL)
    gtk_window_present (GTK_WINDOW (window));
  return window != NULL;
}

static void
import_or_report (LwWindow *self, GFile *file)
{
  g_autoptr (GError) error = NULL;

  if (!lw_window_import_run (self, file, &error))
    lw_window_report (self, _("The run could not be read"), error->message);
}

static void
answered_cb (GtkNativeDialog *dialog, int response, LwWindow *self)
{
  g_autoptr (GFile) file = response == GTK_RESPONSE_ACCEPT ? gtk_file_chooser_get_file (GTK_FILE_CHOOSER (dialog)) : NULL;

  if (file == NULL)
    return;
  lw_window_remember_folder (file);
  import_or_report (self, file);
}

void
lw_window_choose_run (LwWindow *self)
{
  static const char *const logs[] = { "csv", "txt", "tsv", "dat", "log", "asc", NULL };
  GtkFileChooser *chooser = lw_window_new_chooser (self, _("Import a recorded run"), GTK_FILE_CHOOSER_ACTION_OPEN, _("_Open"),
                                                   G_CALLBACK (answered_cb));

  lw_window_add_filter (chooser, _("Tables of temperatures"), logs);
  lw_window_add_filter (chooser, _("All files"), NULL);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (self->chooser));
}

void
lw_window_show_run (LwWindow *self, int run)
{
  lw_lower_pane_show_page (self->lower, "runs");
  lw_run_panel_choose (lw_lower_pane_runs (self->lower), run);
}

static void
import_cb (LwLowerPane *lower, GFile *file, LwWindow *self)
{
  if (file != NULL)
    import_or_report (self, file);
  else
    lw_window_choose_run (self);
}

void
lw_window_init_runs (LwWindow *self)
{
  g_signal_connect_object (self->lower, "import-run", G_CALLBACK (import_cb), self, 0);
}
