/* Every template class: built, shown, destroyed, and nothing left of it. */
#include "app/manual-window.h"
#include "app/preferences.h"
#include "ui-fixture.h"
#include "widgets/choice-row.h"
#include "widgets/field-row.h"
#include "widgets/finding-row.h"
#include "widgets/grade-mark.h"
#include "widgets/page-row.h"
#include "widgets/welcome.h"

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

/* Shown in a window for a moment, then taken down. */
static void
show_and_destroy (GtkWidget *widget)
{
  GtkWidget *window = gtk_window_new ();

  g_object_ref_sink (widget);
  gtk_window_set_default_size (GTK_WINDOW (window), 400, 300);
  gtk_window_set_child (GTK_WINDOW (window), widget);
  gtk_window_present (GTK_WINDOW (window));
  ui_spin (60);
  g_assert_true (gtk_widget_get_mapped (widget));
  gtk_window_destroy (GTK_WINDOW (window));
  ui_spin (10);
  ui_assert_gone (widget);
}

static void
test_with_desk (gconstpointer data)
{
  g_autoptr (LwDesk) desk = desk_with_answer ();

  show_and_destroy (g_object_new (GPOINTER_TO_SIZE (data), "desk", desk, NULL));
  g_assert_cmpuint (G_OBJECT (desk)->ref_count, ==, 1); /* nobody kept it */
}

static void
test_without_document (gconstpointer data)
{
  g_autoptr (LwDesk) desk = lw_desk_new ();

  show_and_destroy (g_object_new (GPOINTER_TO_SIZE (data), "desk", desk, NULL));
  g_assert_cmpuint (G_OBJECT (desk)->ref_count, ==, 1);
}

static void
test_plain (gconstpointer data)
{
  show_and_destroy (g_object_new (GPOINTER_TO_SIZE (data), NULL));
}

static const char *
read_title (const LwJob *job, const char *path)
{
  return job->title;
}

static void
test_rows (void)
{
  static const char *words[] = { "top", "bottom", NULL };
  g_autoptr (LwDesk) desk = desk_with_answer ();

  show_and_destroy (lw_field_row_new_number (desk, "ambient_c", "Room", "°C", 1, 1, NULL));
  show_and_destroy (lw_field_row_new_text (desk, "title", "Title", read_title));
  show_and_destroy (lw_choice_row_new (desk, "parts[0].side", "Side", words, words, read_title));
  g_assert_cmpuint (G_OBJECT (desk)->ref_count, ==, 1);
}

static void
test_windows (gconstpointer data)
{
  GtkWidget *window = g_object_new (GPOINTER_TO_SIZE (data), NULL);

  g_object_ref (window);
  gtk_window_present (GTK_WINDOW (window));
  ui_spin (60);
  g_assert_true (gtk_widget_get_mapped (window));
  gtk_window_destroy (GTK_WINDOW (window));
  ui_spin (10);
  ui_assert_gone (window);
}

static void
test_main_window (void)
{
  LwWindow *window = ui_window (ui_planned_job ());

  g_object_ref (window);
  ui_spin (300);
  g_assert_true (gtk_widget_get_mapped (GTK_WIDGET (window)));
  ui_close (window);
  ui_assert_gone (GTK_WIDGET (window));
}

/* A label whose mnemonic is marked is heard without the mark and once: a button by the words it shows, a check button by its own. */
static void
assert_named_once (GtkWidget *button, const char *text)
{
  if (GTK_IS_CHECK_BUTTON (button)) {
    gtk_test_accessible_assert_property (button, GTK_ACCESSIBLE_PROPERTY_LABEL, text);
    return;
  }
  g_assert_false (gtk_test_accessible_has_property (GTK_ACCESSIBLE (button), GTK_ACCESSIBLE_PROPERTY_LABEL));
  gtk_test_accessible_assert_relation (button, GTK_ACCESSIBLE_RELATION_LABELLED_BY, gtk_widget_get_first_child (button), NULL);
  g_assert_cmpstr (gtk_label_get_text (GTK_LABEL (gtk_widget_get_first_child (button))), ==, text);
}

