/* The fit in the window, by its own widgets: runs are chosen, a fit runs, is cancelled, kept, undone, dropped; what it cannot use it
 * says. The run is the full solution of the same small board under a preheater 8 C hotter than asked. */
#include <math.h>
#include <string.h>

#include "app/fit-window.h"
#include "board/edits-history.h"
#include "plan/bench.h"
#include "ui-cut.h"
#include "ui-find.h"
#include "ui-fixture.h"
#include "widgets/told-list.h"

static GtkCheckButton *
run_tick (GtkWidget *root, guint index)
{
  return GTK_CHECK_BUTTON (ui_child_of_type (root, GTK_TYPE_CHECK_BUTTON, index));
}

static void
press (GtkWidget *root, const char *label)
{
  GtkWidget *found = ui_button (root, label);

  g_assert_nonnull (found);
  g_assert_true (gtk_widget_get_visible (found) && gtk_widget_is_sensitive (found));
  g_signal_emit_by_name (found, "clicked");
}

static void
add_couple (LwPlan *plan, const char *name, const char *ref, double x_mm, double y_mm, LwSide side)
{
  LwThermocouple *couple = lw_thermocouple_new ();

  couple->name = (g_free (couple->name), g_strdup (name));
  couple->ref = (g_free (couple->ref), g_strdup (ref));
  couple->x_mm = x_mm;
  couple->y_mm = y_mm;
  couple->side = side;
  g_ptr_array_add (plan->thermocouples, couple);
}

static LwJob *
job_with_couples (void)
{
  LwJob *job = ui_planned_job ();
  LwPlan *plan = lw_job_edit_plan (job, 0);
  const LwPart *u1 = g_ptr_array_index (job->parts, 0);

  add_couple (plan, "body", "U1", u1->x_mm, u1->y_mm, u1->side);
  add_couple (plan, "near", "", 8, 8, LW_SIDE_TOP);
  add_couple (plan, "far", "", 34, 25, LW_SIDE_BOTTOM);
  return job;
}

/* A reading every second up to END_S. */
static LwRun *
run_of (LwJob *job, const LwPrediction *p, double end_s)
{
  const LwPlan *plan = g_ptr_array_index (job->plans, 0);
  LwRun *run = lw_run_new ();

  run->name = (g_free (run->name), g_strdup ("Bench"));
  run->ref = (g_free (run->ref), g_strdup (plan->ref));
  run->shift_s = 0;
  for (double t = 0; t <= end_s; t++)
    g_array_append_val (run->t_s, t);
  for (guint i = 0; i < plan->thermocouples->len; i++) {
    LwThermocouple *couple = g_ptr_array_index (plan->thermocouples, i);
    LwRunColumn *column = lw_run_column_new ();

    column->thermocouple = (g_free (column->thermocouple), g_strdup (couple->name));
    for (guint k = 0; k < run->t_s->len; k++) {
      double c = lw_bench_reading_c (job, p, couple, g_array_index (run->t_s, double, k));
      g_array_append_val (column->c, c);
    }
    g_ptr_array_add (run->columns, column);
  }
  return run;
}

static LwJob *
job_with_run (double end_s)
{
  g_autoptr (LwJob) job = job_with_couples (), hotter = job_with_couples ();
  LwPlan *plan = lw_job_edit_plan (hotter, 0);
  LwPredictOptions options = { .cell_mm = 2, .no_doubt = TRUE };
  g_autoptr (GError) error = NULL;
  g_autoptr (LwPrediction) p = NULL;

  for (guint i = 0; i < plan->stages->len; i++)
    ((LwStage *) g_ptr_array_index (plan->stages, i))->preheat_c += 8; /* off stays off */
  p = lw_predict (hotter, 0, &options, NULL, NULL, NULL, &error);
  g_assert_no_error (error);
  LwJob *out = lw_edit_add_run (job, run_of (hotter, p, fmin (end_s, p->t_s[p->n_times - 1])), &error);
  g_assert_no_error (error);
  return out;
}

static LwWindow *
open_fit (LwJob *job, GtkWidget **dialog)
{
  LwWindow *window = ui_window (job);

  gtk_widget_activate_action (GTK_WIDGET (window), "win.fit-runs", NULL);
  ui_spin (50);
  *dialog = ui_top_of_type (LW_TYPE_FIT_WINDOW);
  g_assert_nonnull (*dialog);
  return window;
}

