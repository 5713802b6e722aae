/* A board of 600 x 500 mm with 10,000 parts in the real window: opened, panned by pointer, zoomed, computed. Prints a
 * table. The board is made here, always the same. */
#include <math.h>
#include <time.h>

#include "board/default-plan.h"
#include "board/edits.h"
#include "board/job-file.h"
#include "board/library.h"
#include "ui-fixture.h"
#include "widgets/board-view-private.h"

#define PARTS 10000
#define WIDTH_MM 600.0
#define HEIGHT_MM 500.0
#define CELL_MM 25.0 /* a large part with twenty small ones round and under it */
#define STATION "Harbour bench 1"
#define FRAMES 90
#define LIMIT_MS 33.3

static double
worked_ms (void)
{
  struct timespec t;

  clock_gettime (CLOCK_THREAD_CPUTIME_ID, &t);
  return 1e3 * (double) t.tv_sec + 1e-6 * (double) t.tv_nsec;
}

/* ---- the board ---- */

static void
add_part (LwJob *job, const char *package, double x, double y, LwSide side)
{
  LwPart *part = lw_part_new ();

  g_free (part->ref);
  g_free (part->package);
  part->ref = g_strdup_printf ("%c%u", *package == 'B' || *package == 'S' ? 'U' : *package, job->parts->len + 1);
  part->package = g_strdup (package);
  part->x_mm = x;
  part->y_mm = y;
  part->side = side;
  part->placed = TRUE;
  g_ptr_array_add (job->parts, part);
}

/* Twelve round the large part, the others under it. */
static void
add_cell (LwJob *job, double cx, double cy)
{
  static const char *const large[] = { "BGA-324-19x19-1.00", "SOIC-16W", "SOIC-8" };
  static const char *const small[] = { "C0402", "R0402", "C0603", "R0603", "C0805", "R1206" };

  add_part (job, large[job->parts->len % G_N_ELEMENTS (large)], cx, cy, LW_SIDE_TOP);
  for (guint k = 0; k < 20 && job->parts->len < PARTS; k++) {
    double turn = 2 * G_PI * k / 12, edge = 11.2 / MAX (fabs (cos (turn)), fabs (sin (turn)));
    gboolean round = k < 12;

    add_part (job, small[(job->parts->len * 7 + k) % G_N_ELEMENTS (small)],
              cx + (round ? edge * cos (turn) : 6.0 * ((k - 12) % 4) - 9.0),
              cy + (round ? edge * sin (turn) : 8.0 * ((k - 12) / 4) - 4.0), round ? LW_SIDE_TOP : LW_SIDE_BOTTOM);
  }
}

static LwJob *
large_job (void)
{
  LwJob *job = lw_job_new ();
  LwLoop *edge = lw_loop_new ();

  lw_loop_add (edge, 0, 0, 0);
  lw_loop_add (edge, WIDTH_MM, 0, 0);
  lw_loop_add (edge, WIDTH_MM, HEIGHT_MM, 0);
  lw_loop_add (edge, 0, HEIGHT_MM, 0);
  g_ptr_array_add (job->board->outline, edge);
  lw_station_unref (job->station);
  job->station = lw_station_ref (lw_library_station (STATION));
  for (double y = 0.5 * CELL_MM; y < HEIGHT_MM; y += CELL_MM)
    for (double x = 0.5 * CELL_MM; x < WIDTH_MM && job->parts->len < PARTS; x += CELL_MM)
      add_cell (job, x, y);
  while (job->parts->len < PARTS)
    add_part (job, "R0402", 3.0 + (double) (job->parts->len * 37 % 590), 1.5, LW_SIDE_BOTTOM);
  return job;
}

/* ---- frames ---- */

static GArray *frames; /* double: processor ms of the window's thread */
static double last_ms;

static void
after_paint_cb (GdkFrameClock *clock)
{
  double now = worked_ms (), work = now - last_ms;

  if (frames != NULL)
    g_array_append_val (frames, work);
  last_ms = now;
}

