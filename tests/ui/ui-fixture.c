#include "ui-fixture.h"
#include "../as-shown.h"

#include <glib/gstdio.h>

#include "app/application.h"
#include "board/edits.h"
#include "board/job-file.h"
#include "plan/prediction.h"
#include "widgets/widgets.h"

static const char small_job[]
  = "{ \"leeward_format\": 1, \"title\": \"Small board\", \"alloy\": \"SAC305\", \"ambient_c\": 23,"
    "  \"board\": { \"name\": \"small\", \"thickness_mm\": 1.6, \"outline\": [ { \"corners\": ["
    "      { \"x_mm\": 0, \"y_mm\": 0 }, { \"x_mm\": 40, \"y_mm\": 0 }, { \"x_mm\": 40, \"y_mm\": 30 },"
    "      { \"x_mm\": 0, \"y_mm\": 30 } ] } ] },"
    "  \"parts\": ["
    "    { \"ref\": \"U1\", \"package\": \"QFN-32-5x5-0.50\", \"x_mm\": 20, \"y_mm\": 15, \"side\": \"top\" },"
    "    { \"ref\": \"C1\", \"package\": \"C0603\", \"x_mm\": 27, \"y_mm\": 15, \"side\": \"top\" },"
    "    { \"ref\": \"C2\", \"package\": \"ELCAP-8x10.2\", \"x_mm\": 8, \"y_mm\": 15, \"side\": \"top\" },"
    "    { \"ref\": \"R1\", \"package\": \"R0603\", \"x_mm\": 20, \"y_mm\": 22, \"side\": \"bottom\" } ],"
    "  \"station\": { \"name\": \"bench\", \"nozzles\": ["
    "      { \"name\": \"Square 8.5\", \"length_mm\": 8.5, \"width_mm\": 8.5, \"wall_mm\": 1, \"skirt_gap_mm\": 1.5 } ],"
    "    \"gas_min_c\": 100, \"gas_max_c\": 420, \"flow_min_l_per_min\": 8, \"flow_max_l_per_min\": 60,"
    "    \"gas_lag_s\": 6, \"preheater\": { \"kind\": \"infrared\", \"max_length_mm\": 300, \"max_width_mm\": 200,"
    "      \"min_c\": 80, \"max_c\": 420, \"gap_mm\": 35, \"lag_s\": 25, \"emissivity\": 0.92 } } }";

static void
wipe (const char *path)
{
  g_autoptr (GDir) dir = g_dir_open (path, 0, NULL);
  const char *name;

  while (dir != NULL && (name = g_dir_read_name (dir)) != NULL) {
    g_autofree char *child = g_build_filename (path, name, NULL);

    if (g_file_test (child, G_FILE_TEST_IS_DIR))
      wipe (child);
    g_remove (child);
  }
}

void
ui_test_init (int *argc, char ***argv)
{
  /* Set before GLib looks: G_TEST_OPTION_ISOLATE_DIRS would hide the system's own schemas from GTK. */
  const char *build = g_getenv ("G_TEST_BUILDDIR"); /* not set when somebody starts the program by hand */
  g_autofree char *base = g_build_filename (build ? build : g_get_tmp_dir (), "home", g_get_prgname (), NULL);
  g_autofree char *program = g_path_get_basename ((*argv)[0]);
  g_autofree char *home = g_build_filename (base, program, NULL);

  g_mkdir_with_parents (home, 0700);
  wipe (home);
  g_setenv ("XDG_DATA_HOME", home, TRUE);
  g_setenv ("XDG_CONFIG_HOME", home, TRUE);
  g_setenv ("XDG_CACHE_HOME", home, TRUE);
  gtk_test_init (argc, argv, NULL);
  lw_widgets_init ();
}

static gboolean
wake_cb (gpointer data)
{
  *(gboolean *) data = TRUE;
  return G_SOURCE_REMOVE;
}

static gboolean
tick_cb (gpointer data)
{
  return G_SOURCE_CONTINUE;
}

gint64
ui_patience (void)
{
  const char *times = g_getenv ("LW_PATIENCE");

  return times != NULL ? CLAMP (g_ascii_strtoll (times, NULL, 10), 1, 100) : 1;
}

gboolean
ui_wait (UiTest test, gpointer data, guint limit_ms)
{
  gint64 end = g_get_monotonic_time () + ui_patience () * limit_ms * 1000;
  guint tick = g_timeout_add (5, tick_cb, NULL);
  gboolean holds;

  while (!(holds = test (data)) && g_get_monotonic_time () < end)
    g_main_context_iteration (NULL, TRUE);
  g_source_remove (tick);
  return holds;
}

void
ui_spin (guint ms)
{
  gboolean over = FALSE;

  g_timeout_add (ms, wake_cb, &over);
  while (!over)
    g_main_context_iteration (NULL, TRUE);
}

