/* The tools of drawing by hand, the pages beside them and what goes between windows, in the real window with a real
 * keyboard and pointer. Every expectation is a length or a count that was drawn; lengths are checked to a grid step. */
#include "board/job-file.h"
#include "hands.h"
#include "ui-find.h"
#include "widgets/find-bar.h"
#include "widgets/outline-panel.h"
#include "widgets/package-maker.h"
#include "widgets/sketch.h"
#include "widgets/table-cell.h"

#define STEP_MM 0.51 /* a grid step, with a pixel's share */

static GPid wm;

static LwJob *
job_of (LwWindow *window)
{
  return lw_desk_job (lw_window_desk (window));
}

static LwSketch *
sketch_of (LwWindow *window)
{
  return lw_desk_sketch (lw_window_desk (window));
}

static gboolean
is_laid_out (gpointer window)
{
  return ((LwWindow *) window)->board_view->view.width > 100;
}

static gboolean
is_active (gpointer window)
{
  return gtk_window_is_active (window);
}

static LwWindow *
open_window (LwJob *job)
{
  LwWindow *window = ui_window (job);

  g_assert_true (ui_wait (is_laid_out, window, 5000));
  ui_wait (is_active, window, 3000);
  gtk_widget_grab_focus (GTK_WIDGET (window->board_view));
  ui_spin (250);
  return window;
}

static const LwLoop *
loop_at (LwWindow *window, guint owner, guint index)
{
  return lw_job_loop (job_of (window), (LwLoopPlace){ owner, index });
}

static guint
n_outlines (LwWindow *window)
{
  return lw_job_n_loops (job_of (window), LW_LOOP_OUTLINE);
}

/* ---- what one waits for ---- */

static gboolean
has_two_loops (gpointer window)
{
  return n_outlines (window) == 2;
}

static gboolean
has_one_loop (gpointer window)
{
  return n_outlines (window) == 1;
}

static gboolean
has_measured (gpointer window)
{
  LwPoint from, to;

  return lw_sketch_measured (sketch_of (window), &from, &to);
}

static gboolean
corner_moved (gpointer window)
{
  return g_array_index (loop_at (window, LW_LOOP_OUTLINE, 0)->corners, LwVertex, 2).x_mm > 41;
}

static gboolean
corner_is_back (gpointer window)
{
  return g_array_index (loop_at (window, LW_LOOP_OUTLINE, 0)->corners, LwVertex, 2).x_mm == 40;
}

static gboolean
two_selected (gpointer window)
{
  return lw_desk_selected_parts (lw_window_desk (window))->len == 2;
}

static gboolean
has_five_parts (gpointer window)
{
  return job_of (window)->parts->len == 5;
}

/* ---- tools ---- */

/* O, a corner pulled outward by four millimetres each way, one step back. */
static void
pull_corner (LwWindow *window)
{
  const LwVertex *v;

  key ("o");
  drag (window, 40, 30, 44, 34);
  g_assert_true (ui_wait (corner_moved, window, 3000));
  v = &g_array_index (loop_at (window, LW_LOOP_OUTLINE, 0)->corners, LwVertex, 2);
  g_assert_cmpfloat_with_epsilon (v->x_mm, 44, STEP_MM);
  g_assert_cmpfloat_with_epsilon (v->y_mm, 34, STEP_MM);
  key ("ctrl+z");
  g_assert_true (ui_wait (corner_is_back, window, 3000));
  key ("Escape");
}

