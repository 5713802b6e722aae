/* Loops drawn by hand: areas and lengths against closed forms (circle, circular segment, quarter round,
 * chamfer: elementary geometry), and what does not fit is refused with a reason. */
#include <math.h>
#include <string.h>

#include "board/edits-outline.h"
#include "board/edits.h"
#include "board/loop-edits.h"
#include "board/snap.h"

#define NEAR 1e-9

static void
swap (LwLoop **loop, LwLoop *next, GError **error)
{
  g_assert_no_error (*error);
  g_assert_nonnull (next);
  lw_loop_unref (*loop);
  *loop = next;
}

static void
near_to (double is, double wanted)
{
  g_assert_cmpfloat_with_epsilon (is, wanted, NEAR * (1.0 + fabs (wanted)));
}

static void
refused (gpointer after, GError **error, const char *text)
{
  g_assert_null (after);
  g_assert_nonnull (*error);
  if (strstr ((*error)->message, text) == NULL)
    g_error ("“%s” does not say “%s”", (*error)->message, text);
  g_clear_error (error);
}

static LwVertex
corner (const LwLoop *loop, guint i)
{
  return g_array_index (loop->corners, LwVertex, i);
}

static void
test_rounded (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwLoop) sharp = lw_loop_new_rounded (0, 0, 100, 80, 0, &error);
  g_autoptr (LwLoop) soft = lw_loop_new_rounded (100, 80, 0, 0, 5, &error);
  g_autoptr (LwLoop) pill = lw_loop_new_rounded (0, 0, 100, 80, 40, &error);
  g_autoptr (LwLoop) disc = lw_loop_new_rounded (0, 0, 80, 80, 40, &error);

  near_to (lw_loop_area (sharp), 8000);
  near_to (lw_loop_perimeter (sharp), 360);
  near_to (lw_loop_area (soft), 8000 - (4 - G_PI) * 25);
  near_to (lw_loop_perimeter (soft), 360 - 8 * 5 + 2 * G_PI * 5);
  g_assert_cmpuint (soft->corners->len, ==, 8);
  near_to (lw_loop_area (pill), 20 * 80 + G_PI * 1600);
  g_assert_cmpuint (pill->corners->len, ==, 6); /* no edge without length */
  near_to (lw_loop_area (disc), G_PI * 1600);
  near_to (lw_loop_perimeter (disc), 2 * G_PI * 40);
  g_assert_false (lw_loop_crosses_itself (disc, NULL, NULL));
  refused (lw_loop_new_rounded (0, 0, 10, 8, 4.1, &error), &error, "half the shorter side");
  refused (lw_loop_new_rounded (0, 0, 0, 8, 0, &error), &error, "above 0");
  refused (lw_loop_new_rounded (0, 0, NAN, 8, 0, &error), &error, "above 0");
}

static void
test_slot (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwLoop) slot = lw_loop_new_slot (10, 10, 13, 14, 2, &error);
  g_autoptr (LwLoop) hole = lw_loop_new_slot (10, 10, 10, 10, 2, &error);

  near_to (lw_loop_area (slot), 5 * 2 + G_PI);
  near_to (lw_loop_perimeter (slot), 2 * 5 + 2 * G_PI);
  near_to (fabs (lw_loop_area (hole)), G_PI);
  g_assert_true (lw_loop_contains (slot, 11.5, 12));
  refused (lw_loop_new_slot (0, 0, 1, 0, 0, &error), &error, "above 0");
}

static void
test_corners (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwLoop) loop = lw_loop_new_rectangle (0, 0, 100, 80);

  swap (&loop, lw_loop_round_corner (loop, 2, 10, &error), &error); /* upper right */
  g_assert_cmpuint (loop->corners->len, ==, 5);
  near_to (lw_loop_area (loop), 8000 - (1 - G_PI / 4) * 100);
  near_to (lw_loop_perimeter (loop), 360 - 20 + G_PI * 5);
  swap (&loop, lw_loop_chamfer_corner (loop, 0, 4, &error), &error);
  near_to (lw_loop_area (loop), 8000 - (1 - G_PI / 4) * 100 - 8);
  swap (&loop, lw_loop_insert_corner (loop, 2, 0.5, &error), &error);
  near_to (lw_loop_area (loop), 8000 - (1 - G_PI / 4) * 100 - 8); /* a corner alone changes nothing */
  refused (lw_loop_round_corner (loop, 2, 5, &error), &error, "straight on");
  refused (lw_loop_round_corner (loop, 99, 5, &error), &error, "no corner 99");
  refused (lw_loop_round_corner (loop, 0, 300, &error), &error, "too short");
  refused (lw_loop_chamfer_corner (loop, 0, -1, &error), &error, "above 0");
}

