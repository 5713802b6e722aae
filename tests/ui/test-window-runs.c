/* Recorded runs in the window, by its own widgets and a real pointer: a log is mapped, taken in, aligned, renamed,
 * deleted, undone; revisions are kept, told apart, restored. The log is made of straight lines. */
#include <glib/gstdio.h>
#include <math.h>
#include <string.h>

#include "app/log-window.h"
#include "board/edits.h"
#include "ui-find.h"
#include "ui-fixture.h"
#include "widgets/told-list.h"
#include "widgets/history-panel.h"
#include "widgets/run-figures.h"
#include "widgets/run-panel.h"
#include "widgets/run-view.h"

/* Two thermocouples on the plan, an answer in the desk. */
static LwJob *
job_with_couples (void)
{
  LwJob *job = ui_planned_job ();
  LwPlan *plan = lw_job_edit_plan (job, 0);

  for (guint i = 0; i < 2; i++) {
    LwThermocouple *couple = lw_thermocouple_new ();

    couple->name = (g_free (couple->name), g_strdup (i == 0 ? "body" : "board"));
    couple->ref = (g_free (couple->ref), g_strdup (i == 0 ? "U1" : ""));
    couple->x_mm = couple->y_mm = 15;
    g_ptr_array_add (plan->thermocouples, couple);
  }
  return job;
}

static LwJob *
job_of (LwWindow *window)
{
  return lw_desk_job (lw_window_desk (window));
}

static LwRun *
run_of (LwWindow *window)
{
  g_assert_cmpuint (job_of (window)->runs->len, ==, 1);
  return job_of (window)->runs->pdata[0];
}

static GFile *
log_file (const char *heading, const char *tail)
{
  g_autofree char *dir = g_dir_make_tmp ("leeward-runs-XXXXXX", NULL), *path = g_build_filename (dir, "Bench 2.csv", NULL);
  g_autoptr (GString) text = g_string_new (heading);

  for (int t = 0; t <= 100; t += 2)
    g_string_append_printf (text, "%d;%d,5;%d\n", t, t < 10 ? 25 : 15 + t, t < 10 ? 24 : 20 + t / 2);
  g_string_append (text, tail);
  g_assert_true (g_file_set_contents (path, text->str, -1, NULL));
  return g_file_new_for_path (path);
}

static LwWindow *
window_with_answer (void)
{
  LwWindow *window = ui_window (job_with_couples ());
  LwDesk *desk = lw_window_desk (window);
  g_autoptr (LwPrediction) answer = ui_prediction (lw_desk_job (desk), 200);

  g_assert_true (lw_desk_take_answer (desk, lw_document_revision (lw_desk_document (desk)), answer, NULL));
  return window;
}

static void
import (LwWindow *window, GFile *file)
{
  g_autoptr (GError) error = NULL;

  g_assert_true (lw_window_import_run (window, file, &error));
  g_assert_no_error (error);
  ui_spin (50);
}

static void
take_in (LwWindow *window)
{
  GtkWidget *dialog = ui_top_of_type (LW_TYPE_LOG_WINDOW), *use = ui_of_class (dialog, "suggested-action");

  g_assert_true (gtk_widget_get_sensitive (use));
  g_signal_emit_by_name (use, "clicked");
  ui_spin (100);
  g_assert_null (ui_top_of_type (LW_TYPE_LOG_WINDOW));
}

