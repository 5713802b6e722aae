/* The window by its actions: edit, undo, targets, sides, shortcuts, closing. */
#include <string.h>

#include "app/application.h"
#include "app/shortcuts-window.h"
#include "board/edits.h"
#include "ui-fixture.h"

static void
act (LwWindow *window, const char *action, const char *format, ...)
{
  va_list args;
  GVariant *parameter = NULL;

  if (format != NULL) {
    va_start (args, format);
    parameter = g_variant_new_va (format, NULL, &args);
    va_end (args);
  }
  g_assert_true (gtk_widget_activate_action_variant (GTK_WIDGET (window), action, parameter));
}

static gboolean
enabled (LwWindow *window, const char *name)
{
  return g_action_get_enabled (g_action_map_lookup_action (G_ACTION_MAP (window), name));
}

static const LwJob *
job_of (LwWindow *window)
{
  return lw_desk_job (lw_window_desk (window));
}

static void
test_empty_window (void)
{
  LwWindow *window = ui_window (NULL);

  g_assert_cmpstr (gtk_stack_get_visible_child_name (window->content), ==, "empty");
  g_assert_false (enabled (window, "save"));
  g_assert_false (enabled (window, "undo"));
  g_assert_true (enabled (window, "open"));
  g_assert_true (enabled (window, "demo"));
  ui_close (window);
}

static void
test_undo_and_redo (void)
{
  LwWindow *window = ui_window (ui_planned_job ());
  LwDesk *desk = lw_window_desk (window);

  g_assert_false (enabled (window, "undo"));
  lw_desk_edit (desk, lw_edit_move_part (job_of (window), 1, 30, 20, NULL), "Move C1", NULL, NULL);
  g_assert_true (enabled (window, "undo"));
  g_assert_true (g_str_has_prefix (gtk_label_get_text (window->title), "• "));
  g_assert_nonnull (strstr (gtk_widget_get_tooltip_text (GTK_WIDGET (window->undo_button)), "Move C1"));
  act (window, "win.undo", NULL);
  g_assert_cmpfloat (((LwPart *) g_ptr_array_index (job_of (window)->parts, 1))->x_mm, ==, 27);
  g_assert_false (g_str_has_prefix (gtk_label_get_text (window->title), "• "));
  act (window, "win.redo", NULL);
  g_assert_cmpfloat (((LwPart *) g_ptr_array_index (job_of (window)->parts, 1))->x_mm, ==, 30);
  ui_close (window);
}

/* Reworking another part is one choice; coming back brings the first plan up unchanged. */
static void
test_another_target (void)
{
  LwWindow *window = ui_window (ui_planned_job ());
  LwDesk *desk = lw_window_desk (window);
  GListModel *offers;

  lw_desk_edit (desk, lw_edit_number (job_of (window), "plans[0].nozzle_height_mm", 4.5, NULL), "Height", NULL, NULL);
  offers = lw_target_chooser_offers (window->target_chooser);
  g_assert_cmpuint (g_list_model_get_n_items (offers), ==, 4);
  act (window, "win.rework-part", "s", "C2");
  g_assert_cmpuint (job_of (window)->plans->len, ==, 2);
  g_assert_cmpstr (((LwPlan *) g_ptr_array_index (job_of (window)->plans, lw_desk_plan (desk)))->ref, ==, "C2");
  g_assert_cmpint (lw_desk_selected_part (desk), ==, 2);
  act (window, "win.rework-part", "s", "U1");
  g_assert_cmpint (lw_desk_plan (desk), ==, 0);
  g_assert_cmpfloat (((LwPlan *) g_ptr_array_index (job_of (window)->plans, 0))->nozzle_height_mm, ==, 4.5);
  ui_close (window);
}

static void
test_sides (void)
{
  LwWindow *window = ui_window (ui_planned_job ());
  LwDesk *desk = lw_window_desk (window);

  act (window, "win.side", "s", "bottom");
  g_assert_cmpint (lw_desk_side (desk), ==, LW_SIDE_BOTTOM);
  g_assert_true (gtk_toggle_button_get_active (window->side_bottom));
  act (window, "win.turn-over", NULL);
  g_assert_cmpint (lw_desk_side (desk), ==, LW_SIDE_TOP);
  g_assert_true (gtk_toggle_button_get_active (window->side_top));
  act (window, "win.show-names", NULL);
  g_assert_false (lw_desk_shows (desk, "show-names"));
  ui_close (window);
}

