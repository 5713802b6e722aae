/* A whole job without a pointer, by a real keyboard and the program's own solvers: a file is opened, a part set to be reworked, figures
 * and nozzle changed, the profile edited in its table, predicted, the findings gone through, a search begun and called off, the bench
 * sheet written, printing called off, the job saved. */
#include <string.h>

#include <glib/gstdio.h>

#include "hands.h"
#include "ui-find.h"

#define LONG_MS 60000
#define STEPS_MOST 30 /* of Tab, inside one panel or dialog */

static const char board_file[]
  = "{ \"leeward_format\": 1,"
    "  \"board\": { \"thickness_mm\": 1.6, \"outline\": [ { \"corners\": [ { \"x_mm\": 0, \"y_mm\": 0 }, { \"x_mm\": 40, \"y_mm\": 0 },"
    "    { \"x_mm\": 40, \"y_mm\": 30 }, { \"x_mm\": 0, \"y_mm\": 30 } ] } ] },"
    "  \"parts\": ["
    "    { \"ref\": \"U1\", \"package\": \"QFN-32-5x5-0.50\", \"x_mm\": 20, \"y_mm\": 15, \"side\": \"top\" },"
    "    { \"ref\": \"C1\", \"package\": \"C0603\", \"x_mm\": 27, \"y_mm\": 15, \"side\": \"top\" },"
    "    { \"ref\": \"C2\", \"package\": \"ELCAP-8x10.2\", \"x_mm\": 8, \"y_mm\": 15, \"side\": \"top\" } ],"
    "  \"station\": { \"nozzles\": [ { \"name\": \"Small\", \"length_mm\": 8, \"width_mm\": 8 },"
    "    { \"name\": \"Wide\", \"length_mm\": 12, \"width_mm\": 12 } ] } }";

/* ---- what is there ---- */

static LwWindow *window;
static char *folder, *job_path, *sheet_path;

static LwDesk *
desk (void)
{
  return lw_window_desk (window);
}

static const LwPlan *
plan (void)
{
  int at = lw_desk_plan (desk ());

  return at < 0 ? NULL : g_ptr_array_index (lw_desk_job (desk ())->plans, at);
}

static gboolean
has_document (gpointer data)
{
  return lw_desk_document (desk ()) != NULL;
}

static gboolean
has_plan (gpointer data)
{
  return plan () != NULL;
}

static gboolean
is_answered (gpointer data)
{
  LwPrediction *p = lw_desk_prediction (desk ());

  return p != NULL && p->full && !lw_desk_stale (desk ());
}

static gboolean
is_active (gpointer data)
{
  return gtk_window_is_active (GTK_WINDOW (window));
}

static void
wait_gone (const char *type)
{
  if (!ui_wait (is_not_up, (gpointer) type, 10000))
    g_error ("%s stays", type);
  g_assert_true (ui_wait (is_active, NULL, 5000));
  ui_spin (100);
}

static GtkWidget *
focus_in (GtkWidget *top)
{
  return gtk_window_get_focus (GTK_WINDOW (top));
}

static gboolean
is_inside (gpointer panel)
{
  GtkWidget *focus = focus_in (GTK_WIDGET (window));

  return focus != NULL && (focus == panel || gtk_widget_is_ancestor (focus, panel));
}

static void
assert_focus_in (GtkWidget *panel)
{
  GtkWidget *focus;

  if (ui_wait (is_inside, panel, 3000))
    return;
  focus = focus_in (GTK_WIDGET (window));
  g_error ("the keyboard is at %s, not in %s", focus != NULL ? G_OBJECT_TYPE_NAME (focus) : "nothing", G_OBJECT_TYPE_NAME (panel));
}

/* As Tab goes, until the keyboard is on or in a widget of TYPE. */
static GtkWidget *
tab_to (GtkWidget *top, GType type)
{
  for (int i = 0; i < STEPS_MOST; i++) {
    GtkWidget *focus = focus_in (top);
    GtkWidget *found = focus != NULL ? gtk_widget_get_ancestor (focus, type) : NULL;

    if (found != NULL)
      return found;
    key ("Tab");
  }
  g_error ("Tab does not lead to a %s", g_type_name (type));
}

