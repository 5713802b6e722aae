/* The program without a pointer, by a real keyboard: every accelerator reaches its action, every key stands in the window of shortcuts,
 * and the tables of the board are walked, edited and undone by keys alone. */
#include <math.h>
#include <string.h>

#include "app/application.h"
#include "app/shortcuts-window.h"
#include "board/edits-stack.h"
#include "hands.h"
#include "ui-find.h"
#include "widgets/edit-table.h"
#include "widgets/outline-panel.h"
#include "widgets/stack-panel.h"

#define STEPS_MOST 40 /* from anywhere in the window into the page below the board */

static LwJob *
job_of (LwWindow *window)
{
  return lw_desk_job (lw_window_desk (window));
}

/* ---- accelerators ---- */

static GHashTable *reached; /* detailed names of actions */

static void
reached_cb (GSimpleAction *action, GVariant *parameter, gpointer prefix)
{
  const char *name = g_action_get_name (G_ACTION (action));

  g_hash_table_add (reached, parameter == NULL ? g_strdup_printf ("%s.%s", (const char *) prefix, name)
                                               : g_strdup_printf ("%s.%s::%s", (const char *) prefix, name,
                                                                  g_variant_get_string (parameter, NULL)));
}

/* One that only tells that it was reached, in the place of the program's own. */
static void
stand_in (LwWindow *window, const char *detailed)
{
  g_autofree char *name = NULL;
  g_autoptr (GVariant) target = NULL;
  g_autoptr (GSimpleAction) action = NULL;
  gboolean of_app = g_str_has_prefix (detailed, "app.");
  GActionMap *map = of_app ? G_ACTION_MAP (ui_application ()) : G_ACTION_MAP (window);

  g_assert_true (g_action_parse_detailed_name (detailed, &name, &target, NULL));
  g_assert_nonnull (g_action_map_lookup_action (map, name + 4));
  action = g_simple_action_new (name + 4, target != NULL ? g_variant_get_type (target) : NULL);
  g_signal_connect (action, "activate", G_CALLBACK (reached_cb), (gpointer) (of_app ? "app" : "win"));
  g_action_map_add_action (map, G_ACTION (action));
}

/* Whether there is something to undo does not matter here. */
static void
enable (LwWindow *window, const char *detailed)
{
  g_autofree char *name = NULL;
  g_autoptr (GVariant) target = NULL;
  GActionMap *map = g_str_has_prefix (detailed, "app.") ? G_ACTION_MAP (ui_application ()) : G_ACTION_MAP (window);

  g_assert_true (g_action_parse_detailed_name (detailed, &name, &target, NULL));
  g_simple_action_set_enabled (G_SIMPLE_ACTION (g_action_map_lookup_action (map, name + 4)), TRUE);
}

static void
press_accelerator (const char *accelerator)
{
  guint value = 0;
  GdkModifierType modifiers = 0;
  g_autofree char *keys = NULL;

  g_assert_true (gtk_accelerator_parse (accelerator, &value, &modifiers));
  keys = g_strdup_printf ("%s%s%s%s", modifiers & GDK_CONTROL_MASK ? "ctrl+" : "", modifiers & GDK_ALT_MASK ? "alt+" : "",
                          modifiers & GDK_SHIFT_MASK ? "shift+" : "", gdk_keyval_name (value));
  key (keys);
}

static gboolean
is_reached (gpointer detailed)
{
  return g_hash_table_contains (reached, detailed);
}

static void
test_accelerators (void)
{
  LwWindow *window = ui_window (ui_planned_job ());

  reached = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  ui_spin (300);
  for (const LwAccel *accel = lw_accels; accel->action != NULL; accel++)
    stand_in (window, accel->action);
  gtk_widget_grab_focus (GTK_WIDGET (window->board_view));
  for (const LwAccel *accel = lw_accels; accel->action != NULL; accel++)
    for (guint i = 0; i < G_N_ELEMENTS (accel->keys) && accel->keys[i] != NULL; i++) {
      g_hash_table_remove_all (reached);
      enable (window, accel->action);
      press_accelerator (accel->keys[i]);
      if (!ui_wait (is_reached, (gpointer) accel->action, 2000))
        g_error ("%s does not reach %s", accel->keys[i], accel->action);
      g_assert_cmpuint (g_hash_table_size (reached), ==, 1); /* and nothing else */
    }
  g_hash_table_unref (reached);
  ui_close (window);
}