static void
test_pages_and_find (void)
{
  LwWindow *window = ui_window (ui_planned_job ());

  act (window, "win.page", "s", "stages");
  g_assert_cmpstr (lw_lower_pane_page (window->lower), ==, "stages");
  act (window, "win.find", NULL);
  g_assert_cmpstr (lw_lower_pane_page (window->lower), ==, "parts");
  ui_close (window);
}

typedef struct {
  GtkWidget *widget;
  int low, high;
} Width;

static gboolean
is_as_wide (gpointer data)
{
  Width *width = data;
  int is = gtk_widget_get_width (width->widget);

  return is >= width->low && is <= width->high;
}

/* The frame takes some pixels of what is asked for. */
static void
resize (LwWindow *window, int width, int height)
{
  Width whole = { GTK_WIDGET (window->content), width - 60, width };

  gtk_window_set_default_size (GTK_WINDOW (window), width, height);
  g_assert_true (ui_wait (is_as_wide, &whole, 3000));
  ui_spin (100);
}

/* A larger window is for the board; findings and inspector stay as wide as the person made them. */
static void
test_board_gets_the_room (void)
{
  LwWindow *window = ui_window (ui_planned_job ());
  int side, board, all;

  resize (window, 1000, 700);
  side = gtk_widget_get_width (GTK_WIDGET (window->side_paned));
  board = gtk_widget_get_width (GTK_WIDGET (window->board_view));
  all = gtk_widget_get_width (GTK_WIDGET (window->content));
  resize (window, 1240, 760);
  g_assert_cmpint (gtk_widget_get_width (GTK_WIDGET (window->side_paned)), ==, side);
  g_assert_cmpint (gtk_widget_get_width (GTK_WIDGET (window->board_view)) - board, ==,
                   gtk_widget_get_width (GTK_WIDGET (window->content)) - all);
  ui_close (window);
}

static void
test_part_actions (void)
{
  LwWindow *window = ui_window (ui_planned_job ());
  LwDesk *desk = lw_window_desk (window);
  guint before = ((LwPlan *) g_ptr_array_index (job_of (window)->plans, 0))->thermocouples->len;

  g_assert_false (enabled (window, "add-thermocouple"));
  lw_desk_select_part (desk, 1);
  g_assert_true (enabled (window, "add-thermocouple"));
  act (window, "win.add-thermocouple", NULL);
  g_assert_cmpuint (((LwPlan *) g_ptr_array_index (job_of (window)->plans, 0))->thermocouples->len, ==, before + 1);
  act (window, "win.rework-selected", NULL);
  g_assert_cmpuint (job_of (window)->plans->len, ==, 2);
  ui_close (window);
}

static void
test_message_offers_undo (void)
{
  LwWindow *window = ui_window (ui_planned_job ());

  lw_desk_tell (lw_window_desk (window), "C1 deleted", TRUE);
  g_assert_cmpstr (lw_toast_text (window->toast), ==, "C1 deleted");
  ui_close (window);
}

static GtkWindow *
dialog_of (LwWindow *window)
{
  g_autoptr (GListModel) tops = g_object_ref (gtk_window_get_toplevels ());

  for (guint i = 0; i < g_list_model_get_n_items (tops); i++) {
    g_autoptr (GtkWindow) top = g_list_model_get_item (tops, i);

    if (GTK_IS_MESSAGE_DIALOG (top) && gtk_window_get_transient_for (top) == GTK_WINDOW (window))
      return top;
  }
  return NULL;
}

static void
test_dirty_close_asks (void)
{
  LwWindow *window = ui_window (ui_planned_job ());
  GtkWindow *dialog;

  lw_desk_edit (lw_window_desk (window), lw_edit_move_part (job_of (window), 1, 30, 20, NULL), "Move", NULL, NULL);
  gtk_window_close (GTK_WINDOW (window));
  dialog = dialog_of (window);
  g_assert_nonnull (dialog);
  g_assert_true (gtk_widget_get_visible (GTK_WIDGET (window)));
  gtk_dialog_response (GTK_DIALOG (dialog), GTK_RESPONSE_CANCEL);
  g_assert_null (dialog_of (window));
  g_assert_true (gtk_widget_get_visible (GTK_WIDGET (window)));
  gtk_window_close (GTK_WINDOW (window));
  g_object_add_weak_pointer (G_OBJECT (window), (gpointer *) &window);
  gtk_dialog_response (GTK_DIALOG (dialog_of (window)), 2); /* Discard */
  ui_spin (30);
  ui_drop_runs ();
  ui_spin (30);
  g_assert_null (window);
}

