/* The bench sheet: printed, looked at before, or as a file; and its figures as tables. */
#include <glib/gi18n.h>
#include <string.h>

#include "app/window-print.h"
#include "app/window-private.h"
#include "board/file-replace.h"
#include "board/operations.h"
#include "draw/bench-sheet.h"

static gboolean
heats (LwDesk *desk)
{
  return lw_plan_heats (g_ptr_array_index (lw_desk_job (desk)->plans, lw_desk_plan (desk)));
}

/* A sheet that is printed may be as long as it gets; the person is told. */
static LwBenchSheet *
sheet_for (LwWindow *self, double width_pt, double height_pt, GError **error)
{
  LwDesk *desk = lw_window_desk (self);
  g_autoptr (GDateTime) now = g_date_time_new_now_local ();
  g_autofree char *date = g_date_time_format (now, "%Y-%m-%d");
  gboolean hot = heats (desk);
  g_autoptr (GPtrArray) cold = hot ? NULL : lw_judge (lw_desk_job (desk), (guint) lw_desk_plan (desk), NULL);
  const LwSheetInput input = {
    .job = lw_desk_job (desk),
    .plan = (guint) lw_desk_plan (desk),
    .prediction = hot ? lw_desk_prediction (desk) : NULL,
    .findings = hot ? (GPtrArray *) lw_desk_findings (desk) : cold,
    .date = date,
    .width_pt = width_pt,
    .height_pt = height_pt,
    .pages_most = LW_SHEET_PAGES_MOST,
  };

  return lw_bench_sheet_new (&input, error);
}

/* Why there can be no sheet now, or NULL. */
static const char *
obstacle (LwWindow *self)
{
  LwDesk *desk = lw_window_desk (self);

  if (lw_desk_job (desk) == NULL || lw_desk_plan (desk) < 0)
    return _("Choose a part to rework first: the sheet shows its plan.");
  if (!heats (desk))
    return NULL; /* nothing to wait for */
  if (lw_desk_prediction (desk) == NULL || lw_desk_findings (desk) == NULL || lw_desk_stale (desk))
    return lw_desk_failure (desk) != NULL
               ? _("The plan could not be computed, so there is nothing to say when to stop.")
               : _("The plan is still being computed. Try again when the figures are there.");
  if (lw_desk_prediction (desk)->plan != (guint) lw_desk_plan (desk))
    return _("The figures are still those of another plan. Try again when they are there.");
  return NULL;
}

static gboolean
check (LwWindow *self)
{
  const char *why = obstacle (self);

  if (why != NULL)
    lw_window_report (self, _("No bench sheet yet"), why);
  return why == NULL;
}

static void
tell_length (LwWindow *self, const LwBenchSheet *sheet)
{
  guint n = lw_bench_sheet_pages (sheet);

  if (n <= LW_SHEET_PAGES)
    return;
  g_autofree char *text = g_strdup_printf (_("The bench sheet is %u pages long: more than the two faces of one leaf."), n);
  lw_toast_show (self->toast, text, NULL, NULL);
}

/* ---- printing ---- */

typedef struct {
  LwWindow *window; /* held */
  LwBenchSheet *sheet;
  char *problem;
  gboolean begun; /* a page has been drawn */
} Printing;

static void
printing_free (gpointer data)
{
  Printing *printing = data;

  lw_bench_sheet_free (printing->sheet);
  g_free (printing->problem);
  g_object_unref (printing->window);
  g_free (printing);
}

static void
begin_cb (GtkPrintOperation *operation, GtkPrintContext *context, Printing *printing)
{
  g_autoptr (GError) error = NULL;
  double width = gtk_print_context_get_width (context), height = gtk_print_context_get_height (context);

  g_clear_pointer (&printing->sheet, lw_bench_sheet_free);
  printing->sheet = sheet_for (printing->window, width, height, &error);
  if (printing->sheet == NULL) {
    printing->problem = g_strdup (error->message);
    gtk_print_operation_cancel (operation);
    return;
  }
  gtk_print_operation_set_n_pages (operation, (int) lw_bench_sheet_pages (printing->sheet));
  tell_length (printing->window, printing->sheet);
}

static void
draw_cb (GtkPrintOperation *operation, GtkPrintContext *context, int page, Printing *printing)
{
  printing->begun = TRUE;
  if (printing->sheet != NULL && page >= 0)
    lw_draw_sheet (gtk_print_context_get_cairo_context (context), printing->sheet, (guint) page);
}

/* The job is untouched whatever the printer does; the person can print again. */
static void
done_cb (GtkPrintOperation *operation, GtkPrintOperationResult result, Printing *printing)
{
  g_autoptr (GError) error = NULL;

  if (result == GTK_PRINT_OPERATION_RESULT_ERROR)
    gtk_print_operation_get_error (operation, &error);
  if (error != NULL || printing->problem != NULL)
    lw_window_report (printing->window, _("The bench sheet was not printed"),
                      printing->problem != NULL ? printing->problem : error->message);
}

/* After the last page has been handed over, a printer may still fail. Who leaves the dialog knows that nothing was printed. */
static void
status_cb (GtkPrintOperation *operation, Printing *printing)
{
  if (gtk_print_operation_get_status (operation) == GTK_PRINT_STATUS_FINISHED_ABORTED && printing->begun
      && printing->problem == NULL)
    lw_toast_show (printing->window->toast, _("Printing ended before the last page"), NULL, NULL);
}