/* A slot of 10 mm between its ends' middles: as wide as the tool says, its ends half circles. */
static void
draw_slot (LwWindow *window)
{
  double width = lw_sketch_slot_width_mm (sketch_of (window));
  LwBox box;

  gtk_widget_activate_action (GTK_WIDGET (window->board_view), "sketch.draw", "(ii)", LW_LOOP_OUTLINE, LW_TOOL_SLOT);
  ui_spin (60);
  drag (window, 26, 5, 36, 5);
  g_assert_true (ui_wait (has_two_loops, window, 3000));
  box = lw_loop_box (loop_at (window, LW_LOOP_OUTLINE, 1));
  g_assert_cmpfloat_with_epsilon (box.x1_mm - box.x0_mm, 10 + width, 2 * STEP_MM);
  g_assert_cmpfloat_with_epsilon (box.y1_mm - box.y0_mm, width, 0.01);
  g_assert_cmpfloat_with_epsilon (fabs (lw_loop_area (loop_at (window, LW_LOOP_OUTLINE, 1))),
                                  (box.x1_mm - box.x0_mm - width) * width + G_PI * width * width / 4, 0.05);
  key ("Escape");
  key ("ctrl+z");
  g_assert_true (ui_wait (has_one_loop, window, 3000));
}

/* Three clicks and Enter make a triangle: half of 10 by 8. */
static void
draw_polygon (LwWindow *window)
{
  static const double corners[][2] = { { 4, 20 }, { 14, 20 }, { 4, 28 } };

  gtk_widget_activate_action (GTK_WIDGET (window->board_view), "sketch.draw", "(ii)", LW_LOOP_OUTLINE, LW_TOOL_POLYGON);
  ui_spin (60);
  for (guint i = 0; i < G_N_ELEMENTS (corners); i++) {
    move_to (window, corners[i][0], corners[i][1]);
    press ("1", "1");
    ui_spin (350); /* so that two clicks are no double click */
  }
  key ("Return");
  g_assert_true (ui_wait (has_two_loops, window, 3000));
  g_assert_cmpuint (loop_at (window, LW_LOOP_OUTLINE, 1)->corners->len, ==, 3);
  g_assert_cmpfloat_with_epsilon (fabs (lw_loop_area (loop_at (window, LW_LOOP_OUTLINE, 1))), 40, 5);
  key ("Escape");
}

/* M and a drag from corner to corner: 3, 4, 5 times ten. */
static void
measure (LwWindow *window)
{
  LwPoint from, to;

  key ("m");
  drag (window, 40, 0, 0, 30);
  g_assert_true (ui_wait (has_measured, window, 3000));
  lw_sketch_measured (sketch_of (window), &from, &to);
  g_assert_cmpfloat_with_epsilon (hypot (to.x_mm - from.x_mm, to.y_mm - from.y_mm), 50, 0.01); /* both snap to corners */
  key ("Escape");
}

/* Shift and a drag over bare board, round U1 and C1. */
static void
band (LwWindow *window)
{
  run ("keydown", "shift", NULL);
  drag (window, 15, 10, 31, 20);
  run ("keyup", "shift", NULL);
  g_assert_true (ui_wait (two_selected, window, 3000));
  g_assert_true (lw_desk_has_selected (lw_window_desk (window), lw_job_find_part (job_of (window), "U1")));
  g_assert_true (lw_desk_has_selected (lw_window_desk (window), lw_job_find_part (job_of (window), "C1")));
}

static void
find (LwWindow *window)
{
  key ("ctrl+shift+f");
  ui_spin (100);
  type ("C*");
  g_assert_true (ui_wait (two_selected, window, 3000));
  g_assert_true (lw_desk_has_selected (lw_window_desk (window), lw_job_find_part (job_of (window), "C2")));
  key ("Escape");
}

static void
test_tools (void)
{
  LwWindow *window = open_window (ui_small_job ());

  pull_corner (window);
  draw_slot (window);
  draw_polygon (window);
  measure (window);
  band (window);
  find (window);
  ui_close (window);
}

/* ---- pages ---- */

/* The N-th table cell within that shows TEXT and can be seen. */
static GtkWidget *
cell_of (GtkWidget *within, const char *text, guint *n)
{
  for (GtkWidget *w = gtk_widget_get_first_child (within); w != NULL; w = gtk_widget_get_next_sibling (w)) {
    GtkWidget *found = cell_of (w, text, n);

    if (found != NULL)
      return found;
    if (GTK_IS_LABEL (w) && gtk_widget_get_mapped (w) && g_strcmp0 (gtk_label_get_text (GTK_LABEL (w)), text) == 0
        && gtk_widget_get_ancestor (w, LW_TYPE_TABLE_CELL) != NULL && (*n)-- == 0)
      return gtk_widget_get_ancestor (w, LW_TYPE_TABLE_CELL);
  }
  return NULL;
}

