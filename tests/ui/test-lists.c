/* The lists that equal what is drawn: same selection both ways, search, order, add and remove. */
#include "ui-find.h"
#include "ui-fixture.h"
#include "widgets/part-item.h"
#include "widgets/part-paste.h"
#include "widgets/shown-units.h"
#include "widgets/table-cell.h"
#include "widgets/told-list.h"

typedef struct {
  LwDesk *desk;
  GtkWidget *window;
  GtkWidget *list;
} Bench;

static void
show (Bench *bench, GtkWidget *list)
{
  bench->window = gtk_window_new ();
  bench->list = list;
  gtk_window_set_child (GTK_WINDOW (bench->window), list);
  gtk_window_present (GTK_WINDOW (bench->window));
}

static void
set_up (Bench *bench, gconstpointer data)
{
  g_autoptr (LwDocument) document = lw_document_new (ui_planned_job (), NULL);

  bench->desk = lw_desk_new ();
  lw_desk_set_document (bench->desk, document);
}

static void
tear_down (Bench *bench, gconstpointer data)
{
  gtk_window_destroy (GTK_WINDOW (bench->window));
  g_object_unref (bench->desk);
}

static const char *
ref_at (GtkSelectionModel *selection, guint position)
{
  g_autoptr (LwPartItem) item = g_list_model_get_item (G_LIST_MODEL (selection), position);

  return lw_part_item_figures (item)->ref;
}

static void
test_same_selection (Bench *bench, gconstpointer data)
{
  GtkSelectionModel *selection;

  show (bench, g_object_new (LW_TYPE_PART_LIST, "desk", bench->desk, NULL));
  selection = lw_part_list_selection (LW_PART_LIST (bench->list));
  g_assert_cmpuint (g_list_model_get_n_items (G_LIST_MODEL (selection)), ==, 4);
  g_assert_cmpstr (ref_at (selection, 0), ==, "C1");
  g_assert_cmpstr (ref_at (selection, 3), ==, "U1");
  lw_desk_select_part (bench->desk, 3); /* R1, third by reference */
  g_assert_true (gtk_selection_model_is_selected (selection, 2));
  gtk_selection_model_select_item (selection, 1, TRUE); /* C2 */
  g_assert_cmpint (lw_desk_selected_part (bench->desk), ==, 2);
  gtk_selection_model_select_item (selection, 2, TRUE);
  g_assert_cmpint (lw_desk_side (bench->desk), ==, LW_SIDE_BOTTOM);
}

static GtkWidget *
find_search (GtkWidget *widget)
{
  if (GTK_IS_SEARCH_ENTRY (widget))
    return widget;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child)) {
    GtkWidget *found = find_search (child);

    if (found != NULL)
      return found;
  }
  return NULL;
}

static gboolean
shows_one (gpointer data)
{
  return g_list_model_get_n_items (data) == 1;
}

static void
test_search (Bench *bench, gconstpointer data)
{
  GtkSelectionModel *selection;
  GtkWidget *search;

  show (bench, g_object_new (LW_TYPE_PART_LIST, "desk", bench->desk, NULL));
  selection = lw_part_list_selection (LW_PART_LIST (bench->list));
  lw_desk_select_part (bench->desk, 0);
  search = find_search (bench->list);
  gtk_editable_set_text (GTK_EDITABLE (search), "electrolytic");
  g_assert_true (ui_wait (shows_one, selection, 2000));
  g_assert_cmpstr (ref_at (selection, 0), ==, "C2");
  g_assert_cmpint (lw_desk_selected_part (bench->desk), ==, 0); /* searching selects nothing by itself */
}

static void
test_figures_follow (Bench *bench, gconstpointer data)
{
  g_autoptr (LwPrediction) answer = ui_prediction (lw_desk_job (bench->desk), 222);
  g_autoptr (GPtrArray) findings = ui_findings ();
  g_autoptr (LwPartItem) item = NULL;
  GtkSelectionModel *selection;

  show (bench, g_object_new (LW_TYPE_PART_LIST, "desk", bench->desk, NULL));
  selection = lw_part_list_selection (LW_PART_LIST (bench->list));
  lw_desk_take_answer (bench->desk, lw_document_revision (lw_desk_document (bench->desk)), answer, findings);
  item = g_list_model_get_item (G_LIST_MODEL (selection), 0);
  g_assert_cmpfloat (lw_part_item_figures (item)->peak_c, ==, 222);
  g_assert_cmpfloat (lw_part_item_figures (item)->headroom, ==, -12);
  g_assert_cmpint (lw_part_item_figures (item)->grade, ==, LW_GRADE_STOP);
}

