/* Text of twice the size on a screen of 1024 x 700: every page, every kind of selection and every further window fits and cuts no
 * word (WCAG 2.1, 1.4.4: text to 200 % without loss of content). What a search and a fit have found: test-window-seek.c and
 * test-window-fit.c. */
#include <string.h>

#include "app/log-window.h"
#include "app/table-window.h"
#include "board/edits-history.h"
#include "ui-cut.h"
#include "ui-find.h"
#include "ui-fixture.h"
#include "widgets/text-scale.h"

static LwRun *
new_run (const LwPlan *plan)
{
  LwRun *run = lw_run_new ();
  LwRunColumn *column = lw_run_column_new ();

  run->name = (g_free (run->name), g_strdup ("Bench of this morning"));
  run->ref = (g_free (run->ref), g_strdup (plan->ref));
  run->shift_s = 0;
  column->thermocouple = (g_free (column->thermocouple),
                          g_strdup (((const LwThermocouple *) g_ptr_array_index (plan->thermocouples, 0))->name));
  for (double t = 0; t < 100; t += 5) {
    double c = 23 + t;

    g_array_append_val (run->t_s, t);
    g_array_append_val (column->c, c);
  }
  g_ptr_array_add (run->columns, column);
  return run;
}

static gboolean
is_read (gpointer desk)
{
  return lw_desk_plan (desk) >= 0;
}

/* The demo job, whose plan has thermocouples and shields, with a run, and an answer with findings. */
static void
take_job (LwWindow *window)
{
  LwDesk *desk = lw_window_desk (window);
  g_autoptr (GPtrArray) findings = ui_findings ();
  g_autoptr (LwPrediction) answer = NULL;
  g_autoptr (GError) error = NULL;
  LwJob *with_run;

  lw_window_open_demo (window);
  g_assert_true (ui_wait (is_read, desk, 20000));
  lw_desk_select_part (desk, 0);
  gtk_widget_activate_action (GTK_WIDGET (window), "win.add-shield", NULL);
  with_run = lw_edit_add_run (lw_desk_job (desk), new_run (g_ptr_array_index (lw_desk_job (desk)->plans, 0)), &error);
  g_assert_no_error (error);
  g_assert_true (lw_desk_edit (desk, with_run, "Import", NULL, NULL));
  answer = ui_prediction (lw_desk_job (desk), 200);
  g_assert_true (lw_desk_take_answer (desk, lw_document_revision (lw_desk_document (desk)), answer, findings));
  ui_spin (300);
}

static void
test_first_page (void)
{
  LwWindow *window = ui_small_window ();

  ui_cut_begin ();
  ui_cut_fits (GTK_WIDGET (window), "first page");
  ui_cut_words (GTK_WIDGET (window), "first page");
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
  g_assert_cmpfloat (lw_text_scale (GTK_WIDGET (window)), ==, 2); /* by which pictures enlarge what is written in them */
  for (guint i = 0; i < G_N_ELEMENTS (pages); i++) {
    lw_lower_pane_show_page (window->lower, pages[i]);
    ui_cut_fits (GTK_WIDGET (window), pages[i]);
    ui_cut_words (GTK_WIDGET (window), pages[i]);
  }
  ui_close (window);
  ui_cut_end ();
}

/* Whether WORD, which LABEL says, is outside what an ellipsis stands for. */
static gboolean
shows (GtkLabel *label, const char *word)
{
  const char *text = gtk_label_get_text (label), *at = strstr (text, word);
  PangoLayoutLine *line = pango_layout_get_line_readonly (gtk_label_get_layout (label), 0);
  int start = (int) (at - text), end = start + (int) strlen (word);

  g_assert_nonnull (at);
  for (GSList *l = line->runs; l != NULL; l = l->next) {
    const PangoItem *item = ((PangoLayoutRun *) l->data)->item;

    if ((item->analysis.flags & PANGO_ANALYSIS_FLAG_IS_ELLIPSIS) != 0 && item->offset < end && item->offset + item->length > start)
      return FALSE;
  }
  return TRUE;
}

