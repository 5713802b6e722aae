/* Frames of the real window while a real pointer drags, pans and zooms, on the demo. Prints a table. Argument: the job; with LW_SHOTS set
 * to a folder, a picture of each drag is put there; with LW_ONLY set to a row's name, that row alone. */
#include <math.h>
#include <stdlib.h>
#include <time.h>

#include "board/edits.h"
#include "board/job-file.h"
#include "draw/board-painter.h"
#include "ui-fixture.h"
#include "widgets/board-view-private.h"
#include "widgets/profile-view-private.h"

#define MOTIONS 300
#define LIMIT_MS 33.3 /* what 30 frames a second leave */
#define MOTION_S "0.010" /* a mouse reports 100 times a second */

/* ---- frames ---- */

/* Between frames by the wall clock; what the window's thread works for a frame, and what of that is painting, by its
 * processor clock, which does not count what else the machine does. */
typedef struct {
  GArray *between_ms, *work_ms, *paint_ms; /* double */
  double last_ms, worked_ms, begun_ms;
  GArray *behind; /* double: edits made since the version an answer is for */
} Record;

static Record record;
static gboolean recording;

static double
now_ms (clockid_t clock)
{
  struct timespec t;

  clock_gettime (clock, &t);
  return 1e3 * (double) t.tv_sec + 1e-6 * (double) t.tv_nsec;
}

static void
before_paint_cb (GdkFrameClock *clock)
{
  record.begun_ms = now_ms (CLOCK_THREAD_CPUTIME_ID);
}

static void
after_paint_cb (GdkFrameClock *clock)
{
  double wall = now_ms (CLOCK_MONOTONIC), worked = now_ms (CLOCK_THREAD_CPUTIME_ID);
  double between = wall - record.last_ms, work = worked - record.worked_ms, paint = worked - record.begun_ms;

  if (recording && record.last_ms > 0) {
    g_array_append_val (record.between_ms, between);
    g_array_append_val (record.work_ms, work);
    g_array_append_val (record.paint_ms, paint);
  }
  record.last_ms = wall;
  record.worked_ms = worked;
}

static void
answer_cb (LwDesk *desk)
{
  static const LwPrediction *last;
  const LwPrediction *answer = lw_desk_prediction (desk);
  double behind = (double) (lw_document_revision (lw_desk_document (desk)) - lw_desk_answer_revision (desk));

  if (recording && answer != NULL && answer != last)
    g_array_append_val (record.behind, behind);
  last = answer;
}

static int
compare (gconstpointer a, gconstpointer b)
{
  double x = *(const double *) a, y = *(const double *) b;

  return x < y ? -1 : x > y;
}

static double
quantile (GArray *values, double share)
{
  if (values->len == 0)
    return NAN;
  g_array_sort (values, compare);
  return g_array_index (values, double, MIN ((guint) (share * values->len), values->len - 1));
}

/* ---- the pointer ---- */

typedef struct {
  LwWindow *window;
  LwProfileView *profile;
} Bench;

static void
append (GPtrArray *argv, const char *format, ...)
{
  va_list args;
  g_autofree char *line = NULL;
  g_auto (GStrv) words = NULL;

  va_start (args, format);
  line = g_strdup_vprintf (format, args);
  va_end (args);
  words = g_strsplit (line, " ", -1);
  for (char **word = words; *word != NULL; word++)
    g_ptr_array_add (argv, g_strdup (*word));
}

static void
done_cb (GObject *source, GAsyncResult *result, gpointer done)
{
  g_subprocess_wait_finish (G_SUBPROCESS (source), result, NULL);
  *(gboolean *) done = TRUE;
}

static gboolean
is_true (gpointer flag)
{
  return *(gboolean *) flag;
}

static void
shoot (const char *name)
{
  const char *folder = g_getenv ("LW_SHOTS");
  g_autofree char *line = NULL;

  if (folder == NULL)
    return;
  line = g_strdup_printf ("import -window root %s/%s.png", folder, name);
  if (!g_spawn_command_line_sync (line, NULL, NULL, NULL, NULL))
    g_printerr ("no picture: %s\n", line);
}

/* Runs one xdotool with all its commands while the window lives; SHOT after half a second, or NULL. */
static void
play (GPtrArray *argv, const char *shot)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GSubprocess) process = NULL;
  gboolean done = FALSE;

  g_ptr_array_add (argv, NULL);
  process = g_subprocess_newv ((const char *const *) argv->pdata, G_SUBPROCESS_FLAGS_NONE, &error);
  g_assert_no_error (error);
  g_subprocess_wait_async (process, NULL, done_cb, &done);
  if (shot != NULL && g_getenv ("LW_SHOTS") != NULL) {
    ui_spin (1100);
    shoot (shot);
  }
  g_assert_true (ui_wait (is_true, &done, 60000));
}

