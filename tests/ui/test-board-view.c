/* The board view: what its actions, drags and clicks do to the document, and real pointer events once. */
#include <math.h>
#include <time.h>

#include "stage.h"
#include "widgets/board-view-private.h"

static const LwPart *
part (Stage *stage, guint i)
{
  return g_ptr_array_index (stage_job (stage)->parts, i);
}

static const LwPlan *
plan (Stage *stage)
{
  return g_ptr_array_index (stage_job (stage)->plans, 0);
}

static LwBoardView *
view (Stage *stage)
{
  return LW_BOARD_VIEW (stage->widget);
}

static void
place (Stage *stage, double x_mm, double y_mm, double *px, double *py)
{
  lw_viewport_to_picture (&view (stage)->view, x_mm, y_mm, px, py);
}

static void
open_stage (Stage *stage)
{
  stage_open (stage, lw_board_view_new, 900, 600);
}

/* A drag as the gesture hands it on: press, some motions, release. */
static void
drag (Stage *stage, double x_mm, double y_mm, double to_x_mm, double to_y_mm, gboolean free)
{
  double x0, y0, x1, y1;

  place (stage, x_mm, y_mm, &x0, &y0);
  place (stage, to_x_mm, to_y_mm, &x1, &y1);
  lw_board_view_drag_begin (view (stage), x0, y0, FALSE);
  for (int k = 1; k <= 5; k++)
    lw_board_view_drag_update (view (stage), (x1 - x0) * k / 5.0, (y1 - y0) * k / 5.0, free);
}

static void
test_shows_the_board (void)
{
  Stage stage;
  LwBox board;
  double left, right, py;

  open_stage (&stage);
  board = lw_board_extent (stage_job (&stage));
  place (&stage, board.x0_mm, 50, &left, &py);
  place (&stage, board.x1_mm, 50, &right, &py);
  g_assert_cmpfloat_with_epsilon (py, 0.5 * gtk_widget_get_height (stage.widget), 1e-6);
  g_assert_cmpfloat (left, >, 0);
  g_assert_cmpfloat (right, <, lw_board_view_scale_box (view (&stage)).x0_mm); /* beside the colour scale, not under it */
  g_assert_cmpint (view (&stage)->dirty & LW_BOARD_LAYER_GROUND, ==, 0); /* it has been painted */
  gtk_test_accessible_assert_role (stage.widget, GTK_ACCESSIBLE_ROLE_IMG);
  gtk_test_accessible_assert_property (stage.widget, GTK_ACCESSIBLE_PROPERTY_LABEL, "Board from the top");
  stage_close (&stage);
}

/* The whole scene, preheat area and all, lies beside what stands in the corners: it is fitted, not hidden. */
static void
test_beside_tools (void)
{
  const int widths[] = { 100, 500, 860 };
  GtkWidget *tools = g_object_ref_sink (gtk_label_new (NULL));
  Stage stage;

  open_stage (&stage);
  lw_board_view_set_tools (view (&stage), tools);
  for (guint i = 0; i < G_N_ELEMENTS (widths); i++) {
    LwBox scene = lw_board_scene (stage_job (&stage), 0);
    double x0, y0, x1, y1;

    gtk_widget_set_size_request (tools, widths[i], 60);
    gtk_widget_activate_action (stage.widget, "view.fit", NULL);
    place (&stage, scene.x0_mm, scene.y1_mm, &x0, &y0);
    place (&stage, scene.x1_mm, scene.y0_mm, &x1, &y1);
    g_assert_true (x0 >= widths[i] - 1e-6 || y0 >= 60 - 1e-6);
    g_assert_cmpfloat (x1, <=, gtk_widget_get_width (stage.widget));
    g_assert_cmpfloat (y1, <=, gtk_widget_get_height (stage.widget));
  }
  lw_board_view_set_tools (view (&stage), NULL);
  stage_close (&stage);
  g_object_unref (tools);
}

static void
test_zoom_actions (void)
{
  Stage stage;
  double before, fit, middle;

  open_stage (&stage);
  fit = before = view (&stage)->view.scale;
  middle = view (&stage)->view.center_x_mm;
  g_assert_true (gtk_widget_activate_action (stage.widget, "view.zoom-in", NULL));
  g_assert_cmpfloat_with_epsilon (view (&stage)->view.scale, 1.25 * before, 1e-9);
  gtk_widget_activate_action (stage.widget, "view.zoom-out", NULL);
  g_assert_cmpfloat_with_epsilon (view (&stage)->view.scale, before, 1e-9);
  lw_board_view_pan (view (&stage), 100, 50);
  gtk_widget_activate_action (stage.widget, "view.fit", NULL);
  g_assert_cmpfloat_with_epsilon (view (&stage)->view.scale, fit, 1e-9);
  g_assert_cmpfloat_with_epsilon (view (&stage)->view.center_x_mm, middle, 1e-9);
  stage_close (&stage);
}