gboolean
ui_is_busy (gpointer desk)
{
  return lw_desk_busy (desk);
}

gboolean
ui_is_answered (gpointer desk)
{
  LwPrediction *p = lw_desk_prediction (desk);

  return p != NULL && p->full && !lw_desk_busy (desk) && !lw_desk_stale (desk);
}

LwJob *
ui_small_job (void)
{
  g_autoptr (GError) error = NULL;
  LwJob *job = lw_job_from_data ("small.leeward", small_job, sizeof small_job - 1, &error);

  g_assert_no_error (error);
  return job;
}

LwJob *
ui_planned_job (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwJob) job = ui_small_job ();
  LwJob *planned = lw_edit_choose_target (job, "U1", &error);

  g_assert_no_error (error);
  return planned;
}

const char *
ui_shown (const char *text)
{
  return as_shown (text);
}

GFile *
ui_job_file (const char *name)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *dir = g_dir_make_tmp ("leeward-ui-XXXXXX", &error);
  g_autoptr (LwJob) job = ui_planned_job ();
  g_autofree char *path = g_build_filename (dir, name, NULL);
  GFile *file = g_file_new_for_path (path);

  g_assert_no_error (error);
  g_assert_true (lw_job_save (job, file, NULL, &error));
  g_assert_no_error (error);
  return file;
}

char *
ui_read (GFile *file)
{
  g_autoptr (GError) error = NULL;
  char *text = NULL;

  g_file_load_contents (file, NULL, &text, NULL, NULL, &error);
  g_assert_no_error (error);
  return text;
}

static double *
flat (guint n, double value)
{
  double *values = g_new (double, n);

  for (guint i = 0; i < n; i++)
    values[i] = value;
  return values;
}

#define N_TIMES 11

static LwPartTrace *
trace (const LwJob *job, guint index, double body_c, gboolean target)
{
  const LwPart *part = g_ptr_array_index (job->parts, index);
  LwPartTrace *self = g_new0 (LwPartTrace, 1);

  self->ref = g_strdup (part->ref);
  self->part = index;
  self->side = part->side;
  self->is_target = target;
  self->height_known = TRUE;
  self->joint_min = flat (N_TIMES, body_c - 12);
  self->joint_mean = flat (N_TIMES, body_c - 10);
  self->joint_max = flat (N_TIMES, body_c - 8);
  self->joint_center = flat (N_TIMES, body_c - 10);
  self->joint_corner = flat (N_TIMES, body_c - 10);
  self->body_top = flat (N_TIMES, body_c);
  self->body_max = flat (N_TIMES, body_c);
  self->liquid_share = flat (N_TIMES, 0);
  self->joint_peak_c = body_c - 8;
  self->joint_peak_s = 70;
  self->body_peak_c = body_c;
  self->body_peak_s = 70;
  self->joint_liquidus_c = 217;
  self->joint_doubt_k = self->body_doubt_k = 5;
  return self;
}

static void
add_fields (LwPrediction *answer)
{
  for (guint i = 0; i < 2; i++) {
    LwField *field = g_new0 (LwField, 1);

    field->t_s = i * 100;
    field->top = g_new0 (float, 1);
    field->bottom = g_new0 (float, 1);
    field->top[0] = field->bottom[0] = 150;
    g_ptr_array_add (answer->fields, field);
  }
}

LwPrediction *
ui_prediction (const LwJob *job, double body_c)
{
  LwPrediction *answer = lw_prediction_new ();

  answer->plan = job->active_plan;
  answer->n_times = N_TIMES;
  answer->t_s = flat (N_TIMES, 0);
  for (guint i = 0; i < N_TIMES; i++)
    answer->t_s[i] = 10 * i;
  for (guint i = 0; i < job->parts->len; i++)
    g_ptr_array_add (answer->parts, trace (job, i, body_c, i == 0));
  answer->target = 0;
  answer->gas_c = flat (N_TIMES, 300);
  answer->preheat_c = flat (N_TIMES, 150);
  answer->gas_set_c = flat (N_TIMES, 300);
  answer->preheat_set_c = flat (N_TIMES, 150);
  answer->board_max = flat (N_TIMES, 150);
  answer->board_mean = flat (N_TIMES, 120);
  answer->nx = answer->ny = 1;
  answer->x_edges_mm = flat (2, 0);
  answer->y_edges_mm = flat (2, 0);
  answer->x_edges_mm[1] = 40;
  answer->y_edges_mm[1] = 30;
  answer->board_peak_c = 150;
  add_fields (answer);
  return answer;
}