/* ---- the window of shortcuts ---- */

static void
collect (GtkWidget *widget, GHashTable *named, GHashTable *keys)
{
  if (GTK_IS_SHORTCUTS_SHORTCUT (widget)) {
    g_autofree char *action = NULL, *accelerator = NULL;
    g_auto (GStrv) each = NULL;

    g_object_get (widget, "action-name", &action, "accelerator", &accelerator, NULL);
    each = g_strsplit (accelerator, " ", -1);
    if (action != NULL)
      g_hash_table_add (named, g_steal_pointer (&action));
    for (guint i = 0; each[i] != NULL; i++) {
      guint value = 0;
      GdkModifierType modifiers = 0;

      if (gtk_accelerator_parse (each[i], &value, &modifiers))
        g_hash_table_add (keys, gtk_accelerator_name (value, modifiers));
    }
    g_assert_true (gtk_widget_get_focusable (widget));
  }
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL; child = gtk_widget_get_next_sibling (child))
    collect (child, named, keys);
}

/* Arrows stand for one another, and so do the keypad's keys. */
static gboolean
is_listed (GHashTable *keys, guint value, GdkModifierType modifiers)
{
  g_autofree char *name = NULL;

  if (value == GDK_KEY_Right || value == GDK_KEY_Up || value == GDK_KEY_Down)
    value = GDK_KEY_Left;
  name = gtk_accelerator_name (value, modifiers);
  return g_hash_table_contains (keys, name) || strstr (name, "KP_") != NULL;
}

/* Keys of the board that need no saying: leaving a tool, zoom without Ctrl, Page Up and Down beside P and N. */
static gboolean
goes_without_saying (guint value)
{
  static const guint plain[] = { GDK_KEY_Escape, GDK_KEY_plus, GDK_KEY_minus, GDK_KEY_equal, GDK_KEY_0, GDK_KEY_Page_Up,
                                 GDK_KEY_Page_Down };

  for (guint i = 0; i < G_N_ELEMENTS (plain); i++)
    if (value == plain[i])
      return TRUE;
  return FALSE;
}

static guint
tell_unlisted (GtkWidget *board, GHashTable *keys)
{
  g_autoptr (GListModel) controllers = gtk_widget_observe_controllers (board);
  guint unlisted = 0;

  for (guint i = 0; i < g_list_model_get_n_items (controllers); i++) {
    g_autoptr (GtkEventController) controller = g_list_model_get_item (controllers, i);

    for (guint k = 0; GTK_IS_SHORTCUT_CONTROLLER (controller) && k < g_list_model_get_n_items (G_LIST_MODEL (controller)); k++) {
      g_autoptr (GtkShortcut) shortcut = g_list_model_get_item (G_LIST_MODEL (controller), k);
      GtkShortcutTrigger *trigger = gtk_shortcut_get_trigger (shortcut);
      g_autofree char *name = gtk_shortcut_trigger_to_string (trigger);

      if (!GTK_IS_KEYVAL_TRIGGER (trigger)
          || goes_without_saying (gtk_keyval_trigger_get_keyval (GTK_KEYVAL_TRIGGER (trigger)))
          || is_listed (keys, gtk_keyval_trigger_get_keyval (GTK_KEYVAL_TRIGGER (trigger)),
                        gtk_keyval_trigger_get_modifiers (GTK_KEYVAL_TRIGGER (trigger))))
        continue;
      g_test_message ("%s does something on the board and is not listed", name);
      unlisted++;
    }
  }
  return unlisted;
}

static gboolean
is_gone (gpointer data)
{
  return ui_top_of_type (LW_TYPE_SHORTCUTS_WINDOW) == NULL;
}

