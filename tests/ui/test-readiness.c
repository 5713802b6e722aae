/* The inspector's pages of readiness and of operations: typed and clicked through the X server where xdotool is there. */
#include <math.h>
#include <string.h>

#include "board/edits.h"
#include "board/operations.h"
#include "plan/ready.h"
#include "stage.h"
#include "widgets/choice-row.h"
#include "widgets/field-row.h"
#include "widgets/inspector.h"
#include "widgets/operation-list.h"
#include "widgets/ready-list.h"
#include "widgets/shown-units.h"
#include "widgets/widgets.h"

static GtkWidget *
make_inspector (LwDesk *desk)
{
  return g_object_new (LW_TYPE_INSPECTOR, "desk", desk, NULL);
}

static void
open_page (Stage *stage, LwThing thing)
{
  stage_open (stage, make_inspector, 420, 900);
  lw_desk_select (stage->desk, thing, -1);
  stage_settle (stage);
}

static GtkWidget *
row (Stage *stage, const char *path)
{
  GtkWidget *found = lw_inspector_row (LW_INSPECTOR (stage->widget), path);

  g_test_message ("%s", path);
  g_assert_nonnull (found);
  return found;
}

static GtkEditable *
field (Stage *stage, const char *path)
{
  return lw_field_row_editable (LW_FIELD_ROW (row (stage, path)));
}

static const LwPart *
target (Stage *stage)
{
  return g_ptr_array_index (stage_job (stage)->parts, lw_job_find_part (stage_job (stage), "U1"));
}

static int
active_operation (Stage *stage)
{
  return ((const LwPlan *) g_ptr_array_index (stage_job (stage)->plans, lw_desk_plan (stage->desk)))->operation;
}

static char *
part_path (Stage *stage, const char *member)
{
  return g_strdup_printf ("parts[%d].%s", lw_job_find_part (stage_job (stage), "U1"), member);
}

/* ---- readiness ---- */

/* Every fact of part, board and schedule can be typed, is taken, and can be undone. */
static void
facts (void)
{
  static const char *const members[] = { "past.exposure_h",  "past.room_c",        "past.room_rh_percent", "past.label_life_h",
                                         "past.cycles_used", "cycles_allowed", "site_cycles_used" };
  static const char *const paths[] = { "board.past.bake_c",      "board.past.bake_h",         "board.past.absorbed_percent",
                                       "board.past.age_years",   "board.past.cycles_allowed", "board.past.cycles_used",
                                       "schedule.cool_min",      "schedule.set_up_min",       "station.warm_up_min" };
  Stage stage;

  open_page (&stage, LW_THING_READINESS);
  for (guint i = 0; i < G_N_ELEMENTS (members) + G_N_ELEMENTS (paths); i++) {
    g_autofree char *path = i < G_N_ELEMENTS (members) ? part_path (&stage, members[i]) : g_strdup (paths[i - G_N_ELEMENTS (members)]);

    g_assert_cmpstr (gtk_editable_get_text (field (&stage, path)), ==, ""); /* unknown */
    gtk_editable_set_text (field (&stage, path), "2");
    lw_field_row_commit (LW_FIELD_ROW (row (&stage, path)));
    g_assert_cmpfloat (lw_job_number (stage_job (&stage), path), ==, 2);
    g_assert_true (lw_document_undo (stage.document));
    g_assert_true (isnan (lw_job_number (stage_job (&stage), path)));
  }
  stage_close (&stage);
}

static void
wrong_values (void)
{
  Stage stage;

  open_page (&stage, LW_THING_READINESS);
  g_autofree char *humidity = part_path (&stage, "past.room_rh_percent"), *opened = part_path (&stage, "past.opened");
  gtk_editable_set_text (field (&stage, humidity), "140");
  g_assert_nonnull (strstr (lw_field_row_message (LW_FIELD_ROW (row (&stage, humidity))), "100"));
  gtk_editable_set_text (field (&stage, opened), "last week");
  g_assert_nonnull (strstr (lw_field_row_message (LW_FIELD_ROW (row (&stage, opened))), "2026-03-01T09:30"));
  g_assert_cmpstr (target (&stage)->past.opened, ==, ""); /* the last good value stays */
  gtk_editable_set_text (field (&stage, opened), "2026-03-02T07:15");
  g_assert_null (lw_field_row_message (LW_FIELD_ROW (row (&stage, opened))));
  lw_field_row_commit (LW_FIELD_ROW (row (&stage, opened)));
  g_assert_cmpstr (target (&stage)->past.opened, ==, "2026-03-02T07:15");
  stage_close (&stage);
}