static LwFinding *
finding (LwGrade grade, const char *kind, const char *ref, double value, double limit, double moment_s)
{
  LwFinding *self = g_new0 (LwFinding, 1);

  self->grade = grade;
  self->kind = g_strdup (kind);
  self->ref = g_strdup (ref);
  self->value = value;
  self->limit = limit;
  self->unit = g_strdup ("°C");
  self->headroom = limit - value;
  self->upper = TRUE;
  self->doubt = 5;
  self->moment_s = moment_s;
  self->source = g_strdup ("the test");
  self->text = g_strdup_printf ("%s gets hot.", ref);
  self->advice = g_strdup ("Shield it.");
  return self;
}

GPtrArray *
ui_findings (void)
{
  GPtrArray *findings = g_ptr_array_new_with_free_func ((GDestroyNotify) lw_finding_free);

  g_ptr_array_add (findings, finding (LW_GRADE_STOP, "body-peak", "C1", 262, 250, 60));
  g_ptr_array_add (findings, finding (LW_GRADE_WATCH, "joint-peak", "R1", 196, 200, 80));
  return findings;
}

/* ---- the engine ---- */

GPtrArray *ui_runs;

static void
run_free (gpointer data)
{
  UiRun *run = data;

  if (run->task != NULL) {
    g_task_return_new_error (run->task, G_IO_ERROR, G_IO_ERROR_CANCELLED, "dropped");
    g_object_unref (run->task);
  }
  g_clear_object (&run->cancellable);
  lw_job_unref (run->job);
  g_free (run);
}

static void
engine_start (LwJob *job, guint plan, const LwPredictOptions *options, GCancellable *cancellable,
              LwPredictProgress progress, gpointer user, GAsyncReadyCallback callback, gpointer user_data)
{
  UiRun *run = g_new0 (UiRun, 1);

  run->task = g_task_new (NULL, NULL, callback, user_data); /* ends when the test says so, cancelled or not */
  run->cancellable = g_object_ref (cancellable);
  run->no_doubt = options->no_doubt;
  run->job = lw_job_ref (job);
  g_ptr_array_add (ui_runs, run);
  progress (0.5, user);
}

static LwPrediction *
engine_finish (GAsyncResult *result, GError **error)
{
  return g_task_propagate_pointer (G_TASK (result), error);
}

const LwRunnerEngine ui_engine = { engine_start, engine_finish };

static GTask *
steal_task (guint index)
{
  UiRun *run = g_ptr_array_index (ui_runs, index);

  return g_steal_pointer (&run->task);
}

void
ui_finish_run (guint index, double body_c)
{
  UiRun *run = g_ptr_array_index (ui_runs, index);
  g_autoptr (GTask) task = steal_task (index);

  g_task_return_pointer (task, ui_prediction (run->job, body_c), (GDestroyNotify) lw_prediction_unref);
}

void
ui_fail_run (guint index, const char *reason)
{
  UiRun *run = g_ptr_array_index (ui_runs, index);
  g_autoptr (GTask) task = steal_task (index);

  if (g_cancellable_is_cancelled (run->cancellable))
    g_task_return_new_error (task, G_IO_ERROR, G_IO_ERROR_CANCELLED, "cancelled");
  else
    g_task_return_new_error (task, LW_PREDICT_ERROR, LW_PREDICT_ERROR_SOLVER, "%s", reason);
}

void
ui_drop_runs (void)
{
  g_clear_pointer (&ui_runs, g_ptr_array_unref);
  ui_runs = g_ptr_array_new_with_free_func (run_free);
}

/* ---- windows ---- */

GtkApplication *
ui_application (void)
{
  static GtkApplication *app;
  g_autoptr (GError) error = NULL;

  if (app == NULL) {
    app = GTK_APPLICATION (lw_application_new ());
    g_application_set_flags (G_APPLICATION (app), G_APPLICATION_NON_UNIQUE);
    g_application_register (G_APPLICATION (app), NULL, &error);
    g_assert_no_error (error);
  }
  return app;
}

LwWindow *
ui_window (LwJob *job)
{
  LwWindow *window = lw_window_new (ui_application ());

  ui_drop_runs ();
  lw_runner_set_engine (lw_session_runner (lw_window_session (window)), &ui_engine);
  gtk_window_present (GTK_WINDOW (window));
  if (job != NULL) {
    g_autoptr (LwDocument) document = lw_document_new (job, NULL);

    lw_session_take_document (lw_window_session (window), document);
  }
  return window;
}

LwWindow *
ui_small_window (void)
{
  LwWindow *window = ui_window (NULL);

  gtk_window_set_default_size (GTK_WINDOW (window), 1024, 700);
  ui_spin (100);
  return window;
}

void
ui_close (LwWindow *window)
{
  window->closing = TRUE;
  gtk_window_close (GTK_WINDOW (window));
  ui_drop_runs ();
  ui_spin (30);
}

void
ui_assert_gone (GtkWidget *widget)
{
  g_object_add_weak_pointer (G_OBJECT (widget), (gpointer *) &widget);
  g_object_unref (widget);
  g_assert_null (widget);
}