/* The pixel of the painted ground at a place of the view. */
static const guchar *
ground_at (cairo_surface_t *ground, int x, int y)
{
  return cairo_image_surface_get_data (ground) + (gsize) cairo_image_surface_get_stride (ground) * (y + LW_BOARD_MARGIN)
         + 4 * (x + LW_BOARD_MARGIN);
}

/* Where the sheets reach beyond the view they show what a view that is moved there shows. */
static void
test_margin (void)
{
  enum { DX = 40, STRIDE = 5 };
  Stage stage;
  cairo_surface_t *before, *after;
  guint n = 0, other = 0;

  open_stage (&stage);
  lw_board_view_zoom_at (view (&stage), 3, 300, 200);
  STAGE_WAIT (view (&stage)->sheets.flat && view (&stage)->dirty == 0 && !lw_easel_busy (&view (&stage)->easel));
  g_assert_cmpfloat (lw_board_view_gap (view (&stage)), ==, 0);
  before = cairo_surface_reference (view (&stage)->sheets.layers[0]);
  lw_board_view_pan (view (&stage), DX, 0);
  g_assert_cmpfloat (lw_board_view_gap (view (&stage)), ==, 0); /* shown at once, nothing painted yet */
  lw_board_view_pan (view (&stage), LW_BOARD_MARGIN, 0);
  g_assert_cmpfloat_with_epsilon (lw_board_view_gap (view (&stage)), DX, 1e-6);
  lw_board_view_pan (view (&stage), -LW_BOARD_MARGIN, 0);
  STAGE_WAIT (view (&stage)->dirty == 0 && !lw_easel_busy (&view (&stage)->easel)
              && view (&stage)->sheets.view.center_x_mm == view (&stage)->view.center_x_mm);
  after = view (&stage)->sheets.layers[0];
  for (int y = 0; y < (int) view (&stage)->view.height; y += STRIDE)
    for (int x = 0; x < DX; x++, n++)
      for (int k = 0; k < 3; k++)
        if (abs (ground_at (before, x - DX, y)[k] - ground_at (after, x, y)[k]) > 12) {
          other++;
          break;
        }
  g_assert_cmpuint (n, >, 1000);
  g_assert_cmpuint (other * 50, <, n); /* lines of equal temperature end elsewhere */
  cairo_surface_destroy (before);
  stage_close (&stage);
}

/* The whole board is painted small as a motion begins, and stands in where the sheets do not reach; once the hand rests they are
 * painted for the very place. */
static void
test_stand_in (void)
{
  Stage stage;
  LwBox board;
  double x, y;

  open_stage (&stage);
  STAGE_WAIT (view (&stage)->sheets.flat != NULL);
  g_assert_false (lw_board_view_stands_in (view (&stage)));
  lw_board_view_zoom_at (view (&stage), 3, 300, 200);
  STAGE_WAIT (lw_board_view_stands_in (view (&stage)) && view (&stage)->dirty == 0 && !lw_easel_busy (&view (&stage)->easel)
              && view (&stage)->sheets.view.scale == view (&stage)->view.scale);
  g_assert_cmpuint (view (&stage)->whole.of, ==, view (&stage)->content);
  board = lw_board_extent (lw_board_view_job (view (&stage)));
  for (int k = 0; k < 2; k++) {
    lw_viewport_to_picture (&view (&stage)->whole.view, k ? board.x1_mm : board.x0_mm, k ? board.y1_mm : board.y0_mm, &x, &y);
    g_assert_true (x > -1 && x < view (&stage)->view.width + 1 && y > -1 && y < view (&stage)->view.height + 1);
  }
  for (int k = 0; k < 6; k++)
    lw_board_view_pan (view (&stage), 40, 0);
  g_assert_cmpfloat (lw_board_view_gap (view (&stage)), >, 100);
  STAGE_WAIT (view (&stage)->dirty == 0 && !lw_easel_busy (&view (&stage)->easel)
              && view (&stage)->sheets.view.center_x_mm == view (&stage)->view.center_x_mm);
  g_assert_cmpfloat (lw_board_view_gap (view (&stage)), ==, 0);
  stage_close (&stage);
}

