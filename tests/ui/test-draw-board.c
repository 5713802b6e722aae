/* A board drawn by hand in the real window, with a real keyboard and pointer: 100 x 80 mm, rounded, a cut-out
 * and twenty parts. Every key, typed field and drag is counted; docs/drawing.md says how many there are. */
#include <math.h>
#include <signal.h>

#include "board/job-file.h"
#include "ui-fixture.h"
#include "widgets/board-view-private.h"
#include "widgets/form.h"
#include "widgets/sketch.h"

enum { ACTIONS = 99 };

static guint actions;

static void
run (const char *first, ...)
{
  g_autoptr (GPtrArray) argv = g_ptr_array_new ();
  g_autoptr (GError) error = NULL;
  va_list args;
  int status = 0;

  g_ptr_array_add (argv, (gpointer) "xdotool");
  va_start (args, first);
  for (const char *arg = first; arg != NULL; arg = va_arg (args, const char *))
    g_ptr_array_add (argv, (gpointer) arg);
  va_end (args);
  g_ptr_array_add (argv, NULL);
  g_spawn_sync (NULL, (char **) argv->pdata, NULL, G_SPAWN_SEARCH_PATH, NULL, NULL, NULL, NULL, &status, &error);
  g_assert_no_error (error);
  g_assert_true (g_spawn_check_wait_status (status, NULL));
}

static void
key (const char *keys)
{
  run ("key", "--clearmodifiers", keys, NULL);
  ui_spin (30);
  actions++;
}

static void
type (const char *text)
{
  run ("type", "--delay", "4", text, NULL);
  ui_spin (30);
  actions++;
}

/* Fields one after another, parted by Tab, the last by Enter. NULL leaves a field as it is. */
static void
fill (const char *const *fields, guint n)
{
  for (guint i = 0; i < n; i++) {
    if (fields[i] != NULL)
      type (fields[i]);
    key (i + 1 < n ? "Tab" : "Return");
  }
}

#define FILL(...) fill ((const char *const[]){ __VA_ARGS__ }, G_N_ELEMENTS (((const char *const[]){ __VA_ARGS__ })))

static void
to_screen (LwWindow *window, double x_mm, double y_mm, int *sx, int *sy)
{
  double px, py, wx, wy, ox, oy;
  GtkWidget *view = GTK_WIDGET (window->board_view);
  g_autofree char *out = NULL, *command = NULL;
  int x = 0, y = 0;

  lw_viewport_to_picture (&window->board_view->view, x_mm, y_mm, &px, &py);
  g_assert_true (gtk_widget_translate_coordinates (view, GTK_WIDGET (window), px, py, &wx, &wy));
  gtk_native_get_surface_transform (GTK_NATIVE (window), &ox, &oy);
  command = g_strdup ("xdotool getactivewindow getwindowgeometry --shell");
  g_assert_true (g_spawn_command_line_sync (command, &out, NULL, NULL, NULL));
  g_assert_cmpint (sscanf (strstr (out, "X=") + 2, "%d", &x), ==, 1);
  g_assert_cmpint (sscanf (strstr (out, "Y=") + 2, "%d", &y), ==, 1);
  *sx = x + (int) round (wx + ox);
  *sy = y + (int) round (wy + oy);
}

static void
move_to (LwWindow *window, double x_mm, double y_mm)
{
  int x, y;
  g_autofree char *sx = NULL, *sy = NULL;

  to_screen (window, x_mm, y_mm, &x, &y);
  sx = g_strdup_printf ("%d", x);
  sy = g_strdup_printf ("%d", y);
  run ("mousemove", sx, sy, NULL);
  ui_spin (40);
}

static void
drag (LwWindow *window, double x0, double y0, double x1, double y1)
{
  move_to (window, x0, y0);
  run ("mousedown", "1", NULL);
  ui_spin (40);
  move_to (window, 0.5 * (x0 + x1), 0.5 * (y0 + y1));
  move_to (window, x1, y1);
  run ("mouseup", "1", NULL);
  ui_spin (30);
  actions++;
}

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
  g_autofree char *manager = g_find_program_in_path ("openbox");
  g_autoptr (GError) error = NULL;
  GPid wm = 0;
  LwWindow *window;

  g_assert_nonnull (manager);
  g_spawn_async (NULL, (char *[]){ manager, NULL }, NULL, G_SPAWN_DO_NOT_REAP_CHILD | G_SPAWN_STDOUT_TO_DEV_NULL | G_SPAWN_STDERR_TO_DEV_NULL, NULL, NULL, &wm, &error);
  g_assert_no_error (error);
  ui_spin (600);
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
