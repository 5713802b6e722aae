/* The order in which Tab goes through the window, and that it comes round: top row, board with its tools, row of pages,
 * the page, findings, inspector. Common practice, no source: as one reads, and no trap (WCAG 2.1, 2.1.2 and 2.4.3). */
#include "board/edits-history.h"
#include "ui-fixture.h"

#define STEPS_MOST 200

/* Where the focus is, by what holds it: the first widget of ours or with a name in the .ui files, going up. */
static const char *
place_of (GtkWidget *focus)
{
  for (GtkWidget *widget = focus; widget != NULL; widget = gtk_widget_get_parent (widget)) {
    const char *id = gtk_buildable_get_buildable_id (GTK_BUILDABLE (widget));

    if (g_str_has_prefix (G_OBJECT_TYPE_NAME (widget), "Lw") && !GTK_IS_WINDOW (widget))
      return G_OBJECT_TYPE_NAME (widget);
    if (id != NULL && *id != '\0' && !g_str_has_prefix (id, "___"))
      return id;
  }
  return "?";
}

/* A list takes the key itself, so there it has to be a real one. */
static void
press_tab (GtkWindow *window, GtkWidget *focus)
{
  const char *tool = g_getenv ("LW_XDOTOOL");
  const char *const argv[] = { tool != NULL && *tool != '\0' ? tool : "xdotool", "key", "Tab", NULL };
  int status = 1;

  if (gtk_widget_get_ancestor (focus, GTK_TYPE_LIST_VIEW) == NULL) {
    g_signal_emit_by_name (window, "move-focus", GTK_DIR_TAB_FORWARD); /* what the key does */
    return;
  }
  g_assert_true (g_spawn_sync (NULL, (char **) argv, NULL, G_SPAWN_SEARCH_PATH, NULL, NULL, NULL, NULL, &status, NULL));
  g_assert_true (g_spawn_check_wait_status (status, NULL));
  ui_spin (80);
}

/* Places in the order of their first visit, until the focus comes round to where it began. */
static char *
round_trip (GtkWindow *window, guint *steps)
{
  GString *seen = g_string_new (NULL);
  GtkWidget *first;
  const char *before = NULL;

  gtk_window_set_focus (window, NULL);
  g_assert_true (gtk_widget_child_focus (GTK_WIDGET (window), GTK_DIR_TAB_FORWARD));
  first = gtk_window_get_focus (window);
  for (*steps = 0; *steps < STEPS_MOST; (*steps)++) {
    GtkWidget *focus = gtk_window_get_focus (window);
    const char *place = place_of (focus);

    if (*steps > 0 && focus == first)
      break;
    if (!gtk_widget_get_mapped (focus))
      g_error ("%s %s cannot be seen and has the focus", G_OBJECT_TYPE_NAME (focus), place);
    if (g_strcmp0 (place, before) != 0)
      g_string_append_printf (seen, "%s%s", seen->len > 0 ? " " : "", place);
    before = place;
    press_tab (window, focus);
  }
  return g_string_free (seen, FALSE);
}

static void
test_order (void)
{
  LwWindow *window = ui_window (ui_planned_job ());
  g_autofree char *order = NULL;
  guint steps;

  ui_spin (300);
  order = round_trip (GTK_WINDOW (window), &steps);
  g_assert_cmpuint (steps, <, STEPS_MOST);
  g_assert_cmpstr (order, ==, "board_tools parts_button draw_button view_button LwBoardView LwPageRow LwProfileView show_fine "
                              "list chooser entry LwWindow recent_button button stack side_top side_bottom menu_button");
  ui_close (window);
}

static void
assert_no_trap (LwWindow *window, const char *where)
{
  g_autofree char *order = NULL;
  guint steps;

  ui_spin (150);
  order = round_trip (GTK_WINDOW (window), &steps);
  if (steps >= STEPS_MOST)
    g_error ("%s: the focus does not come round: %s", where, order);
  g_assert_nonnull (strstr (order, "LwBoardView"));
  g_assert_nonnull (strstr (order, "menu_button"));
}

/* Whatever stands below the board or in the inspector, Tab leads out of it again. */
static void
test_no_trap (void)
{
  static const char *const pages[] = { "doubt", "runs", "history", "parts", "stages", "thermocouples", "shields", "outline",
                                       "stack-up", "packages" };
  LwWindow *window = ui_window (ui_planned_job ());

  for (guint i = 0; i < G_N_ELEMENTS (pages); i++) {
    lw_lower_pane_show_page (window->lower, pages[i]);
    assert_no_trap (window, pages[i]);
  }
  lw_lower_pane_show_page (window->lower, "profile");
  for (int thing = LW_THING_BOARD; thing <= LW_THING_OPERATIONS; thing++) {
    g_autofree char *where = g_strdup_printf ("inspector page %d", thing);

    if (thing == LW_THING_SHIELD || thing == LW_THING_THERMOCOUPLE)
      continue; /* the small job has none */
    gtk_widget_activate_action (GTK_WIDGET (window->inspector), "inspector.show", "i", thing);
    assert_no_trap (window, where);
  }
  ui_close (window);
}