static void
level (void)
{
  Stage stage;

  open_page (&stage, LW_THING_READINESS);
  g_autofree char *path = part_path (&stage, "past.level");
  gtk_drop_down_set_selected (lw_choice_row_drop_down (LW_CHOICE_ROW (row (&stage, path))), 3);
  g_assert_cmpuint (target (&stage)->past.level, ==, LW_MSL_2A);
  g_assert_true (lw_document_undo (stage.document));
  g_assert_cmpuint (gtk_drop_down_get_selected (lw_choice_row_drop_down (LW_CHOICE_ROW (row (&stage, path)))), ==, 0);
  stage_close (&stage);
}

/* The list shows what was judged, and nothing else. */
static void
list (void)
{
  Stage stage;
  g_autoptr (GPtrArray) judged = NULL;
  guint expected = 0;

  open_page (&stage, LW_THING_READINESS);
  LwReadyList *ready = LW_READY_LIST (row (&stage, "readiness"));
  g_assert_cmpuint (lw_ready_list_count (ready), ==, 0); /* the stage's made-up findings hold none */
  judged = lw_judge (stage_job (&stage), 0, NULL);
  for (guint i = 0; i < judged->len; i++)
    expected += lw_ready_is_finding (judged->pdata[i]);
  g_assert_cmpuint (expected, >=, 2);
  lw_desk_take_answer (stage.desk, lw_document_revision (stage.document), NULL, judged);
  g_assert_cmpuint (lw_ready_list_count (ready), ==, expected);
  stage_close (&stage);
}

static gboolean
is_said (GtkWidget *root, const char *text)
{
  if (GTK_IS_LABEL (root) && strstr (gtk_label_get_text (GTK_LABEL (root)), text) != NULL)
    return TRUE;
  for (GtkWidget *w = gtk_widget_get_first_child (root); w != NULL; w = gtk_widget_get_next_sibling (w))
    if (is_said (w, text))
      return TRUE;
  return FALSE;
}

/* What is said is in the person's units, and a figure stays with its unit where the line ends. 177 °C = 350.6 °F. */
static void
units (void)
{
  Stage stage;
  g_autoptr (GPtrArray) judged = NULL;

  open_page (&stage, LW_THING_READINESS);
  judged = lw_judge (stage_job (&stage), 0, NULL);
  for (guint i = 0; i < judged->len; i++) {
    LwFinding *finding = judged->pdata[i];

    g_free (finding->text);
    finding->text = g_strdup ("Take it off: 177 °C predicted.");
  }
  lw_desk_take_answer (stage.desk, lw_document_revision (stage.document), NULL, judged);
  g_assert_true (is_said (row (&stage, "readiness"), "177\u00a0°C"));
  lw_set_shown_units ((LwUnits){ .fahrenheit = TRUE });
  g_assert_true (is_said (row (&stage, "readiness"), "351\u00a0°F"));
  lw_set_shown_units ((LwUnits){ 0 });
  g_assert_true (is_said (row (&stage, "readiness"), "177\u00a0°C"));
  stage_close (&stage);
}

/* ---- operations ---- */

static LwOperationList *
operations (Stage *stage)
{
  return LW_OPERATION_LIST (row (stage, "operations"));
}

static guint
n_rows (Stage *stage)
{
  guint n = 0;

  while (gtk_list_box_get_row_at_index (lw_operation_list_rows (operations (stage)), (int) n) != NULL)
    n++;
  return n;
}

static void
add (Stage *stage, const char *word)
{
  g_assert_true (gtk_widget_activate_action (GTK_WIDGET (operations (stage)), "operations.add", "s", word));
}

static void
sequence (void)
{
  Stage stage;

  open_page (&stage, LW_THING_OPERATIONS);
  g_assert_cmpuint (n_rows (&stage), ==, 1);
  add (&stage, "reflow");
  add (&stage, "clean");
  g_assert_cmpuint (n_rows (&stage), ==, 3);
  g_assert_cmpint (active_operation (&stage), ==, LW_OP_CLEAN); /* between the two */
  gtk_widget_activate_action (GTK_WIDGET (operations (&stage)), "operations.earlier", NULL);
  g_assert_cmpint (lw_job_find_operation (stage_job (&stage), "U1", LW_OP_CLEAN), ==, 0);
  g_assert_cmpint (active_operation (&stage), ==, LW_OP_CLEAN);
  gtk_widget_activate_action (GTK_WIDGET (operations (&stage)), "operations.take-away", NULL);
  g_assert_cmpuint (n_rows (&stage), ==, 2);
  for (guint i = 0; i < 4; i++)
    g_assert_true (lw_document_undo (stage.document));
  g_assert_cmpuint (n_rows (&stage), ==, 1);
  stage_close (&stage);
}