static GPtrArray *
script (void)
{
  const char *tool = g_getenv ("LW_XDOTOOL");
  GPtrArray *argv = g_ptr_array_new_with_free_func (g_free);

  append (argv, "%s", tool != NULL && *tool != '\0' ? tool : "xdotool");
  return argv;
}

/* A widget's point on the screen; the window lies at the screen's corner. */
static void
to_screen (Bench *bench, GtkWidget *widget, double *x, double *y)
{
  double dx, dy;

  gtk_native_get_surface_transform (GTK_NATIVE (bench->window), &dx, &dy);
  gtk_widget_translate_coordinates (widget, GTK_WIDGET (bench->window), *x, *y, x, y);
  *x += dx;
  *y += dy;
}

static void
begin_record (void)
{
  record = (Record){ .between_ms = g_array_new (FALSE, FALSE, sizeof (double)),
                     .work_ms = g_array_new (FALSE, FALSE, sizeof (double)),
                     .paint_ms = g_array_new (FALSE, FALSE, sizeof (double)),
                     .behind = g_array_new (FALSE, FALSE, sizeof (double)) };
  recording = TRUE;
}

static void
end_record (const char *name, gint64 start)
{
  double seconds = 1e-6 * (double) (g_get_monotonic_time () - start), work = quantile (record.work_ms, 0.95);

  recording = FALSE;
  g_print ("| %-12s | %4u | %6.1f | %6.1f | %4.1f | %s | %6.1f | %6.1f | %6.1f | %5.1f | %4.0f |\n", name,
           record.work_ms->len, quantile (record.work_ms, 0.5), work, LIMIT_MS, work <= LIMIT_MS ? "kept" : "missed",
           quantile (record.paint_ms, 0.5), quantile (record.between_ms, 0.5), quantile (record.between_ms, 0.95),
           record.behind->len / seconds, quantile (record.behind, 0.5));
  g_array_unref (record.between_ms);
  g_array_unref (record.work_ms);
  g_array_unref (record.paint_ms);
  g_array_unref (record.behind);
}

/* ---- answers as fast as a model may give them ---- */

#define FEED_MS 40

/* Two answers with their findings, in turn: every frame or two all figures are others. */
typedef struct {
  LwDesk *desk;
  LwPrediction *answers[2];
  GPtrArray *findings[2];
  guint turn, source;
} Feed;

static Feed feed;

static gboolean
feed_cb (gpointer data)
{
  guint k = feed.turn++ % 2;

  lw_desk_take_answer (feed.desk, lw_document_revision (lw_desk_document (feed.desk)), feed.answers[k], feed.findings[k]);
  return G_SOURCE_CONTINUE;
}

static void
keep_answer (LwDesk *desk, guint k)
{
  feed.desk = desk;
  g_clear_pointer (&feed.answers[k], lw_prediction_unref);
  g_clear_pointer (&feed.findings[k], g_ptr_array_unref);
  feed.answers[k] = lw_prediction_ref (lw_desk_prediction (desk));
  feed.findings[k] = g_ptr_array_ref ((GPtrArray *) lw_desk_findings (desk));
}

static gboolean
is_wanted (const char *name)
{
  const char *only = g_getenv ("LW_ONLY");

  return only == NULL || g_str_equal (only, name);
}

/* Presses BUTTON at a point of WIDGET, goes round in a circle of RADIUS, and lets go. */
static void
drag_with (Bench *bench, int button, const char *name, GtkWidget *widget, double x, double y, double radius)
{
  g_autoptr (GPtrArray) argv = script ();
  gint64 start;

  if (!is_wanted (name))
    return;
  to_screen (bench, widget, &x, &y);
  append (argv, "mousemove %.0f %.0f sleep 0.2 mousedown %d sleep 0.05", x, y, button);
  for (int i = 0; i <= MOTIONS; i++) {
    double turn = 2.0 * G_PI * i / MOTIONS;

    append (argv, "mousemove -- %.0f %.0f sleep " MOTION_S, x + radius * sin (turn), y + radius * (1.0 - cos (turn)));
  }
  append (argv, "mouseup %d", button);
  if (g_str_has_suffix (name, "-fed"))
    feed.source = g_timeout_add (FEED_MS, feed_cb, NULL);
  begin_record ();
  start = g_get_monotonic_time ();
  play (argv, name);
  g_clear_handle_id (&feed.source, g_source_remove);
  end_record (name, start);
  ui_spin (300);
}

static void
drag (Bench *bench, const char *name, GtkWidget *widget, double x, double y, double radius)
{
  drag_with (bench, 1, name, widget, x, y, radius);
}