static void
test_import (void)
{
  g_autoptr (GFile) file = log_file ("Bench logger\nTime (s);left (°C);right (°C)\n", "lunch;;\n");
  LwWindow *window = window_with_answer ();
  GtkWidget *dialog, *grid;
  const LwRun *run;

  import (window, file);
  dialog = ui_top_of_type (LW_TYPE_LOG_WINDOW);
  g_assert_nonnull (dialog);
  grid = ui_of_class (dialog, "table-preview");
  /* not used, time, date, cold junction, reading alone, body, board */
  g_assert_cmpuint (gtk_drop_down_get_selected (GTK_DROP_DOWN (ui_child_of_type (grid, GTK_TYPE_DROP_DOWN, 0))), ==, 1);
  g_assert_cmpuint (gtk_drop_down_get_selected (GTK_DROP_DOWN (ui_child_of_type (grid, GTK_TYPE_DROP_DOWN, 1))), ==, 4);
  gtk_drop_down_set_selected (GTK_DROP_DOWN (ui_child_of_type (grid, GTK_TYPE_DROP_DOWN, 1)), 5);
  gtk_drop_down_set_selected (GTK_DROP_DOWN (ui_child_of_type (grid, GTK_TYPE_DROP_DOWN, 2)), 5); /* takes it from the first */
  g_assert_cmpuint (gtk_drop_down_get_selected (GTK_DROP_DOWN (ui_child_of_type (grid, GTK_TYPE_DROP_DOWN, 1))), ==, 4);
  gtk_drop_down_set_selected (GTK_DROP_DOWN (ui_child_of_type (grid, GTK_TYPE_DROP_DOWN, 1)), 5);
  gtk_drop_down_set_selected (GTK_DROP_DOWN (ui_child_of_type (grid, GTK_TYPE_DROP_DOWN, 2)), 6);
  take_in (window);

  run = run_of (window);
  g_assert_cmpstr (run->name, ==, "Bench 2");
  g_assert_cmpuint (run->t_s->len, ==, 51);
  g_assert_cmpstr (((LwRunColumn *) run->columns->pdata[0])->thermocouple, ==, "body");
  g_assert_cmpstr (((LwRunColumn *) run->columns->pdata[1])->thermocouple, ==, "board");
  g_assert_nonnull (strstr (run->notes, "lunch"));
  g_assert_cmpuint (job_of (window)->revisions->len, ==, 1);
  g_assert_cmpstr (lw_lower_pane_page (window->lower), ==, "runs");
  g_assert_cmpint (lw_run_panel_run (lw_lower_pane_runs (window->lower)), ==, 0);
  g_assert_nonnull (lw_desk_comparison (lw_window_desk (window)));
  g_assert_true (lw_document_undo (lw_desk_document (lw_window_desk (window))));
  g_assert_cmpuint (job_of (window)->runs->len, ==, 0);
  g_assert_null (lw_desk_comparison (lw_window_desk (window)));
  ui_close (window);
}

/* Without times the button is dead and the line says why; a typed interval brings it to life. */
static void
test_no_times (void)
{
  g_autofree char *dir = g_dir_make_tmp ("leeward-runs-XXXXXX", NULL), *path = g_build_filename (dir, "untimed.csv", NULL);
  g_autoptr (GFile) file = g_file_new_for_path (path);
  LwWindow *window = window_with_answer ();
  GtkWidget *dialog, *use;

  g_assert_true (g_file_set_contents (path, "T1;T2\n25;26\n31;29\n28;33\n40;35\n", -1, NULL));
  import (window, file);
  dialog = ui_top_of_type (LW_TYPE_LOG_WINDOW);
  use = ui_of_class (dialog, "suggested-action");
  g_assert_false (gtk_widget_get_sensitive (use));
  g_assert_nonnull (strstr (gtk_label_get_text (GTK_LABEL (ui_of_class (dialog, "field-message"))), "no column of times"));
  gtk_editable_set_text (GTK_EDITABLE (ui_child_of_type (dialog, GTK_TYPE_ENTRY, 0)), "0,5");
  g_assert_true (gtk_widget_get_sensitive (use));
  take_in (window);
  g_assert_cmpfloat (g_array_index (run_of (window)->t_s, double, 3), ==, 1.5);
  ui_close (window);
}

static gboolean
is_told (gpointer window)
{
  return lw_window_last_problem (window) != NULL;
}

/* A file that is no log is refused with its name and the reason; nothing is lost. */
static void
test_refused (void)
{
  g_autofree char *dir = g_dir_make_tmp ("leeward-runs-XXXXXX", NULL), *path = g_build_filename (dir, "letter.txt", NULL);
  g_autoptr (GFile) file = g_file_new_for_path (path);
  g_autoptr (GError) error = NULL;
  LwWindow *window = window_with_answer ();

  g_assert_true (g_file_set_contents (path, "Dear all,\nnothing here.\n", -1, NULL));
  g_assert_false (lw_window_import_run (window, file, &error));
  g_assert_true (g_str_has_prefix (error->message, "letter.txt"));
  ui_spin (50);
  g_assert_null (ui_top_of_type (LW_TYPE_LOG_WINDOW));
  g_assert_cmpuint (job_of (window)->runs->len, ==, 0);
  ui_close (window);
}