static void
test_named_once (void)
{
  GtkWidget *window = gtk_window_new (), *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  GtkWidget *button = gtk_button_new_with_mnemonic ("_Keep"), *check = gtk_check_button_new_with_mnemonic ("Rem_ember");
  GtkWidget *plain = gtk_button_new_with_label ("A_B");

  gtk_box_append (GTK_BOX (box), button);
  gtk_box_append (GTK_BOX (box), check);
  gtk_box_append (GTK_BOX (box), plain);
  gtk_window_set_child (GTK_WINDOW (window), box);
  gtk_window_present (GTK_WINDOW (window));
  ui_spin (60);
  assert_named_once (button, "Keep");
  assert_named_once (check, "Remember");
  gtk_test_accessible_assert_property (plain, GTK_ACCESSIBLE_PROPERTY_LABEL, "A_B"); /* that is its name */
  gtk_button_set_label (GTK_BUTTON (button), "_Fit Again");
  gtk_button_set_use_underline (GTK_BUTTON (button), TRUE);
  gtk_check_button_set_label (GTK_CHECK_BUTTON (check), "_Forget");
  assert_named_once (button, "Fit Again");
  assert_named_once (check, "Forget");
  gtk_window_destroy (GTK_WINDOW (window));
}

/* GTK's dialogs of one message have no title: they are named by the message. */
static void
test_message_is_named (void)
{
  GtkWidget *dialog = gtk_message_dialog_new (NULL, 0, GTK_MESSAGE_ERROR, GTK_BUTTONS_CLOSE, "The file could not be opened");

  gtk_window_present (GTK_WINDOW (dialog));
  ui_spin (60);
  gtk_test_accessible_assert_property (dialog, GTK_ACCESSIBLE_PROPERTY_LABEL, "The file could not be opened");
  gtk_window_destroy (GTK_WINDOW (dialog));
}

static void
test_grade_mark_is_named (void)
{
  GtkWidget *mark = g_object_ref_sink (lw_grade_mark_new ());

  lw_grade_mark_set_grade (LW_GRADE_MARK (mark), LW_GRADE_STOP);
  gtk_test_accessible_assert_role (GTK_ACCESSIBLE (mark), GTK_ACCESSIBLE_ROLE_IMG);
  gtk_test_accessible_assert_property (GTK_ACCESSIBLE (mark), GTK_ACCESSIBLE_PROPERTY_LABEL, "Stop");
  g_object_unref (mark);
}

static void
test_toast (void)
{
  LwToast *toast = g_object_ref_sink (g_object_new (LW_TYPE_TOAST, NULL));

  g_assert_null (lw_toast_text (toast));
  lw_toast_show (toast, "Part removed", "Undo", "win.undo");
  g_assert_cmpstr (lw_toast_text (toast), ==, "Part removed");
  lw_toast_hide (toast);
  g_assert_null (lw_toast_text (toast));
  g_object_unref (toast);
}

static void
add (const char *name, GType type, GTestDataFunc test)
{
  g_autofree char *path = g_strdup_printf ("/widgets/%s/%s", name, g_type_name (type));

  g_test_add_data_func (path, GSIZE_TO_POINTER (type), test);
}

static const char *const row_pages[] = { "Profile", "What to measure", "Thermocouples", "Shields", "Outline", "Packages" };

static GtkWidget *
stack_with_pages (void)
{
  GtkWidget *stack = gtk_stack_new ();

  for (guint k = 0; k < G_N_ELEMENTS (row_pages); k++)
    gtk_stack_add_titled (GTK_STACK (stack), gtk_label_new (row_pages[k]), row_pages[k], row_pages[k]);
  return stack;
}