/* ---- the table of parts as the equal of the board ---- */

static void
collect_cells (GtkWidget *widget, GPtrArray *cells)
{
  if (LW_IS_TABLE_CELL (widget)) {
    g_ptr_array_add (cells, widget);
    return;
  }
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL; child = gtk_widget_get_next_sibling (child))
    collect_cells (child, cells);
}

static GtkWidget *
label_of (LwTableCell *cell)
{
  return gtk_widget_get_first_child (GTK_WIDGET (cell));
}

static gboolean
any_cell_says (Bench *bench, const char *text)
{
  g_autoptr (GPtrArray) cells = g_ptr_array_new ();

  collect_cells (bench->list, cells);
  for (guint i = 0; i < cells->len; i++)
    if (strcmp (gtk_label_get_text (GTK_LABEL (label_of (g_ptr_array_index (cells, i)))), text) == 0)
      return TRUE;
  return FALSE;
}

/* 222 °C is 431.6 °F: figures go with their heads when other units are chosen. */
static void
test_units_follow (Bench *bench, gconstpointer data)
{
  g_autoptr (LwPrediction) answer = ui_prediction (lw_desk_job (bench->desk), 222);

  show (bench, g_object_new (LW_TYPE_PART_LIST, "desk", bench->desk, NULL));
  lw_desk_take_answer (bench->desk, lw_document_revision (lw_desk_document (bench->desk)), answer, NULL);
  ui_spin (100);
  g_assert_true (any_cell_says (bench, "222"));
  lw_set_shown_units ((LwUnits){ .fahrenheit = TRUE });
  ui_spin (50);
  g_assert_true (any_cell_says (bench, "432"));
  g_assert_false (any_cell_says (bench, "222"));
  lw_set_shown_units ((LwUnits){ 0 });
  ui_spin (50);
  g_assert_true (any_cell_says (bench, "222"));
}

/* The cell in which TEXT stands. */
static LwTableCell *
cell_with (GtkWidget *list, const char *text)
{
  g_autoptr (GPtrArray) cells = g_ptr_array_new ();

  collect_cells (list, cells);
  for (guint i = 0; i < cells->len; i++)
    if (GTK_IS_LABEL (label_of (g_ptr_array_index (cells, i)))
        && g_strcmp0 (gtk_label_get_text (GTK_LABEL (label_of (g_ptr_array_index (cells, i)))), text) == 0)
      return g_ptr_array_index (cells, i);
  return NULL;
}

static gboolean
has_cells (gpointer list)
{
  return cell_with (list, "C1") != NULL;
}

static void
type_in (LwTableCell *cell, const char *text)
{
  lw_table_cell_edit (cell);
  g_assert_true (lw_table_cell_editing (cell));
  gtk_editable_set_text (lw_table_cell_editable (cell), text);
  g_signal_emit_by_name (lw_table_cell_editable (cell), "activate");
}

static void
test_edit_in_place (Bench *bench, gconstpointer data)
{
  LwTableCell *cell;
  const LwPart *c1 = g_ptr_array_index (lw_desk_job (bench->desk)->parts, 1);

  show (bench, g_object_new (LW_TYPE_PART_LIST, "desk", bench->desk, NULL));
  gtk_window_set_default_size (GTK_WINDOW (bench->window), 1200, 400);
  g_assert_true (ui_wait (has_cells, bench->list, 3000));
  g_assert_cmpstr (c1->ref, ==, "C1");
  cell = cell_with (bench->list, "C1");
  type_in (cell, "R1"); /* taken */
  g_assert_true (lw_table_cell_editing (cell));
  g_assert_nonnull (lw_table_cell_message (cell));
  gtk_editable_set_text (lw_table_cell_editable (cell), "C77");
  g_assert_null (lw_table_cell_message (cell));
  g_signal_emit_by_name (lw_table_cell_editable (cell), "activate");
  g_assert_false (lw_table_cell_editing (cell));
  g_assert_cmpint (lw_job_find_part (lw_desk_job (bench->desk), "C77"), ==, 1);
  g_assert_cmpstr (lw_document_undo_label (lw_desk_document (bench->desk)), ==, "Change C1");
  lw_document_undo (lw_desk_document (bench->desk));
  g_assert_cmpint (lw_job_find_part (lw_desk_job (bench->desk), "C1"), ==, 1);
}

