/* The window in another language, at 1024 x 700: every page, every kind of selection and every window of its own is walked
 * through, and no word is cut that cannot be read in full elsewhere. LW_CATALOGUE is a compiled catalogue named after its
 * language; it takes a locale that is not C to be heard (comma.sh). */
#include <glib/gi18n.h>
#include <glib/gstdio.h>
#include <locale.h>
#include <string.h>
#include <unistd.h>

#include "hands.h"

static guint faults, labels;
static const char *where; /* what is on the screen */
static GHashTable *told;  /* a fault is told once, not on every page */

/* The widget's ancestors, innermost last. */
static char *
path_of (GtkWidget *widget)
{
  GString *path = g_string_new (NULL);

  for (GtkWidget *w = widget; w != NULL; w = gtk_widget_get_parent (w)) {
    g_string_prepend (path, G_OBJECT_TYPE_NAME (w));
    if (gtk_widget_get_parent (w) != NULL)
      g_string_prepend (path, " > ");
  }
  return g_string_free (path, FALSE);
}

static void
tell (GtkWidget *widget, const char *text, const char *fault)
{
  g_autofree char *path = path_of (widget);
  char *key = g_strdup_printf ("%s: \"%s\" (%s)", fault, text, path);

  if (g_hash_table_contains (told, key)) {
    g_free (key);
    return;
  }
  faults++;
  g_test_message ("%s: %s", where, key);
  g_hash_table_add (told, key);
}

/* What scrolls may be larger than what is seen of it. */
static void
directions_that_scroll (GtkWidget *widget, gboolean *across, gboolean *down)
{
  GtkWidget *scroller = GTK_IS_SCROLLABLE (widget) ? gtk_widget_get_ancestor (widget, GTK_TYPE_SCROLLED_WINDOW) : NULL;
  GtkPolicyType h, v;

  if (scroller == NULL)
    return;
  gtk_scrolled_window_get_policy (GTK_SCROLLED_WINDOW (scroller), &h, &v);
  *across |= h != GTK_POLICY_NEVER && h != GTK_POLICY_EXTERNAL;
  *down |= v != GTK_POLICY_NEVER && v != GTK_POLICY_EXTERNAL;
}

/* Whether the widget sticks out of one of its ancestors, by more than a pixel of rounding. */
static void
check_inside (GtkWidget *widget, const char *text)
{
  gboolean across = FALSE, down = FALSE;

  for (GtkWidget *w = gtk_widget_get_parent (widget); w != NULL; w = gtk_widget_get_parent (w)) {
    graphene_rect_t box;

    directions_that_scroll (w, &across, &down);
    if (!gtk_widget_compute_bounds (widget, w, &box))
      continue;
    if (!across && (box.origin.x < -1 || box.origin.x + box.size.width > gtk_widget_get_width (w) + 1))
      tell (widget, text, "sticks out sideways");
    if (!down && (box.origin.y < -1 || box.origin.y + box.size.height > gtk_widget_get_height (w) + 1))
      tell (widget, text, "sticks out above or below");
    if (GTK_IS_NATIVE (w)) /* a popover may be larger than what it hangs on */
      return;
  }
}

static gboolean
has_tooltip (GtkWidget *widget)
{
  g_autoptr (GObject) tooltip = g_object_new (GTK_TYPE_TOOLTIP, NULL);
  gboolean shows = FALSE;

  for (GtkWidget *w = widget; w != NULL && !shows; w = gtk_widget_get_parent (w))
    if (gtk_widget_get_has_tooltip (w))
      g_signal_emit_by_name (w, "query-tooltip", 0, 0, FALSE, tooltip, &shows);
  return shows;
}

static void
check_label (GtkLabel *label)
{
  GtkWidget *widget = GTK_WIDGET (label);
  const char *text = gtk_label_get_text (label);
  PangoLayout *layout = gtk_label_get_layout (label);
  int width, height;

  if (*text == '\0')
    return;
  labels++;
  pango_layout_get_pixel_size (layout, &width, &height);
  if (width > gtk_widget_get_width (widget) + 1)
    tell (widget, text, "narrower than its words");
  if (height > gtk_widget_get_height (widget) + 1)
    tell (widget, text, "lower than its words");
  if (pango_layout_is_ellipsized (layout) && !has_tooltip (widget))
    tell (widget, text, "cut short, and no tooltip");
  check_inside (widget, text);
}