static void
test_scroll_zooms_to_pointer (void)
{
  Stage stage;
  GtkEventController *motion, *scroll;
  gboolean handled = FALSE;
  double before, x0, y0, x1, y1;

  open_stage (&stage);
  motion = stage_controller (&stage, GTK_TYPE_EVENT_CONTROLLER_MOTION, 0);
  scroll = stage_controller (&stage, GTK_TYPE_EVENT_CONTROLLER_SCROLL, 0);
  g_signal_emit_by_name (motion, "motion", 300.0, 200.0);
  lw_viewport_to_board (&view (&stage)->view, 300, 200, &x0, &y0);
  before = view (&stage)->view.scale;
  g_signal_emit_by_name (scroll, "scroll", 0.0, -2.0, &handled);
  g_assert_true (handled);
  g_assert_cmpfloat (view (&stage)->view.scale, >, 1.3 * before);
  lw_viewport_to_board (&view (&stage)->view, 300, 200, &x1, &y1);
  g_assert_cmpfloat_with_epsilon (x1, x0, 1e-9);
  g_assert_cmpfloat_with_epsilon (y1, y0, 1e-9);
  stage_close (&stage);
}

static void
test_drag_part_is_one_step (void)
{
  Stage stage;
  LwJob *before;

  open_stage (&stage);
  before = lw_job_ref (stage_job (&stage));
  drag (&stage, 40, 62, 44.23, 58.77, FALSE); /* U3 */
  g_assert_cmpint (lw_desk_selected_part (stage.desk), ==, 2);
  lw_board_view_drag_end (view (&stage));
  g_assert_cmpfloat_with_epsilon (part (&stage, 2)->x_mm, 44.2, 1e-9); /* 0.1 mm snap */
  g_assert_cmpfloat_with_epsilon (part (&stage, 2)->y_mm, 58.8, 1e-9);
  g_assert_cmpstr (stage.told, ==, "U3 moved");
  g_assert_true (lw_document_undo (stage.document));
  g_assert_true (stage_job (&stage) == before); /* the very job, in one step */
  g_assert_false (lw_document_undo (stage.document));
  lw_job_unref (before);
  stage_close (&stage);
}

static void
test_drag_free (void)
{
  Stage stage;

  open_stage (&stage);
  drag (&stage, 40, 62, 44.2345, 58.7654, TRUE);
  lw_board_view_drag_end (view (&stage));
  g_assert_cmpfloat_with_epsilon (part (&stage, 2)->x_mm, 44.2345, 1e-6);
  g_assert_cmpfloat_with_epsilon (part (&stage, 2)->y_mm, 58.7654, 1e-6);
  stage_close (&stage);
}

static void
assert_dragged_to (double x_mm, double y_mm, gboolean free, double at_x_mm, double at_y_mm)
{
  Stage stage;
  LwPoint center;

  open_stage (&stage);
  drag (&stage, 40, 62, x_mm, y_mm, free); /* U3, by its middle */
  g_assert_true (view (&stage)->drag.snapped == !free);
  lw_board_view_drag_end (view (&stage));
  center = lw_part_body_center (part (&stage, 2), lw_job_package_of (stage_job (&stage), part (&stage, 2)));
  g_assert_cmpfloat_with_epsilon (center.x_mm, at_x_mm, 1e-6);
  g_assert_cmpfloat_with_epsilon (center.y_mm, at_y_mm, 1e-6);
  stage_close (&stage);
}

/* A few pixels off (some 5 to a millimetre), a part's middle goes onto another's, a corner or an edge of the board
 * (160 x 100 mm from 0, 0, rounded by 3 mm), each with no place on the 0.1 mm grid needed; Shift leaves it where the hand is. */
static void
test_drag_part_snaps (void)
{
  assert_dragged_to (104.43, 58.27, FALSE, 104, 58);
  assert_dragged_to (3.37, 0.41, FALSE, 3, 0);
  assert_dragged_to (0.63, 30.123, FALSE, 0, 30.123);
  assert_dragged_to (104.43, 58.27, TRUE, 104.43, 58.27);
}

static void
test_two_drags_are_two_steps (void)
{
  Stage stage;

  open_stage (&stage);
  drag (&stage, 40, 62, 44, 62, TRUE);
  lw_board_view_drag_end (view (&stage));
  drag (&stage, 44, 62, 48, 62, TRUE);
  lw_board_view_drag_end (view (&stage));
  g_assert_cmpfloat_with_epsilon (part (&stage, 2)->x_mm, 48, 1e-9);
  lw_document_undo (stage.document);
  g_assert_cmpfloat_with_epsilon (part (&stage, 2)->x_mm, 44, 1e-9);
  lw_document_undo (stage.document);
  g_assert_cmpfloat_with_epsilon (part (&stage, 2)->x_mm, 40, 1e-9);
  stage_close (&stage);
}

