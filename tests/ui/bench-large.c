/* A board of 600 x 500 mm with 10,000 parts in the real window: opened, panned by pointer, zoomed, computed. Prints a
 * table. */
#include <math.h>
#include <time.h>

#include "../plan/large-board.h"
#include "board/edits.h"
#include "ui-find.h"
#include "ui-fixture.h"
#include "widgets/board-view-private.h"

#define FRAMES 90
#define LIMIT_MS 33.3
#define ACT_MS 100.0

static double
worked_ms (void)
{
  struct timespec t;

  clock_gettime (CLOCK_THREAD_CPUTIME_ID, &t);
  return 1e3 * (double) t.tv_sec + 1e-6 * (double) t.tv_nsec;
}

/* ---- frames ---- */

static GArray *frames; /* double: processor ms of the window's thread */
static double last_ms;
static LwBoardView *watched; /* whose edges are looked at after each frame, or NULL */
static guint n_gaps, n_bare; /* frames in which the sheets leave a strip; in which nothing stands in for them there */

static void
after_paint_cb (GdkFrameClock *clock)
{
  double now = worked_ms (), work = now - last_ms;

  if (frames != NULL) {
    g_array_append_val (frames, work);
    if (watched != NULL && lw_board_view_gap (watched) > 0.5) {
      n_gaps++;
      n_bare += !lw_board_view_stands_in (watched);
    }
  }
  last_ms = now;
}

static int
compare (gconstpointer a, gconstpointer b)
{
  double x = *(const double *) a, y = *(const double *) b;

  return x < y ? -1 : x > y;
}