static void
check_tree (GtkWidget *widget)
{
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL; child = gtk_widget_get_next_sibling (child)) {
    if (!gtk_widget_get_mapped (child))
      continue;
    if (GTK_IS_LABEL (child))
      check_label (GTK_LABEL (child));
    else if (GTK_IS_BUTTON (child))
      check_inside (child, gtk_button_get_label (GTK_BUTTON (child)));
    check_tree (child);
  }
}

static void
check (GtkWidget *window, const char *name)
{
  where = name;
  ui_spin (150);
  check_tree (window);
}

static LwWindow *
open_window (void)
{
  LwWindow *window = ui_window (NULL);

  gtk_window_set_default_size (GTK_WINDOW (window), 1024, 700);
  ui_spin (100);
  return window;
}

/* A plan with a thermocouple and a shield, and an answer with findings. */
static void
take_job (LwWindow *window)
{
  LwDesk *desk = lw_window_desk (window);
  g_autoptr (LwDocument) document = lw_document_new (ui_planned_job (), NULL);
  g_autoptr (GPtrArray) findings = ui_findings ();
  g_autoptr (LwPrediction) answer = NULL;

  lw_session_take_document (lw_window_session (window), document);
  lw_desk_select_part (desk, 0);
  gtk_widget_activate_action (GTK_WIDGET (window), "win.add-thermocouple", NULL);
  lw_desk_select_part (desk, 0);
  gtk_widget_activate_action (GTK_WIDGET (window), "win.add-shield", NULL);
  answer = ui_prediction (lw_desk_job (desk), 200);
  g_assert_true (lw_desk_take_answer (desk, lw_document_revision (document), answer, findings));
  ui_spin (300);
}

static void
check_fits (GtkWidget *window, const char *name)
{
  int width = 0, height = 0;
  g_autofree char *needs = NULL;

  gtk_widget_measure (window, GTK_ORIENTATION_HORIZONTAL, -1, &width, NULL, NULL, NULL);
  gtk_widget_measure (window, GTK_ORIENTATION_VERTICAL, MAX (width, 1024), &height, NULL, NULL, NULL);
  needs = g_strdup_printf ("at least %d x %d", width, height);
  where = name;
  if (width > 1024 || height > 700)
    tell (window, needs, "larger than 1024 x 700");
}

static void
end (void)
{
  g_test_message ("%u labels looked at, %u faults", labels, faults);
  g_assert_cmpuint (labels, >, 0);
  if (faults > 0)
    g_test_fail ();
}

/* The catalogue is heard at all. */
static void
test_heard (void)
{
  g_assert_cmpstr (gettext ("Stages"), !=, "Stages");
}

static void
test_empty (void)
{
  LwWindow *window = open_window ();

  faults = labels = 0;
  check_fits (GTK_WIDGET (window), "empty");
  check (GTK_WIDGET (window), "empty");
  ui_close (window);
  end ();
}

static void
test_pages (void)
{
  static const char *const pages[] = { "profile", "doubt", "runs", "history", "parts", "stages", "thermocouples", "shields",
                                       "outline", "stack-up", "packages" };
  LwWindow *window = open_window ();

  faults = labels = 0;
  take_job (window);
  for (guint i = 0; i < G_N_ELEMENTS (pages); i++) {
    lw_lower_pane_show_page (window->lower, pages[i]);
    check_fits (GTK_WIDGET (window), pages[i]);
    check (GTK_WIDGET (window), pages[i]);
  }
  ui_close (window);
  end ();
}

static void
test_selections (void)
{
  LwWindow *window = open_window ();

  faults = labels = 0;
  take_job (window);
  for (LwThing thing = LW_THING_BOARD; thing <= LW_THING_OPERATIONS; thing++) {
    g_autofree char *name = g_strdup_printf ("selection %d", thing);

    lw_desk_select (lw_window_desk (window), thing, 0);
    check (GTK_WIDGET (window), name);
  }
  ui_close (window);
  end ();
}