/* A square rounded to the full at every corner is a circle. */
static void
test_rounded_away (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwLoop) loop = lw_loop_new_rectangle (0, 0, 20, 20);

  for (guint left = 4; left > 0; left--)
    for (guint i = 0; i < loop->corners->len; i++)
      {
        LwLoop *next = lw_loop_round_corner (loop, i, 10, NULL);

        if (next == NULL)
          continue;
        swap (&loop, next, &error);
        break;
      }
  near_to (lw_loop_area (loop), G_PI * 100);
  near_to (lw_loop_perimeter (loop), 20 * G_PI);
}

/* Of a corner of 60 degrees, the round takes r / tan 30 of either edge. */
static void
test_sharp_corner (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwLoop) loop = lw_loop_new ();
  double r = 2, h = 10 * sqrt (3);

  lw_loop_add (loop, 0, 0, 0);
  lw_loop_add (loop, 20, 0, 0);
  lw_loop_add (loop, 10, h, 0);
  swap (&loop, lw_loop_round_corner (loop, 0, r, &error), &error);
  near_to (lw_loop_area (loop), 10 * h - (r * r * sqrt (3) - G_PI / 3 * r * r));
  near_to (corner (loop, 1).x_mm, r * sqrt (3));
  near_to (corner (loop, 1).arc_deg, 120);
}

static void
test_arcs (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwLoop) loop = lw_loop_new_rectangle (0, 0, 40, 30);
  double bulge = lw_arc_by_bulge ((LwPoint){ 0, 0 }, (LwPoint){ 40, 0 }, (LwPoint){ 7, -20 });

  near_to (bulge, 180); /* as far out as half the chord */
  near_to (lw_arc_by_bulge ((LwPoint){ 0, 0 }, (LwPoint){ 40, 0 }, (LwPoint){ 20, 20 }), -180);
  near_to (lw_arc_by_bulge ((LwPoint){ 0, 0 }, (LwPoint){ 40, 0 }, (LwPoint){ 90, 0 }), 0);
  swap (&loop, lw_loop_set_arc (loop, 1, 180, &error), &error); /* the lower edge bulges out */
  near_to (lw_loop_area (loop), 1200 + G_PI * 200);
  near_to (lw_loop_edge_length (loop, 1), 20 * G_PI);
  swap (&loop, lw_loop_insert_corner (loop, 1, 0.25, &error), &error);
  near_to (lw_loop_area (loop), 1200 + G_PI * 200);
  near_to (corner (loop, 1).arc_deg, 45);
  near_to (corner (loop, 1).x_mm, 20 - 20 * cos (G_PI / 4));
  near_to (corner (loop, 1).y_mm, -20 * sin (G_PI / 4));
  swap (&loop, lw_loop_remove_corner (loop, 1, &error), &error);
  near_to (lw_loop_area (loop), 1200);
  refused (lw_loop_set_arc (loop, 1, 360, &error), &error, "between");
  refused (lw_loop_set_arc (loop, 1, NAN, &error), &error, "between");
}

static void
test_lengths (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwLoop) loop = lw_loop_new_rectangle (0, 0, 40, 30);

  swap (&loop, lw_loop_set_edge_length (loop, 1, 55.5, &error), &error);
  near_to (corner (loop, 1).x_mm, 55.5);
  swap (&loop, lw_loop_set_arc (loop, 1, 90, &error), &error);
  swap (&loop, lw_loop_set_edge_length (loop, 1, 10, &error), &error);
  near_to (lw_loop_edge_length (loop, 1), 10);
  near_to (corner (loop, 1).x_mm, 10 * sin (G_PI / 4) / (G_PI / 4));
  refused (lw_loop_set_edge_length (loop, 1, 0, &error), &error, "above 0");
  refused (lw_loop_set_edge_length (loop, 1, INFINITY, &error), &error, "above 0");
}

