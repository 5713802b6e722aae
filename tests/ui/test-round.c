/* A whole job in the window: a board comes in, readiness asks for a bake, a better plan is sought and taken, its sheet is
 * printed and read, a noisy run is imported, laid over the plan and fitted, and the next answer is nearer to what was
 * recorded. All with the program's own solvers, worked by its own controls.
 *
 * The run is made up: the full solution of a station that warms the board from below by 12 C less than asked, with noise of
 * 0.3 K (seeded). The plan knows nothing of that. */
#include <math.h>
#include <string.h>

#include <glib/gstdio.h>

#include "app/fit-window.h"
#include "app/log-window.h"
#include "app/seek-window.h"
#include "app/window-print.h"
#include "plan/bench.h"
#include "ui-find.h"
#include "ui-fixture.h"
#include "widgets/inspector.h"

#define LONG_MS 120000
#define OFF_C -12.0
#define NOISE_K 0.3

static const char board_file[]
  = "{ \"leeward_format\": 1,"
    "  \"board\": { \"thickness_mm\": 1.6, \"outline\": [ { \"corners\": [ { \"x_mm\": 0, \"y_mm\": 0 }, { \"x_mm\": 60, \"y_mm\": 0 },"
    "    { \"x_mm\": 60, \"y_mm\": 40 }, { \"x_mm\": 0, \"y_mm\": 40 } ] } ] },"
    "  \"packages\": [ { \"name\": \"A\", \"kind\": \"area-array\", \"length_mm\": 15, \"width_mm\": 15, \"height_mm\": 1.5,"
    "    \"joints\": { \"pattern\": \"grid\", \"columns\": 10, \"rows\": 10, \"pitch_mm\": 1.27 } } ],"
    "  \"parts\": [ { \"ref\": \"U1\", \"package\": \"A\", \"x_mm\": 30, \"y_mm\": 20, \"kept_after\": true,"
    "    \"past\": { \"level\": \"3\", \"exposure_h\": 8760 } } ],"
    "  \"station\": { \"nozzles\": [ { \"name\": \"N18\", \"length_mm\": 18, \"width_mm\": 18 } ] },"
    "  \"plans\": [ { \"ref\": \"U1\", \"nozzle\": \"N18\","
    "    \"preheat_area\": { \"x_mm\": 30, \"y_mm\": 20, \"length_mm\": 50, \"width_mm\": 40 },"
    "    \"stages\": [ { \"name\": \"Soak\", \"duration_s\": 150, \"preheat_c\": 200 },"
    "      { \"name\": \"Melt\", \"duration_s\": 80, \"gas_c\": 330, \"flow_l_per_min\": 30, \"preheat_c\": 200 },"
    "      { \"name\": \"Cool\", \"duration_s\": 40 } ],"
    "    \"thermocouples\": [ { \"name\": \"U1 top\", \"ref\": \"U1\", \"x_mm\": 30, \"y_mm\": 20, \"side\": \"top\" } ] } ] }";

/* ---- finding and working controls ---- */

typedef struct {
  GtkWidget *root;
  const char *label;
} Wanted;

static gboolean
can_press (gpointer data)
{
  Wanted *wanted = data;
  GtkWidget *found = ui_button (wanted->root, wanted->label);

  return found != NULL && gtk_widget_get_visible (found) && gtk_widget_is_sensitive (found);
}

/* As soon as it can be. */
static void
press (GtkWidget *root, const char *label)
{
  Wanted wanted = { root, label };

  if (!ui_wait (can_press, &wanted, LONG_MS))
    g_error ("\"%s\" never could be pressed", label);
  g_signal_emit_by_name (ui_button (root, label), "clicked");
  ui_spin (50);
}

static gboolean
says (GtkWidget *root, const char *words)
{
  if (GTK_IS_LABEL (root) && strstr (gtk_label_get_text (GTK_LABEL (root)), words) != NULL)
    return TRUE;
  for (GtkWidget *child = gtk_widget_get_first_child (root); child != NULL; child = gtk_widget_get_next_sibling (child))
    if (says (child, words))
      return TRUE;
  return FALSE;
}