/* ---- shortcuts ---- */

static void
collect (GtkWidget *widget, GPtrArray *found)
{
  if (G_OBJECT_TYPE (widget) == GTK_TYPE_SHORTCUTS_SHORTCUT)
    g_ptr_array_add (found, widget);
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    collect (child, found);
}

static gboolean
has_accel (const char *action)
{
  g_auto (GStrv) accels = gtk_application_get_accels_for_action (ui_application (), action);

  return accels[0] != NULL;
}

static gboolean
action_exists (LwWindow *window, const char *detailed)
{
  g_autofree char *name = NULL;
  g_autoptr (GVariant) target = NULL;

  g_assert_true (g_action_parse_detailed_name (detailed, &name, &target, NULL));
  if (g_str_has_prefix (name, "app."))
    return g_action_map_lookup_action (G_ACTION_MAP (ui_application ()), name + 4) != NULL;
  return g_action_group_has_action (G_ACTION_GROUP (window), name + 4);
}

static gboolean
listens_to (GtkWidget *widget, guint key, GdkModifierType modifiers)
{
  g_autoptr (GListModel) controllers = gtk_widget_observe_controllers (widget);
  gboolean found = FALSE;

  for (guint i = 0; i < g_list_model_get_n_items (controllers) && !found; i++) {
    g_autoptr (GtkEventController) controller = g_list_model_get_item (controllers, i);

    for (guint k = 0; GTK_IS_SHORTCUT_CONTROLLER (controller) && k < g_list_model_get_n_items (G_LIST_MODEL (controller)); k++) {
      g_autoptr (GtkShortcut) shortcut = g_list_model_get_item (G_LIST_MODEL (controller), k);
      GtkShortcutTrigger *trigger = gtk_shortcut_get_trigger (shortcut);

      found = found
              || (GTK_IS_KEYVAL_TRIGGER (trigger)
                  && gtk_keyval_trigger_get_keyval (GTK_KEYVAL_TRIGGER (trigger)) == key
                  && gtk_keyval_trigger_get_modifiers (GTK_KEYVAL_TRIGGER (trigger)) == modifiers);
    }
  }
  return found;
}

/* A key the tables listen to. */
static gboolean
is_key_of (GType type, guint key, GdkModifierType modifiers)
{
  g_autoptr (GtkWidget) widget = g_object_ref_sink (g_object_new (type, NULL));

  return listens_to (widget, key, modifiers);
}

/* Keys listed without an action: GTK's own of the primary menu, the pages' in one row, and the board's. */
static void
check_plain_accel (LwWindow *window, const char *listed)
{
  const guint n_pages = 10;
  g_auto (GStrv) keys = NULL;

  if (g_strcmp0 (listed, "F10") == 0)
    return;
  if (g_strcmp0 (listed, "<Alt>1...0") != 0) {
    keys = g_strsplit (listed, " ", -1);
    for (guint i = 0; keys[i] != NULL; i++) {
      guint key;
      GdkModifierType modifiers;

      g_assert_true (gtk_accelerator_parse (keys[i], &key, &modifiers));
      if (!listens_to (GTK_WIDGET (window->board_view), key, modifiers) && !is_key_of (LW_TYPE_PART_LIST, key, modifiers))
        g_error ("%s is listed, but nothing listens to it", keys[i]);
    }
    return;
  }
  for (guint i = 1; i <= n_pages; i++) {
    g_autofree char *accel = g_strdup_printf ("<Alt>%u", i % 10);
    g_auto (GStrv) actions = gtk_application_get_actions_for_accel (ui_application (), accel);

    g_assert_nonnull (actions[0]);
    g_assert_true (g_str_has_prefix (actions[0], "win.page::"));
  }
}