static void
test_cancel_reverts (void)
{
  Stage stage;
  LwJob *before;

  open_stage (&stage);
  before = lw_job_ref (stage_job (&stage));
  drag (&stage, 40, 62, 60, 70, FALSE);
  g_assert_true (stage_job (&stage) != before);
  lw_board_view_drag_cancel (view (&stage));
  g_assert_true (stage_job (&stage) == before);
  g_assert_null (lw_document_undo_label (stage.document)); /* as if it had never been */
  g_assert_null (lw_document_redo_label (stage.document));
  lw_board_view_drag_update (view (&stage), 500, 500, FALSE); /* the rest of the motion does nothing */
  lw_board_view_drag_end (view (&stage));
  g_assert_true (stage_job (&stage) == before);
  lw_job_unref (before);
  stage_close (&stage);
}

static void
test_drag_empty_pans (void)
{
  Stage stage;
  LwJob *before;
  double scale, middle;

  open_stage (&stage);
  before = lw_job_ref (stage_job (&stage));
  scale = view (&stage)->view.scale;
  middle = view (&stage)->view.center_x_mm;
  drag (&stage, 10, 10, 30, 15, FALSE);
  lw_board_view_drag_end (view (&stage));
  g_assert_cmpfloat_with_epsilon (view (&stage)->view.center_x_mm, middle - 20, 1e-6);
  g_assert_cmpfloat_with_epsilon (view (&stage)->view.center_y_mm, 45, 1e-6);
  g_assert_cmpfloat (view (&stage)->view.scale, ==, scale);
  g_assert_true (stage_job (&stage) == before);
  lw_job_unref (before);
  stage_close (&stage);
}

static void
test_held_space_pans_over_parts (void)
{
  Stage stage;
  gboolean handled = FALSE;
  GtkEventController *keys;
  double middle;

  open_stage (&stage);
  middle = view (&stage)->view.center_x_mm;
  keys = stage_controller (&stage, GTK_TYPE_EVENT_CONTROLLER_KEY, 0);
  g_signal_emit_by_name (keys, "key-pressed", GDK_KEY_space, 0, 0, &handled);
  g_assert_true (handled);
  drag (&stage, 40, 62, 50, 62, FALSE);
  lw_board_view_drag_end (view (&stage));
  g_signal_emit_by_name (keys, "key-released", GDK_KEY_space, 0, 0);
  g_assert_cmpfloat (part (&stage, 2)->x_mm, ==, 40);
  g_assert_cmpfloat_with_epsilon (view (&stage)->view.center_x_mm, middle - 10, 1e-6);
  stage_close (&stage);
}

static void
test_drag_nozzle (void)
{
  Stage stage;

  open_stage (&stage);
  drag (&stage, 78 + 11, 54, 78 + 11 + 1.52, 54 - 0.73, FALSE);
  lw_board_view_drag_end (view (&stage));
  g_assert_cmpfloat_with_epsilon (plan (&stage)->nozzle_dx_mm, 1.5, 1e-9);
  g_assert_cmpfloat_with_epsilon (plan (&stage)->nozzle_dy_mm, -0.7, 1e-9);
  g_assert_cmpint (lw_desk_selection (stage.desk, NULL), ==, LW_THING_NOZZLE);
  g_assert_cmpstr (lw_document_undo_label (stage.document), ==, "Move nozzle");
  stage_close (&stage);
}

/* 120 x 76 about (80, 52): the left edge at 20, the upper at 90. */
static void
test_drag_preheat (void)
{
  Stage stage;

  open_stage (&stage);
  drag (&stage, 20, 52, 30.3, 52, FALSE);
  lw_board_view_drag_end (view (&stage));
  g_assert_cmpfloat_with_epsilon (plan (&stage)->preheat_length_mm, 110, 1e-9);
  g_assert_cmpfloat_with_epsilon (plan (&stage)->preheat_x_mm, 85, 1e-9);
  g_assert_cmpfloat_with_epsilon (plan (&stage)->preheat_width_mm, 76, 1e-9);
  drag (&stage, 85, 90, 85, 94, FALSE);
  lw_board_view_drag_end (view (&stage));
  g_assert_cmpfloat_with_epsilon (plan (&stage)->preheat_width_mm, 80, 1e-9);
  g_assert_cmpfloat_with_epsilon (plan (&stage)->preheat_y_mm, 54, 1e-9);
  drag (&stage, 50, 94, 53, 91, FALSE); /* on the edge, away from the grip: the whole area moves */
  lw_board_view_drag_end (view (&stage));
  g_assert_cmpfloat_with_epsilon (plan (&stage)->preheat_x_mm, 88, 1e-9);
  g_assert_cmpfloat_with_epsilon (plan (&stage)->preheat_y_mm, 51, 1e-9);
  g_assert_cmpfloat_with_epsilon (plan (&stage)->preheat_width_mm, 80, 1e-9);
  g_assert_cmpint (lw_desk_selection (stage.desk, NULL), ==, LW_THING_PREHEAT);
  stage_close (&stage);
}

