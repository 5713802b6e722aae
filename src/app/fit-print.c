#include "app/fit-print.h"

#include <glib/gi18n.h>

#include "draw/fit-sheet.h"
#include "widgets/shown-units.h"

/* Pages are drawn at once, so that nothing is borrowed while a printer works. */
typedef struct {
  LwFitSheet sheet; /* until the pages are drawn */
  GtkWindow *parent; /* weak */
} Printing;

static void
printing_free (gpointer data)
{
  Printing *printing = data;

  g_clear_weak_pointer (&printing->parent);
  g_free (printing);
}

static void
begin_cb (GtkPrintOperation *operation, GtkPrintContext *context, Printing *printing)
{
  printing->sheet.width_pt = gtk_print_context_get_width (context);
  printing->sheet.height_pt = gtk_print_context_get_height (context);
  gtk_print_operation_set_n_pages (operation, (int) lw_fit_sheet_pages (&printing->sheet));
}

static void
draw_cb (GtkPrintOperation *operation, GtkPrintContext *context, int page, Printing *printing)
{
  if (page >= 0)
    lw_draw_fit_sheet (gtk_print_context_get_cairo_context (context), &printing->sheet, (guint) page);
}

static void
report (GtkWindow *parent, const char *text)
{
  GtkWidget *dialog = gtk_message_dialog_new (parent, GTK_DIALOG_MODAL | GTK_DIALOG_DESTROY_WITH_PARENT, GTK_MESSAGE_ERROR,
                                              GTK_BUTTONS_CLOSE, "%s", _("The fit was not printed"));

  gtk_message_dialog_format_secondary_text (GTK_MESSAGE_DIALOG (dialog), "%s", text);
  g_signal_connect (dialog, "response", G_CALLBACK (gtk_window_destroy), NULL);
  gtk_window_present (GTK_WINDOW (dialog));
}

void
lw_fit_print (GtkWindow *parent, const LwFitAnswer *fit, const LwSuggestions *suggestions, GtkPrintOperationAction action,
              const char *path)
{
  g_autoptr (GtkPrintOperation) operation = gtk_print_operation_new ();
  g_autoptr (GDateTime) now = g_date_time_new_now_local ();
  g_autofree char *date = g_date_time_format (now, "%Y-%m-%d");
  g_autofree char *name = g_strdup_printf (_("Fit %s"), fit->ref);
  g_autoptr (GError) error = NULL;
  Printing *printing = g_new0 (Printing, 1);

  printing->sheet = (LwFitSheet){ .fit = fit, .suggestions = suggestions, .date = date, .units = lw_shown_units () };
  g_set_weak_pointer (&printing->parent, parent);
  g_object_set_data_full (G_OBJECT (operation), "printing", printing, printing_free);
  gtk_print_operation_set_job_name (operation, name);
  gtk_print_operation_set_unit (operation, GTK_UNIT_POINTS);
  gtk_print_operation_set_use_full_page (operation, TRUE);
  if (path != NULL)
    gtk_print_operation_set_export_filename (operation, path);
  g_signal_connect (operation, "begin-print", G_CALLBACK (begin_cb), printing);
  g_signal_connect (operation, "draw-page", G_CALLBACK (draw_cb), printing);
  if (gtk_print_operation_run (operation, action, parent, &error) == GTK_PRINT_OPERATION_RESULT_ERROR)
    report (parent, error->message);
}