/* What is said to lie between two figures is what lies between them as they are shown. */
static void
test_apart (void)
{
  static const LwCurveFigures should = { .peak_c = 231.24, .peak_s = 291.6, .soak_s = 61.4, .above_liquidus_s = 41.4 },
                              is = { .peak_c = 229.16, .peak_s = 290.4, .soak_s = 60.6, .above_liquidus_s = 19.6 };
  static const char *const wanted[][4] = { { "Peak, °C", "231.2", "229.2", "+2.0" }, { "Peak at, s", "292", "290", "+2" },
                                           { "Above 217 °C, s", "41", "20", "+21" } };
  LwWindow *window = window_with_answer ();
  const LwPlan *plan = job_of (window)->plans->pdata[0];
  g_autoptr (GPtrArray) columns = g_ptr_array_new (), remarks = g_ptr_array_new ();
  LwCompared compared = { .name = "body", .couple = -1, .plan = should, .run = is };
  LwComparison run = { .columns = columns, .remarks = remarks, .liquidus_c = 217, .soak_low_c = 150, .soak_high_c = 200,
                       .plan_spread_k = NAN, .run_spread_k = NAN };
  GtkWidget *figures = g_object_ref_sink (g_object_new (LW_TYPE_RUN_FIGURES, NULL));
  LwToldList *list;
  guint found = 0;

  g_ptr_array_add (columns, &compared);
  lw_run_figures_show (LW_RUN_FIGURES (figures), plan, &run);
  list = LW_TOLD_LIST (ui_child_of_type (figures, LW_TYPE_TOLD_LIST, 0));
  for (guint row = 0; row < lw_told_list_length (list); row++)
    for (guint i = 0; i < G_N_ELEMENTS (wanted); i++)
      if (strcmp (lw_told_list_cell (list, row, 0), wanted[i][0]) == 0) {
        found++;
        for (guint k = 1; k < 4; k++)
          g_assert_cmpstr (lw_told_list_cell (list, row, k), ==, ui_shown (wanted[i][k]));
      }
  g_assert_cmpuint (found, ==, G_N_ELEMENTS (wanted));
  g_object_unref (figures);
  ui_close (window);
}

/* A log that was opened or dropped as if it were a board is offered as what it is. */
static void
test_opened_as_board (void)
{
  g_autoptr (GFile) file = log_file ("Time (s);body;board\n", "");
  LwWindow *window = window_with_answer ();
  GtkWindow *dialog, *log;

  lw_window_open (window, file, NULL);
  g_assert_true (ui_wait (is_told, window, 5000));
  dialog = GTK_WINDOW (ui_top_of_type (GTK_TYPE_MESSAGE_DIALOG));
  g_assert_nonnull (dialog);
  gtk_dialog_response (GTK_DIALOG (dialog), GTK_RESPONSE_ACCEPT);
  ui_spin (100);
  log = GTK_WINDOW (ui_top_of_type (LW_TYPE_LOG_WINDOW));
  g_assert_true (log != NULL && gtk_widget_get_visible (GTK_WIDGET (log)));
  take_in (window);
  g_assert_cmpuint (run_of (window)->t_s->len, ==, 51);
  ui_close (window);
}

static void
xdotool (const char *const *arguments)
{
  const char *tool = g_getenv ("LW_XDOTOOL");
  g_autoptr (GPtrArray) argv = g_ptr_array_new ();
  int status = 0;

  g_ptr_array_add (argv, (gpointer) (tool != NULL && *tool != '\0' ? tool : "xdotool"));
  for (guint i = 0; arguments[i] != NULL; i++)
    g_ptr_array_add (argv, (gpointer) arguments[i]);
  g_ptr_array_add (argv, NULL);
  g_assert_true (g_spawn_sync (NULL, (char **) argv->pdata, NULL, G_SPAWN_SEARCH_PATH, NULL, NULL, NULL, NULL, &status, NULL));
  g_assert_true (g_spawn_check_wait_status (status, NULL));
  ui_spin (60);
}