static guint
on_bottom (const LwJob *job)
{
  guint n = 0;

  for (guint i = 0; i < job->parts->len; i++)
    n += ((const LwPart *) g_ptr_array_index (job->parts, i))->side == LW_SIDE_BOTTOM;
  return n;
}

/* A side is named by its word, the beginning of it or in capitals. */
static void
test_edit_side (Bench *bench, gconstpointer data)
{
  guint before = on_bottom (lw_desk_job (bench->desk));
  LwTableCell *cell;

  show (bench, g_object_new (LW_TYPE_PART_LIST, "desk", bench->desk, NULL));
  gtk_window_set_default_size (GTK_WINDOW (bench->window), 1200, 400);
  g_assert_true (ui_wait (has_cells, bench->list, 3000));
  type_in (cell_with (bench->list, "Top"), "B");
  g_assert_cmpuint (on_bottom (lw_desk_job (bench->desk)), ==, before + 1);
  type_in (cell_with (bench->list, "Bottom"), "TOP");
  g_assert_cmpuint (on_bottom (lw_desk_job (bench->desk)), ==, before);
  cell = cell_with (bench->list, "Top");
  type_in (cell, "neither");
  g_assert_nonnull (lw_table_cell_message (cell));
}

/* What is typed into one of several selected rows goes to all of them, in one step; a reference does not. */
static void
test_edit_several (Bench *bench, gconstpointer data)
{
  g_autoptr (GArray) parts = g_array_new (FALSE, FALSE, sizeof (guint));
  guint pair[] = { 1, 2 };

  show (bench, g_object_new (LW_TYPE_PART_LIST, "desk", bench->desk, NULL));
  gtk_window_set_default_size (GTK_WINDOW (bench->window), 1200, 400);
  g_assert_true (ui_wait (has_cells, bench->list, 3000));
  g_array_append_vals (parts, pair, 2);
  lw_desk_select_parts (bench->desk, parts, 1);
  type_in (cell_with (bench->list, "C0603"), "C0805");
  for (guint i = 1; i <= 2; i++)
    g_assert_cmpstr (((LwPart *) g_ptr_array_index (lw_desk_job (bench->desk)->parts, i))->package, ==, "C0805");
  g_assert_cmpstr (((LwPart *) g_ptr_array_index (lw_desk_job (bench->desk)->parts, 0))->package, ==, "QFN-32-5x5-0.50");
  g_assert_cmpstr (lw_document_undo_label (lw_desk_document (bench->desk)), ==, "Change 2 parts");
  lw_document_undo (lw_desk_document (bench->desk));
  g_assert_cmpstr (((LwPart *) g_ptr_array_index (lw_desk_job (bench->desk)->parts, 2))->package, ==, "ELCAP-8x10.2");
}

static void
test_group_both_ways (Bench *bench, gconstpointer data)
{
  g_autoptr (GArray) parts = g_array_new (FALSE, FALSE, sizeof (guint));
  GtkSelectionModel *selection;
  guint pair[] = { 1, 2 };

  show (bench, g_object_new (LW_TYPE_PART_LIST, "desk", bench->desk, NULL));
  selection = lw_part_list_selection (LW_PART_LIST (bench->list));
  g_array_append_vals (parts, pair, 2);
  lw_desk_select_parts (bench->desk, parts, 2);
  g_assert_true (gtk_selection_model_is_selected (selection, 0) && gtk_selection_model_is_selected (selection, 1));
  g_assert_false (gtk_selection_model_is_selected (selection, 3));
  g_assert_cmpint (lw_desk_selected_part (bench->desk), ==, 2);
  gtk_selection_model_select_item (selection, 3, FALSE); /* U1 too */
  g_assert_cmpuint (lw_desk_selected_parts (bench->desk)->len, ==, 3);
  g_assert_cmpint (lw_desk_selected_part (bench->desk), ==, 2);
  lw_desk_toggle_part (bench->desk, 2);
  g_assert_cmpuint (lw_desk_selected_parts (bench->desk)->len, ==, 2);
  g_assert_false (gtk_selection_model_is_selected (selection, 1));
}