static gboolean
is_edited (gpointer cell)
{
  return lw_table_cell_editing (cell);
}

static void
type_into (LwWindow *window, GtkWidget *page, const char *shown, guint n, const char *text)
{
  GtkWidget *cell = cell_of (page, shown, &n);

  g_assert_nonnull (cell);
  point_at (window, cell);
  press ("1", "2");
  g_assert_true (ui_wait (is_edited, cell, 3000));
  key ("ctrl+a");
  type (text);
  key ("Return");
  ui_spin (60);
}

static gboolean
is_wider (gpointer window)
{
  LwBox box = lw_loop_box (loop_at (window, LW_LOOP_OUTLINE, 0));

  return box.x1_mm == 45;
}

/* The corner at 40, 0 goes to 45 by typing. */
static void
test_outline_page (void)
{
  LwWindow *window = open_window (ui_small_job ());

  lw_lower_pane_show_page (window->lower, "outline");
  ui_spin (300);
  type_into (window, GTK_WIDGET (lw_lower_pane_outline (window->lower)), "40", 0, "45");
  g_assert_true (ui_wait (is_wider, window, 3000));
  key ("ctrl+z");
  ui_spin (50);
  ui_close (window);
}

static double
first_cover (LwWindow *window)
{
  const GPtrArray *layers = job_of (window)->board->layers;

  return layers->len == 0 ? NAN : ((const LwLayer *) g_ptr_array_index (layers, 0))->cover;
}

static gboolean
has_layers (gpointer window)
{
  return job_of (window)->board->layers->len >= 3;
}

static gboolean
cover_is_typed (gpointer window)
{
  return fabs (first_cover (window) - 0.55) < 1e-9;
}

/* Two copper layers from the page's own start, then the first one's cover by typing. */
static void
test_stack_page (void)
{
  LwWindow *window = open_window (ui_small_job ());
  GtkWidget *page = GTK_WIDGET (lw_lower_pane_stack (window->lower));
  g_autofree char *shown = NULL;

  lw_lower_pane_show_page (window->lower, "stack-up");
  ui_spin (200);
  gtk_widget_activate_action (page, "stack.start", "u", 2u);
  g_assert_true (ui_wait (has_layers, window, 3000));
  ui_spin (200);
  shown = g_strdup_printf ("%g", 100 * first_cover (window));
  type_into (window, page, shown, 0, "55");
  g_assert_true (ui_wait (cover_is_typed, window, 3000));
  ui_close (window);
}

/* ---- from the library, between windows ---- */

static GtkWidget *
first_row (GtkWidget *within)
{
  for (GtkWidget *w = gtk_widget_get_first_child (within); w != NULL; w = gtk_widget_get_next_sibling (w)) {
    GtkWidget *found = g_str_equal (gtk_widget_get_css_name (w), "row") ? w : first_row (w);

    if (found != NULL)
      return found;
  }
  return NULL;
}

/* A row of the page Packages, dragged onto the board. */
static void
test_drag_package (void)
{
  LwWindow *window = open_window (ui_small_job ());
  LwPackageList *list = lw_lower_pane_packages (window->lower);
  const LwPart *part;

  lw_lower_pane_show_page (window->lower, "packages");
  ui_spin (200);
  gtk_widget_grab_focus (lw_package_list_search (list));
  type ("R1206");
  ui_spin (400);
  point_at (window, first_row (GTK_WIDGET (list)));
  run ("mousedown", "1", NULL);
  ui_spin (60);
  run ("mousemove_relative", "--", "12", "-12", NULL);
  ui_spin (120);
  move_to (window, 30, 25);
  move_to (window, 32, 24);
  ui_spin (150);
  run ("mouseup", "1", NULL);
  g_assert_true (ui_wait (has_five_parts, window, 5000));
  part = g_ptr_array_index (job_of (window)->parts, 4);
  g_assert_cmpstr (part->package, ==, "R1206");
  g_assert_cmpfloat_with_epsilon (part->x_mm, 32, STEP_MM);
  g_assert_cmpfloat_with_epsilon (part->y_mm, 24, STEP_MM);
  ui_close (window);
}

