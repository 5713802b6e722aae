/* What drawing by hand puts over the board, and the section of the stack-up. */
#include <math.h>

#include "board/edits-outline.h"
#include "board/edits-stack.h"
#include "board/edits.h"
#include "canvas.h"
#include "draw/sketch-picture.h"
#include "draw/stack-picture.h"

static LwJob *
board_new (void)
{
  LwJob *job = lw_job_new_rectangle (100, 80, 0, 1.6, NULL);

  g_assert_nonnull (job);
  return job;
}

static LwViewport
view_of (LwSide side)
{
  LwViewport view = { .width = 500, .height = 400, .side = side };

  lw_viewport_fit (&view, (LwBox){ 0, 0, 100, 80 }, 40);
  return view;
}

static void
hits (const LwJob *job, double x, double y, double px, double py, int corner, int edge)
{
  LwLoopPlace place;
  int c, e;

  for (LwSide side = LW_SIDE_TOP; side <= LW_SIDE_BOTTOM; side++) {
    LwViewport view = view_of (side);
    double at_x, at_y;
    gboolean found;

    lw_viewport_to_picture (&view, x, y, &at_x, &at_y);
    found = lw_sketch_hit (job, &view, (LwLoopPlace){ LW_LOOP_OUTLINE, 0 }, at_x + px, at_y + py, &place, &c, &e);
    g_assert_cmpint (found, ==, corner >= 0 || edge >= 0);
    g_assert_cmpint (c, ==, corner);
    g_assert_cmpint (e, ==, edge);
  }
}

static void
test_hit (void)
{
  g_autoptr (LwJob) job = board_new ();

  hits (job, 100, 80, 3, -3, 2, -1);
  hits (job, 50, 0, 0, 3, -1, 1);
  hits (job, 0, 40, 3, 0, -1, 0);
  hits (job, 50, 40, 0, 0, -1, -1);
  hits (job, 50, 0, 0, 12, -1, -1);
}

/* A cut-out inside is found although the edge is preferred. */
static void
test_hit_other (void)
{
  g_autoptr (LwJob) bare = board_new ();
  g_autoptr (LwJob) job = lw_edit_add_cut_out (bare, lw_loop_new_rectangle (40, 30, 60, 50), NULL);
  LwViewport view = view_of (LW_SIDE_TOP);
  LwLoopPlace place;
  int corner, edge;
  double x, y;

  lw_viewport_to_picture (&view, 60, 50, &x, &y);
  g_assert_true (lw_sketch_hit (job, &view, (LwLoopPlace){ LW_LOOP_OUTLINE, 0 }, x, y, &place, &corner, &edge));
  g_assert_cmpuint (place.index, ==, 1);
  g_assert_cmpint (corner, ==, 2);
}

static LwSketchPicture
plain (const LwJob *job, LwLook look)
{
  return (LwSketchPicture){ .look = look, .job = job, .corner = -1, .edge = -1 };
}

/* Nothing in hand, nothing painted; each thing leaves its mark, and from below it is the mirror image. */
static void
test_marks (void)
{
  g_autoptr (LwJob) job = board_new ();
  LwViewport view = view_of (LW_SIDE_TOP);

  for (int look = 0; look < 2; look++) {
    LwSketchPicture picture = plain (job, look);
    Canvas empty = canvas_new (500, 400), bare = canvas_new (500, 400), full = canvas_new (500, 400);

    lw_draw_sketch (bare.cr, &view, &picture);
    g_assert_cmpuint (canvas_differing (&empty, &bare, 0, FALSE), ==, 0);
    picture.show_grips = TRUE;
    picture.grid_mm = 5;
    picture.corner = 1;
    picture.measured = picture.band = TRUE;
    picture.from = (LwPoint){ 10, 10 };
    picture.to = (LwPoint){ 40, 50 };
    picture.band_box = (LwBox){ 20, 20, 200, 100 };
    lw_draw_sketch (full.cr, &view, &picture);
    g_assert_cmpuint (canvas_differing (&empty, &full, 0, FALSE), >, 3000);
    g_assert_cmpint (cairo_status (full.cr), ==, CAIRO_STATUS_SUCCESS);
    canvas_clear (&empty);
    canvas_clear (&bare);
    canvas_clear (&full);
  }
}

static void
test_draft_mirrors (void)
{
  g_autoptr (LwJob) job = board_new ();
  g_autoptr (LwLoop) draft = lw_loop_new_rectangle (20, 20, 22, 22); /* too small for words, which do not mirror */
  LwSketchPicture picture = plain (job, LW_LOOK_LIGHT);
  LwViewport top = view_of (LW_SIDE_TOP), bottom = view_of (LW_SIDE_BOTTOM);
  Canvas a = canvas_new (500, 400), b = canvas_new (500, 400);

  picture.mark = TRUE;
  picture.at = (LwPoint){ 30, 30 };
  lw_draw_sketch (a.cr, &top, &picture);
  lw_draw_sketch (b.cr, &bottom, &picture);
  g_assert_cmpuint (canvas_differing (&a, &b, 2, TRUE), ==, 0);
  picture.draft = draft;
  lw_draw_sketch (a.cr, &top, &picture);
  g_assert_cmpuint (canvas_differing (&a, &b, 2, TRUE), >, 20);
  canvas_clear (&a);
  canvas_clear (&b);
}