/* An edge cannot be pulled through the other. */
static void
test_preheat_keeps_a_size (void)
{
  Stage stage;

  open_stage (&stage);
  drag (&stage, 20, 52, 158, 52, FALSE);
  lw_board_view_drag_end (view (&stage));
  g_assert_cmpfloat (plan (&stage)->preheat_length_mm, >=, 5 - 1e-9);
  g_assert_cmpfloat_with_epsilon (plan (&stage)->preheat_x_mm + 0.5 * plan (&stage)->preheat_length_mm, 140, 1e-9);
  stage_close (&stage);
}

static void
test_drag_shield_and_thermocouple (void)
{
  Stage stage;
  LwJob *before;
  const LwShield *shield;
  LwBox box;

  open_stage (&stage);
  before = lw_job_ref (stage_job (&stage));
  drag (&stage, 93, 33, 96, 35, FALSE); /* a corner of it where no part lies */
  lw_board_view_drag_end (view (&stage));
  shield = g_ptr_array_index (plan (&stage)->shields, 0);
  box = lw_loop_box (shield->loop);
  g_assert_cmpfloat_with_epsilon (box.x0_mm, 95, 1e-9);
  g_assert_cmpfloat_with_epsilon (box.y1_mm, 46, 1e-9);
  shield = g_ptr_array_index (((LwPlan *) g_ptr_array_index (before->plans, 0))->shields, 0);
  box = lw_loop_box (shield->loop);
  g_assert_cmpfloat_with_epsilon (box.x0_mm, 92, 1e-9); /* the old job is as it was */
  drag (&stage, 50, 44, 52, 45, FALSE);
  lw_board_view_drag_end (view (&stage));
  g_assert_cmpfloat_with_epsilon (((LwThermocouple *) g_ptr_array_index (plan (&stage)->thermocouples, 1))->x_mm, 52,
                                  1e-9);
  g_assert_cmpint (lw_desk_selection (stage.desk, NULL), ==, LW_THING_THERMOCOUPLE);
  lw_job_unref (before);
  stage_close (&stage);
}

static gboolean
has_rings (Stage *stage, gboolean wanted)
{
  for (int k = 0; k < 40 && (view (stage)->sheets.over != NULL) != wanted; k++)
    stage_settle (stage);
  return view (stage)->sheets.over != NULL;
}

/* Rings about the place, though nothing is selected; they go when it is taken back. */
static void
test_proposed_place_is_shown (void)
{
  Stage stage;

  open_stage (&stage);
  lw_desk_select (stage.desk, LW_THING_BOARD, -1);
  g_assert_false (has_rings (&stage, FALSE));
  lw_desk_propose (stage.desk, g_ptr_array_index (plan (&stage)->thermocouples, 0));
  g_assert_true (has_rings (&stage, TRUE));
  lw_desk_propose (stage.desk, NULL);
  g_assert_false (has_rings (&stage, FALSE));
  stage_close (&stage);
}

static void
test_refused_drag_tells (void)
{
  Stage stage;
  double x, y;

  open_stage (&stage);
  place (&stage, 78 + 11, 54, &x, &y);
  lw_board_view_drag_begin (view (&stage), x, y, FALSE);
  lw_board_view_drag_update (view (&stage), 1e6, 0, FALSE); /* far beyond what a document holds */
  g_assert_cmpfloat (plan (&stage)->nozzle_dx_mm, ==, 0);
  lw_board_view_drag_end (view (&stage));
  g_assert_nonnull (stage.told);
  g_assert_false (lw_document_undo (stage.document));
  stage_close (&stage);
}

