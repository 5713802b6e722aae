/* The profile view: set points pulled, the cursor, keys and playing. */
#include <math.h>

#include "stage.h"
#include "widgets/profile-view-private.h"

static LwProfileView *
view (Stage *stage)
{
  return LW_PROFILE_VIEW (stage->widget);
}

static const LwStage *
stage_at (Stage *stage, guint i)
{
  const LwPlan *plan = g_ptr_array_index (stage_job (stage)->plans, 0);

  return g_ptr_array_index (plan->stages, i);
}

static void
place (Stage *stage, double t_s, double temp_c, double *x, double *y)
{
  LwProfilePicture picture;

  lw_profile_view_fill_picture (view (stage), &picture);
  *x = lw_profile_x_of (&picture, t_s);
  *y = lw_profile_y_of (&picture, temp_c);
}

static void
open_stage (Stage *stage)
{
  stage_open (stage, lw_profile_view_new, 900, 260);
  lw_desk_set_moment (stage->desk, 30);
}

static void
pull (Stage *stage, double t_s, double temp_c, double to_t_s, double to_c, gboolean free)
{
  double x0, y0, x1, y1;

  place (stage, t_s, temp_c, &x0, &y0);
  place (stage, to_t_s, to_c, &x1, &y1);
  lw_profile_view_drag_begin (view (stage), x0, y0);
  for (int k = 1; k <= 6; k++)
    lw_profile_view_drag_update (view (stage), (x1 - x0) * k / 6.0, (y1 - y0) * k / 6.0, free);
}

/* The soak holds 220 C gas, 150 C preheat from 90 to 150 s: handles at 120 s. */
static void
test_pull_gas (void)
{
  Stage stage;

  open_stage (&stage);
  pull (&stage, 120, 220, 120, 236.7, FALSE);
  g_assert_cmpint (lw_desk_selected_stage (stage.desk), ==, 1);
  lw_profile_view_drag_end (view (&stage));
  g_assert_cmpfloat_with_epsilon (stage_at (&stage, 1)->gas_c, 237, 1e-9);
  g_assert_cmpfloat (stage_at (&stage, 1)->preheat_c, ==, 150);
  g_assert_cmpstr (lw_document_undo_label (stage.document), ==, "Set gas temperature");
  g_assert_true (lw_document_undo (stage.document));
  g_assert_cmpfloat (stage_at (&stage, 1)->gas_c, ==, 220);
  g_assert_false (lw_document_undo (stage.document));
  stage_close (&stage);
}

/* The pull changes the top of the axis; the value still follows the pointer, one for one. */
static void
test_pull_past_the_top (void)
{
  Stage stage;
  double x, y, per_unit;
  LwProfilePicture picture;

  open_stage (&stage);
  lw_profile_view_fill_picture (view (&stage), &picture);
  per_unit = lw_profile_temp_at (&picture, 100) - lw_profile_temp_at (&picture, 101);
  place (&stage, 210, 300, &x, &y);
  lw_profile_view_drag_begin (view (&stage), x, y);
  for (int k = 1; k <= 30; k++)
    lw_profile_view_drag_update (view (&stage), 0, -k, FALSE);
  lw_profile_view_drag_end (view (&stage));
  g_assert_cmpfloat_with_epsilon (stage_at (&stage, 2)->gas_c, 300 + 30 * per_unit, 0.51);
  stage_close (&stage);
}

static void
test_pull_preheat_free (void)
{
  Stage stage;

  open_stage (&stage);
  pull (&stage, 120, 150, 120, 141.25, TRUE);
  lw_profile_view_drag_end (view (&stage));
  g_assert_cmpfloat_with_epsilon (stage_at (&stage, 1)->preheat_c, 141.25, 1e-6);
  stage_close (&stage);
}

static void
test_pull_stage_end (void)
{
  Stage stage;

  open_stage (&stage);
  pull (&stage, 150, 60, 161.3, 60, FALSE);
  lw_profile_view_drag_end (view (&stage));
  g_assert_cmpfloat_with_epsilon (stage_at (&stage, 1)->duration_s, 71, 1e-9);
  pull (&stage, 161, 60, 20, 60, FALSE); /* through its own start: a second is left */
  lw_profile_view_drag_end (view (&stage));
  g_assert_cmpfloat_with_epsilon (stage_at (&stage, 1)->duration_s, 1, 1e-9);
  stage_close (&stage);
}

static void
test_cancel_reverts (void)
{
  Stage stage;
  LwJob *before;

  open_stage (&stage);
  before = lw_job_ref (stage_job (&stage));
  pull (&stage, 120, 220, 120, 260, FALSE);
  g_assert_true (stage_job (&stage) != before);
  lw_profile_view_drag_cancel (view (&stage));
  g_assert_true (stage_job (&stage) == before);
  g_assert_null (lw_document_undo_label (stage.document)); /* as if it had never been */
  g_assert_null (lw_document_redo_label (stage.document));
  lw_job_unref (before);
  stage_close (&stage);
}