/* ---- the job ---- */

static LwDesk *
desk_of (LwWindow *window)
{
  return lw_window_desk (window);
}

static gboolean
is_answered (gpointer window)
{
  LwPrediction *p = lw_desk_prediction (desk_of (window));

  return p != NULL && p->full && !lw_desk_stale (desk_of (window));
}

static LwWindow *
open_board (const char *folder)
{
  LwWindow *window = lw_window_new (ui_application ());
  g_autofree char *path = g_build_filename (folder, "round.leeward", NULL);
  g_autoptr (GFile) file = g_file_new_for_path (path);

  g_assert_true (g_file_set_contents (path, board_file, -1, NULL));
  gtk_window_present (GTK_WINDOW (window));
  lw_window_open (window, file, NULL);
  g_assert_true (ui_wait (is_answered, window, LONG_MS));
  return window;
}

static void
see_readiness (LwWindow *window)
{
  const GPtrArray *findings = lw_desk_findings (desk_of (window));
  const LwFinding *bake = NULL;

  for (guint i = 0; i < findings->len; i++)
    if (g_str_equal (((const LwFinding *) g_ptr_array_index (findings, i))->kind, "readiness-bake"))
      bake = g_ptr_array_index (findings, i);
  g_assert_nonnull (bake);
  g_assert_cmpint (bake->grade, ==, LW_GRADE_STOP);
  /* J-STD-033: a level 3 part that lay open for a year is past its floor life of 168 h */
  g_assert_nonnull (strstr (bake->source, "J-STD-033"));
  gtk_widget_activate_action (GTK_WIDGET (window->inspector), "inspector.show", "i", LW_THING_READINESS);
  ui_spin (100);
  g_assert_true (says (GTK_WIDGET (window->inspector), "U1"));
}

static void
seek_better (LwWindow *window)
{
  guint64 before = lw_document_revision (lw_desk_document (desk_of (window)));
  GtkWidget *seek;

  gtk_widget_activate_action (GTK_WIDGET (window), "win.seek", NULL);
  ui_spin (100);
  seek = ui_top_of_type (LW_TYPE_SEEK_WINDOW);
  press (seek, "_Begin");
  press (seek, "_Use This Plan");
  g_assert_cmpuint (lw_document_revision (lw_desk_document (desk_of (window))), >, before);
  if ((seek = ui_top_of_type (LW_TYPE_SEEK_WINDOW)) != NULL)
    gtk_window_close (GTK_WINDOW (seek));
  g_assert_true (ui_wait (is_answered, window, LONG_MS));
}

static void
print_sheet (LwWindow *window, const char *folder)
{
  g_autofree char *path = g_build_filename (folder, "sheet.pdf", NULL), *words = NULL;
  const char *const argv[] = { "pdftotext", path, "-", NULL };
  g_autoptr (GError) error = NULL;

  lw_window_write_sheet (window, LW_SHEET_FILE_PDF, path, &error);
  g_assert_no_error (error);
  g_assert_true (g_spawn_sync (NULL, (char **) argv, NULL, G_SPAWN_SEARCH_PATH, NULL, NULL, &words, NULL, NULL, &error));
  g_assert_nonnull (strstr (words, "Bench sheet: remove U1"));
  g_assert_nonnull (strstr (words, "U1 top"));
  g_assert_nonnull (strstr (words, "Bake"));
  g_remove (path);
}

/* ---- the run ---- */

static double
reading (LwJob *job, const LwPrediction *p, double t_s)
{
  const LwPlan *plan = g_ptr_array_index (job->plans, 0);

  return lw_bench_reading_c (job, p, g_ptr_array_index (plan->thermocouples, 0), t_s);
}