static LwJob *
job_of (LwWindow *window)
{
  return lw_desk_job (lw_window_desk (window));
}

static gboolean
is_there (gpointer data)
{
  GtkWidget *keep = ui_button (data, "_Keep");

  return keep != NULL && gtk_widget_get_visible (keep);
}

static gboolean
is_idle (gpointer data)
{
  return ui_button (data, "_Cancel") == NULL;
}

static gboolean
is_freed (gpointer pointer)
{
  return *(gpointer *) pointer == NULL;
}

/* A fit in flight may hold its window past the end of the one below. */
static void
close_all (LwWindow *window, GtkWidget *dialog)
{
  gpointer left = dialog;

  g_object_add_weak_pointer (left, &left);
  gtk_window_close (GTK_WINDOW (dialog));
  ui_spin (50);
  g_assert_null (ui_top_of_type (LW_TYPE_FIT_WINDOW));
  ui_close (window);
  g_assert_true (ui_wait (is_freed, &left, 30000));
}

/* What is drawn of the residuals stands in a list too: a row for each thermocouple, nearer after than before. */
static void
assert_told (GtkWidget *dialog)
{
  LwToldList *strips = LW_TOLD_LIST (ui_child_of_type (dialog, LW_TYPE_TOLD_LIST, 1));
  static const char *const names[] = { "body", "near", "far" };

  g_assert_cmpuint (lw_told_list_length (strips), ==, G_N_ELEMENTS (names));
  for (guint i = 0; i < G_N_ELEMENTS (names); i++) {
    g_assert_cmpstr (lw_told_list_cell (strips, i, 0), ==, names[i]);
    g_assert_cmpfloat (g_ascii_strtod (lw_told_list_cell (strips, i, 2), NULL), <=, g_ascii_strtod (lw_told_list_cell (strips, i, 1), NULL));
  }
}

static GtkWidget *
told_row (GtkWidget *list, int index)
{
  return GTK_WIDGET (gtk_list_box_get_row_at_index (GTK_LIST_BOX (ui_child_of_type (list, GTK_TYPE_LIST_BOX, 0)), index));
}

/* The fitted figures are rows that the keyboard goes through, each heard with the heads; what is told stands first. The preheater was
 * 8 C hotter than asked: its own figure is among them. */
static void
assert_figures_walked (GtkWidget *dialog)
{
  GtkWidget *table = ui_child_of_type (dialog, LW_TYPE_TOLD_LIST, 0);
  LwToldList *list = LW_TOLD_LIST (table);
  guint n = lw_told_list_length (list), untold = 0;

  g_assert_cmpuint (n, >, 3);
  for (guint i = 0; i < n; i++) {
    g_autofree char *heard = g_strdup_printf ("%s: Before %s, Fitted %s, 95 of 100 %s, Told by %s", lw_told_list_cell (list, i, 0),
                                              lw_told_list_cell (list, i, 1), lw_told_list_cell (list, i, 2),
                                              lw_told_list_cell (list, i, 3), lw_told_list_cell (list, i, 4));
    g_autofree char *other = gtk_test_accessible_check_property (GTK_ACCESSIBLE (told_row (table, (int) i)), GTK_ACCESSIBLE_PROPERTY_LABEL, heard);

    g_assert_cmpstr (other, ==, NULL);
    g_assert_cmpstr (lw_told_list_cell (list, i, 4), !=, "");
    if (g_str_equal (lw_told_list_cell (list, i, 2), "–"))
      untold++;
    else
      g_assert_cmpuint (untold, ==, 0);
  }
  g_assert_cmpuint (untold, <, n);
  g_assert_true (gtk_widget_grab_focus (told_row (table, 0)));
  for (guint i = 1; i < n; i++) { /* what the down arrow does */
    GtkWidget *rows = gtk_widget_get_parent (told_row (table, 0));

    g_signal_emit_by_name (rows, "move-cursor", GTK_MOVEMENT_DISPLAY_LINES, 1, FALSE, FALSE);
    g_assert_true (gtk_window_get_focus (GTK_WINDOW (dialog)) == told_row (table, (int) i));
  }
}