static void
retype (const char *text)
{
  key ("ctrl+a");
  type (text);
  key ("Return");
}

/* Popovers and their focus come a moment after the key. */
static gboolean
is_in_popover (gpointer data)
{
  GtkWidget *focus = focus_in (GTK_WIDGET (window));

  return focus != NULL && gtk_widget_get_ancestor (focus, GTK_TYPE_POPOVER) != NULL;
}

static gboolean
is_out (gpointer data)
{
  return !is_in_popover (data);
}

/* A key that opens a popover, and one that closes it. */
static void
key_in (const char *keys)
{
  key (keys);
  g_assert_true (ui_wait (is_in_popover, NULL, 5000));
  ui_spin (100);
}

static void
key_out (const char *keys)
{
  key (keys);
  g_assert_true (ui_wait (is_out, NULL, 5000));
  ui_spin (100);
}

static gboolean
is_on_board (gpointer data)
{
  return focus_in (GTK_WIDGET (window)) == GTK_WIDGET (window->board_view);
}

static gboolean
is_closed (gpointer popover)
{
  return !gtk_widget_get_mapped (popover);
}

static gboolean
is_one_offer (gpointer data)
{
  return g_list_model_get_n_items (lw_target_chooser_offers (window->target_chooser)) == 1;
}

static gboolean
is_for (gpointer ref)
{
  return plan () != NULL && g_str_equal (plan ()->ref, ref);
}

/* ---- the job ---- */

static void
open_file (void)
{
  key ("ctrl+o");
  wait_for ("GtkFileChooserDialog");
  type (job_path);
  ui_spin (200);
  key ("Return");
  g_assert_true (ui_wait (has_document, NULL, 10000));
  wait_gone ("GtkFileChooserDialog");
  assert_focus_in (GTK_WIDGET (window->board_view));
}

static void
choose_part (void)
{
  key ("n"); /* the first on the board: selected, then its menu */
  g_assert_cmpint (lw_desk_selected_part (desk ()), ==, 0);
  key ("shift+F10");
  ui_spin (200);
  g_assert_true (gtk_widget_get_visible (window->part_menu));
  key ("w"); /* Rework This Part */
  g_assert_true (ui_wait (has_plan, NULL, 5000));
  g_assert_true (ui_wait (is_closed, window->part_menu, 5000));
  g_assert_true (ui_wait (is_on_board, NULL, 5000)); /* not left behind in the menu */
  g_assert_cmpstr (plan ()->ref, ==, "U1");
  key_in ("ctrl+t"); /* another, and back, by typing */
  type ("C2");
  g_assert_true (ui_wait (is_one_offer, NULL, 5000));
  key ("Return");
  g_assert_true (ui_wait (is_for, (gpointer) "C2", 5000));
  g_assert_true (ui_wait (is_on_board, NULL, 5000));
  ui_spin (200);
  key ("ctrl+z");
  g_assert_true (ui_wait (is_for, (gpointer) "U1", 5000));
}

/* Chosen by its letter in the inspector's menu; its dropdown is the second of the page. */
static void
choose_nozzle (void)
{
  g_assert_cmpstr (plan ()->nozzle, ==, "Small");
  key ("Escape");
  assert_focus_in (GTK_WIDGET (window->board_view));
  ui_spin (100);
  key ("shift+F6");
  assert_focus_in (GTK_WIDGET (window->inspector));
  key_in ("Return");
  key_out ("n");
  tab_to (GTK_WIDGET (window), GTK_TYPE_DROP_DOWN);
  key ("Tab");
  g_assert_nonnull (gtk_widget_get_ancestor (focus_in (GTK_WIDGET (window)), GTK_TYPE_DROP_DOWN));
  key_in ("Return");
  key ("Down");
  key_out ("Return");
  g_assert_cmpstr (plan ()->nozzle, ==, "Wide");
}

static gboolean
is_low (gpointer data)
{
  return plan ()->nozzle_height_mm == 1.5;
}

static void
change_height (void)
{
  key ("Tab"); /* from the nozzle to its height */
  g_assert_nonnull (gtk_widget_get_ancestor (focus_in (GTK_WIDGET (window)), GTK_TYPE_ENTRY));
  retype ("1.5");
  g_assert_true (ui_wait (is_low, NULL, 5000));
}