static GtkPrintOperation *
operation_for (LwWindow *self)
{
  GtkPrintOperation *operation = gtk_print_operation_new ();
  Printing *printing = g_new0 (Printing, 1);
  LwDesk *desk = lw_window_desk (self);
  const LwPlan *plan = g_ptr_array_index (lw_desk_job (desk)->plans, lw_desk_plan (desk));
  g_autofree char *name = g_strdup_printf (_("Bench sheet %s"), plan->ref);

  printing->window = g_object_ref (self);
  g_object_set_data_full (G_OBJECT (operation), "printing", printing, printing_free);
  gtk_print_operation_set_job_name (operation, name);
  gtk_print_operation_set_unit (operation, GTK_UNIT_POINTS);
  gtk_print_operation_set_use_full_page (operation, TRUE);
  gtk_print_operation_set_allow_async (operation, TRUE);
  gtk_print_operation_set_embed_page_setup (operation, TRUE);
  g_signal_connect (operation, "begin-print", G_CALLBACK (begin_cb), printing);
  g_signal_connect (operation, "draw-page", G_CALLBACK (draw_cb), printing);
  g_signal_connect (operation, "done", G_CALLBACK (done_cb), printing);
  g_signal_connect (operation, "status-changed", G_CALLBACK (status_cb), printing);
  return operation;
}

void
lw_window_print (LwWindow *self, GtkPrintOperationAction action, const char *path)
{
  g_autoptr (GtkPrintOperation) operation = NULL;

  if (!check (self))
    return;
  operation = operation_for (self);
  if (path != NULL)
    gtk_print_operation_set_export_filename (operation, path);
  gtk_print_operation_run (operation, action, GTK_WINDOW (self), NULL); /* errors come with "done" */
}

/* ---- files ---- */

static gboolean
write_pdf (LwWindow *self, const char *path, GError **error)
{
  g_autoptr (LwBenchSheet) sheet = NULL;
  g_autoptr (GtkPageSetup) setup = gtk_page_setup_new (); /* the paper of the person's country */

  sheet = sheet_for (self, gtk_page_setup_get_paper_width (setup, GTK_UNIT_POINTS),
                     gtk_page_setup_get_paper_height (setup, GTK_UNIT_POINTS), error);
  if (sheet == NULL || !lw_bench_sheet_to_pdf (sheet, path, error))
    return FALSE;
  tell_length (self, sheet);
  return TRUE;
}

gboolean
lw_window_write_sheet (LwWindow *self, LwSheetFile what, const char *path, GError **error)
{
  LwDesk *desk = lw_window_desk (self);
  g_autofree char *table = NULL;
  const char *why = obstacle (self);

  if (why != NULL) {
    g_set_error_literal (error, G_IO_ERROR, G_IO_ERROR_BUSY, why);
    return FALSE;
  }
  if (what == LW_SHEET_FILE_PDF)
    return write_pdf (self, path, error);
  if (!heats (desk)) {
    g_set_error_literal (error, G_IO_ERROR, G_IO_ERROR_NOT_SUPPORTED, _("Nothing heats in this operation: it has no table."));
    return FALSE;
  }
  table = (what == LW_SHEET_FILE_STAGES ? lw_bench_stages_csv : lw_bench_field_csv) (
      lw_desk_job (desk), (guint) lw_desk_plan (desk), lw_desk_prediction (desk));
  return lw_file_replace (path, table, strlen (table), NULL, error);
}

static void
answered_cb (GtkNativeDialog *dialog, int response, LwWindow *self)
{
  g_autoptr (GFile) file
      = response == GTK_RESPONSE_ACCEPT ? gtk_file_chooser_get_file (GTK_FILE_CHOOSER (dialog)) : NULL;
  g_autofree char *path = file != NULL ? g_file_get_path (file) : NULL;
  LwSheetFile what = GPOINTER_TO_UINT (g_object_get_data (G_OBJECT (dialog), "what"));
  g_autoptr (GError) error = NULL;

  if (file == NULL)
    return;
  lw_window_remember_folder (file);
  if (path == NULL)
    lw_window_report (self, _("The file was not written"), _("Files can only be written to local folders."));
  else if (!lw_window_write_sheet (self, what, path, &error))
    lw_window_report (self, _("The file was not written"), error->message);
  else
    lw_toast_show (self->toast, _("File written"), NULL, NULL);
}

void
lw_window_choose_sheet (LwWindow *self, LwSheetFile what)
{
  static const char *const titles[] = { N_("Bench Sheet as PDF"), N_("Table of the Stages"),
                                        N_("Table of the Board’s Temperatures") };
  static const char *const names[] = { N_("bench-sheet.pdf"), N_("stages.csv"), N_("temperatures.csv") };

  if (!check (self))
    return;
  GtkFileChooser *chooser = lw_window_new_chooser (self, _(titles[what]), GTK_FILE_CHOOSER_ACTION_SAVE, _("_Save"),
                                                   G_CALLBACK (answered_cb));
  g_object_set_data (G_OBJECT (chooser), "what", GUINT_TO_POINTER (what));
  gtk_file_chooser_set_current_name (chooser, _(names[what]));
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (self->chooser));
}