static void
told_cb (LwDesk *desk, const char *text, gboolean offer_undo, char **told)
{
  g_free (*told);
  *told = g_strdup (text);
}

static void
test_paste_rows (Bench *bench, gconstpointer data)
{
  g_autofree char *told = NULL;
  guint before = lw_desk_job (bench->desk)->parts->len;

  show (bench, g_object_new (LW_TYPE_PART_LIST, "desk", bench->desk, NULL));
  g_signal_connect (bench->desk, "message", G_CALLBACK (told_cb), &told);
  g_assert_false (lw_parts_paste (bench->desk, "ref\tx\ty\nC1\tfar\t3\n", NULL));
  g_assert_cmpstr (told, ==, "row 2, column “x”: “far” is no number");
  g_assert_cmpuint (lw_desk_job (bench->desk)->parts->len, ==, before);
  g_assert_true (lw_parts_paste (bench->desk, "ref\tpackage\tx\ty\nR8\tR0603\t5\t5\nR9\tR0603\t8\t5\n", NULL));
  g_assert_cmpuint (lw_desk_job (bench->desk)->parts->len, ==, before + 2);
  g_assert_cmpuint (lw_desk_selected_parts (bench->desk)->len, ==, 2);
  g_assert_cmpstr (told, ==, "2 parts pasted");
  g_assert_true (lw_document_undo (lw_desk_document (bench->desk)));
  g_assert_cmpuint (lw_desk_job (bench->desk)->parts->len, ==, before);
  g_signal_handlers_disconnect_by_func (bench->desk, told_cb, &told);
}

/* Headings of figures stand over the figures, at the end of the column; those of words at its start. */
static void
test_headings (Bench *bench, gconstpointer data)
{
  GtkWidget *view, *heads;
  guint at_end = 0;

  show (bench, g_object_new (LW_TYPE_THING_LIST, "thing", LW_THING_THERMOCOUPLE, "desk", bench->desk, NULL));
  view = ui_child_of_type (bench->list, GTK_TYPE_COLUMN_VIEW, 0);
  heads = gtk_widget_get_first_child (view);
  for (guint i = 0; i < 5; i++) {
    GtkLabel *label = GTK_LABEL (ui_child_of_type (heads, GTK_TYPE_LABEL, i));
    gboolean figures = g_str_has_suffix (gtk_label_get_text (label), "mm");

    if (figures)
      g_assert_cmpfloat (gtk_label_get_xalign (label), ==, 1);
    g_assert_true (gtk_widget_get_hexpand (GTK_WIDGET (label)) == figures);
    at_end += figures;
  }
  g_assert_cmpuint (at_end, ==, 2);
}

static const LwPlan *
plan_of (Bench *bench)
{
  return g_ptr_array_index (lw_desk_job (bench->desk)->plans, 0);
}

static void
test_things (Bench *bench, gconstpointer data)
{
  LwThing thing = GPOINTER_TO_INT (data);
  GtkSingleSelection *selection;
  guint before;
  int index = -1;

  show (bench, g_object_new (LW_TYPE_THING_LIST, "thing", thing, "desk", bench->desk, NULL));
  selection = lw_thing_list_selection (LW_THING_LIST (bench->list));
  before = g_list_model_get_n_items (G_LIST_MODEL (selection));
  g_assert_true (gtk_widget_activate_action (bench->list, "things.add", NULL));
  g_assert_cmpuint (g_list_model_get_n_items (G_LIST_MODEL (selection)), ==, before + 1);
  g_assert_cmpint (lw_desk_selection (bench->desk, &index), ==, thing);
  g_assert_cmpint (index, ==, before);
  g_assert_cmpuint (gtk_single_selection_get_selected (selection), ==, before);
  g_assert_true (gtk_widget_activate_action (bench->list, "things.remove", NULL));
  g_assert_cmpuint (g_list_model_get_n_items (G_LIST_MODEL (selection)), ==, before);
  g_assert_cmpuint (plan_of (bench)->stages->len, >, 0);
}