static gboolean
is_stage_chosen (gpointer data)
{
  return lw_desk_selected_stage (desk ()) == 1;
}

static gboolean
is_longer (gpointer data)
{
  return ((const LwStage *) g_ptr_array_index (plan ()->stages, 1))->duration_s == 77;
}

/* The second stage in the table, Enter leads to its figures. */
static void
edit_profile (void)
{
  guint n = plan ()->stages->len;

  key ("alt+6");
  ui_spin (300);
  g_assert_cmpstr (lw_lower_pane_page (window->lower), ==, "stages");
  assert_focus_in (GTK_WIDGET (window->lower));
  key ("Home");
  key ("Down");
  g_assert_true (ui_wait (is_stage_chosen, NULL, 5000));
  key ("Return");
  ui_spin (100);
  assert_focus_in (GTK_WIDGET (window->inspector));
  key ("Tab"); /* from its name to how long it lasts */
  retype ("77");
  g_assert_true (ui_wait (is_longer, NULL, 5000));
  g_assert_cmpuint (plan ()->stages->len, ==, n);
}

static void
predict (void)
{
  key ("F5");
  g_assert_true (ui_wait (is_answered, NULL, LONG_MS));
}

static guint
at_finding (void)
{
  return gtk_single_selection_get_selected (lw_findings_panel_selection (window->findings));
}

static gboolean
is_at_last (gpointer data)
{
  return at_finding () + 1 == g_list_model_get_n_items (G_LIST_MODEL (lw_findings_panel_selection (window->findings)));
}

/* From the first to the last, onward with each key; how sure they are comes in meanwhile, which may change their order. */
static void
read_findings (void)
{
  guint n = g_list_model_get_n_items (G_LIST_MODEL (lw_findings_panel_selection (window->findings))), steps = 0;

  g_assert_cmpuint (n, >, 1);
  key ("Escape");
  key ("F6");
  assert_focus_in (GTK_WIDGET (window->lower));
  key ("F6");
  assert_focus_in (GTK_WIDGET (window->findings));
  key ("Home");
  g_assert_cmpuint (at_finding (), !=, GTK_INVALID_LIST_POSITION);
  for (; !is_at_last (NULL) && steps < 2 * n; steps++)
    key ("Down");
  g_assert_true (is_at_last (NULL));
  g_assert_cmpuint (steps, >=, n / 2);
  key ("shift+F6");
  assert_focus_in (GTK_WIDGET (window->lower)); /* where it was before */
}

static gboolean
is_busy (gpointer dialog)
{
  return ui_button (dialog, "_Cancel") != NULL;
}

static gboolean
is_idle (gpointer dialog)
{
  return !is_busy (dialog);
}

static void
begin_search (void)
{
  guint64 before = lw_document_revision (lw_desk_document (desk ()));
  GtkWidget *dialog, *effort;

  key_in ("F10");
  key ("b");
  dialog = wait_for ("LwSeekWindow");
  effort = tab_to (dialog, GTK_TYPE_DROP_DOWN);
  key ("Return");
  ui_spin (200);
  key ("Home");
  key ("Return");
  ui_spin (200);
  g_assert_cmpuint (gtk_drop_down_get_selected (GTK_DROP_DOWN (effort)), ==, 0);
  key ("alt+b");
  g_assert_true (ui_wait (is_busy, dialog, 5000));
  key ("alt+c");
  g_assert_true (ui_wait (is_idle, dialog, LONG_MS));
  key ("Escape");
  wait_gone ("LwSeekWindow");
  g_assert_cmpuint (lw_document_revision (lw_desk_document (desk ())), ==, before);
}

static gboolean
is_pdf (gpointer path)
{
  g_autofree char *data = NULL;
  gsize length = 0;

  return g_file_get_contents (path, &data, &length, NULL) && length > 6 && g_str_has_prefix (data, "%PDF-")
         && memcmp (data + length - 6, "%%EOF\n", 6) == 0;
}