static void
paste (void)
{
  Stage stage;

  open_page (&stage, LW_THING_OPERATIONS);
  add (&stage, "reflow");
  g_autofree char *alloy = g_strdup_printf ("plans[%d].alloy", lw_desk_plan (stage.desk));
  g_assert_true (LW_IS_CHOICE_ROW (row (&stage, alloy)));
  gtk_drop_down_set_selected (lw_choice_row_drop_down (LW_CHOICE_ROW (row (&stage, alloy))), 1);
  g_assert_cmpstr (lw_job_text (stage_job (&stage), alloy), !=, "");
  stage_close (&stage);
}

/* ---- the X server's own events ---- */

static void
click (Stage *stage, GtkWidget *widget)
{
  graphene_point_t at;
  g_autofree char *x = NULL, *y = NULL;

  g_assert_true (gtk_widget_compute_point (widget, stage->window,
                                           &GRAPHENE_POINT_INIT (0.5f * (float) gtk_widget_get_width (widget),
                                                                 0.5f * (float) gtk_widget_get_height (widget)),
                                           &at));
  x = g_strdup_printf ("%d", (int) at.x);
  y = g_strdup_printf ("%d", (int) at.y);
  stage_xdotool ((const char *const[]){ "mousemove", "--sync", x, y, "click", "1", NULL });
}

static void
key (const char *name)
{
  stage_xdotool ((const char *const[]){ "key", name, NULL });
}

/* A click opens an operation's plan; Alt with an arrow moves it; Delete takes it away. */
static void
real_events (void)
{
  Stage stage;

  open_page (&stage, LW_THING_OPERATIONS);
  add (&stage, "reflow");
  stage_settle (&stage);
  click (&stage, GTK_WIDGET (gtk_list_box_get_row_at_index (lw_operation_list_rows (operations (&stage)), 0)));
  STAGE_WAIT (active_operation (&stage) == LW_OP_REMOVE);
  stage_settle (&stage);
  gtk_widget_grab_focus (GTK_WIDGET (gtk_list_box_get_row_at_index (lw_operation_list_rows (operations (&stage)), 0)));
  key ("alt+Down");
  STAGE_WAIT (lw_job_find_operation (stage_job (&stage), "U1", LW_OP_REFLOW) == 0);
  gtk_widget_grab_focus (GTK_WIDGET (gtk_list_box_get_row_at_index (lw_operation_list_rows (operations (&stage)), 1)));
  key ("Delete");
  STAGE_WAIT (n_rows (&stage) == 1);
  g_assert_cmpint (active_operation (&stage), ==, LW_OP_REFLOW);
  stage_close (&stage);
}

static void
real_typing (void)
{
  Stage stage;

  open_page (&stage, LW_THING_READINESS);
  click (&stage, GTK_WIDGET (field (&stage, "schedule.start")));
  stage_xdotool ((const char *const[]){ "type", "2026-03-02T09:00", NULL });
  key ("Return");
  STAGE_WAIT (strcmp (stage_job (&stage)->schedule.start, "2026-03-02T09:00") == 0);
  stage_close (&stage);
}

int
main (int argc, char **argv)
{
  gtk_test_init (&argc, &argv, NULL);
  lw_widgets_init ();
  g_test_add_func ("/ui/readiness/facts", facts);
  g_test_add_func ("/ui/readiness/wrong-values", wrong_values);
  g_test_add_func ("/ui/readiness/level", level);
  g_test_add_func ("/ui/readiness/list", list);
  g_test_add_func ("/ui/readiness/units", units);
  g_test_add_func ("/ui/readiness/sequence", sequence);
  g_test_add_func ("/ui/readiness/paste", paste);
  g_test_add_func ("/ui/readiness/real-events", real_events);
  g_test_add_func ("/ui/readiness/real-typing", real_typing);
  return g_test_run ();
}