static void
test_nearest (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwLoop) loop = lw_loop_new_rounded (0, 0, 40, 30, 10, &error);
  guint edge;
  double share;
  LwPoint at;

  near_to (lw_loop_nearest (loop, 20, -3, &edge, &share, &at), 3);
  near_to (share, 0.5);
  near_to (at.y_mm, 0);
  /* The corner's arc is about (30, 20): at 45 degrees its middle lies 10 from there. */
  near_to (lw_loop_nearest (loop, 40, 30, &edge, &share, &at), hypot (10, 10) - 10);
  near_to (share, 0.5);
  near_to (at.x_mm, 30 + 10 * sqrt (0.5));
  near_to (lw_loop_nearest (loop, 0.5, 15, NULL, NULL, &at), 0.5);
}

/* ---- on a board ---- */

static void
take (LwJob **job, LwJob *after, GError **error)
{
  g_assert_no_error (*error);
  g_assert_nonnull (after);
  lw_job_unref (*job);
  *job = after;
}

static double
board_area (const LwJob *job)
{
  double area = 0;

  for (guint i = 0; i < job->board->outline->len; i++)
    area += (i == 0 ? 1 : -1) * fabs (lw_loop_area (g_ptr_array_index (job->board->outline, i)));
  return area;
}

static void
test_board (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwJob) job = lw_job_new_rectangle (100, 80, 3, 1.6, &error);
  const LwLoopPlace edge = { LW_LOOP_OUTLINE, 0 };

  g_assert_no_error (error);
  near_to (board_area (job), 8000 - (4 - G_PI) * 9);
  g_assert_cmpuint (job->station->nozzles->len, >, 0);
  take (&job, lw_edit_add_cut_out (job, lw_loop_new_rectangle (40, 30, 60, 45), &error), &error);
  take (&job, lw_edit_add_cut_out (job, lw_loop_new_circle (10, 10, 1.6), &error), &error);
  take (&job, lw_edit_add_cut_out (job, lw_loop_new_slot (80, 20, 80, 40, 3, NULL), &error), &error);
  near_to (board_area (job), 8000 - (4 - G_PI) * 9 - 300 - G_PI * 1.6 * 1.6 - (60 + G_PI * 2.25));
  refused (lw_edit_add_cut_out (job, lw_loop_new_circle (60, 45, 2), &error), &error, "crosses or touches cut-out 1");
  refused (lw_edit_add_cut_out (job, lw_loop_new_circle (100, 45, 2), &error), &error, "board’s edge");
  refused (lw_edit_add_cut_out (job, lw_loop_new_circle (200, 45, 2), &error), &error, "outside");
  refused (lw_edit_remove_loop (job, edge, &error), &error, "needs its edge");
  take (&job, lw_edit_remove_loop (job, (LwLoopPlace){ LW_LOOP_OUTLINE, 2 }, &error), &error);
  g_assert_cmpuint (lw_job_n_loops (job, LW_LOOP_OUTLINE), ==, 3);
  refused (lw_edit_remove_loop (job, (LwLoopPlace){ LW_LOOP_OUTLINE, 9 }, &error), &error, "no loop 9");
}

/* The reason stands without its path: it is shown beside the field. */
static void
test_crossing_refused (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwJob) job = lw_job_new_rectangle (100, 80, 0, 1.6, &error);
  const LwLoopPlace edge = { LW_LOOP_OUTLINE, 0 };
  LwLoop *crossed = lw_loop_move_corner (lw_job_loop (job, edge), 2, -5, 40, &error);
  LwJob *after = lw_edit_set_loop (job, edge, crossed, &error);

  g_assert_null (after);
  g_assert_true (g_str_has_prefix (error->message, "crosses or touches itself"));
  g_clear_error (&error);
  refused (lw_job_new_rectangle (100, 80, 0, 0, &error), &error, "thickness");
  refused (lw_job_new_rectangle (-1, 80, 0, 1, &error), &error, "above 0");
}