static void
test_cursor (void)
{
  Stage stage;
  double x, y;

  open_stage (&stage);
  place (&stage, 30, 250, &x, &y);
  pull (&stage, 30, 250, 77, 250, FALSE);
  lw_profile_view_drag_end (view (&stage));
  g_assert_cmpfloat_with_epsilon (lw_desk_moment (stage.desk), 77, 1e-6);
  g_assert_false (lw_document_undo (stage.document)); /* looking is no edit */
  place (&stage, 77, 250, &x, &y);
  lw_profile_view_drag_begin (view (&stage), x, y);
  lw_profile_view_drag_update (view (&stage), 1e5, 0, FALSE);
  g_assert_cmpfloat_with_epsilon (lw_desk_moment (stage.desk), 270, 1e-9);
  lw_profile_view_drag_update (view (&stage), -1e5, 0, FALSE);
  g_assert_cmpfloat_with_epsilon (lw_desk_moment (stage.desk), 0, 1e-9);
  lw_profile_view_drag_end (view (&stage));
  stage_close (&stage);
}

static void
test_click_selects_stage (void)
{
  Stage stage;
  double x, y;

  open_stage (&stage);
  place (&stage, 180, 40, &x, &y);
  lw_profile_view_click (view (&stage), x, y);
  g_assert_cmpint (lw_desk_selected_stage (stage.desk), ==, 2);
  g_assert_cmpfloat_with_epsilon (lw_desk_moment (stage.desk), 180, 1e-6);
  gtk_widget_activate_action (stage.widget, "profile.stage-next", NULL);
  g_assert_cmpint (lw_desk_selected_stage (stage.desk), ==, 3);
  gtk_widget_activate_action (stage.widget, "profile.stage-next", NULL);
  g_assert_cmpint (lw_desk_selected_stage (stage.desk), ==, 0);
  gtk_widget_activate_action (stage.widget, "profile.stage-previous", NULL);
  g_assert_cmpint (lw_desk_selected_stage (stage.desk), ==, 3);
  stage_close (&stage);
}

static void
test_play (void)
{
  Stage stage;
  gboolean playing;

  open_stage (&stage);
  lw_desk_set_moment (stage.desk, 100);
  g_object_set (stage.widget, "speed", 200.0, NULL);
  gtk_widget_activate_action (stage.widget, "profile.play", NULL);
  g_object_get (stage.widget, "playing", &playing, NULL);
  g_assert_true (playing);
  STAGE_WAIT (lw_desk_moment (stage.desk) > 110);
  STAGE_WAIT (!lw_profile_view_playing (view (&stage))); /* stops by itself at the end */
  g_assert_cmpfloat (lw_desk_moment (stage.desk), ==, 270);
  gtk_widget_activate_action (stage.widget, "profile.play", NULL); /* from the end: from the start again */
  g_assert_cmpfloat (lw_desk_moment (stage.desk), ==, 0);
  gtk_widget_activate_action (stage.widget, "profile.play", NULL);
  g_assert_false (lw_profile_view_playing (view (&stage)));
  stage_close (&stage);
}

static void
test_moment_keeps_the_layer (void)
{
  Stage stage;

  open_stage (&stage);
  stage_settle (&stage);
  g_assert_false (view (&stage)->base.dirty);
  lw_desk_set_moment (stage.desk, 55);
  g_assert_false (view (&stage)->base.dirty);
  lw_desk_select_part (stage.desk, 3);
  g_assert_true (view (&stage)->base.dirty);
  stage_close (&stage);
}

static gboolean
is_heard (GtkWidget *widget, const char *text)
{
  g_autofree char *other = gtk_test_accessible_check_property (GTK_ACCESSIBLE (widget), GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, text);

  return other == NULL;
}

/* "At 55 s of 270 s: " and what the readout shows there. */
static char *
heard_at (Stage *stage, double t_s)
{
  LwProfilePicture picture;
  g_auto (GStrv) readings = NULL;
  g_autofree char *felt = NULL;

  lw_profile_view_fill_picture (view (stage), &picture);
  picture.t_s = t_s;
  readings = lw_profile_readings (&picture);
  g_assert_cmpuint (g_strv_length (readings), ==, 2); /* joints and body of the target */
  g_assert_true (g_str_has_prefix (readings[0], "Joints ") && g_str_has_suffix (readings[1], " °C"));
  felt = g_strjoinv (", ", readings);
  return g_strdup_printf ("At %.0f s of 270 s: %s", t_s, felt);
}