/* Which part is reworked can be read in the title bar, whatever room the operation's word has. */
static void
test_target (void)
{
  static const char *const refs[] = { "U1", "J3", "BT1", "R15" };
  LwWindow *window = ui_small_window ();
  GtkLabel *label;

  ui_cut_begin ();
  take_job (window);
  label = GTK_LABEL (gtk_widget_get_template_child (GTK_WIDGET (window->target_chooser), LW_TYPE_TARGET_CHOOSER, "label"));
  for (guint i = 0; i < G_N_ELEMENTS (refs); i++) {
    lw_desk_choose_target (lw_window_desk (window), refs[i], "Rework");
    ui_cut_fits (GTK_WIDGET (window), refs[i]);
    ui_cut_words (GTK_WIDGET (window), refs[i]);
    g_assert_true (shows (label, refs[i]));
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
    ui_cut_fits (GTK_WIDGET (window), name);
    ui_cut_words (GTK_WIDGET (window), name);
  }
  ui_close (window);
  ui_cut_end ();
}

/* ---- further windows ---- */

/* Looks at every window but WINDOW, and closes it. */
static void
look_at_others (LwWindow *window, const char *name)
{
  GListModel *tops = gtk_window_get_toplevels ();
  guint opened = 0;

  ui_spin (120);
  for (guint k = g_list_model_get_n_items (tops); k-- > 0;) {
    g_autoptr (GtkWindow) top = g_list_model_get_item (tops, k);

    if (top == GTK_WINDOW (window) || !gtk_widget_get_mapped (GTK_WIDGET (top)))
      continue;
    ui_cut_fits (GTK_WIDGET (top), name);
    ui_cut_words (GTK_WIDGET (top), name);
    gtk_window_destroy (top);
    opened++;
  }
  g_test_message ("%s: %u opened", name, opened);
  g_assert_cmpuint (opened, >, 0);
}

/* But the one about the program, which is GTK's own: it cuts the name of its second page a little. */
static void
test_windows (void)
{
  static const char *const names[] = { "app.preferences", "win.seek", "win.fit-runs", "win.show", "win.make-package",
                                       "win.show-shortcuts", "app.help" };
  LwWindow *window = ui_small_window ();

  ui_cut_begin ();
  take_job (window);
  for (guint i = 0; i < G_N_ELEMENTS (names); i++) {
    g_assert_true (gtk_widget_activate_action (GTK_WIDGET (window), names[i], NULL));
    look_at_others (window, names[i]);
  }
  ui_close (window);
  ui_cut_end ();
}

static GFile *
new_file (const char *name, const char *text)
{
  g_autofree char *dir = g_dir_make_tmp ("leeward-large-XXXXXX", NULL), *path = g_build_filename (dir, name, NULL);

  g_assert_true (g_file_set_contents (path, text, -1, NULL));
  return g_file_new_for_path (path);
}

static void
test_tables (void)
{
  g_autofree char *path = g_test_build_filename (G_TEST_DIST, "data", "centroid_variants", "a_mid_xy_suffix_mm.csv", NULL);
  g_autoptr (GFile) table = g_file_new_for_path (path);
  g_autoptr (GFile) log = new_file ("Bench.csv", "Time (s),On the body (°C),Beside the part (°C)\n0,23,23\n2,24,25\n4,26,28\n6,30,32\n"
                                                 "8,33,35\n10,36,38\n");
  LwWindow *window = ui_small_window ();
  g_autoptr (GError) error = NULL;
  GtkWidget *columns;

  ui_cut_begin ();
  take_job (window);
  g_assert_true (lw_window_import_run (window, log, &error));
  g_assert_no_error (error);
  g_assert_nonnull (ui_top_of_type (LW_TYPE_LOG_WINDOW));
  look_at_others (window, "log");
  columns = lw_table_window_new (window, table, &error);
  g_assert_no_error (error);
  gtk_window_present (GTK_WINDOW (columns));
  look_at_others (window, "table");
  ui_close (window);
  ui_cut_end ();
}

int
main (int argc, char **argv)
{
  GtkSettings *settings;

  ui_test_init (&argc, &argv);
  settings = gtk_settings_get_default ();
  g_object_set (settings, "gtk-xft-dpi", 2 * 96 * 1024, "gtk-enable-animations", FALSE,
                "gtk-decoration-layout", "menu:minimize,maximize,close", NULL);
  g_test_add_func ("/large-text/first-page", test_first_page);
  g_test_add_func ("/large-text/pages", test_pages);
  g_test_add_func ("/large-text/target", test_target);
  g_test_add_func ("/large-text/selections", test_selections);
  g_test_add_func ("/large-text/windows", test_windows);
  g_test_add_func ("/large-text/tables", test_tables);
  return g_test_run ();
}