static void
test_click_selects (void)
{
  Stage stage;
  double x, y;
  int index;

  open_stage (&stage);
  place (&stage, 104, 58, &x, &y);
  lw_board_view_click (view (&stage), x, y, 1);
  g_assert_cmpint (lw_desk_selected_part (stage.desk), ==, 1);
  gtk_test_accessible_assert_property (stage.widget, GTK_ACCESSIBLE_PROPERTY_LABEL, "Board from the top");
  place (&stage, 72, 60, &x, &y);
  place (&stage, 50, 44, &x, &y);
  lw_board_view_click (view (&stage), x, y, 1);
  g_assert_cmpint (lw_desk_selection (stage.desk, &index), ==, LW_THING_THERMOCOUPLE);
  g_assert_cmpint (index, ==, 1);
  place (&stage, 8, 20, &x, &y);
  lw_board_view_click (view (&stage), x, y, 1);
  g_assert_cmpint (lw_desk_selected_part (stage.desk), ==, -1);
  g_assert_cmpint (lw_desk_selection (stage.desk, NULL), ==, LW_THING_BOARD);
  stage_close (&stage);
}

static void
test_double_click_targets (void)
{
  Stage stage;
  double x, y;

  open_stage (&stage);
  place (&stage, 104, 58, &x, &y);
  lw_board_view_click (view (&stage), x, y, 2);
  g_assert_cmpuint (stage_job (&stage)->plans->len, ==, 2);
  g_assert_cmpstr (((LwPlan *) g_ptr_array_index (stage_job (&stage)->plans, lw_desk_plan (stage.desk)))->ref, ==, "U2");
  stage_close (&stage);
}

static void
test_part_actions (void)
{
  Stage stage;

  open_stage (&stage);
  lw_desk_select_part (stage.desk, 2);
  gtk_widget_activate_action (stage.widget, "part.rotate", NULL);
  g_assert_cmpfloat (part (&stage, 2)->rotation_deg, ==, 90);
  gtk_widget_activate_action (stage.widget, "part.rotate-back", NULL);
  gtk_widget_activate_action (stage.widget, "part.rotate-back", NULL);
  g_assert_cmpfloat (part (&stage, 2)->rotation_deg, ==, 270);
  gtk_widget_activate_action (stage.widget, "part.nudge-right", NULL);
  gtk_widget_activate_action (stage.widget, "part.nudge-up", NULL);
  g_assert_cmpfloat_with_epsilon (part (&stage, 2)->x_mm, 40.5, 1e-9);
  g_assert_cmpfloat_with_epsilon (part (&stage, 2)->y_mm, 62.5, 1e-9);
  gtk_widget_activate_action (stage.widget, "part.flip", NULL);
  g_assert_cmpint (part (&stage, 2)->side, ==, LW_SIDE_BOTTOM);
  g_assert_cmpint (lw_desk_side (stage.desk), ==, LW_SIDE_BOTTOM);
  g_assert_cmpint (view (&stage)->view.side, ==, LW_SIDE_BOTTOM);
  /* Seen from below, right is towards low x. */
  gtk_widget_activate_action (stage.widget, "part.nudge-right", NULL);
  g_assert_cmpfloat_with_epsilon (part (&stage, 2)->x_mm, 40.0, 1e-9);
  stage_close (&stage);
}

static void
test_delete_and_unselect (void)
{
  Stage stage;
  guint n;

  open_stage (&stage);
  n = stage_job (&stage)->parts->len;
  lw_desk_select_part (stage.desk, 4);
  gtk_widget_activate_action (stage.widget, "part.delete", NULL);
  g_assert_cmpuint (stage_job (&stage)->parts->len, ==, n - 1);
  g_assert_cmpstr (stage.told, ==, "U5 removed");
  lw_document_undo (stage.document);
  g_assert_cmpuint (stage_job (&stage)->parts->len, ==, n);
  lw_desk_select_part (stage.desk, 3);
  gtk_widget_activate_action (stage.widget, "part.unselect", NULL);
  g_assert_cmpint (lw_desk_selected_part (stage.desk), ==, -1);
  gtk_widget_activate_action (stage.widget, "part.delete", NULL); /* nothing selected: nothing goes */
  g_assert_cmpuint (stage_job (&stage)->parts->len, ==, n);
  stage_close (&stage);
}

static void
test_next_goes_round (void)
{
  Stage stage;
  guint seen = 0, on_top = 0;
  int first;

  open_stage (&stage);
  for (guint i = 0; i < stage_job (&stage)->parts->len; i++)
    on_top += part (&stage, i)->side == LW_SIDE_TOP;
  gtk_widget_activate_action (stage.widget, "part.next", NULL);
  first = lw_desk_selected_part (stage.desk);
  g_assert_cmpint (first, ==, 0);
  do {
    g_assert_cmpint (part (&stage, lw_desk_selected_part (stage.desk))->side, ==, LW_SIDE_TOP);
    gtk_widget_activate_action (stage.widget, "part.next", NULL);
    seen++;
  } while (lw_desk_selected_part (stage.desk) != first && seen < 1000);
  g_assert_cmpuint (seen, ==, on_top);
  gtk_widget_activate_action (stage.widget, "part.previous", NULL);
  g_assert_cmpint (lw_desk_selected_part (stage.desk), !=, first);
  stage_close (&stage);
}

