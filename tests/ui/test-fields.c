/* Fields of the inspector: what is wrong is said while it is typed, and the last good value stays. */
#include <math.h>
#include <string.h>

#include "board/edits.h"
#include "plan/classify.h"
#include "ui-find.h"
#include "ui-fixture.h"
#include "widgets/choice-row.h"
#include "widgets/field-row.h"
#include "widgets/words.h"

typedef struct {
  LwDesk *desk;
  GtkWidget *window;
  LwFieldRow *row;
} Bench;

static void
set_up (Bench *bench, gconstpointer path)
{
  g_autoptr (LwDocument) document = lw_document_new (ui_planned_job (), NULL);

  bench->desk = lw_desk_new ();
  lw_desk_set_document (bench->desk, document);
  bench->window = gtk_window_new ();
  bench->row = LW_FIELD_ROW (lw_field_row_new_number (bench->desk, path, "Value", "mm", 2, 0.5, NULL));
  gtk_window_set_child (GTK_WINDOW (bench->window), GTK_WIDGET (bench->row));
  gtk_window_present (GTK_WINDOW (bench->window));
}

static void
tear_down (Bench *bench, gconstpointer path)
{
  gtk_window_destroy (GTK_WINDOW (bench->window));
  g_object_unref (bench->desk);
}

static void
type (Bench *bench, const char *text)
{
  gtk_editable_set_text (lw_field_row_editable (bench->row), text);
}

static double
thickness (Bench *bench)
{
  return lw_desk_job (bench->desk)->board->thickness_mm;
}

static gboolean
thickness_is_2 (gpointer data)
{
  return lw_desk_job (((Bench *) data)->desk)->board->thickness_mm == 2;
}

static void
test_good_value_is_taken (Bench *bench, gconstpointer path)
{
  g_assert_cmpstr (gtk_editable_get_text (lw_field_row_editable (bench->row)), ==, ui_shown ("1.6"));
  type (bench, "2");
  g_assert_null (lw_field_row_message (bench->row));
  g_assert_cmpfloat (thickness (bench), ==, 1.6); /* not before the pause */
  g_assert_true (ui_wait (thickness_is_2, bench, 2000));
  g_assert_nonnull (lw_document_undo_label (lw_desk_document (bench->desk)));
}

static void
test_bad_value_is_told (Bench *bench, gconstpointer path)
{
  static const char *bad[] = { "0", "-1", "1.6x", "", "nan", "1e99", "0x10", "1,6,6" };

  for (guint i = 0; i < G_N_ELEMENTS (bad); i++) {
    type (bench, bad[i]);
    g_assert_nonnull (lw_field_row_message (bench->row));
    g_assert_true (gtk_widget_has_css_class (GTK_WIDGET (lw_field_row_editable (bench->row)), "error"));
  }
  ui_spin (500);
  g_assert_cmpfloat (thickness (bench), ==, 1.6);
  g_assert_false (lw_document_modified (lw_desk_document (bench->desk)));
  type (bench, "1,8"); /* a comma is a decimal sign, too */
  g_assert_null (lw_field_row_message (bench->row));
  lw_field_row_commit (bench->row);
  g_assert_cmpfloat (thickness (bench), ==, 1.8);
}

static void
test_limits_have_units (Bench *bench, gconstpointer path)
{
  lw_field_row_set_range (bench->row, 0.2, 6);
  type (bench, "7");
  g_assert_nonnull (strstr (lw_field_row_message (bench->row), "mm"));
  g_assert_nonnull (strstr (lw_field_row_message (bench->row), ui_shown ("0.2")));
  g_assert_nonnull (strstr (lw_field_row_message (bench->row), "6"));
  lw_field_row_set_range (bench->row, NAN, NAN);
  type (bench, "1e9"); /* refused by the job's own limits */
  g_assert_nonnull (strstr (lw_field_row_message (bench->row), "mm"));
}