/* Dragged with a real pointer: one step of undo, the run follows the hand; typed and by the ramp as well. */
static void
test_align (void)
{
  g_autoptr (GFile) file = log_file ("Time (s);body;board\n", "");
  LwWindow *window = window_with_answer ();
  GtkWidget *panel = GTK_WIDGET (lw_lower_pane_runs (window->lower)), *view, *shift, *ramp;
  graphene_point_t at;
  double before;

  import (window, file);
  take_in (window);
  gtk_window_fullscreen (GTK_WINDOW (window));
  ui_spin (300);
  view = ui_child_of_type (panel, LW_TYPE_RUN_VIEW, 0);
  shift = ui_child_of_type (panel, GTK_TYPE_SPIN_BUTTON, 0);
  ramp = ui_button (panel, "By _Ramp");
  g_assert_true (isnan (run_of (window)->shift_s));
  g_assert_false (gtk_widget_get_sensitive (ramp));
  before = lw_desk_comparison (lw_window_desk (window))->shift_s;

  g_assert_true (gtk_widget_compute_point (view, GTK_WIDGET (window), &GRAPHENE_POINT_INIT (120, 60), &at));
  g_autofree char *x = g_strdup_printf ("%.0f", at.x), *y = g_strdup_printf ("%.0f", at.y), *x2 = g_strdup_printf ("%.0f", at.x + 40),
                  *x3 = g_strdup_printf ("%.0f", at.x + 80);
  xdotool ((const char *const[]){ "mousemove", x, y, NULL });
  xdotool ((const char *const[]){ "mousedown", "1", NULL });
  xdotool ((const char *const[]){ "mousemove", x2, y, NULL });
  xdotool ((const char *const[]){ "mousemove", x3, y, NULL });
  xdotool ((const char *const[]){ "mouseup", "1", NULL });
  g_assert_cmpfloat (run_of (window)->shift_s, >, before + 1);
  g_assert_cmpfloat_with_epsilon (gtk_spin_button_get_value (GTK_SPIN_BUTTON (shift)), run_of (window)->shift_s, 0.06);
  g_assert_true (lw_document_undo (lw_desk_document (lw_window_desk (window))));
  g_assert_true (isnan (run_of (window)->shift_s));

  gtk_spin_button_set_value (GTK_SPIN_BUTTON (shift), -7.5);
  g_assert_cmpfloat (run_of (window)->shift_s, ==, -7.5);
  g_assert_true (gtk_widget_get_sensitive (ramp));
  g_signal_emit_by_name (ramp, "clicked");
  g_assert_true (isnan (run_of (window)->shift_s));
  ui_close (window);
}

static gboolean
second_is_body (gpointer window)
{
  return strcmp (((LwRunColumn *) run_of (window)->columns->pdata[1])->thermocouple, "body") == 0;
}

/* The details are taken over when the popover closes; a name that is taken is told and not used. */
static void
test_details (void)
{
  g_autoptr (GFile) file = log_file ("Time (s);body;board\n", "");
  LwWindow *window = window_with_answer ();
  GtkWidget *panel = GTK_WIDGET (lw_lower_pane_runs (window->lower)), *name, *figures;

  import (window, file);
  take_in (window);
  name = ui_child_of_type (ui_child_of_type (panel, GTK_TYPE_POPOVER, 0), GTK_TYPE_ENTRY, 0);
  if (name == NULL || !GTK_IS_ENTRY (name))
    for (guint i = 0; (name = ui_child_of_type (panel, GTK_TYPE_ENTRY, i)) != NULL; i++)
      if (strcmp (gtk_editable_get_text (GTK_EDITABLE (name)), "Bench 2") == 0)
        break;
  g_assert_nonnull (name);
  gtk_editable_set_text (GTK_EDITABLE (name), "Monday");
  g_signal_emit_by_name (name, "activate");
  g_assert_cmpstr (run_of (window)->name, ==, "Monday");
  g_assert_cmpint (lw_run_panel_run (LW_RUN_PANEL (panel)), ==, 0);

  /* the second column is the body now; the first takes what it had */
  figures = ui_child_of_type (panel, LW_TYPE_RUN_FIGURES, 0);
  gtk_drop_down_set_selected (GTK_DROP_DOWN (ui_child_of_type (figures, GTK_TYPE_DROP_DOWN, 1)), 1);
  g_assert_true (ui_wait (second_is_body, window, 5000));
  g_assert_cmpstr (((LwRunColumn *) run_of (window)->columns->pdata[0])->thermocouple, ==, "board");

  g_signal_emit_by_name (ui_button (panel, "Delete Run"), "clicked");
  g_assert_cmpuint (job_of (window)->runs->len, ==, 0);
  g_assert_true (lw_document_undo (lw_desk_document (lw_window_desk (window))));
  g_assert_cmpstr (run_of (window)->name, ==, "Monday");
  ui_close (window);
}

