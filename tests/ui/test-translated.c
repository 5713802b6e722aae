/* The window in another language, at 1024 x 700: every page, every kind of selection and every window of its own is walked
 * through, and no word is cut that cannot be read in full elsewhere. LW_CATALOGUE is a compiled catalogue named after its
 * language; it takes a locale that is not C to be heard (comma.sh). */
#include <glib/gi18n.h>
#include <glib/gstdio.h>
#include <locale.h>
#include <string.h>
#include <unistd.h>

#include "board/names.h"
#include "hands.h"
#include "ui-cut.h"

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

/* The catalogue is heard at all. */
static void
test_heard (void)
{
  g_assert_cmpstr (gettext ("Stages"), !=, "Stages");
}

/* What the part list calls a side is taken when it is typed, in capitals or not, and so is a file's word. */
static void
test_sides (void)
{
  for (LwSide side = LW_SIDE_TOP; side <= LW_SIDE_BOTTOM; side++) {
    g_autofree char *upper = g_utf8_strup (lw_side_label (side), -1), *lower = g_utf8_strdown (lw_side_label (side), -1);
    const char *const words[] = { upper, lower, lw_side_label (side), lw_side_word (side) };

    g_assert_cmpstr (lw_side_label (side), !=, side == LW_SIDE_TOP ? "Top" : "Bottom");
    for (guint i = 0; i < G_N_ELEMENTS (words); i++) {
      LwSide found = !side;

      g_assert_true (lw_side_from_text (words[i], &found));
      g_assert_cmpint (found, ==, side);
    }
  }
}

static void
test_empty (void)
{
  LwWindow *window = ui_small_window ();

  ui_cut_begin ();
  ui_cut_fits (GTK_WIDGET (window), "empty");
  ui_cut_words (GTK_WIDGET (window), "empty");
  ui_close (window);
  ui_cut_end ();
}

static void
test_pages (void)
{
  static const char *const pages[] = { "profile", "doubt", "runs", "history", "parts", "stages", "thermocouples", "shields",
                                       "outline", "stack-up", "packages" };
  LwWindow *window = ui_small_window ();

  ui_cut_begin ();
  take_job (window);
  for (guint i = 0; i < G_N_ELEMENTS (pages); i++) {
    lw_lower_pane_show_page (window->lower, pages[i]);
    ui_cut_fits (GTK_WIDGET (window), pages[i]);
    ui_cut_words (GTK_WIDGET (window), pages[i]);
  }
  ui_close (window);
  ui_cut_end ();
}

static void
test_selections (void)
{
  LwWindow *window = ui_small_window ();

  ui_cut_begin ();
  take_job (window);
  for (LwThing thing = LW_THING_BOARD; thing <= LW_THING_OPERATIONS; thing++) {
    g_autofree char *name = g_strdup_printf ("selection %d", thing);

    lw_desk_select (lw_window_desk (window), thing, 0);
    ui_cut_words (GTK_WIDGET (window), name);
  }
  ui_close (window);
  ui_cut_end ();
}

/* Windows that stand beside it, each opened by its action and closed again. */
static void
test_windows (void)
{
  static const char *const names[] = { "app.preferences", "win.seek", "win.fit-runs", "win.show", "win.make-package",
                                       "app.about", "app.help" };
  LwWindow *window = ui_small_window ();

  ui_cut_begin ();
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
      ui_cut_fits (GTK_WIDGET (top), names[i]);
      ui_cut_words (GTK_WIDGET (top), names[i]);
      gtk_window_destroy (top);
      opened++;
    }
    g_test_message ("%s: %u opened", names[i], opened);
    g_assert_cmpuint (opened, >, 0);
  }
  ui_close (window);
  ui_cut_end ();
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
    ui_cut_fits (GTK_WIDGET (menu), "menu");
    ui_cut_words (GTK_WIDGET (menu), "menu");
    gtk_menu_button_popdown (GTK_MENU_BUTTON (child));
    ui_spin (20);
  }
}

static void
test_menus (void)
{
  LwWindow *window = ui_small_window ();

  ui_cut_begin ();
  take_job (window);
  check_menus (GTK_WIDGET (window));
  gtk_widget_activate_action (GTK_WIDGET (window), "win.new-board", NULL);
  ui_cut_words (GTK_WIDGET (window), "new board");
  ui_close (window);
  ui_cut_end ();
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
  ui_test_init (&argc, &argv);
  g_object_set (gtk_settings_get_default (), "gtk-enable-animations", FALSE, NULL); /* nothing half way between two pages */
  run ("mousemove", "1279", "799", NULL); /* a tooltip on its way when its window goes makes GTK complain */
  g_test_add_func ("/translated/heard", test_heard);
  g_test_add_func ("/translated/sides", test_sides);
  g_test_add_func ("/translated/empty", test_empty);
  g_test_add_func ("/translated/pages", test_pages);
  g_test_add_func ("/translated/selections", test_selections);
  g_test_add_func ("/translated/windows", test_windows);
  g_test_add_func ("/translated/menus", test_menus);
  return g_test_run ();
}