static int
compare (gconstpointer a, gconstpointer b)
{
  double x = *(const double *) a, y = *(const double *) b;

  return x < y ? -1 : x > y;
}

/* Moves the view by STEP in every frame. */
static void
bench_motion (LwWindow *window, const char *name, void (*step) (LwBoardView *view, guint i))
{
  double p95;

  frames = g_array_new (FALSE, FALSE, sizeof (double));
  last_ms = worked_ms ();
  for (guint i = 0; frames->len < FRAMES && i < 3000; i++) {
    guint before = frames->len;

    step (window->board_view, i);
    for (guint k = 0; k < 50 && frames->len == before; k++)
      ui_spin (2);
  }
  g_array_sort (frames, compare);
  p95 = g_array_index (frames, double, (guint) (0.95 * frames->len));
  g_print ("| %s, ms a frame: median %.1f, 95 %% | %.1f | %.1f | %s |\n", name,
           g_array_index (frames, double, frames->len / 2), p95, LIMIT_MS, p95 <= LIMIT_MS ? "kept" : "missed");
  g_clear_pointer (&frames, g_array_unref);
}

static void
pan_step (LwBoardView *view, guint i)
{
  lw_board_view_pan (view, i % 60 < 30 ? 7 : -7, i % 60 < 30 ? 4 : -4);
}

static void
zoom_step (LwBoardView *view, guint i)
{
  lw_board_view_zoom_at (view, i % 40 < 20 ? 1.2 : 1 / 1.2, 300, 200);
}

static gboolean
is_painted (gpointer window)
{
  return LW_WINDOW (window)->board_view->sheets.flat != NULL && LW_WINDOW (window)->board_view->dirty == 0;
}

static gboolean
has_answer (gpointer window)
{
  LwDesk *desk = lw_window_desk (window);

  return lw_desk_prediction (desk) != NULL || lw_desk_failure (desk) != NULL;
}

static void
bench_answer (LwWindow *window)
{
  gint64 start = g_get_monotonic_time ();
  LwDesk *desk = lw_window_desk (window);
  LwJob *job = lw_edit_choose_target (lw_desk_job (desk), "U1", NULL);
  double begun = worked_ms ();
  const LwPrediction *answer;

  lw_desk_edit (desk, job, "Choose part to rework", NULL, NULL);
  g_print ("| choose the part to rework, ms | %.0f | | |\n", worked_ms () - begun);
  if (!ui_wait (has_answer, window, 300000)) {
    g_print ("| first answer | none within 300 s | | missed |\n");
    return;
  }
  answer = lw_desk_prediction (desk);
  if (answer == NULL)
    g_print ("| first answer | refused: %s | | |\n", lw_desk_failure (desk));
  else
    g_print ("| first answer: %u nodes, s | %.1f | | |\n", answer->n_nodes, 1e-6 * (double) (g_get_monotonic_time () - start));
}

int
main (int argc, char **argv)
{
  g_autoptr (LwDocument) document = NULL;
  LwWindow *window;
  double begun;

  ui_test_init (&argc, &argv);
  document = lw_document_new (large_job (), NULL);
  window = lw_window_new (ui_application ());
  gtk_window_set_default_size (GTK_WINDOW (window), 1280, 800);
  gtk_window_present (GTK_WINDOW (window));
  ui_spin (500);
  g_signal_connect_after (gtk_widget_get_frame_clock (GTK_WIDGET (window)), "after-paint", G_CALLBACK (after_paint_cb), NULL);
  g_print ("\n| board of %u parts | measured | limit | |\n|---|---|---|---|\n", PARTS);
  begun = worked_ms ();
  lw_session_take_document (lw_window_session (window), document);
  g_assert_true (ui_wait (is_painted, window, 60000));
  g_print ("| opened and drawn, processor s | %.2f | | |\n", 1e-3 * (worked_ms () - begun));
  bench_motion (window, "pan", pan_step);
  bench_motion (window, "zoom", zoom_step);
  bench_answer (window);
  bench_motion (window, "pan with the field", pan_step);
  ui_close (window);
  return 0;
}