/* Windows that stand beside it, each opened by its action and closed again. */
static void
test_windows (void)
{
  static const char *const names[] = { "app.preferences", "win.seek", "win.fit-runs", "win.show", "win.make-package",
                                       "app.about", "app.help" };
  LwWindow *window = open_window ();

  faults = labels = 0;
  take_job (window);
  for (guint i = 0; i < G_N_ELEMENTS (names); i++) {
    GListModel *tops = gtk_window_get_toplevels ();
    guint opened = 0;

    g_assert_true (gtk_widget_activate_action (GTK_WIDGET (window), names[i], NULL));
    ui_spin (120);
    for (guint k = g_list_model_get_n_items (tops); k-- > 0;) {
      g_autoptr (GtkWindow) top = g_list_model_get_item (tops, k);

      if (top == GTK_WINDOW (window) || !gtk_widget_get_mapped (GTK_WIDGET (top)))
        continue;
      check_fits (GTK_WIDGET (top), names[i]);
      check (GTK_WIDGET (top), names[i]);
      gtk_window_destroy (top);
      opened++;
    }
    g_test_message ("%s: %u opened", names[i], opened);
    g_assert_cmpuint (opened, >, 0);
  }
  ui_close (window);
  end ();
}

static void
check_menus (GtkWidget *root)
{
  for (GtkWidget *child = gtk_widget_get_first_child (root); child != NULL; child = gtk_widget_get_next_sibling (child)) {
    GtkPopover *menu = GTK_IS_MENU_BUTTON (child) ? gtk_menu_button_get_popover (GTK_MENU_BUTTON (child)) : NULL;

    if (!gtk_widget_get_mapped (child))
      continue;
    if (menu == NULL || !gtk_widget_is_sensitive (child)) {
      check_menus (child);
      continue;
    }
    gtk_menu_button_popup (GTK_MENU_BUTTON (child));
    ui_spin (50);
    g_assert_true (gtk_widget_get_mapped (GTK_WIDGET (menu)));
    check_fits (GTK_WIDGET (menu), "menu");
    check (GTK_WIDGET (menu), "menu");
    gtk_menu_button_popdown (GTK_MENU_BUTTON (child));
    ui_spin (20);
  }
}

static void
test_menus (void)
{
  LwWindow *window = open_window ();

  faults = labels = 0;
  take_job (window);
  check_menus (GTK_WIDGET (window));
  gtk_widget_activate_action (GTK_WIDGET (window), "win.new-board", NULL);
  check (GTK_WIDGET (window), "new board");
  ui_close (window);
  end ();
}

/* The catalogue in a place of the kind gettext looks in. */
static void
take_catalogue (const char *catalogue)
{
  g_autofree char *file = g_path_get_basename (catalogue);
  g_autofree char *language = g_strndup (file, strcspn (file, "."));
  g_autofree char *base = g_dir_make_tmp ("leeward-words-XXXXXX", NULL);
  g_autofree char *folder = g_build_filename (base, language, "LC_MESSAGES", NULL);
  g_autofree char *target = g_build_filename (folder, GETTEXT_PACKAGE ".mo", NULL);

  g_assert_cmpint (g_mkdir_with_parents (folder, 0700), ==, 0);
  g_assert_cmpint (symlink (catalogue, target), ==, 0);
  g_setenv ("LANGUAGE", language, TRUE);
  g_assert_nonnull (setlocale (LC_ALL, ""));
  bindtextdomain (GETTEXT_PACKAGE, base);
  bind_textdomain_codeset (GETTEXT_PACKAGE, "UTF-8");
  textdomain (GETTEXT_PACKAGE);
}

int
main (int argc, char **argv)
{
  const char *catalogue = g_getenv ("LW_CATALOGUE");

  g_assert_nonnull (catalogue);
  take_catalogue (catalogue);
  told = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  ui_test_init (&argc, &argv);
  g_object_set (gtk_settings_get_default (), "gtk-enable-animations", FALSE, NULL); /* nothing half way between two pages */
  run ("mousemove", "1279", "799", NULL); /* a tooltip on its way when its window goes makes GTK complain */
  g_test_add_func ("/translated/heard", test_heard);
  g_test_add_func ("/translated/empty", test_empty);
  g_test_add_func ("/translated/pages", test_pages);
  g_test_add_func ("/translated/selections", test_selections);
  g_test_add_func ("/translated/windows", test_windows);
  g_test_add_func ("/translated/menus", test_menus);
  return g_test_run ();
}