/* Leaves GTK's dialog as soon as it is there. */
static gboolean
leave_print_cb (gpointer left)
{
  GListModel *tops = gtk_window_get_toplevels ();

  for (guint i = 0; i < g_list_model_get_n_items (tops); i++) {
    g_autoptr (GtkWidget) top = g_list_model_get_item (tops, i);

    if (!g_str_equal (G_OBJECT_TYPE_NAME (top), "GtkPrintUnixDialog") || !gtk_widget_get_mapped (top))
      continue;
    *(gboolean *) left = TRUE;
    gtk_dialog_response (GTK_DIALOG (top), GTK_RESPONSE_CANCEL);
    return G_SOURCE_REMOVE;
  }
  return G_SOURCE_CONTINUE;
}

/* Printing is called off: nothing is told, nothing is lost, and it can be kept afterwards. */
static void
leave_print (GtkWidget *dialog)
{
  gboolean left = FALSE;

  g_timeout_add (100, leave_print_cb, &left);
  press (dialog, "_Print…"); /* comes back when the dialog is gone */
  g_assert_true (left);
  ui_spin (100);
  g_assert_null (ui_top_of_type (GTK_TYPE_MESSAGE_DIALOG));
}

static void
test_keep (void)
{
  GtkWidget *dialog;
  LwWindow *window = open_fit (job_with_run (1e9), &dialog);
  LwDocument *document = lw_desk_document (lw_window_desk (window));

  press (dialog, "_Fit");
  g_assert_nonnull (ui_button (dialog, "_Cancel"));
  g_assert_true (ui_wait (is_there, dialog, 90000));
  assert_told (dialog);
  assert_figures_walked (dialog);
  leave_print (dialog);
  press (dialog, "_Keep");
  g_assert_cmpuint (job_of (window)->fits->len, ==, 1);
  const LwFit *fit = job_of (window)->fits->pdata[0];
  g_assert_true (fit->kept);
  g_assert_cmpuint (fit->runs->len, ==, 1);
  g_assert_cmpfloat (fit->apart_after_k, <, 0.5 * fit->apart_before_k);
  g_assert_false (gtk_widget_is_sensitive (ui_button (dialog, "Kept")));
  g_assert_true (lw_document_undo (document));
  ui_spin (20);
  g_assert_cmpuint (job_of (window)->fits->len, ==, 0);
  press (dialog, "_Keep"); /* it is still there, and may be kept after all */
  g_assert_cmpuint (job_of (window)->fits->len, ==, 1);
  press (dialog, "_Fit Again");
  g_assert_false (gtk_widget_get_visible (ui_button (dialog, "_Keep")));
  g_assert_true (gtk_widget_get_visible (ui_button (dialog, "_Fit")));
  close_all (window, dialog);
}

/* A place that is chosen shows on the board, until the window closes; and a thermocouple can be put there. */
static void
test_places (void)
{
  GtkWidget *dialog, *list;
  LwWindow *window = open_fit (job_with_run (1e9), &dialog);
  LwDesk *desk = lw_window_desk (window);

  press (dialog, "_Fit");
  g_assert_true (ui_wait (is_there, dialog, 90000));
  list = ui_of_class (dialog, "operation-rows");
  g_assert_nonnull (list);
  g_assert_null (lw_desk_proposed (desk));
  gtk_list_box_select_row (GTK_LIST_BOX (list), gtk_list_box_get_row_at_index (GTK_LIST_BOX (list), 0));
  g_assert_nonnull (lw_desk_proposed (desk));
  g_assert_cmpint (lw_desk_side (desk), ==, lw_desk_proposed (desk)->side);
  press (dialog, "_Add a Thermocouple There");
  g_assert_cmpuint (((LwPlan *) job_of (window)->plans->pdata[0])->thermocouples->len, ==, 4);
  g_assert_true (lw_document_undo (lw_desk_document (desk)));
  gtk_list_box_select_row (GTK_LIST_BOX (list), gtk_list_box_get_row_at_index (GTK_LIST_BOX (list), 1));
  g_object_ref (list); /* as the handling of a key does */
  press (dialog, "D_iscard");
  g_object_unref (list);
  g_assert_null (lw_desk_proposed (desk));
  g_assert_cmpuint (job_of (window)->fits->len, ==, 0);
  close_all (window, dialog);
}

