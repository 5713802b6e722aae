/* Choosing a finding shows its part, its side and its moment; fresh findings keep the choice. */
#include "ui-fixture.h"
#include "widgets/finding-item.h"

typedef struct {
  LwDesk *desk;
  LwFindingsPanel *panel;
  GtkWidget *window;
  int shown;
} Bench;

static void
show_part_cb (LwFindingsPanel *panel, int part, Bench *bench)
{
  bench->shown = part;
}

static void
set_up (Bench *bench, gconstpointer data)
{
  g_autoptr (LwDocument) document = lw_document_new (ui_planned_job (), NULL);
  g_autoptr (GPtrArray) findings = ui_findings ();
  g_autoptr (LwPrediction) answer = NULL;

  bench->shown = -1;
  bench->desk = lw_desk_new ();
  lw_desk_set_document (bench->desk, document);
  bench->window = gtk_window_new ();
  bench->panel = g_object_new (LW_TYPE_FINDINGS_PANEL, "desk", bench->desk, NULL);
  g_signal_connect (bench->panel, "show-part", G_CALLBACK (show_part_cb), bench);
  gtk_window_set_child (GTK_WINDOW (bench->window), GTK_WIDGET (bench->panel));
  gtk_window_present (GTK_WINDOW (bench->window));
  answer = ui_prediction (lw_desk_job (bench->desk), 200);
  g_assert_true (
    lw_desk_take_answer (bench->desk, lw_document_revision (document), answer, findings));
}

static void
tear_down (Bench *bench, gconstpointer data)
{
  gtk_window_destroy (GTK_WINDOW (bench->window));
  g_object_unref (bench->desk);
}

static void
test_listed_worst_first (Bench *bench, gconstpointer data)
{
  GListModel *list = G_LIST_MODEL (lw_findings_panel_selection (bench->panel));
  g_autoptr (LwFindingItem) first = g_list_model_get_item (list, 0);

  g_assert_cmpuint (g_list_model_get_n_items (list), ==, 2);
  g_assert_cmpint (lw_finding_item_finding (first)->grade, ==, LW_GRADE_STOP);
  g_assert_cmpint (lw_desk_selected_part (bench->desk), ==, -1); /* nothing is chosen for the person */
}

static void
test_choice_shows_part_and_moment (Bench *bench, gconstpointer data)
{
  GtkSingleSelection *selection = lw_findings_panel_selection (bench->panel);

  gtk_single_selection_set_selected (selection, 0);
  g_assert_cmpint (lw_desk_selected_part (bench->desk), ==, 1);
  g_assert_cmpfloat (lw_desk_moment (bench->desk), ==, 60);
  g_assert_cmpint (bench->shown, ==, 1);
  gtk_single_selection_set_selected (selection, 1);
  g_assert_cmpint (lw_desk_selected_part (bench->desk), ==, 3);
  g_assert_cmpint (lw_desk_side (bench->desk), ==, LW_SIDE_BOTTOM);
  g_assert_cmpfloat (lw_desk_moment (bench->desk), ==, 80);
}

static void
test_fresh_findings_keep_the_choice (Bench *bench, gconstpointer data)
{
  GtkSingleSelection *selection = lw_findings_panel_selection (bench->panel);
  g_autoptr (GPtrArray) fresh = ui_findings ();

  gtk_single_selection_set_selected (selection, 1);
  lw_desk_set_moment (bench->desk, 12);
  g_ptr_array_insert (fresh, 0, g_ptr_array_steal_index (fresh, 1)); /* R1 is the first now */
  lw_desk_take_answer (bench->desk, lw_document_revision (lw_desk_document (bench->desk)), NULL, fresh);
  g_assert_cmpuint (gtk_single_selection_get_selected (selection), ==, 0);
  g_assert_cmpfloat (lw_desk_moment (bench->desk), ==, 12); /* and the person's moment stays */
}

int
main (int argc, char **argv)
{
  ui_test_init (&argc, &argv);
  g_test_add ("/findings/worst-first", Bench, NULL, set_up, test_listed_worst_first, tear_down);
  g_test_add ("/findings/part-and-moment", Bench, NULL, set_up, test_choice_shows_part_and_moment, tear_down);
  g_test_add ("/findings/keep-the-choice", Bench, NULL, set_up, test_fresh_findings_keep_the_choice, tear_down);
  return g_test_run ();
}