/* ---- lists of what a picture shows ---- */

static GtkWidget *
told_row (GtkWidget *list, int row)
{
  return GTK_WIDGET (gtk_list_box_get_row_at_index (GTK_LIST_BOX (ui_child_of_type (list, GTK_TYPE_LIST_BOX, 0)), row));
}

static void
assert_heard (GtkWidget *row, const char *text)
{
  g_autofree char *found = gtk_test_accessible_check_property (GTK_ACCESSIBLE (row), GTK_ACCESSIBLE_PROPERTY_LABEL, text);

  g_assert_cmpstr (found, ==, NULL);
}

/* A row is heard with the heads of its figures; told again it is the same row, and what is left over goes. */
static void
test_told (Bench *bench, gconstpointer data)
{
  const char *const heads[] = { "Figure", "Plan", "Run", NULL };
  LwToldList *list;
  GtkWidget *first;

  show (bench, lw_told_list_new ("Figures"));
  list = LW_TOLD_LIST (bench->list);
  assert_heard (ui_child_of_type (bench->list, GTK_TYPE_LIST_BOX, 0), "Figures");
  lw_told_list_begin (list, heads);
  lw_told_list_add (list, (const char *const[]){ "Peak, °C", "231", "233", NULL });
  lw_told_list_add (list, (const char *const[]){ "Peak at, s", "200", "204", NULL });
  lw_told_list_add_text (list, "A sentence.");
  lw_told_list_end (list);
  g_assert_cmpuint (lw_told_list_length (list), ==, 3);
  first = told_row (bench->list, 0);
  assert_heard (first, "Peak, °C: Plan 231, Run 233");
  assert_heard (told_row (bench->list, 2), "A sentence.");
  g_assert_true (gtk_widget_grab_focus (first));
  lw_told_list_begin (list, heads);
  lw_told_list_add (list, (const char *const[]){ "Peak, °C", "230", "233", NULL });
  lw_told_list_end (list);
  g_assert_cmpuint (lw_told_list_length (list), ==, 1);
  g_assert_true (told_row (bench->list, 0) == first && gtk_window_get_focus (GTK_WINDOW (bench->window)) == first);
  g_assert_cmpstr (lw_told_list_cell (list, 0, 1), ==, "230");
  assert_heard (first, "Peak, °C: Plan 230, Run 233");
}

int
main (int argc, char **argv)
{
  ui_test_init (&argc, &argv);
  g_test_add ("/lists/same-selection", Bench, NULL, set_up, test_same_selection, tear_down);
  g_test_add ("/lists/edit-in-place", Bench, NULL, set_up, test_edit_in_place, tear_down);
  g_test_add ("/lists/edit-side", Bench, NULL, set_up, test_edit_side, tear_down);
  g_test_add ("/lists/edit-several", Bench, NULL, set_up, test_edit_several, tear_down);
  g_test_add ("/lists/group-both-ways", Bench, NULL, set_up, test_group_both_ways, tear_down);
  g_test_add ("/lists/paste-rows", Bench, NULL, set_up, test_paste_rows, tear_down);
  g_test_add ("/lists/search", Bench, NULL, set_up, test_search, tear_down);
  g_test_add ("/lists/figures-follow", Bench, NULL, set_up, test_figures_follow, tear_down);
  g_test_add ("/lists/units-follow", Bench, NULL, set_up, test_units_follow, tear_down);
  g_test_add ("/lists/told", Bench, NULL, set_up, test_told, tear_down);
  g_test_add ("/lists/headings", Bench, NULL, set_up, test_headings, tear_down);
  g_test_add ("/lists/stages", Bench, GINT_TO_POINTER (LW_THING_STAGE), set_up, test_things, tear_down);
  g_test_add ("/lists/shields", Bench, GINT_TO_POINTER (LW_THING_SHIELD), set_up, test_things, tear_down);
  g_test_add ("/lists/thermocouples", Bench, GINT_TO_POINTER (LW_THING_THERMOCOUPLE), set_up, test_things, tear_down);
  return g_test_run ();
}