static void
test_show_part (void)
{
  Stage stage;
  double scale, px, py;

  open_stage (&stage);
  lw_board_view_zoom_at (view (&stage), 8.0, 10, 10);
  scale = view (&stage)->view.scale;
  lw_board_view_show_part (view (&stage), 6); /* U7 on the bottom */
  g_assert_cmpint (lw_desk_side (stage.desk), ==, LW_SIDE_BOTTOM);
  g_assert_cmpfloat (view (&stage)->view.scale, ==, scale);
  place (&stage, part (&stage, 6)->x_mm, part (&stage, 6)->y_mm, &px, &py);
  g_assert_cmpfloat_with_epsilon (px, 450, 60);
  g_assert_cmpfloat_with_epsilon (py, 300, 60);
  lw_board_view_show_part (view (&stage), -1);
  lw_board_view_show_part (view (&stage), 9999);
  stage_close (&stage);
}

static void
test_hover_keeps_the_layers (void)
{
  Stage stage;
  GtkEventController *motion;
  double x, y;

  open_stage (&stage);
  motion = stage_controller (&stage, GTK_TYPE_EVENT_CONTROLLER_MOTION, 0);
  place (&stage, 104, 58, &x, &y);
  g_signal_emit_by_name (motion, "motion", x, y);
  g_assert_cmpint (view (&stage)->hovered, ==, 1);
  g_assert_cmpint (view (&stage)->dirty & LW_BOARD_LAYER_GROUND, ==, 0);
  g_assert_cmpint (view (&stage)->dirty & LW_BOARD_LAYER_PLAN, ==, 0);
  lw_desk_set_moment (stage.desk, 33);
  g_assert_cmpint (view (&stage)->dirty & LW_BOARD_LAYER_GROUND, !=, 0);
  stage_settle (&stage);
  g_signal_emit_by_name (motion, "leave");
  g_assert_cmpint (view (&stage)->hovered, ==, -1);
  stage_close (&stage);
}

static void
test_describes (void)
{
  Stage stage;
  g_autofree char *text = NULL;

  open_stage (&stage);
  lw_desk_set_moment (stage.desk, 200);
  text = lw_board_view_describe (view (&stage), 1);
  g_assert_true (g_str_has_prefix (text, "U2, BGA96\nJoints "));
  g_assert_nonnull (strstr (text, "Body "));
  g_assert_nonnull (strstr (text, "Sample")); /* the finding's sentence */
  g_assert_null (lw_board_view_describe (view (&stage), -1));
  stage_close (&stage);
}

static void
test_without_a_document (void)
{
  Stage stage;

  open_stage (&stage);
  lw_desk_set_document (stage.desk, NULL);
  stage_settle (&stage);
  drag (&stage, 10, 10, 50, 50, FALSE);
  lw_board_view_drag_end (view (&stage));
  lw_board_view_click (view (&stage), 10, 10, 2);
  gtk_widget_activate_action (stage.widget, "view.fit", NULL);
  gtk_widget_activate_action (stage.widget, "part.next", NULL);
  lw_board_view_set_desk (view (&stage), NULL);
  stage_settle (&stage);
  g_object_set (stage.widget, "desk", stage.desk, NULL);
  stage_close (&stage);
}

/* Undo while a drag is under way, and a document that goes away: no crash, no half-made step. */
static void
test_document_changes_under_a_drag (void)
{
  Stage stage;
  g_autoptr (LwDocument) other = lw_document_new (sample_small_job_new (), NULL);

  open_stage (&stage);
  drag (&stage, 40, 62, 50, 62, FALSE);
  lw_desk_set_document (stage.desk, other);
  lw_board_view_drag_update (view (&stage), 90, 0, FALSE);
  lw_board_view_drag_end (view (&stage));
  g_assert_cmpuint (stage_job (&stage)->parts->len, ==, 2);
  g_assert_false (lw_document_modified (other));
  lw_desk_set_document (stage.desk, NULL);
  stage_close (&stage);
}

static void
move_to (double x, double y)
{
  g_autofree char *sx = g_strdup_printf ("%d", (int) x), *sy = g_strdup_printf ("%d", (int) y);

  stage_xdotool ((const char *const[]){ "mousemove", "--sync", sx, sy, NULL });
}

/* Real events through the X server: click, drag, wheel, keys. Without a window manager the window sits at
 * the screen's origin. */
