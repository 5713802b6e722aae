/* Presenting: plays, pauses, is driven by keys, shows a second plan, and goes away without leaving anything. */
#include "app/show-window.h"
#include "ui-fixture.h"
#include "ui-find.h"
#include "widgets/told-list.h"

static LwDesk *
desk_with_answer (void)
{
  LwDesk *desk = lw_desk_new ();
  g_autoptr (LwDocument) document = lw_document_new (ui_planned_job (), NULL);
  g_autoptr (LwPrediction) answer = NULL;
  g_autoptr (GPtrArray) findings = ui_findings ();

  lw_desk_set_document (desk, document);
  answer = ui_prediction (lw_desk_job (desk), 200);
  lw_desk_take_answer (desk, lw_document_revision (document), answer, findings);
  return desk;
}

static gboolean
moved (gpointer window)
{
  return lw_show_window_moment (window) > 2.0 && lw_show_window_painted (window, NULL, NULL) > 5;
}

static gboolean
stands (gpointer window)
{
  return !lw_show_window_playing (window);
}

static void
press (LwShowWindow *window, guint key, GdkModifierType state)
{
  g_autoptr (GListModel) controllers = gtk_widget_observe_controllers (GTK_WIDGET (window));

  for (guint i = 0; i < g_list_model_get_n_items (controllers); i++) {
    g_autoptr (GtkEventController) controller = g_list_model_get_item (controllers, i);
    gboolean taken = FALSE;

    if (GTK_IS_EVENT_CONTROLLER_KEY (controller) && gtk_event_controller_get_propagation_phase (controller) == GTK_PHASE_CAPTURE)
      g_signal_emit_by_name (controller, "key-pressed", key, 0, state, &taken);
    if (taken)
      return;
  }
  g_assert_not_reached ();
}

static void
test_plays (void)
{
  g_autoptr (LwDesk) desk = desk_with_answer ();
  LwShowWindow *window = LW_SHOW_WINDOW (lw_show_window_new (NULL, desk));
  double at;

  gtk_window_present (GTK_WINDOW (window));
  ui_spin (100);
  g_assert_cmpfloat (lw_show_window_moment (window), ==, 0);
  press (window, GDK_KEY_space, 0);
  g_assert_true (lw_show_window_playing (window));
  g_assert_true (ui_wait (moved, window, 10000));
  press (window, GDK_KEY_space, 0);
  g_assert_false (lw_show_window_playing (window));
  at = lw_show_window_moment (window);
  ui_spin (150);
  g_assert_cmpfloat (lw_show_window_moment (window), ==, at);
  press (window, GDK_KEY_Home, 0);
  press (window, GDK_KEY_Right, 0);
  g_assert_cmpfloat (lw_show_window_moment (window), ==, 1);
  press (window, GDK_KEY_Right, GDK_SHIFT_MASK);
  g_assert_cmpfloat (lw_show_window_moment (window), ==, 11);
  press (window, GDK_KEY_End, 0);
  g_assert_cmpfloat (lw_show_window_moment (window), ==, 100); /* the answer's end */
  press (window, GDK_KEY_space, 0); /* from the beginning again */
  g_assert_cmpfloat (lw_show_window_moment (window), <, 50);
  lw_show_window_go (window, 99);
  g_assert_true (ui_wait (stands, window, 10000)); /* and stops at the end */
  press (window, GDK_KEY_f, 0);
  press (window, GDK_KEY_b, 0);
  ui_spin (50);
  g_object_ref (window);
  press (window, GDK_KEY_Escape, 0);
  ui_spin (20);
  g_object_unref (window);
  g_assert_cmpuint (G_OBJECT (desk)->ref_count, ==, 1);
}

/* Without an answer it says so, and takes the first that comes. */
static void
test_waits (void)
{
  g_autoptr (LwDesk) desk = lw_desk_new ();
  g_autoptr (LwDocument) document = lw_document_new (ui_planned_job (), NULL);
  g_autoptr (LwPrediction) answer = NULL;
  LwShowWindow *window;

  lw_desk_set_document (desk, document);
  window = LW_SHOW_WINDOW (lw_show_window_new (NULL, desk));
  gtk_window_present (GTK_WINDOW (window));
  ui_spin (50);
  g_assert_cmpuint (lw_show_window_painted (window, NULL, NULL), ==, 0);
  press (window, GDK_KEY_space, 0);
  g_assert_false (lw_show_window_playing (window));
  answer = ui_prediction (lw_desk_job (desk), 200);
  lw_desk_take_answer (desk, lw_document_revision (document), answer, NULL);
  ui_spin (200);
  g_assert_cmpuint (lw_show_window_painted (window, NULL, NULL), >, 0);
  gtk_window_destroy (GTK_WINDOW (window));
  ui_spin (10);
}

/* Figures of a moment, as the prediction has them, part by part of the side shown. */
static void
test_list (void)
{
  g_autoptr (LwDesk) desk = desk_with_answer ();
  LwPrediction *answer = lw_desk_prediction (desk);
  LwShowWindow *window = LW_SHOW_WINDOW (lw_show_window_new (NULL, desk));
  const LwPartTrace *target = g_ptr_array_index (answer->parts, answer->target);
  LwToldList *list;
  guint row = 0, n_top = 0;

  gtk_window_present (GTK_WINDOW (window));
  lw_show_window_go (window, 60);
  press (window, GDK_KEY_l, 0);
  ui_spin (50);
  list = LW_TOLD_LIST (ui_child_of_type (GTK_WIDGET (window), LW_TYPE_TOLD_LIST, 0));
  g_assert_true (gtk_widget_get_mapped (GTK_WIDGET (list)));
  for (guint i = 0; i < lw_told_list_length (list); i++) {
    row = strcmp (lw_told_list_cell (list, i, 0), target->ref) == 0 ? i : row;
    n_top += lw_told_list_cell (list, i, 3)[0] != '\0';
  }
  g_assert_cmpuint (row, >, 0);
  g_assert_cmpuint (n_top, >=, 1);
  for (int k = 0; k < 2; k++) {
    double t_s = k == 0 ? 60 : 90, joint_c = lw_prediction_at (answer, target->joint_min, t_s);
    g_autofree char *told = g_strdup_printf ("%.0f °C", joint_c);

    lw_show_window_go (window, t_s);
    g_assert_cmpstr (lw_told_list_cell (list, row, 1), ==, told);
  }
  press (window, GDK_KEY_b, 0); /* the other side has other parts */
  for (guint i = 0; i < lw_told_list_length (list); i++)
    g_assert_cmpstr (lw_told_list_cell (list, i, 0), !=, target->ref);
  press (window, GDK_KEY_l, 0);
  ui_spin (20);
  g_assert_false (gtk_widget_get_mapped (GTK_WIDGET (list)));
  gtk_window_destroy (GTK_WINDOW (window));
  ui_spin (10);
}

int
main (int argc, char **argv)
{
  ui_test_init (&argc, &argv);
  g_test_add_func ("/show-window/plays", test_plays);
  g_test_add_func ("/show-window/waits", test_waits);
  g_test_add_func ("/show-window/list", test_list);
  return g_test_run ();
}