static void
test_cancel (void)
{
  GtkWidget *dialog;
  LwWindow *window = open_fit (job_with_run (1e9), &dialog);

  press (dialog, "_Fit");
  press (dialog, "_Cancel");
  g_assert_true (ui_wait (is_idle, dialog, 30000));
  g_assert_true (gtk_widget_get_visible (ui_button (dialog, "_Fit")));
  g_assert_false (gtk_widget_get_visible (ui_button (dialog, "_Keep")));
  g_assert_cmpuint (job_of (window)->fits->len, ==, 0);
  press (dialog, "_Fit"); /* and closed while it runs */
  close_all (window, dialog);
}

static GtkWidget *
problem_of (GtkWidget *dialog)
{
  for (guint i = 0;; i++) {
    GtkWidget *label = ui_child_of_type (dialog, GTK_TYPE_LABEL, i);

    if (label == NULL || gtk_widget_has_css_class (label, "field-message"))
      return label;
  }
}

/* Three readings are no curve: that is said by the run's number, and nothing is lost. */
static void
test_too_little (void)
{
  GtkWidget *dialog;
  LwWindow *window = open_fit (job_with_run (3), &dialog);

  press (dialog, "_Fit");
  g_assert_true (ui_wait (is_idle, dialog, 60000));
  g_assert_true (gtk_widget_get_visible (problem_of (dialog)));
  g_assert_nonnull (strstr (gtk_label_get_text (GTK_LABEL (problem_of (dialog))), "no thermocouple has readings"));
  g_assert_cmpuint (job_of (window)->runs->len, ==, 1);
  close_all (window, dialog);
}

/* Without a run, or with none ticked, there is nothing to fit to. */
static void
test_nothing (void)
{
  GtkWidget *dialog;
  LwWindow *window = open_fit (job_with_couples (), &dialog);

  g_assert_false (gtk_widget_is_sensitive (ui_button (dialog, "_Fit")));
  close_all (window, dialog);
  window = open_fit (job_with_run (1e9), &dialog);
  g_assert_true (gtk_widget_is_sensitive (ui_button (dialog, "_Fit")));
  gtk_check_button_set_active (run_tick (dialog, 0), FALSE);
  g_assert_false (gtk_widget_is_sensitive (ui_button (dialog, "_Fit")));
  close_all (window, dialog);
}

static void
assert_large_text_fits (GtkWidget *dialog)
{
  GtkSettings *settings = gtk_settings_get_default ();
  int usual = 0;

  g_object_get (settings, "gtk-xft-dpi", &usual, NULL);
  g_object_set (settings, "gtk-xft-dpi", 2 * 96 * 1024, NULL);
  ui_cut_begin ();
  ui_cut_fits (dialog, "outcome");
  ui_cut_words (dialog, "outcome");
  ui_cut_end ();
  g_object_set (settings, "gtk-xft-dpi", usual, NULL);
}

/* The names of two thermocouples taken for each other: that is said, nothing can be kept, and the remark's button sets it right. */
static void
test_exchange (void)
{
  g_autoptr (LwJob) job = job_with_run (1e9);
  LwRun *run = lw_job_edit_run (job, 0);
  LwRunColumn *first = run->columns->pdata[0], *second = run->columns->pdata[1];
  char *name = first->thermocouple;
  GtkWidget *dialog;
  LwWindow *window;

  first->thermocouple = second->thermocouple;
  second->thermocouple = name;
  window = open_fit (lw_job_ref (job), &dialog);
  press (dialog, "_Fit");
  g_assert_true (ui_wait (is_there, dialog, 90000));
  g_assert_false (gtk_widget_is_sensitive (ui_button (dialog, "_Keep")));
  g_assert_nonnull (ui_of_class (dialog, "remark"));
  press (dialog, "E_xchange Them"); /* and fits again */
  g_assert_true (ui_wait (is_there, dialog, 90000));
  g_assert_null (ui_button (dialog, "E_xchange Them"));
  g_assert_true (gtk_widget_is_sensitive (ui_button (dialog, "_Keep")));
  assert_large_text_fits (dialog);
  close_all (window, dialog);
}

int
main (int argc, char **argv)
{
  ui_test_init (&argc, &argv);
  g_test_add_func ("/ui/fit/keep", test_keep);
  g_test_add_func ("/ui/fit/places", test_places);
  g_test_add_func ("/ui/fit/cancel", test_cancel);
  g_test_add_func ("/ui/fit/too-little", test_too_little);
  g_test_add_func ("/ui/fit/nothing", test_nothing);
  g_test_add_func ("/ui/fit/exchange", test_exchange);
  return g_test_run ();
}