/* 0.5 in = 12.7 mm exactly (NIST SP 811, B.8). What is kept is in millimetres whatever is shown. */
static void
test_inches (Bench *bench, gconstpointer path)
{
  lw_set_shown_units ((LwUnits){ .inches = TRUE });
  g_assert_cmpstr (gtk_editable_get_text (lw_field_row_editable (bench->row)), ==, ui_shown ("0.063"));
  g_assert_cmpfloat (thickness (bench), ==, 1.6); /* showing is not editing */
  type (bench, "0.1");
  lw_field_row_commit (bench->row);
  g_assert_cmpfloat_with_epsilon (thickness (bench), 2.54, 1e-12);
  lw_field_row_set_range (bench->row, 0.254, 12.7);
  type (bench, "0.6");
  g_assert_nonnull (strstr (lw_field_row_message (bench->row), ui_shown ("0.5")));
  g_assert_nonnull (strstr (lw_field_row_message (bench->row), "in"));
  lw_set_shown_units ((LwUnits){ FALSE });
  type (bench, "2");
  lw_field_row_commit (bench->row);
  g_assert_cmpfloat (thickness (bench), ==, 2);
}

static void
test_typing_is_one_step (Bench *bench, gconstpointer path)
{
  type (bench, "2");
  lw_field_row_commit (bench->row);
  type (bench, "2.5");
  lw_field_row_commit (bench->row);
  g_assert_true (lw_document_undo (lw_desk_document (bench->desk)));
  g_assert_cmpfloat (thickness (bench), ==, 1.6);
  g_assert_null (lw_document_undo_label (lw_desk_document (bench->desk)));
  g_assert_cmpstr (gtk_editable_get_text (lw_field_row_editable (bench->row)), ==, ui_shown ("1.6")); /* and is shown */
}

static void
test_set_point_outside_the_station (void)
{
  g_autoptr (LwDesk) desk = lw_desk_new ();
  g_autoptr (LwDocument) document = lw_document_new (ui_planned_job (), NULL);
  GtkWidget *inspector = g_object_ref_sink (g_object_new (LW_TYPE_INSPECTOR, "desk", desk, NULL));
  GtkWidget *row;

  lw_desk_set_document (desk, document);
  lw_desk_select (desk, LW_THING_STAGE, 1);
  row = lw_inspector_row (LW_INSPECTOR (inspector), "plans[0].stages[1].gas_c");
  g_assert_true (LW_IS_FIELD_ROW (row));
  gtk_editable_set_text (lw_field_row_editable (LW_FIELD_ROW (row)), "900");
  g_assert_nonnull (strstr (lw_field_row_message (LW_FIELD_ROW (row)), "420"));
  g_assert_nonnull (strstr (lw_field_row_message (LW_FIELD_ROW (row)), "°C"));
  ui_spin (450);
  g_assert_false (lw_document_modified (document));
  gtk_editable_set_text (lw_field_row_editable (LW_FIELD_ROW (row)), ""); /* off is allowed */
  g_assert_null (lw_field_row_message (LW_FIELD_ROW (row)));
  g_object_unref (inspector);
}

/* Every row of every page edits a member that exists. */
static void
test_every_path_exists (void)
{
  static const struct {
    LwThing thing;
    const char *path;
  } rows[] = {
    { LW_THING_BOARD, "board.thickness_mm" },
    { LW_THING_BOARD, "ambient_c" },
    { LW_THING_PART, "parts[0].height_mm" },
    { LW_THING_PART, "parts[0].x_mm" },
    { LW_THING_PART, "parts[0].y_mm" },
    { LW_THING_PART, "parts[0].rotation_deg" },
    { LW_THING_NOZZLE, "plans[0].nozzle_height_mm" },
    { LW_THING_NOZZLE, "plans[0].nozzle_dx_mm" },
    { LW_THING_NOZZLE, "plans[0].nozzle_dy_mm" },
    { LW_THING_NOZZLE, "plans[0].nozzle_turn_deg" },
    { LW_THING_PREHEAT, "plans[0].preheat_area.x_mm" },
    { LW_THING_PREHEAT, "plans[0].preheat_area.y_mm" },
    { LW_THING_PREHEAT, "plans[0].preheat_area.length_mm" },
    { LW_THING_PREHEAT, "plans[0].preheat_area.width_mm" },
    { LW_THING_STAGE, "plans[0].stages[0].duration_s" },
    { LW_THING_STAGE, "plans[0].stages[0].gas_c" },
    { LW_THING_STAGE, "plans[0].stages[0].flow_l_per_min" },
    { LW_THING_STAGE, "plans[0].stages[0].preheat_c" },
    { LW_THING_STATION, "station.gas_min_c" },
    { LW_THING_STATION, "station.gas_max_c" },
    { LW_THING_STATION, "station.flow_min_l_per_min" },
    { LW_THING_STATION, "station.flow_max_l_per_min" },
    { LW_THING_STATION, "station.gas_lag_s" },
    { LW_THING_STATION, "station.preheater.max_c" },
    { LW_THING_STATION, "station.preheater.gap_mm" },
    { LW_THING_STATION, "station.preheater.lag_s" },
  };
  g_autoptr (LwDesk) desk = lw_desk_new ();
  g_autoptr (LwDocument) document = lw_document_new (ui_planned_job (), NULL);
  GtkWidget *inspector = g_object_ref_sink (g_object_new (LW_TYPE_INSPECTOR, "desk", desk, NULL));

  lw_desk_set_document (desk, document);
  for (guint i = 0; i < G_N_ELEMENTS (rows); i++) {
    g_autoptr (GError) error = NULL;
    g_autoptr (LwJob) job = NULL;
    double value = lw_job_number (lw_desk_job (desk), rows[i].path);

    lw_desk_select (desk, rows[i].thing, 0);
    g_assert_true (LW_IS_FIELD_ROW (lw_inspector_row (LW_INSPECTOR (inspector), rows[i].path)));
    job = lw_edit_number (lw_desk_job (desk), rows[i].path, value, &error);
    g_assert_no_error (error);
  }
  g_object_unref (inspector);
}