static void
zoom (Bench *bench)
{
  GtkWidget *view = GTK_WIDGET (bench->window->board_view);
  double x = 0.4 * gtk_widget_get_width (view), y = 0.5 * gtk_widget_get_height (view);
  g_autoptr (GPtrArray) argv = script ();
  gint64 start;

  if (!is_wanted ("zoom"))
    return;
  to_screen (bench, view, &x, &y);
  append (argv, "mousemove %.0f %.0f sleep 0.2", x, y);
  for (int i = 0; i < 40; i++)
    append (argv, "click %d sleep 0.03", i % 20 < 10 ? 4 : 5);
  begin_record ();
  start = g_get_monotonic_time ();
  play (argv, NULL);
  end_record ("zoom", start);
  ui_spin (300);
}

/* ---- where things are ---- */

static gboolean
find_grip (Bench *bench, LwGrip wanted, double *x, double *y)
{
  LwBoardView *view = bench->window->board_view;
  LwDesk *desk = lw_window_desk (bench->window);
  guint index;

  for (*y = 8; *y < view->view.height - 8; *y += 3)
    for (*x = 8; *x < view->view.width - 8; *x += 3)
      if (lw_board_hit_grip (lw_desk_job (desk), lw_desk_plan (desk), &view->view, *x, *y, &index) == wanted)
        return TRUE;
  return FALSE;
}

/* A part that may be moved, not the target. */
static gboolean
find_part (Bench *bench, double *x, double *y)
{
  LwBoardView *view = bench->window->board_view;
  LwDesk *desk = lw_window_desk (bench->window);
  const LwJob *job = lw_desk_job (desk);
  const LwPlan *plan = g_ptr_array_index (job->plans, lw_desk_plan (desk));
  guint index;

  for (*y = 0.3 * view->view.height; *y < view->view.height - 8; *y += 3)
    for (*x = 0.2 * view->view.width; *x < view->view.width - 8; *x += 3) {
      int part = lw_board_hit_part (job, &view->view, *x, *y);
      const LwPart *hit = part < 0 ? NULL : g_ptr_array_index (job->parts, part);

      if (hit != NULL && !hit->locked && g_strcmp0 (hit->ref, plan->ref) != 0
          && lw_board_hit_grip (job, lw_desk_plan (desk), &view->view, *x, *y, &index) == LW_GRIP_NONE)
        return TRUE;
    }
  return FALSE;
}

static gboolean
find_pull (Bench *bench, LwPull wanted, double *x, double *y)
{
  LwProfilePicture picture;

  lw_profile_view_fill_picture (bench->profile, &picture);
  for (*y = 4; *y < picture.height - 4; *y += 2)
    for (*x = 4; *x < picture.width - 4; *x += 3)
      if (lw_profile_hit (&picture, *x, *y, NULL) == wanted)
        return TRUE;
  return FALSE;
}

static GtkWidget *
find_widget (GtkWidget *in, GType type)
{
  if (G_TYPE_CHECK_INSTANCE_TYPE (in, type))
    return in;
  for (GtkWidget *child = gtk_widget_get_first_child (in); child != NULL; child = gtk_widget_get_next_sibling (child)) {
    GtkWidget *found = find_widget (child, type);

    if (found != NULL)
      return found;
  }
  return NULL;
}

/* ---- the whole ---- */

static gboolean
is_settled (gpointer desk)
{
  return lw_desk_prediction (desk) != NULL && !lw_desk_stale (desk);
}

static void
settle (Bench *bench)
{
  ui_spin (700);
  g_assert_true (ui_wait (is_settled, lw_window_desk (bench->window), 240000));
}

/* The demo has no shield: one goes where the bench finds room, as a person would add it. */
static void
add_shield (Bench *bench)
{
  LwDesk *desk = lw_window_desk (bench->window);
  const LwJob *job = lw_desk_job (desk);
  LwBox board = lw_board_extent (job);
  LwJob *after = lw_edit_add_shield (job, (guint) lw_desk_plan (desk), 0.8 * board.x1_mm + 0.2 * board.x0_mm,
                                     0.8 * board.y1_mm + 0.2 * board.y0_mm, NULL);

  g_assert_nonnull (after);
  lw_desk_edit (desk, after, "Add shield", NULL, NULL);
}