/* What is kept of the past does not make the answer old. */
static void
test_answer_holds (void)
{
  g_autoptr (GFile) file = log_file ("Time (s);body;board\n", "");
  LwWindow *window = window_with_answer ();
  LwDesk *desk = lw_window_desk (window);
  guint before;

  g_assert_false (lw_desk_stale (desk));
  import (window, file);
  before = ui_runs->len;
  take_in (window);
  g_assert_cmpuint (job_of (window)->runs->len, ==, 1);
  g_assert_false (lw_desk_stale (desk));
  g_assert_cmpuint (lw_desk_answer_revision (desk), ==, lw_document_revision (lw_desk_document (desk)));
  g_assert_cmpuint (ui_runs->len, <=, before + 1);
  ui_close (window);
}

static void
test_history (void)
{
  LwWindow *window = window_with_answer ();
  LwDesk *desk = lw_window_desk (window);
  GtkWidget *panel, *list;
  LwToldList *changes;
  GError *error = NULL;
  double before;

  lw_lower_pane_show_page (window->lower, "history");
  ui_spin (100);
  panel = ui_child_of_type (GTK_WIDGET (window->lower), LW_TYPE_HISTORY_PANEL, 0);
  list = ui_child_of_type (panel, GTK_TYPE_LIST_BOX, 0);
  changes = LW_TOLD_LIST (ui_of_class (panel, "run-figures"));
  before = lw_job_number (job_of (window), "plans[0].nozzle_height_mm");
  gtk_editable_set_text (GTK_EDITABLE (ui_child_of_type (panel, GTK_TYPE_ENTRY, 0)), "as on the sheet");
  g_signal_emit_by_name (ui_button (panel, "K_eep Revision"), "clicked");
  g_assert_cmpuint (job_of (window)->revisions->len, ==, 1);
  g_assert_cmpstr (((LwRevision *) job_of (window)->revisions->pdata[0])->note, ==, "as on the sheet");

  lw_desk_edit (desk, lw_edit_number (job_of (window), "plans[0].nozzle_height_mm", before + 2, &error), "Raise", NULL, error);
  ui_spin (50);
  gtk_list_box_select_row (GTK_LIST_BOX (list), gtk_list_box_get_row_at_index (GTK_LIST_BOX (list), 0));
  g_assert_cmpstr (lw_told_list_cell (changes, 0, 0), ==, "nozzle height, mm");
  g_assert_cmpfloat (g_ascii_strtod (lw_told_list_cell (changes, 0, 1), NULL), ==, before);
  g_assert_cmpfloat (g_ascii_strtod (lw_told_list_cell (changes, 0, 2), NULL), ==, before + 2);
  g_signal_emit_by_name (ui_button (panel, "Res_tore"), "clicked");
  g_assert_cmpfloat (lw_job_number (job_of (window), "plans[0].nozzle_height_mm"), ==, before);
  g_assert_cmpuint (job_of (window)->revisions->len, ==, 2); /* what stood there was kept */
  g_assert_true (lw_document_undo (lw_desk_document (desk)));
  g_assert_cmpfloat (lw_job_number (job_of (window), "plans[0].nozzle_height_mm"), ==, before + 2);
  g_assert_cmpuint (job_of (window)->revisions->len, ==, 1);
  ui_close (window);
}

int
main (int argc, char **argv)
{
  ui_test_init (&argc, &argv);
  g_test_add_func ("/ui/runs/apart", test_apart);
  g_test_add_func ("/ui/runs/import", test_import);
  g_test_add_func ("/ui/runs/no-times", test_no_times);
  g_test_add_func ("/ui/runs/refused", test_refused);
  g_test_add_func ("/ui/runs/opened-as-board", test_opened_as_board);
  g_test_add_func ("/ui/runs/align", test_align);
  g_test_add_func ("/ui/runs/details", test_details);
  g_test_add_func ("/ui/runs/answer-holds", test_answer_holds);
  g_test_add_func ("/ui/runs/history", test_history);
  return g_test_run ();
}