/* Every figure of a package can be said otherwise by a part, in folds: open where something is said. The area array
 * has a grid, so that all but the spans mean something. */
static void
test_instead (void)
{
  static const char *const grid[] = { "kind", "length_mm", "width_mm", "center_x_mm", "center_y_mm", "mass_g",
                                      "heat_capacity_j_per_k", "emissivity", "columns", "rows", "hole_columns", "hole_rows",
                                      "pitch_mm", "joint_length_mm", "joint_width_mm", "standoff_mm", "lead_w_per_k",
                                      "thermal_pad_length_mm", "thermal_pad_width_mm" };
  static const char *const sides[] = { "span_x_mm", "span_y_mm", "columns", "rows" };
  g_autoptr (LwDesk) desk = lw_desk_new ();
  g_autoptr (GError) error = NULL;
  g_autoptr (LwJob) small = ui_small_job ();
  LwJob *array = lw_edit_text (small, "parts[0].package", "BGA-256-17x17-1.00", &error);
  g_autoptr (LwDocument) document = lw_document_new (array, NULL);
  GtkWidget *inspector = g_object_ref_sink (g_object_new (LW_TYPE_INSPECTOR, "desk", desk, NULL)), *row;

  g_assert_no_error (error);
  lw_desk_set_document (desk, document);
  lw_desk_select_part (desk, 0);
  for (guint i = 0; i < G_N_ELEMENTS (grid); i++) {
    g_autofree char *path = g_strconcat ("parts[0].overrides.", grid[i], NULL);

    g_assert_nonnull (lw_inspector_row (LW_INSPECTOR (inspector), path));
  }
  row = lw_inspector_row (LW_INSPECTOR (inspector), "parts[0].overrides.hole_rows");
  g_assert_null (gtk_widget_get_ancestor (row, GTK_TYPE_EXPANDER)); /* folded away */
  gtk_editable_set_text (lw_field_row_editable (LW_FIELD_ROW (row)), "4");
  lw_field_row_commit (LW_FIELD_ROW (row));
  g_assert_cmpfloat (((LwPart *) g_ptr_array_index (lw_desk_job (desk)->parts, 0))->overrides.hole_rows, ==, 4);
  lw_desk_select_part (desk, 1);
  lw_desk_select_part (desk, 0);
  row = lw_inspector_row (LW_INSPECTOR (inspector), "parts[0].overrides.hole_rows");
  g_assert_nonnull (gtk_widget_get_ancestor (row, GTK_TYPE_EXPANDER));
  row = lw_inspector_row (LW_INSPECTOR (inspector), "parts[0].overrides.kind");
  gtk_drop_down_set_selected (lw_choice_row_drop_down (LW_CHOICE_ROW (row)), 1 + LW_KIND_CONNECTOR);
  g_assert_cmpuint (((LwPart *) g_ptr_array_index (lw_desk_job (desk)->parts, 0))->overrides.kind, ==, 1 + LW_KIND_CONNECTOR);
  lw_desk_edit (desk, lw_edit_text (lw_desk_job (desk), "parts[1].package", "LQFP-64-10x10-0.50", &error), "x", NULL, NULL);
  lw_desk_select_part (desk, 1);
  for (guint i = 0; i < G_N_ELEMENTS (sides); i++) {
    g_autofree char *path = g_strconcat ("parts[1].overrides.", sides[i], NULL);

    g_assert_nonnull (lw_inspector_row (LW_INSPECTOR (inspector), path));
  }
  g_object_unref (inspector);
}

