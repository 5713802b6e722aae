/* Every template class: built, shown, destroyed, and nothing left of it. */
#include "app/help-window.h"
#include "app/preferences.h"
#include "ui-fixture.h"
#include "widgets/choice-row.h"
#include "widgets/field-row.h"
#include "widgets/finding-row.h"
#include "widgets/grade-mark.h"
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

int
main (int argc, char **argv)
{
  ui_test_init (&argc, &argv);
  {
    const GType with_desk[] = { LW_TYPE_FINDINGS_PANEL, LW_TYPE_INSPECTOR, LW_TYPE_LOWER_PANE, LW_TYPE_PART_LIST,
                                LW_TYPE_RUN_STATE, LW_TYPE_TARGET_CHOOSER, LW_TYPE_THING_LIST };
    const GType plain[] = { LW_TYPE_FINDING_ROW, LW_TYPE_GRADE_MARK, LW_TYPE_WELCOME };
    const GType windows[] = { LW_TYPE_HELP_WINDOW, LW_TYPE_PREFERENCES };

    for (guint i = 0; i < G_N_ELEMENTS (with_desk); i++) {
      add ("with-job", with_desk[i], test_with_desk);
      add ("empty", with_desk[i], test_without_document);
    }
    for (guint i = 0; i < G_N_ELEMENTS (plain); i++)
      add ("plain", plain[i], test_plain);
    for (guint i = 0; i < G_N_ELEMENTS (windows); i++)
      add ("windows", windows[i], test_windows);
  }
  g_test_add_func ("/widgets/rows", test_rows);
  g_test_add_func ("/widgets/main-window", test_main_window);
  g_test_add_func ("/widgets/grade-mark-is-named", test_grade_mark_is_named);
  g_test_add_func ("/widgets/toast", test_toast);
  return g_test_run ();
}