static void
export_sheet (void)
{
  g_assert_true (ui_wait (is_answered, NULL, LONG_MS));
  key_in ("F10");
  key ("e");
  ui_spin (300);
  key ("d");
  wait_for ("GtkFileChooserDialog");
  key ("ctrl+a");
  type (sheet_path);
  key ("Return");
  g_assert_true (ui_wait (is_pdf, sheet_path, 10000));
  wait_gone ("GtkFileChooserDialog");
}

static void
call_off_print (void)
{
  key ("ctrl+p");
  wait_for ("GtkPrintUnixDialog");
  key ("Escape");
  wait_gone ("GtkPrintUnixDialog");
  g_assert_null (lw_window_last_problem (window));
}

static gboolean
is_saved (gpointer data)
{
  g_autofree char *text = NULL;

  return g_file_get_contents (job_path, &text, NULL, NULL) && strstr (text, "\"nozzle\": \"Wide\"") != NULL
         && strstr (text, "\"duration_s\": 77") != NULL && !lw_document_modified (lw_desk_document (desk ()));
}

static void
save (void)
{
  g_assert_true (lw_document_modified (lw_desk_document (desk ())));
  key ("ctrl+s");
  g_assert_true (ui_wait (is_saved, NULL, 10000));
}

static void
test_job (void)
{
  window = lw_window_new (ui_application ());
  gtk_window_present (GTK_WINDOW (window));
  ui_spin (400);
  open_file ();
  choose_part ();
  choose_nozzle ();
  change_height ();
  edit_profile ();
  predict ();
  read_findings ();
  begin_search ();
  export_sheet ();
  call_off_print ();
  save ();
  ui_close (window);
}

/* ---- pages and back ---- */

/* Each page that a key calls takes the keyboard, and Escape and F6 lead out of it. */
static void
test_pages (void)
{
  static const char *const keys[] = { "alt+1", "alt+2", "alt+3", "alt+4", "alt+5", "alt+6", "alt+7", "alt+8", "alt+9", "alt+0" };

  window = ui_window (ui_planned_job ());
  ui_spin (300);
  for (guint i = 0; i < G_N_ELEMENTS (keys); i++) {
    key (keys[i]);
    ui_spin (100);
    assert_focus_in (lw_lower_pane_child (window->lower));
    key (keys[i]); /* again: it stays */
    assert_focus_in (lw_lower_pane_child (window->lower));
    key ("Escape");
    assert_focus_in (GTK_WIDGET (window->board_view));
  }
  key ("alt+5");
  ui_spin (100);
  key ("F6");
  key ("F6");
  assert_focus_in (GTK_WIDGET (window->inspector));
  key ("F6");
  assert_focus_in (GTK_WIDGET (window->board_view));
  ui_close (window);
}

/* Where something is searched for, too: GTK's search entries keep Escape for themselves. */
static void
test_searches (void)
{
  window = ui_window (ui_planned_job ());
  ui_spin (300);
  key_in ("ctrl+t");
  key_out ("Escape");
  gtk_widget_activate_action (GTK_WIDGET (window), "win.page", "s", "packages");
  ui_spin (100);
  key ("shift+Tab");
  g_assert_nonnull (gtk_widget_get_ancestor (focus_in (GTK_WIDGET (window)), GTK_TYPE_SEARCH_ENTRY));
  type ("QFN");
  key ("Escape");
  assert_focus_in (lw_lower_pane_child (window->lower));
  key ("Escape");
  assert_focus_in (GTK_WIDGET (window->board_view));
  ui_close (window);
}

int
main (int argc, char **argv)
{
  GPid wm;
  int result;

  ui_test_init (&argc, &argv);
  folder = g_dir_make_tmp ("leeward-keys-XXXXXX", NULL);
  job_path = g_build_filename (folder, "keys.leeward", NULL);
  sheet_path = g_build_filename (folder, "sheet.pdf", NULL);
  g_assert_true (g_file_set_contents (job_path, board_file, -1, NULL));
  wm = hands_start_still ();
  g_test_add_func ("/keyboard/pages", test_pages);
  g_test_add_func ("/keyboard/searches", test_searches);
  g_test_add_func ("/keyboard/job", test_job);
  result = hands_run (wm);
  g_remove (job_path);
  g_remove (sheet_path);
  g_rmdir (folder);
  return result;
}