static void
test_listed_shortcuts_are_bound (void)
{
  LwWindow *window = ui_window (ui_planned_job ());
  GtkWidget *overlay = lw_shortcuts_window_new (GTK_WINDOW (window), ui_application ());
  g_autoptr (GPtrArray) found = g_ptr_array_new ();

  g_assert_nonnull (overlay);
  collect (overlay, found);
  g_assert_cmpuint (found->len, >, 15);
  for (guint i = 0; i < found->len; i++) {
    g_autofree char *action = NULL, *accel = NULL;

    g_object_get (g_ptr_array_index (found, i), "action-name", &action, "accelerator", &accel, NULL);
    if (action == NULL) {
      check_plain_accel (window, accel);
      continue;
    }
    g_assert_true (has_accel (action));
    g_assert_true (action_exists (window, action));
  }
  ui_close (window);
}

static void
test_bound_shortcuts_exist (void)
{
  LwWindow *window = ui_window (ui_planned_job ());

  for (const LwAccel *accel = lw_accels; accel->action != NULL; accel++) {
    guint key = 0;
    GdkModifierType modifiers = 0;

    g_assert_true (action_exists (window, accel->action));
    for (guint i = 0; accel->keys[i] != NULL; i++)
      g_assert_true (gtk_accelerator_parse (accel->keys[i], &key, &modifiers));
  }
  ui_close (window);
}

/* The widest minimum of WIDGET's children, level by level, for whoever has to find what forces it. */
static void
tell_widths (GtkWidget *widget, int above, guint depth)
{
  for (GtkWidget *w = gtk_widget_get_first_child (widget); w != NULL && depth < 8; w = gtk_widget_get_next_sibling (w)) {
    int min = 0;

    gtk_widget_measure (w, GTK_ORIENTATION_HORIZONTAL, -1, &min, NULL, NULL, NULL);
    if (min >= above)
      g_test_message ("%*s%s %d", depth * 2, "", G_OBJECT_TYPE_NAME (w), min);
    tell_widths (w, above, depth + 1);
  }
}

/* Text of twice the size, a job with a plan and an answer on the way: the window still fits 1024 x 700. */
static void
test_large_text (void)
{
  LwWindow *window = ui_window (ui_planned_job ());
  GtkSettings *settings = gtk_settings_get_default ();
  int usual = 0, width = 0, height = 0;

  g_object_get (settings, "gtk-xft-dpi", &usual, NULL);
  g_object_set (settings, "gtk-xft-dpi", 2 * 96 * 1024, NULL);
  ui_spin (300);
  gtk_widget_measure (GTK_WIDGET (window), GTK_ORIENTATION_HORIZONTAL, -1, &width, NULL, NULL, NULL);
  gtk_widget_measure (GTK_WIDGET (window), GTK_ORIENTATION_VERTICAL, MAX (width, 1024), &height, NULL, NULL, NULL);
  g_test_message ("at least %d x %d", width, height);
  tell_widths (GTK_WIDGET (window), 180, 0);
  g_assert_cmpint (width, <=, 1024);
  g_assert_cmpint (height, <=, 700);
  g_object_set (settings, "gtk-xft-dpi", usual, NULL);
  ui_close (window);
}

int
main (int argc, char **argv)
{
  ui_test_init (&argc, &argv);
  g_test_add_func ("/window/empty", test_empty_window);
  g_test_add_func ("/window/undo-and-redo", test_undo_and_redo);
  g_test_add_func ("/window/another-target", test_another_target);
  g_test_add_func ("/window/sides", test_sides);
  g_test_add_func ("/window/pages-and-find", test_pages_and_find);
  g_test_add_func ("/window/board-gets-the-room", test_board_gets_the_room);
  g_test_add_func ("/window/part-actions", test_part_actions);
  g_test_add_func ("/window/message-offers-undo", test_message_offers_undo);
  g_test_add_func ("/window/dirty-close-asks", test_dirty_close_asks);
  g_test_add_func ("/window/listed-shortcuts-are-bound", test_listed_shortcuts_are_bound);
  g_test_add_func ("/window/bound-shortcuts-exist", test_bound_shortcuts_exist);
  g_test_add_func ("/window/large-text", test_large_text);
  return g_test_run ();
}
