/* Presenting: plays, pauses, is driven by keys, shows a second plan, and goes away without leaving anything. */
#include "app/show-window.h"
#include "ui-fixture.h"

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

int
main (int argc, char **argv)
{
  ui_test_init (&argc, &argv);
  g_test_add_func ("/show-window/plays", test_plays);
  g_test_add_func ("/show-window/waits", test_waits);
  return g_test_run ();
}