/* ---- mnemonics ---- */

/* The widgets that Alt and a letter reach, by that letter. */
static void
add_mnemonics (GtkWidget *within, GHashTable *letters, GString *doubled)
{
  guint letter = GTK_IS_LABEL (within) && gtk_widget_get_mapped (within)
                   ? gdk_keyval_to_lower (gtk_label_get_mnemonic_keyval (GTK_LABEL (within))) : GDK_KEY_VoidSymbol;

  if (letter != GDK_KEY_VoidSymbol && letter != 0) {
    const char *text = gtk_label_get_label (GTK_LABEL (within));
    const char *other = g_hash_table_lookup (letters, GUINT_TO_POINTER (letter));

    if (other != NULL)
      g_string_append_printf (doubled, " Alt+%c: %s, %s;", (char) letter, other, text);
    g_hash_table_insert (letters, GUINT_TO_POINTER (letter), (gpointer) text);
  }
  for (GtkWidget *child = gtk_widget_get_first_child (within); child != NULL; child = gtk_widget_get_next_sibling (child))
    if (!GTK_IS_POPOVER (child) && gtk_widget_get_child_visible (child))
      add_mnemonics (child, letters, doubled);
}

static void
assert_no_double (GtkWidget *window, const char *where)
{
  g_autoptr (GHashTable) letters = g_hash_table_new (NULL, NULL);
  g_autoptr (GString) doubled = g_string_new (NULL);

  ui_spin (80);
  add_mnemonics (window, letters, doubled);
  if (doubled->len > 0)
    g_error ("%s:%s", where, doubled->str);
  g_assert_cmpuint (g_hash_table_size (letters), >=, 5); /* the collector sees the window's own */
}

/* A run of two readings by hand: the page has its tools then. */
static LwJob *
job_with_run (void)
{
  g_autoptr (LwJob) job = ui_planned_job ();
  LwPlan *plan = lw_job_edit_plan (job, 0);
  LwThermocouple *couple = lw_thermocouple_new ();
  LwRun *run = lw_run_new ();
  LwRunColumn *column = lw_run_column_new ();
  g_autoptr (GError) error = NULL;
  LwJob *out;

  couple->name = (g_free (couple->name), g_strdup ("near"));
  g_ptr_array_add (plan->thermocouples, couple);
  run->name = (g_free (run->name), g_strdup ("Bench"));
  run->ref = (g_free (run->ref), g_strdup (plan->ref));
  run->shift_s = 0;
  column->thermocouple = (g_free (column->thermocouple), g_strdup ("near"));
  for (double t = 0; t < 60; t += 20) {
    double c = 23 + t;

    g_array_append_val (run->t_s, t);
    g_array_append_val (column->c, c);
  }
  g_ptr_array_add (run->columns, column);
  out = lw_edit_add_run (job, run, &error);
  g_assert_no_error (error);
  return out;
}

/* Alt and a letter that two share only moves the focus from one to the other: no two have the same on a page. */
static void
test_mnemonics (void)
{
  static const char *const pages[] = { "profile", "doubt", "runs", "history", "parts", "stages", "thermocouples", "shields",
                                       "outline", "stack-up", "packages" };

  for (int with = 0; with < 2; with++) {
    LwWindow *window = ui_window (with ? job_with_run () : ui_planned_job ());

    gtk_info_bar_set_revealed (window->disk_bar, TRUE);
    gtk_info_bar_set_revealed (window->recovery_bar, TRUE);
    ui_spin (300);
    for (guint i = 0; i < G_N_ELEMENTS (pages); i++) {
      lw_lower_pane_show_page (window->lower, pages[i]);
      assert_no_double (GTK_WIDGET (window), pages[i]);
    }
    ui_close (window);
  }
  LwWindow *window = ui_window (NULL);

  assert_no_double (GTK_WIDGET (window), "first page");
  ui_close (window);
}

int
main (int argc, char **argv)
{
  ui_test_init (&argc, &argv);
  g_test_add_func ("/focus/order", test_order);
  g_test_add_func ("/focus/no-trap", test_no_trap);
  g_test_add_func ("/focus/mnemonics", test_mnemonics);
  return g_test_run ();
}