/* Whatever a key does is told; Tab goes through the list, Escape leaves it. */
static void
test_listed (void)
{
  g_autoptr (GHashTable) named = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  g_autoptr (GHashTable) keys = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  LwWindow *window = ui_window (ui_planned_job ());
  GtkWidget *shortcuts, *focus;

  ui_spin (200);
  gtk_widget_activate_action (GTK_WIDGET (window), "win.show-shortcuts", NULL);
  ui_spin (300);
  shortcuts = ui_top_of_type (LW_TYPE_SHORTCUTS_WINDOW);
  g_assert_nonnull (shortcuts);
  collect (shortcuts, named, keys);
  for (const LwAccel *accel = lw_accels; accel->action != NULL; accel++)
    if (!g_hash_table_contains (named, accel->action) && !g_str_has_prefix (accel->action, "win.page::"))
      g_error ("%s has a key and is not listed", accel->action);
  g_assert_cmpuint (tell_unlisted (GTK_WIDGET (window->board_view), keys), ==, 0);
  key ("Tab");
  key ("Tab");
  focus = gtk_window_get_focus (GTK_WINDOW (shortcuts));
  g_assert_true (GTK_IS_SHORTCUTS_SHORTCUT (focus));
  key ("Escape");
  g_assert_true (ui_wait (is_gone, NULL, 5000));
  ui_close (window);
}

/* ---- tables ---- */

static double
corner_x (LwWindow *window)
{
  const LwLoop *loop = lw_job_loop (job_of (window), (LwLoopPlace){ LW_LOOP_OUTLINE, 0 });

  return ((const LwVertex *) loop->corners->data)[0].x_mm;
}

static GtkWidget *
table_in (LwWindow *window, GType page)
{
  return ui_child_of_type (ui_child_of_type (GTK_WIDGET (window), page, 0), LW_TYPE_EDIT_TABLE, 0);
}

typedef struct {
  LwWindow *window;
  double x_mm;
} Corner;

static gboolean
has_corner (gpointer data)
{
  Corner *corner = data;

  return corner_x (corner->window) == corner->x_mm;
}

/* Into the table as Tab and the arrows go. */
static void
walk_into (LwWindow *window, GtkWidget *table)
{
  for (int i = 0; i < STEPS_MOST; i++) {
    GtkWidget *focus = gtk_window_get_focus (GTK_WINDOW (window));

    if (focus != NULL && gtk_widget_is_ancestor (focus, table))
      return;
    key ("Tab");
  }
  g_error ("Tab does not lead into the table");
}

/* The first corner is moved by typing its x, undone and done again. */
static void
test_outline (void)
{
  LwWindow *window = ui_window (ui_planned_job ());
  double before;

  ui_spin (300);
  before = corner_x (window);
  key ("alt+9");
  ui_spin (200);
  g_assert_cmpstr (lw_lower_pane_page (window->lower), ==, "outline");
  walk_into (window, table_in (window, LW_TYPE_OUTLINE_PANEL));
  key ("Home");
  key ("F2");
  key ("ctrl+a");
  type ("5");
  key ("Return");
  g_assert_true (ui_wait (has_corner, &(Corner){ window, 5 }, 5000));
  key ("ctrl+z");
  g_assert_true (ui_wait (has_corner, &(Corner){ window, before }, 5000));
  key ("ctrl+shift+z");
  g_assert_true (ui_wait (has_corner, &(Corner){ window, 5 }, 5000));
  ui_close (window);
}

static const LwLayer *
layer (LwWindow *window, guint i)
{
  return g_ptr_array_index (job_of (window)->board->layers, i);
}

typedef struct {
  LwWindow *window;
  guint n;
  const char *first;
} Layers;

static gboolean
has_layers (gpointer data)
{
  Layers *layers = data;

  return job_of (layers->window)->board->layers->len == layers->n
         && (layers->n == 0 || layers->first == NULL || strcmp (layer (layers->window, 0)->name, layers->first) == 0);
}