static LwPrediction *
truth_of (const LwJob *job)
{
  g_autoptr (LwJob) hotter = lw_job_copy (job);
  LwPlan *plan = lw_job_edit_plan (hotter, 0);
  LwPredictOptions options = { .no_doubt = TRUE };
  g_autoptr (GError) error = NULL;
  LwPrediction *p;

  for (guint i = 0; i < plan->stages->len; i++) {
    LwStage *own = lw_stage_copy (g_ptr_array_index (plan->stages, i)); /* jobs share their stages */

    own->preheat_c += OFF_C; /* off stays off */
    g_ptr_array_remove_index (plan->stages, i);
    g_ptr_array_insert (plan->stages, (int) i, own);
  }
  p = lw_predict (hotter, 0, &options, NULL, NULL, NULL, &error);
  g_assert_no_error (error);
  return p;
}

/* Sum of twelve even draws: as good as normal here. */
static double
noise (GRand *draws)
{
  double sum = -6;

  for (int i = 0; i < 12; i++)
    sum += g_rand_double (draws);
  return NOISE_K * sum;
}

static GFile *
log_of (LwJob *job, const LwPrediction *truth, const char *folder)
{
  g_autofree char *path = g_build_filename (folder, "run.csv", NULL);
  g_autoptr (GString) text = g_string_new ("Time (s),U1 top (°C)\n");
  GRand *draws = g_rand_new_with_seed (20261126);

  for (int t = 0; t < truth->t_s[truth->n_times - 1]; t += 2)
    g_string_append_printf (text, "%d,%.2f\n", t, reading (job, truth, t) + noise (draws));
  g_rand_free (draws);
  g_assert_true (g_file_set_contents (path, text->str, -1, NULL));
  return g_file_new_for_path (path);
}

static void
import_run (LwWindow *window, GFile *log)
{
  g_autoptr (GError) error = NULL;

  lw_window_import_run (window, log, &error);
  g_assert_no_error (error);
  press (ui_top_of_type (LW_TYPE_LOG_WINDOW), "_Take In");
  g_assert_cmpuint (lw_desk_job (desk_of (window))->runs->len, ==, 1);
  g_assert_cmpstr (lw_lower_pane_page (window->lower), ==, "runs");
  g_assert_nonnull (lw_desk_comparison (desk_of (window)));
  g_assert_true (says (GTK_WIDGET (lw_lower_pane_runs (window->lower)), "U1 top"));
}

static void
fit_and_keep (LwWindow *window)
{
  GtkWidget *fit;

  gtk_widget_activate_action (GTK_WIDGET (window), "win.fit-runs", NULL);
  ui_spin (100);
  fit = ui_top_of_type (LW_TYPE_FIT_WINDOW);
  press (fit, "_Fit");
  press (fit, "_Keep");
  gtk_window_close (GTK_WINDOW (fit));
  g_assert_true (ui_wait (is_answered, window, LONG_MS));
}

/* Root mean square of the window's answer less the truth, K. */
static double
apart (LwWindow *window, LwJob *job, const LwPrediction *truth)
{
  double sum = 0;
  int n = 0;

  for (int t = 0; t < truth->t_s[truth->n_times - 1]; t += 2, n++) {
    double d = reading (job, lw_desk_prediction (desk_of (window)), t) - reading (job, truth, t);

    sum += d * d;
  }
  return sqrt (sum / n);
}

static void
test_round (void)
{
  g_autofree char *folder = g_dir_make_tmp ("leeward-round-XXXXXX", NULL);
  LwWindow *window = open_board (folder);
  g_autoptr (LwPrediction) truth = NULL;
  g_autoptr (LwJob) job = NULL;
  g_autoptr (GFile) log = NULL;
  double before, after;

  see_readiness (window);
  seek_better (window);
  print_sheet (window, folder);
  job = lw_job_ref (lw_desk_job (desk_of (window)));
  truth = truth_of (job);
  log = log_of (job, truth, folder);
  before = apart (window, job, truth);
  import_run (window, log);
  fit_and_keep (window);
  after = apart (window, job, truth);
  g_test_message ("%.2f K apart before the fit, %.2f K after it", before, after);
  g_assert_cmpfloat (before, >, 1.5);
  g_assert_cmpfloat (after, <, 0.4 * before);
  ui_close (window);
}

int
main (int argc, char **argv)
{
  ui_test_init (&argc, &argv);
  g_test_add_func ("/round", test_round);
  return g_test_run ();
}