/* Copied in one window, pasted in another: the part with its package. */
static void
test_between_windows (void)
{
  LwWindow *from = open_window (ui_small_job ()), *to;
  g_autoptr (LwJob) bare = ui_small_job ();

  lw_desk_select_part (lw_window_desk (from), lw_job_find_part (job_of (from), "C2"));
  gtk_widget_grab_focus (GTK_WIDGET (from->board_view));
  key ("ctrl+c");
  ui_spin (100);
  to = open_window (g_steal_pointer (&bare));
  move_to (to, 30, 8);
  key ("ctrl+v");
  g_assert_true (ui_wait (has_five_parts, to, 5000));
  g_assert_cmpstr (((LwPart *) g_ptr_array_index (job_of (to)->parts, 4))->package, ==, "ELCAP-8x10.2");
  g_assert_cmpuint (job_of (from)->parts->len, ==, 4);
  ui_close (to);
  ui_close (from);
}

/* ---- a package from a data sheet ---- */

enum { WIZARD_ACTIONS = 29 }; /* as docs/drawing.md says */

static GtkWidget *
button_of (GtkWidget *within, const char *label)
{
  for (GtkWidget *w = gtk_widget_get_first_child (within); w != NULL; w = gtk_widget_get_next_sibling (w)) {
    GtkWidget *found = button_of (w, label);

    if (found != NULL)
      return found;
    if (GTK_IS_BUTTON (w) && gtk_widget_get_mapped (w) && g_strcmp0 (gtk_button_get_label (GTK_BUTTON (w)), label) == 0)
      return w;
  }
  return NULL;
}

/* Turns the wheel until WIDGET is in sight: one action. */
static void
wheel_to (GtkWidget *within, GtkWidget *widget)
{
  double x, y;

  for (guint i = 0; i < 20; i++) {
    g_assert_true (gtk_widget_translate_coordinates (widget, within, 0, gtk_widget_get_height (widget), &x, &y));
    if (y <= gtk_widget_get_height (within))
      break;
    run ("click", "5", NULL);
    ui_spin (150);
  }
  actions++;
}

static gboolean
has_maker (gpointer data)
{
  return ui_top_of_type (LW_TYPE_PACKAGE_MAKER) != NULL && gtk_widget_get_mapped (GTK_WIDGET (ui_top_of_type (LW_TYPE_PACKAGE_MAKER))) && gtk_window_is_active (GTK_WINDOW (ui_top_of_type (LW_TYPE_PACKAGE_MAKER)));
}

static const LwPackage *
package_of_u1 (LwWindow *window)
{
  const LwJob *job = job_of (window);

  return lw_job_package_of (job, g_ptr_array_index (job->parts, lw_job_find_part (job, "U1")));
}

static gboolean
is_made (gpointer window)
{
  return g_strcmp0 (package_of_u1 (window)->name, "MINE-40") == 0;
}

/* U1 becomes another leadless package, 40 terminals at 0.5 mm on 6 x 6 x 0.85 mm, with a name of its own: from the click on the
 * part to the made package. */