static void
test_real_events (void)
{
  Stage stage;
  double x, y, scale;

  open_stage (&stage);
  place (&stage, 40, 62, &x, &y);
  move_to (x, y);
  stage_xdotool ((const char *const[]){ "click", "1", NULL });
  STAGE_WAIT (lw_desk_selected_part (stage.desk) == 2);
  g_assert_cmpint (view (&stage)->hovered, ==, 2);
  g_assert_cmpfloat (part (&stage, 2)->x_mm, ==, 40); /* a click is no drag */

  stage_xdotool ((const char *const[]){ "mousedown", "1", NULL });
  for (int k = 1; k <= 8; k++) {
    move_to (x + 5 * k, y + 2 * k);
    for (int spin = 0; spin < 50; spin++)
      g_main_context_iteration (NULL, FALSE);
  }
  STAGE_WAIT (view (&stage)->drag.moved);
  stage_xdotool ((const char *const[]){ "mouseup", "1", NULL });
  STAGE_WAIT (view (&stage)->drag.kind == LW_DRAG_NONE);
  g_assert_cmpfloat (part (&stage, 2)->x_mm, >, 44);
  g_assert_cmpfloat (part (&stage, 2)->y_mm, <, 61);
  g_assert_true (lw_document_undo (stage.document));
  g_assert_cmpfloat (part (&stage, 2)->x_mm, ==, 40);
  g_assert_false (lw_document_undo (stage.document));

  scale = view (&stage)->view.scale;
  stage_xdotool ((const char *const[]){ "click", "4", NULL });
  STAGE_WAIT (view (&stage)->view.scale > 1.1 * scale);
  stage_close (&stage);
}

int
main (int argc, char **argv)
{
  gtk_test_init (&argc, &argv, NULL);
  g_test_add_func ("/ui/board-view/shows-the-board", test_shows_the_board);
  g_test_add_func ("/ui/board-view/beside-tools", test_beside_tools);
  g_test_add_func ("/ui/board-view/zoom-actions", test_zoom_actions);
  g_test_add_func ("/ui/board-view/margin", test_margin);
  g_test_add_func ("/ui/board-view/stand-in", test_stand_in);
  g_test_add_func ("/ui/board-view/scroll-zooms-to-pointer", test_scroll_zooms_to_pointer);
  g_test_add_func ("/ui/board-view/drag-part-is-one-step", test_drag_part_is_one_step);
  g_test_add_func ("/ui/board-view/drag-free", test_drag_free);
  g_test_add_func ("/ui/board-view/drag-part-snaps", test_drag_part_snaps);
  g_test_add_func ("/ui/board-view/two-drags-are-two-steps", test_two_drags_are_two_steps);
  g_test_add_func ("/ui/board-view/cancel-reverts", test_cancel_reverts);
  g_test_add_func ("/ui/board-view/drag-empty-pans", test_drag_empty_pans);
  g_test_add_func ("/ui/board-view/held-space-pans", test_held_space_pans_over_parts);
  g_test_add_func ("/ui/board-view/drag-nozzle", test_drag_nozzle);
  g_test_add_func ("/ui/board-view/drag-preheat", test_drag_preheat);
  g_test_add_func ("/ui/board-view/preheat-keeps-a-size", test_preheat_keeps_a_size);
  g_test_add_func ("/ui/board-view/drag-shield-and-thermocouple", test_drag_shield_and_thermocouple);
  g_test_add_func ("/ui/board-view/proposed-place", test_proposed_place_is_shown);
  g_test_add_func ("/ui/board-view/refused-drag-tells", test_refused_drag_tells);
  g_test_add_func ("/ui/board-view/click-selects", test_click_selects);
  g_test_add_func ("/ui/board-view/double-click-targets", test_double_click_targets);
  g_test_add_func ("/ui/board-view/part-actions", test_part_actions);
  g_test_add_func ("/ui/board-view/delete-and-unselect", test_delete_and_unselect);
  g_test_add_func ("/ui/board-view/next-goes-round", test_next_goes_round);
  g_test_add_func ("/ui/board-view/show-part", test_show_part);
  g_test_add_func ("/ui/board-view/hover-keeps-the-layers", test_hover_keeps_the_layers);
  g_test_add_func ("/ui/board-view/describes", test_describes);
  g_test_add_func ("/ui/board-view/without-a-document", test_without_a_document);
  g_test_add_func ("/ui/board-view/document-changes-under-a-drag", test_document_changes_under_a_drag);
  g_test_add_func ("/ui/board-view/real-events", test_real_events);
  return g_test_run ();
}