static void
bench_board (Bench *bench)
{
  GtkWidget *board = GTK_WIDGET (bench->window->board_view);
  double x, y;

  if (find_grip (bench, LW_GRIP_NOZZLE, &x, &y))
    drag (bench, "nozzle", board, x, y, 14);
  settle (bench);
  if (find_grip (bench, LW_GRIP_PREHEAT_LEFT, &x, &y))
    drag (bench, "preheat-area", board, x, y, 25);
  settle (bench);
  if (find_part (bench, &x, &y))
    drag (bench, "part", board, x, y, 12);
  settle (bench);
  drag_with (bench, 2, "pan", board, 0.4 * gtk_widget_get_width (board), 0.3 * gtk_widget_get_height (board), 60);
  zoom (bench);
  if (!is_wanted ("shield"))
    return;
  add_shield (bench);
  settle (bench);
  if (find_grip (bench, LW_GRIP_SHIELD, &x, &y))
    drag (bench, "shield", board, x, y, 12);
  settle (bench);
}

static void
bench_profile (Bench *bench)
{
  static const struct {
    LwPull pull;
    const char *name;
  } pulls[] = { { LW_PULL_GAS, "gas" }, { LW_PULL_PREHEAT, "preheat" }, { LW_PULL_STAGE_END, "stage-time" } };
  double x, y;

  for (guint i = 0; i < G_N_ELEMENTS (pulls); i++) {
    if (find_pull (bench, pulls[i].pull, &x, &y))
      drag (bench, pulls[i].name, GTK_WIDGET (bench->profile), x, y, 15);
    settle (bench);
  }
}

/* An answer of another set point, to be fed in turn with the first. */
static void
prepare_feed (Bench *bench)
{
  LwDesk *desk = lw_window_desk (bench->window);
  const LwJob *job = lw_desk_job (desk);
  g_autofree char *path = g_strdup_printf ("plans[%d].stages[0].duration_s", lw_desk_plan (desk));
  const LwPlan *plan = g_ptr_array_index (job->plans, lw_desk_plan (desk));
  const LwStage *stage = g_ptr_array_index (plan->stages, 0);

  keep_answer (desk, 0);
  lw_desk_edit (desk, lw_edit_number (job, path, stage->duration_s + 5, NULL), "Longer", NULL, NULL);
  settle (bench);
  keep_answer (desk, 1);
}

static void
bench_fed (Bench *bench)
{
  GtkWidget *board = GTK_WIDGET (bench->window->board_view);
  double x, y;

  if (!is_wanted ("nozzle-fed") && !is_wanted ("part-fed") && !is_wanted ("gas-fed"))
    return;
  prepare_feed (bench);
  if (find_grip (bench, LW_GRIP_NOZZLE, &x, &y))
    drag (bench, "nozzle-fed", board, x, y, 14);
  if (find_part (bench, &x, &y))
    drag (bench, "part-fed", board, x, y, 12);
  if (find_pull (bench, LW_PULL_GAS, &x, &y))
    drag (bench, "gas-fed", GTK_WIDGET (bench->profile), x, y, 15);
}

static void
bench_all (Bench *bench)
{
  g_print ("\n| what | frames | work a frame, processor ms: median | 95 %% | limit | | of it painting | frame to frame, ms: median "
           "| 95 %% | answers a second | edits behind |\n|---|---|---|---|---|---|---|---|---|---|---|\n");
  bench_fed (bench);
  bench_profile (bench);
  bench_board (bench);
}

int
main (int argc, char **argv)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GFile) file = g_file_new_for_path (argv[argc - 1]);
  g_autoptr (LwDocument) document = NULL;
  Bench bench = { NULL, NULL };
  GdkFrameClock *clock;
  LwJob *job;

  ui_test_init (&argc, &argv);
  job = lw_job_load (file, NULL, &error);
  if (job == NULL)
    g_error ("%s", error->message);
  g_object_set (gtk_settings_get_default (), "gtk-application-prefer-dark-theme", g_getenv ("LW_DARK") != NULL, NULL);
  document = lw_document_new (job, NULL);
  bench.window = lw_window_new (ui_application ());
  gtk_window_set_default_size (GTK_WINDOW (bench.window), g_getenv ("LW_LARGE") != NULL ? 1920 : 1280,
                               g_getenv ("LW_LARGE") != NULL ? 1080 : 800);
  gtk_window_present (GTK_WINDOW (bench.window));
  lw_session_take_document (lw_window_session (bench.window), document);
  bench.profile = LW_PROFILE_VIEW (find_widget (GTK_WIDGET (bench.window), LW_TYPE_PROFILE_VIEW));
  clock = gtk_widget_get_frame_clock (GTK_WIDGET (bench.window));
  g_signal_connect (clock, "before-paint", G_CALLBACK (before_paint_cb), NULL);
  g_signal_connect_after (clock, "after-paint", G_CALLBACK (after_paint_cb), NULL);
  g_signal_connect (lw_window_desk (bench.window), "answer-changed", G_CALLBACK (answer_cb), NULL);
  settle (&bench);
  bench_all (&bench);
  ui_close (bench.window);
  return 0;
}