static void
test_wizard (void)
{
  static const char *const figures[] = { "6", "6", "0.85", "0.02", "0.5", "40", "0.4", "0.25", "4.5", "4.5" };
  LwWindow *window = open_window (ui_small_job ());
  const LwPackage *package;

  actions = 0;
  move_to (window, 20, 15);
  press ("1", "1");
  ui_spin (300);
  point_at (window, GTK_WIDGET (window->inspector));
  wheel_to (GTK_WIDGET (window->inspector), button_of (GTK_WIDGET (window->inspector), "Package from a Data Sheet…"));
  point_at (window, button_of (GTK_WIDGET (window->inspector), "Package from a Data Sheet…"));
  press ("1", "1");
  g_assert_true (ui_wait (has_maker, NULL, 5000));
  ui_spin (300);
  key ("alt+o"); /* the families; the one of the part's present package is chosen */
  ui_spin (300);
  key ("Return");
  ui_spin (300);
  key ("Tab");
  for (guint i = 0; i < G_N_ELEMENTS (figures); i++) {
    type (figures[i]);
    key ("Tab");
  }
  key ("alt+n");
  type ("MINE-40");
  key ("alt+m");
  g_assert_true (ui_wait (is_made, window, 5000));
  package = package_of_u1 (window);
  g_assert_cmpstr (package->name, ==, "MINE-40");
  g_assert_cmpfloat (package->length_mm, ==, 6);
  g_assert_cmpfloat (package->joints.pitch_mm, ==, 0.5);
  g_assert_cmpuint (2 * (package->joints.columns + package->joints.rows), ==, 40);
  g_test_message ("a package from a data sheet: %u actions", actions);
  g_assert_cmpuint (actions, ==, WIZARD_ACTIONS);
  ui_close (window);
}

/* ---- a damaged set ---- */

static gboolean
has_dialog (gpointer data)
{
  GListModel *tops = gtk_window_get_toplevels ();

  for (guint i = 0; i < g_list_model_get_n_items (tops); i++) {
    g_autoptr (GtkWidget) top = g_list_model_get_item (tops, i);

    if (GTK_IS_MESSAGE_DIALOG (top) && gtk_widget_get_mapped (top) && gtk_window_is_active (GTK_WINDOW (top)))
      return TRUE;
  }
  return FALSE;
}

static gboolean
has_board (gpointer window)
{
  return job_of (window) != NULL;
}

/* Plots of which the copper is cut off: the offer is taken by its key. */
static void
test_salvage (void)
{
  static const char *const names[] = { "ecc83v2-Dessus.gbr", "ecc83v2-Edge_Cuts.gbr", "ecc83v2-pnp_top.gbr" };
  g_autofree char *dir = g_dir_make_tmp ("leeward-cut-XXXXXX", NULL);
  g_autoptr (GFile) folder = g_file_new_for_path (dir);
  LwWindow *window = ui_window (NULL);
  GFile *files[] = { folder };
  const LwImportWarning *first;

  for (guint i = 0; i < G_N_ELEMENTS (names); i++) {
    g_autofree char *from = g_test_build_filename (G_TEST_DIST, "data", "ecc83_v2", "gerber", names[i], NULL);
    g_autofree char *to = g_build_filename (dir, names[i], NULL), *text = NULL;
    gsize size;

    g_assert_true (g_file_get_contents (from, &text, &size, NULL));
    g_assert_true (g_file_set_contents (to, text, (gssize) (i == 0 ? size / 2 : size), NULL));
  }
  lw_window_open_many (window, files, 1);
  g_assert_true (ui_wait (has_dialog, NULL, 5000));
  g_assert_true (g_str_has_prefix (lw_window_last_problem (window), "ecc83v2-Dessus.gbr:"));
  key ("alt+o");
  g_assert_true (ui_wait (has_board, window, 5000));
  g_assert_cmpuint (job_of (window)->parts->len, ==, 11);
  first = g_ptr_array_index (lw_session_warnings (lw_window_session (window)), 0);
  g_assert_true (first->damage);
  ui_close (window);
}

int
main (int argc, char **argv)
{
  ui_test_init (&argc, &argv);
  wm = hands_start ();
  g_test_add_func ("/drawing-tools/tools", test_tools);
  g_test_add_func ("/drawing-tools/outline-page", test_outline_page);
  g_test_add_func ("/drawing-tools/stack-page", test_stack_page);
  g_test_add_func ("/drawing-tools/drag-package", test_drag_package);
  g_test_add_func ("/drawing-tools/between-windows", test_between_windows);
  g_test_add_func ("/drawing-tools/wizard", test_wizard);
  g_test_add_func ("/drawing-tools/salvage", test_salvage);
  return hands_run (wm);
}