/* Where a limit comes from is a sentence: read from the left, over the whole width, under its figure. */
static void
test_sources (void)
{
  g_autoptr (LwDesk) desk = lw_desk_new ();
  g_autoptr (LwDocument) document = lw_document_new (ui_planned_job (), NULL);
  g_autoptr (GArray) limits = NULL;
  GtkWidget *inspector = g_object_ref_sink (g_object_new (LW_TYPE_INSPECTOR, "desk", desk, NULL)), *label;
  guint n = 0;

  lw_desk_set_document (desk, document);
  lw_desk_select_part (desk, 0);
  limits = lw_limits_of (lw_desk_job (desk), g_ptr_array_index (lw_desk_job (desk)->parts, 0));
  for (guint i = 0; (label = ui_child_of_type (inspector, GTK_TYPE_LABEL, i)) != NULL; i++)
    for (guint l = 0; l < limits->len; l++) {
      const char *source = g_array_index (limits, LwLimit, l).source;

      if (source == NULL || strstr (gtk_label_get_text (GTK_LABEL (label)), source) == NULL)
        continue;
      g_assert_cmpstr (gtk_label_get_text (GTK_LABEL (label)), ==, source);
      g_assert_cmpfloat (gtk_label_get_xalign (GTK_LABEL (label)), ==, 0);
      n++;
    }
  g_assert_cmpuint (n, >=, limits->len - 1);
  g_object_unref (inspector);
}

static void
test_choice (void)
{
  g_autoptr (LwDesk) desk = lw_desk_new ();
  g_autoptr (LwDocument) document = lw_document_new (ui_planned_job (), NULL);
  GtkWidget *inspector = g_object_ref_sink (g_object_new (LW_TYPE_INSPECTOR, "desk", desk, NULL));
  GtkDropDown *drop_down;

  lw_desk_set_document (desk, document);
  lw_desk_select (desk, LW_THING_NOZZLE, 0);
  drop_down = lw_choice_row_drop_down (
    LW_CHOICE_ROW (lw_inspector_row (LW_INSPECTOR (inspector), "plans[0].operation")));
  g_assert_cmpuint (gtk_drop_down_get_selected (drop_down), ==, 0);
  gtk_drop_down_set_selected (drop_down, 1);
  g_assert_cmpint (((LwPlan *) g_ptr_array_index (lw_desk_job (desk)->plans, 0))->operation, ==, LW_OP_PLACE);
  g_assert_true (lw_document_undo (document));
  g_assert_cmpuint (gtk_drop_down_get_selected (drop_down), ==, 0);
  g_object_unref (inspector);
}

static void
check_figure (double value, int digits, const char *expected)
{
  g_autofree char *text = lw_figure (value, digits);

  g_assert_cmpstr (text, ==, ui_shown (expected));
}

static void
test_figures (void)
{
  check_figure (1.6, 2, "1.6");
  check_figure (100, 2, "100");
  check_figure (100, 0, "100");
  check_figure (-0.001, 2, "0");
  check_figure (NAN, 1, "–");
  check_figure (2.345, 2, "2.35");
}

int
main (int argc, char **argv)
{
  ui_test_init (&argc, &argv);
#define FIELD(name, test) g_test_add ("/fields/" name, Bench, "board.thickness_mm", set_up, test, tear_down)
  FIELD ("good-value-is-taken", test_good_value_is_taken);
  FIELD ("bad-value-is-told", test_bad_value_is_told);
  FIELD ("limits-have-units", test_limits_have_units);
  FIELD ("inches", test_inches);
  FIELD ("typing-is-one-step", test_typing_is_one_step);
  g_test_add_func ("/fields/set-point-outside-the-station", test_set_point_outside_the_station);
  g_test_add_func ("/fields/every-path-exists", test_every_path_exists);
  g_test_add_func ("/fields/choice", test_choice);
  g_test_add_func ("/fields/sources", test_sources);
  g_test_add_func ("/fields/instead", test_instead);
  g_test_add_func ("/fields/figures", test_figures);
  return g_test_run ();
}