static void
test_copper_and_vias (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwJob) job = lw_job_new_rectangle (100, 80, 0, 1.6, &error);
  LwLayer *layer = lw_layer_new ();

  refused (lw_edit_add_copper (job, "L1", 0.5, lw_loop_new_rectangle (1, 1, 9, 9), &error), &error, "no copper layer");
  g_free (layer->name);
  layer->name = g_strdup ("L1");
  layer->kind = LW_LAYER_COPPER;
  layer->copper_weight_oz = 1;
  g_ptr_array_add (lw_job_edit_board (job)->layers, layer);
  refused (lw_edit_add_copper (job, "L1", 1.5, lw_loop_new_rectangle (1, 1, 9, 9), &error), &error, "between 0 and 1");
  take (&job, lw_edit_add_copper (job, "L1", 0.9, lw_loop_new_rectangle (1, 1, 9, 9), &error), &error);
  take (&job, lw_edit_add_vias (job, 1.2, 0.3, 25, lw_loop_new_circle (50, 40, 5), &error), &error);
  refused (lw_edit_add_vias (job, 0.2, 0.3, 25, lw_loop_new_circle (50, 40, 5), &error), &error, "as wide as");
  refused (lw_edit_add_vias (job, 0, 0.3, 25, lw_loop_new_circle (50, 40, 5), &error), &error, "above 0");
  take (&job, lw_edit_set_loop (job, (LwLoopPlace){ LW_LOOP_COPPER, 0 }, lw_loop_new_rectangle (2, 2, 8, 8), &error),
        &error);
  near_to (lw_loop_area (lw_job_loop (job, (LwLoopPlace){ LW_LOOP_COPPER, 0 })), 36);
  take (&job, lw_edit_remove_loop (job, (LwLoopPlace){ LW_LOOP_VIAS, 0 }, &error), &error);
  g_assert_cmpuint (lw_job_n_loops (job, LW_LOOP_VIAS), ==, 0);
}

static void
lands (const LwJob *job, const LwSnapRule *rule, double x, double y, LwSnapKind kind, double to_x, double to_y)
{
  LwSnapKind is;
  LwPoint at = lw_job_snap (job, rule, x, y, &is);

  g_assert_cmpint (is, ==, kind);
  near_to (at.x_mm, to_x);
  near_to (at.y_mm, to_y);
}

static void
test_snap (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwJob) job = lw_job_new_rectangle (100, 80, 0, 1.6, &error);
  g_autoptr (GArray) guides = g_array_new (FALSE, FALSE, sizeof (double));
  double guide = 33.33;
  LwPart *part = lw_part_new ();
  LwSnapRule rule = { .grid_mm = 0.5, .reach_mm = 1.0 };

  part->x_mm = 20.3;
  part->y_mm = 20.7;
  part->placed = TRUE;
  g_ptr_array_add (job->parts, part);
  lands (job, &rule, 50.2, 40.3, LW_SNAP_GRID, 50, 40.5);
  lands (job, &rule, 99.5, 0.4, LW_SNAP_CORNER, 100, 0);
  lands (job, &rule, 49.5, 80.6, LW_SNAP_MIDDLE, 50, 80);
  lands (job, &rule, 100.7, 31.23, LW_SNAP_EDGE, 100, 31.23);
  lands (job, &rule, 20.9, 20.2, LW_SNAP_CENTER, 20.3, 20.7);
  g_array_append_val (guides, guide);
  rule.guides_x = guides;
  lands (job, &rule, 33.9, 41.1, LW_SNAP_GUIDE, 33.33, 41);
  rule.reach_mm = rule.grid_mm = 0;
  lands (job, &rule, 99.5, 0.4, LW_SNAP_NONE, 99.5, 0.4);
  rule.reach_mm = 1;
  rule.skip = TRUE;
  rule.skip_place = (LwLoopPlace){ LW_LOOP_OUTLINE, 0 };
  lands (job, &rule, 99.5, 0.4, LW_SNAP_NONE, 99.5, 0.4); /* not on itself */
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/loop-edits/rounded", test_rounded);
  g_test_add_func ("/loop-edits/slot", test_slot);
  g_test_add_func ("/loop-edits/corners", test_corners);
  g_test_add_func ("/loop-edits/rounded-away", test_rounded_away);
  g_test_add_func ("/loop-edits/sharp-corner", test_sharp_corner);
  g_test_add_func ("/loop-edits/arcs", test_arcs);
  g_test_add_func ("/loop-edits/lengths", test_lengths);
  g_test_add_func ("/loop-edits/nearest", test_nearest);
  g_test_add_func ("/loop-edits/board", test_board);
  g_test_add_func ("/loop-edits/crossing-refused", test_crossing_refused);
  g_test_add_func ("/loop-edits/copper-and-vias", test_copper_and_vias);
  g_test_add_func ("/loop-edits/snap", test_snap);
  return g_test_run ();
}