/* Which of the row's children are in sight, as letters; the menu button is "+". None may reach past the row. */
static char *
in_sight (GtkWidget *row)
{
  GString *seen = g_string_new (NULL);

  for (GtkWidget *child = gtk_widget_get_first_child (row); child != NULL; child = gtk_widget_get_next_sibling (child)) {
    graphene_rect_t bounds;

    if (!gtk_widget_get_child_visible (child))
      continue;
    g_string_append_c (seen, GTK_IS_MENU_BUTTON (child) ? '+' : *gtk_button_get_label (GTK_BUTTON (child)));
    g_assert_true (gtk_widget_compute_bounds (child, row, &bounds));
    g_assert_cmpfloat (bounds.origin.x + bounds.size.width, <=, gtk_widget_get_width (row) + 0.5);
  }
  return g_string_free (seen, FALSE);
}

static void
assert_in_sight (GtkWidget *row, const char *expected)
{
  g_autofree char *seen = NULL;

  ui_spin (60);
  seen = in_sight (row);
  g_assert_true (g_pattern_match_simple (expected, seen)); /* how many fit is the font's affair */
}

/* Names that find no room wait in the menu; the page in view is always named in the row. */
static void
test_page_row (void)
{
  GtkWidget *stack = stack_with_pages (), *row = g_object_new (LW_TYPE_PAGE_ROW, "stack", stack, NULL);
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0), *window = gtk_window_new ();
  g_autofree char *narrow = NULL;

  gtk_box_append (GTK_BOX (box), row);
  gtk_box_append (GTK_BOX (box), stack);
  gtk_window_set_child (GTK_WINDOW (window), box);
  gtk_window_set_default_size (GTK_WINDOW (window), 1000, 200);
  gtk_window_present (GTK_WINDOW (window));
  assert_in_sight (row, "PWTSOP");
  gtk_window_set_default_size (GTK_WINDOW (window), 340, 200);
  assert_in_sight (row, "P*+");
  narrow = in_sight (row);
  g_assert_cmpuint (strlen (narrow), <, 1 + G_N_ELEMENTS (row_pages));
  gtk_widget_activate_action (row, "pages.show", "s", "Packages");
  g_assert_cmpstr (gtk_stack_get_visible_child_name (GTK_STACK (stack)), ==, "Packages");
  assert_in_sight (row, "P*P+");
  gtk_widget_set_direction (row, GTK_TEXT_DIR_RTL);
  assert_in_sight (row, "P*P+");
  gtk_window_destroy (GTK_WINDOW (window));
  ui_spin (10);
}

int
main (int argc, char **argv)
{
  ui_test_init (&argc, &argv);
  {
    const GType with_desk[] = { LW_TYPE_FINDINGS_PANEL, LW_TYPE_INSPECTOR, LW_TYPE_LOWER_PANE, LW_TYPE_PART_LIST,
                                LW_TYPE_RUN_STATE, LW_TYPE_TARGET_CHOOSER, LW_TYPE_THING_LIST };
    const GType plain[] = { LW_TYPE_FINDING_ROW, LW_TYPE_GRADE_MARK, LW_TYPE_WELCOME };
    const GType windows[] = { LW_TYPE_MANUAL_WINDOW, LW_TYPE_PREFERENCES };

    for (guint i = 0; i < G_N_ELEMENTS (with_desk); i++) {
      add ("with-job", with_desk[i], test_with_desk);
      add ("empty", with_desk[i], test_without_document);
    }
    for (guint i = 0; i < G_N_ELEMENTS (plain); i++)
      add ("plain", plain[i], test_plain);
    for (guint i = 0; i < G_N_ELEMENTS (windows); i++)
      add ("windows", windows[i], test_windows);
  }
  g_test_add_func ("/widgets/page-row", test_page_row);
  g_test_add_func ("/widgets/rows", test_rows);
  g_test_add_func ("/widgets/main-window", test_main_window);
  g_test_add_func ("/widgets/grade-mark-is-named", test_grade_mark_is_named);
  g_test_add_func ("/widgets/named-once", test_named_once);
  g_test_add_func ("/widgets/message-is-named", test_message_is_named);
  g_test_add_func ("/widgets/toast", test_toast);
  return g_test_run ();
}