/* The readout is heard too, once the cursor rests: not on its way, and not while the profile plays. */
static void
test_moment_is_heard (void)
{
  Stage stage;
  g_autofree char *at_55 = NULL, *at_90 = NULL;

  open_stage (&stage);
  at_55 = heard_at (&stage, 55);
  at_90 = heard_at (&stage, 90);
  g_assert_cmpstr (at_55, !=, at_90);
  lw_desk_set_moment (stage.desk, 55);
  STAGE_WAIT (is_heard (stage.widget, at_55));
  for (int t = 56; t <= 90; t++) {
    lw_desk_set_moment (stage.desk, t);
    g_main_context_iteration (NULL, FALSE);
    g_assert_true (is_heard (stage.widget, at_55));
  }
  STAGE_WAIT (is_heard (stage.widget, at_90));
  lw_profile_view_play (view (&stage), TRUE);
  STAGE_WAIT (lw_desk_moment (stage.desk) > 100); /* half a second and more */
  g_assert_true (is_heard (stage.widget, at_90));
  lw_profile_view_play (view (&stage), FALSE);
  g_autofree char *there = heard_at (&stage, lw_desk_moment (stage.desk));
  STAGE_WAIT (is_heard (stage.widget, there));
  stage_close (&stage);
}

static void
test_without_a_document (void)
{
  Stage stage;

  open_stage (&stage);
  gtk_widget_activate_action (stage.widget, "profile.play", NULL);
  lw_desk_set_document (stage.desk, NULL);
  g_assert_false (lw_profile_view_playing (view (&stage)));
  stage_settle (&stage);
  lw_profile_view_drag_begin (view (&stage), 100, 100);
  lw_profile_view_drag_update (view (&stage), 50, 50, FALSE);
  lw_profile_view_drag_end (view (&stage));
  lw_profile_view_click (view (&stage), 100, 100);
  gtk_widget_activate_action (stage.widget, "profile.play", NULL);
  gtk_widget_activate_action (stage.widget, "profile.stage-next", NULL);
  lw_profile_view_set_desk (view (&stage), NULL);
  stage_settle (&stage);
  stage_close (&stage);
}

/* Real keys through the X server. Without a window manager nobody hands out the focus: the window is
 * given it by hand. */
static void
test_real_keys (void)
{
  Stage stage;

  open_stage (&stage);
  gtk_widget_grab_focus (stage.widget);
  stage_xdotool ((const char *const[]){ "mousemove", "--sync", "300", "150", NULL });
  stage_settle (&stage);
  stage_xdotool ((const char *const[]){ "key", "Right", NULL });
  STAGE_WAIT (lw_desk_moment (stage.desk) == 31);
  stage_xdotool ((const char *const[]){ "key", "shift+Right", NULL });
  STAGE_WAIT (lw_desk_moment (stage.desk) == 41);
  stage_xdotool ((const char *const[]){ "key", "Left", NULL });
  STAGE_WAIT (lw_desk_moment (stage.desk) == 40);
  stage_xdotool ((const char *const[]){ "key", "End", NULL });
  STAGE_WAIT (lw_desk_moment (stage.desk) == 270);
  stage_xdotool ((const char *const[]){ "key", "Home", NULL });
  STAGE_WAIT (lw_desk_moment (stage.desk) == 0);
  stage_xdotool ((const char *const[]){ "key", "space", NULL });
  STAGE_WAIT (lw_profile_view_playing (view (&stage)));
  stage_close (&stage);
}

int
main (int argc, char **argv)
{
  gtk_test_init (&argc, &argv, NULL);
  g_test_add_func ("/ui/profile-view/pull-gas", test_pull_gas);
  g_test_add_func ("/ui/profile-view/pull-past-the-top", test_pull_past_the_top);
  g_test_add_func ("/ui/profile-view/pull-preheat-free", test_pull_preheat_free);
  g_test_add_func ("/ui/profile-view/pull-stage-end", test_pull_stage_end);
  g_test_add_func ("/ui/profile-view/cancel-reverts", test_cancel_reverts);
  g_test_add_func ("/ui/profile-view/cursor", test_cursor);
  g_test_add_func ("/ui/profile-view/click-selects-stage", test_click_selects_stage);
  g_test_add_func ("/ui/profile-view/play", test_play);
  g_test_add_func ("/ui/profile-view/moment-keeps-the-layer", test_moment_keeps_the_layer);
  g_test_add_func ("/ui/profile-view/moment-is-heard", test_moment_is_heard);
  g_test_add_func ("/ui/profile-view/without-a-document", test_without_a_document);
  g_test_add_func ("/ui/profile-view/real-keys", test_real_keys);
  return g_test_run ();
}