/* Moves the view by STEP in every frame; PACE_MS: not sooner than so long after the one before. */
static void
bench_motion (LwWindow *window, const char *name, void (*step) (LwBoardView *view, guint i), guint pace_ms)
{
  double p95;

  n_gaps = n_bare = 0;
  watched = window->board_view;
  frames = g_array_new (FALSE, FALSE, sizeof (double));
  last_ms = worked_ms ();
  for (guint i = 0; frames->len < FRAMES && i < 3000; i++) {
    guint before = frames->len;
    gint64 begun = g_get_monotonic_time ();

    step (window->board_view, i);
    for (guint k = 0; k < 50 && frames->len == before; k++)
      ui_spin (2);
    while (pace_ms > 0 && g_get_monotonic_time () - begun < 1000 * (gint64) pace_ms)
      ui_spin (1);
  }
  g_array_sort (frames, compare);
  p95 = g_array_index (frames, double, (guint) (0.95 * frames->len));
  g_print ("| %s, ms a frame: median %.1f, 95 %% | %.1f | %.1f | %s |\n", name,
           g_array_index (frames, double, frames->len / 2), p95, LIMIT_MS, p95 <= LIMIT_MS ? "kept" : "missed");
  g_print ("| %s, frames of %u with a strip where the whole board stands in | %u | | |\n", name, frames->len, n_gaps - n_bare);
  g_print ("| %s, frames of %u with a strip that is not painted | %u | | |\n", name, frames->len, n_bare);
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
  LwJob *job = lw_edit_choose_target (lw_desk_job (desk), LARGE_TARGET, NULL);
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

/* ---- edits and the list ---- */

/* Work of the window's thread from an act until the board shows it and nothing else is to be drawn. */
static void
bench_act (LwWindow *window, const char *name, void (*act) (LwWindow *window))
{
  double begun = worked_ms (), at_once;

  act (window);
  at_once = worked_ms () - begun;
  ui_spin (400); /* the list waits for a pause in typing */
  g_assert_true (ui_wait (is_painted, window, 60000));
  g_print ("| %s, ms: at once %.0f, until drawn | %.0f | %.0f | %s |\n", name, at_once, worked_ms () - begun, ACT_MS,
           worked_ms () - begun <= ACT_MS ? "kept" : "missed");
}

static void
select_act (LwWindow *window)
{
  LwDesk *desk = lw_window_desk (window);

  lw_desk_select_part (desk, lw_job_find_part (lw_desk_job (desk), LARGE_TARGET) + 1);
}

static void
move_act (LwWindow *window)
{
  LwDesk *desk = lw_window_desk (window);
  const LwJob *job = lw_desk_job (desk);
  int part = lw_desk_selected_part (desk);
  const LwPart *at = g_ptr_array_index (job->parts, part);

  lw_desk_edit (desk, lw_edit_move_part (job, part, at->x_mm + 1, at->y_mm, NULL), "Move part", NULL, NULL);
}

static void
undo_act (LwWindow *window)
{
  lw_document_undo (lw_desk_document (lw_window_desk (window)));
}

static void
redo_act (LwWindow *window)
{
  lw_document_redo (lw_desk_document (lw_window_desk (window)));
}

static void
type_act (LwWindow *window)
{
  LwDesk *desk = lw_window_desk (window);

  lw_desk_edit (desk, lw_edit_number (lw_desk_job (desk), "plans[0].stages[1].gas_c", 281, NULL), "Change gas", NULL, NULL);
}

static gboolean
is_at_rest (LwWindow *window)
{
  LwDesk *desk = lw_window_desk (window);
  const LwPrediction *answer = lw_desk_prediction (desk);

  return lw_desk_failure (desk) != NULL
         || (answer != NULL && answer->full && answer->doubt != NULL && !lw_desk_busy (desk) && !lw_desk_stale (desk));
}

/* How long the window's thread is held at a time while the quick answer, the full one and its doubt come in. */
static void
bench_coming (LwWindow *window)
{
  gint64 start = g_get_monotonic_time ();
  double longest = 0, begun = worked_ms ();

  while (!is_at_rest (window) && g_get_monotonic_time () - start < 300 * G_USEC_PER_SEC) {
    double before = worked_ms ();

    g_main_context_iteration (NULL, TRUE);
    longest = MAX (longest, worked_ms () - before);
  }
  g_print ("| answers come until the doubt is there: at a time %.0f ms at most, together, ms | %.0f | | %s |\n", longest,
           worked_ms () - begun, lw_desk_failure (lw_window_desk (window)) != NULL ? "failed" : "");
}

static void
filter_act (LwWindow *window)
{
  GtkWidget *list = ui_child_of_type (GTK_WIDGET (window), LW_TYPE_PART_LIST, 0);

  gtk_editable_set_text (GTK_EDITABLE (ui_child_of_type (list, GTK_TYPE_SEARCH_ENTRY, 0)), "R99");
}

int
main (int argc, char **argv)
{
  g_autoptr (LwDocument) document = NULL;
  LwWindow *window;
  double begun;

  ui_test_init (&argc, &argv);
  document = lw_document_new (large_board (), NULL);
  window = lw_window_new (ui_application ());
  gtk_window_set_default_size (GTK_WINDOW (window), 1280, 800);
  gtk_window_present (GTK_WINDOW (window));
  ui_spin (500);
  g_signal_connect_after (gtk_widget_get_frame_clock (GTK_WIDGET (window)), "after-paint", G_CALLBACK (after_paint_cb), NULL);
  g_print ("\n| board of %u parts | measured | limit | |\n|---|---|---|---|\n", LARGE_PARTS);
  begun = worked_ms ();
  lw_session_take_document (lw_window_session (window), document);
  g_assert_true (ui_wait (is_painted, window, 60000));
  g_print ("| opened and drawn, processor s | %.2f | | |\n", 1e-3 * (worked_ms () - begun));
  bench_motion (window, "pan", pan_step, 0);
  bench_motion (window, "pan, 30 frames a second", pan_step, 33);
  bench_motion (window, "zoom", zoom_step, 0);
  bench_motion (window, "zoom, 30 frames a second", zoom_step, 33);
  if (argc > 1 && strcmp (argv[1], "motion") == 0) { /* no more than that */
    ui_close (window);
    return 0;
  }
  bench_answer (window);
  bench_motion (window, "pan with the field", pan_step, 0);
  bench_motion (window, "pan with the field, 30 frames a second", pan_step, 33);
  bench_motion (window, "zoom with the field", zoom_step, 0);
  bench_motion (window, "zoom with the field, 30 frames a second", zoom_step, 33);
  bench_act (window, "select a part", select_act);
  bench_act (window, "move it", move_act);
  bench_act (window, "undo", undo_act);
  bench_act (window, "redo", redo_act);
  bench_act (window, "type a set point", type_act);
  bench_coming (window);
  bench_act (window, "filter the parts list", filter_act);
  ui_close (window);
  return 0;
}
