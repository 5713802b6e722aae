/* A board drawn by hand in the real window, with a real keyboard and pointer: 100 x 80 mm, rounded, a cut-out
 * and twenty parts. Every key, typed field and drag is counted; docs/drawing.md says how many there are. */
#include "board/job-file.h"
#include "hands.h"
#include "widgets/form.h"
#include "widgets/sketch.h"

enum { ACTIONS = 99 };

static LwJob *
job_of (LwWindow *window)
{
  return lw_desk_job (lw_window_desk (window));
}

static gboolean
has_board (gpointer window)
{
  return job_of (window) != NULL;
}

static gboolean
is_laid_out (gpointer window)
{
  return ((LwWindow *) window)->board_view->view.width > 100;
}

static gboolean
no_form (gpointer window)
{
  return ((LwWindow *) window)->board_view->form == NULL;
}

static void
start_board (LwWindow *window)
{
  key ("ctrl+shift+n");
  FILL ("100", "80", "3", "1.6");
  g_assert_true (ui_wait (has_board, window, 5000));
  g_assert_true (ui_wait (is_laid_out, window, 5000));
  ui_spin (300);
}

static gboolean
has_cut_out (gpointer window)
{
  return lw_job_n_loops (job_of (window), LW_LOOP_OUTLINE) == 2;
}

/* With the pointer: a rectangle from corner to corner, on the grid. */
static void
cut_out (LwWindow *window)
{
  const LwLoop *loop;
  LwBox box;

  key ("d");
  drag (window, 60, 10, 90, 25);
  g_assert_true (ui_wait (has_cut_out, window, 5000));
  g_assert_cmpuint (lw_job_n_loops (job_of (window), LW_LOOP_OUTLINE), ==, 2);
  loop = lw_job_loop (job_of (window), (LwLoopPlace){ LW_LOOP_OUTLINE, 1 });
  box = lw_loop_box (loop);
  g_assert_cmpfloat_with_epsilon (box.x0_mm, 60, 0.26);
  g_assert_cmpfloat_with_epsilon (box.y1_mm, 25, 0.26);
  g_assert_cmpfloat_with_epsilon (fabs (lw_loop_area (loop)), 450, 20);
  key ("Escape");
  g_assert_cmpint (lw_sketch_tool (lw_desk_sketch (lw_window_desk (window))), ==, LW_TOOL_PLAN);
}

/* One part through the form that stays open: reference, package, value, x, y; turn and side are as they stand. */
static void
place (const char *ref, const char *package, const char *value, const char *x, const char *y)
{
  FILL (ref, package, value, x, y);
}

static void
array (LwWindow *window, const char *columns, const char *rows, const char *px, const char *py)
{
  key ("y");
  FILL (columns, rows, px, py);
  g_assert_true (ui_wait (no_form, window, 3000));
}

static void
parts (LwWindow *window)
{
  key ("i");
  place ("U1", "BGA-256-17x17-1.00", NULL, "30", "45");
  place ("U2", "QFN-48-7x7-0.50", NULL, "60", "60");
  place ("J1", "CONN-USB-C-16", NULL, "90", "60");
  place ("Y1", "XTAL-3225", NULL, "50", "45");
  place ("L1", "IND-6x6", NULL, "70", "40");
  place ("R1", "R0603", "10k", "15", "12");
  key ("Escape");
  g_assert_true (ui_wait (no_form, window, 3000));
  array (window, "5", "1", "4", "4"); /* R1 is the selected part: R1 to R5 */
  key ("i");
  place ("C1", "C0603", "100n", "20", "65");
  key ("Escape");
  g_assert_true (ui_wait (no_form, window, 3000));
  array (window, "5", "2", "4", "3");
}

static void
drawn (LwWindow *window)
{
  const LwJob *job = job_of (window);
  int c10 = lw_job_find_part (job, "C10");
  g_autoptr (GPtrArray) faults = lw_job_check (job);

  g_assert_cmpuint (job->parts->len, ==, 20);
  g_assert_cmpint (c10, >=, 0);
  g_assert_cmpfloat (((LwPart *) g_ptr_array_index (job->parts, c10))->x_mm, ==, 36);
  g_assert_cmpfloat (((LwPart *) g_ptr_array_index (job->parts, c10))->y_mm, ==, 68);
  g_assert_cmpstr (((LwPart *) g_ptr_array_index (job->parts, c10))->value, ==, "100n");
  g_assert_cmpint (lw_job_find_part (job, "R5"), >=, 0);
  for (guint i = 0; i < faults->len; i++)
    g_assert_false (((LwFault *) g_ptr_array_index (faults, i))->fatal);
}

static gboolean
all_selected (gpointer window)
{
  return lw_desk_selected_parts (lw_window_desk (window))->len == 20;
}

static double
first_y (gpointer window)
{
  return ((const LwPart *) g_ptr_array_index (job_of (window)->parts, 0))->y_mm;
}

static gboolean
is_pushed (gpointer window)
{
  return first_y (window) == 45.5;
}

static gboolean
is_back (gpointer window)
{
  return first_y (window) == 45;
}

static gboolean
has_twenty (gpointer window)
{
  return job_of (window)->parts->len == 20;
}

/* A group goes one grid step up and back in one step each, then everything is undone to the bare rectangle. */
static void
undo_all (LwWindow *window)
{
  LwDocument *document = lw_desk_document (lw_window_desk (window));
  guint steps = 0;

  ui_spin (300);
  key ("ctrl+a");
  g_assert_true (ui_wait (all_selected, window, 5000));
  key ("Up");
  g_assert_true (ui_wait (is_pushed, window, 5000));
  key ("ctrl+z");
  g_assert_true (ui_wait (is_back, window, 5000));
  drawn (window);
  while (lw_document_undo (document))
    steps++;
  g_assert_cmpuint (steps, ==, 10); /* a cut-out, seven parts, two arrays */
  g_assert_cmpuint (job_of (window)->parts->len, ==, 0);
  g_assert_cmpuint (lw_job_n_loops (job_of (window), LW_LOOP_OUTLINE), ==, 1);
}

static void
test_draw_board (void)
{
  GPid wm = hands_start ();
  LwWindow *window;

  window = lw_window_new (ui_application ());
  gtk_window_present (GTK_WINDOW (window));
  ui_spin (800);
  run ("search", "--onlyvisible", "--sync", "--name", "Leeward", "windowfocus", NULL);
  ui_spin (400);
  start_board (window);
  cut_out (window);
  parts (window);
  g_assert_true (ui_wait (has_twenty, window, 5000));
  drawn (window);
  g_test_message ("a board with a cut-out and 20 parts: %u actions", actions);
  g_assert_cmpuint (actions, ==, ACTIONS); /* as docs/drawing.md says */
  undo_all (window);
  ui_close (window);
  kill (wm, SIGTERM);
}

int
main (int argc, char **argv)
{
  ui_test_init (&argc, &argv);
  g_test_add_func ("/draw-board", test_draw_board);
  return g_test_run ();
}