/* Poor jobs and odd views bring nothing down. */
static void
test_poor (void)
{
  g_autoptr (LwJob) none = lw_job_new ();
  LwSketchPicture picture = plain (none, LW_LOOK_DARK);
  LwViewport view = view_of (LW_SIDE_TOP), nothing = { 0 };
  Canvas canvas = canvas_new (50, 40);

  picture.show_grips = TRUE;
  picture.grid_mm = 1e-3;
  lw_draw_sketch (canvas.cr, &view, &picture);
  lw_draw_sketch (canvas.cr, &nothing, &picture);
  g_assert_cmpint (cairo_status (canvas.cr), ==, CAIRO_STATUS_SUCCESS);
  canvas_clear (&canvas);
}

/* ---- stack-up ---- */

/* One copper sheet of 1 oz/ft2, covered in full, on 1.5652 mm of FR-4: parallel and series sums by hand, with the
 * copper of plan/stack.h (385 W/mK) and the laminate of the library (0.81 or so in plane, 0.38 or so through). */
static void
test_stack_sum (void)
{
  g_autoptr (LwJob) job = board_new ();
  LwBoard *board = lw_job_edit_board (job);
  LwLayer *copper = lw_layer_new (), *resin = lw_layer_new ();
  double in, through, capacity, none_in, none_through;

  copper->kind = LW_LAYER_COPPER;
  copper->copper_weight_oz = 1;
  copper->cover = 1;
  resin->kind = LW_LAYER_LAMINATE;
  resin->thickness_mm = 1.6 - 0.0348;
  g_ptr_array_add (board->layers, resin);
  lw_stack_sum (board, &none_in, &none_through, &capacity);
  g_ptr_array_insert (board->layers, 0, copper);
  lw_stack_sum (board, &in, &through, &capacity);
  g_assert_cmpfloat_with_epsilon (in, (0.0348 * 385 + 1.5652 * none_in) / 1.6, 1e-6 * in);
  g_assert_cmpfloat_with_epsilon (through, 1.6 / (0.0348 / 385 + 1.5652 / none_through), 1e-6 * through);
  board->prescribed_k_in_plane_w_per_mk = 20;
  lw_stack_sum (board, &in, &through, &capacity);
  g_assert_cmpfloat (in, ==, 20);
}

/* Every layer can be pointed at, in order from the top. */
static void
test_stack_hit (void)
{
  g_autoptr (LwJob) bare = board_new ();
  g_autoptr (LwJob) job = lw_edit_start_stack (bare, 4, NULL);
  LwStackPicture picture = { .board = job->board, .selected = 2, .width = 320, .height = 240 };
  Canvas canvas = canvas_new (320, 240);
  int last = -1;

  for (double y = 0; y < 240; y += 0.5) {
    int layer = lw_stack_hit (&picture, 40, y);

    g_assert_true (layer == -1 || layer == last || layer == last + 1);
    last = MAX (last, layer);
  }
  g_assert_cmpint (last, ==, (int) job->board->layers->len - 1);
  picture.board = bare->board;
  g_assert_cmpint (lw_stack_hit (&picture, 40, 60), ==, -1); /* a default is no layer of the board's */
  for (int look = 0; look < 3; look++) {
    picture.look = look;
    picture.board = job->board;
    lw_draw_stack (canvas.cr, &picture);
    g_assert_cmpuint (canvas_colors (&canvas), >, 20);
  }
  picture.height = 3;
  lw_draw_stack (canvas.cr, &picture);
  g_assert_cmpint (cairo_status (canvas.cr), ==, CAIRO_STATUS_SUCCESS);
  canvas_clear (&canvas);
}

/* The last layer's name is there, too, where there is little room: another name makes another picture. */
static void
test_stack_names (void)
{
  g_autoptr (LwJob) bare = board_new ();
  g_autoptr (LwJob) job = lw_edit_start_stack (bare, 6, NULL);
  g_autofree char *path = g_strdup_printf ("board.stack_up[%u].name", job->board->layers->len - 1);
  g_autoptr (LwJob) other = lw_edit_text (job, path, "WWWW", NULL);
  LwStackPicture picture = { .board = job->board, .selected = -1, .width = 236, .height = 200 };
  Canvas a = canvas_new (236, 200), b = canvas_new (236, 200);

  g_assert_nonnull (other);
  lw_draw_stack (a.cr, &picture);
  picture.board = other->board;
  lw_draw_stack (b.cr, &picture);
  g_assert_cmpuint (canvas_differing (&a, &b, 60, FALSE), >, 30);
  canvas_clear (&a);
  canvas_clear (&b);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/sketch/hit", test_hit);
  g_test_add_func ("/sketch/hit-other", test_hit_other);
  g_test_add_func ("/sketch/marks", test_marks);
  g_test_add_func ("/sketch/draft-mirrors", test_draft_mirrors);
  g_test_add_func ("/sketch/poor", test_poor);
  g_test_add_func ("/stack/sum", test_stack_sum);
  g_test_add_func ("/stack/hit", test_stack_hit);
  g_test_add_func ("/stack/names", test_stack_names);
  return g_test_run ();
}