/* A stack of two coppers by its button, the first layer's name typed, the layer removed by its key; all of it undone. */
static void
test_stack (void)
{
  LwWindow *window = ui_window (ui_planned_job ());
  g_autofree char *first = NULL, *second = NULL;
  GtkWidget *table;
  guint n;

  ui_spin (300);
  key ("alt+0");
  ui_spin (200);
  g_assert_cmpstr (lw_lower_pane_page (window->lower), ==, "stack-up");
  g_assert_true (ui_wait (has_layers, &(Layers){ window, 0, NULL }, 2000));
  gtk_widget_grab_focus (ui_button (ui_child_of_type (GTK_WIDGET (window), LW_TYPE_STACK_PANEL, 0), "2"));
  key ("Return");
  ui_spin (200);
  n = job_of (window)->board->layers->len;
  g_assert_cmpuint (n, >=, 3); /* copper, laminate, copper */
  first = g_strdup (layer (window, 0)->name);
  table = table_in (window, LW_TYPE_STACK_PANEL);
  walk_into (window, table);
  key ("Home");
  key ("F2");
  key ("ctrl+a");
  type ("Foil");
  key ("Return");
  g_assert_true (ui_wait (has_layers, &(Layers){ window, n, "Foil" }, 5000));
  key ("ctrl+z");
  g_assert_true (ui_wait (has_layers, &(Layers){ window, n, first }, 5000));
  walk_into (window, table);
  second = g_strdup (layer (window, 1)->name);
  key ("alt+Down");
  g_assert_true (ui_wait (has_layers, &(Layers){ window, n, second }, 5000));
  key ("ctrl+z");
  key ("ctrl+z");
  g_assert_true (ui_wait (has_layers, &(Layers){ window, 0, NULL }, 5000));
  ui_close (window);
}

/* ---- what is said without the keyboard going there ---- */

typedef struct {
  LwWindow *window;
  const char *text;
} Said;

static gboolean
is_said (gpointer data)
{
  Said *said = data;
  g_autofree char *other = gtk_test_accessible_check_property (GTK_ACCESSIBLE (said->window), GTK_ACCESSIBLE_PROPERTY_LABEL, said->text);

  return other == NULL;
}

static void
assert_said (LwWindow *window, const char *text)
{
  g_test_message ("%s", text);
  g_assert_true (ui_wait (is_said, &(Said){ window, text }, 5000));
}

/* Status messages are heard without taking the focus (WCAG 2.1, 4.1.3): an edit undone and done again, a passing message, the end of a
 * computation. A window behind another is named by its title, and says it when it comes to the front. */
static void
test_said (void)
{
  LwWindow *window = ui_window (ui_planned_job ()), *other;
  LwDesk *desk = lw_window_desk (window);
  LwDocument *document = lw_desk_document (desk);
  g_autoptr (GPtrArray) findings = ui_findings ();
  g_autoptr (LwPrediction) answer = NULL;

  ui_spin (400);
  lw_desk_select_part (desk, 0);
  gtk_widget_activate_action (GTK_WIDGET (window), "win.add-shield", NULL);
  g_autofree char *undone = g_strdup_printf ("Undone: %s", lw_document_undo_label (document));
  g_autofree char *again = g_strdup_printf ("Done again: %s", lw_document_undo_label (document));
  key ("ctrl+z");
  assert_said (window, undone);
  key ("ctrl+shift+z");
  assert_said (window, again);
  lw_desk_tell (desk, "A thermocouple was added to the plan", TRUE);
  assert_said (window, "A thermocouple was added to the plan");
  answer = ui_prediction (lw_desk_job (desk), 200);
  answer->full = TRUE;
  answer->apart_k = NAN;
  g_assert_true (lw_desk_take_answer (desk, lw_document_revision (document), answer, findings));
  lw_desk_set_run (desk, FALSE, 1);
  assert_said (window, "Full answer: 1 stop · 1 watch · 0 fine");
  lw_desk_set_failure (desk, "no nozzle");
  assert_said (window, "Not computed: no nozzle");
  other = ui_window (NULL);
  assert_said (window, gtk_window_get_title (GTK_WINDOW (window)));
  lw_desk_tell (desk, "Said later", FALSE);
  ui_spin (300);
  assert_said (window, gtk_window_get_title (GTK_WINDOW (window)));
  other->closing = TRUE;
  gtk_window_close (GTK_WINDOW (other));
  assert_said (window, "Said later");
  ui_close (window);
}

int
main (int argc, char **argv)
{
  GPid wm;

  ui_test_init (&argc, &argv);
  wm = hands_start_still ();
  g_test_add_func ("/keys/listed", test_listed);
  g_test_add_func ("/keys/outline", test_outline);
  g_test_add_func ("/keys/stack", test_stack);
  g_test_add_func ("/keys/said", test_said);
  g_test_add_func ("/keys/accelerators", test_accelerators); /* last: it replaces the program's actions */
  return hands_run (wm);
}
