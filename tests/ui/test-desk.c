/* The desk: which answer it shows, and what stays selected. No window. */
#include "board/edits-group.h"
#include "board/edits.h"
#include "ui-fixture.h"

static LwDesk *
desk_with (LwJob *job)
{
  LwDesk *desk = lw_desk_new ();
  g_autoptr (LwDocument) document = lw_document_new (job, NULL);

  lw_desk_set_document (desk, document);
  return desk;
}

static void
edit (LwDesk *desk, LwJob *job)
{
  g_assert_true (lw_desk_edit (desk, job, "edit", NULL, NULL));
}

static LwJob *
without (LwDesk *desk, guint part)
{
  g_autoptr (GArray) one = g_array_new (FALSE, FALSE, sizeof (guint));

  g_array_append_val (one, part);
  return lw_edit_remove_parts (lw_desk_job (desk), one, NULL);
}

static void
test_older_answer_is_dropped (void)
{
  g_autoptr (LwDesk) desk = desk_with (ui_planned_job ());
  guint64 first = lw_document_revision (lw_desk_document (desk));
  g_autoptr (LwPrediction) old = ui_prediction (lw_desk_job (desk), 100);
  g_autoptr (LwPrediction) new = ui_prediction (lw_desk_job (desk), 200);

  edit (desk, lw_edit_number (lw_desk_job (desk), "ambient_c", 25, NULL));
  g_assert_true (lw_desk_take_answer (desk, lw_document_revision (lw_desk_document (desk)), new, NULL));
  g_assert_false (lw_desk_stale (desk));
  g_assert_false (lw_desk_take_answer (desk, first, old, NULL));
  g_assert_true (lw_desk_prediction (desk) == new);
  g_assert_false (lw_desk_take_answer (desk, 999999, old, NULL));
  g_assert_true (lw_desk_prediction (desk) == new);
}

static void
test_older_answer_is_marked (void)
{
  g_autoptr (LwDesk) desk = desk_with (ui_planned_job ());
  guint64 first = lw_document_revision (lw_desk_document (desk));
  g_autoptr (LwPrediction) old = ui_prediction (lw_desk_job (desk), 100);

  g_assert_true (lw_desk_take_answer (desk, first, old, NULL));
  edit (desk, lw_edit_number (lw_desk_job (desk), "ambient_c", 25, NULL));
  g_assert_true (lw_desk_stale (desk));
  g_assert_true (lw_desk_prediction (desk) == old);
  g_assert_true (lw_document_undo (lw_desk_document (desk)));
  g_assert_true (lw_desk_stale (desk)); /* undo is a new revision, too */
}

/* While a hand moves, an answer that lags behind says by how much; it is out of date only when it lags for long. */
static void
test_lag_is_told (void)
{
  g_autoptr (LwDesk) desk = desk_with (ui_planned_job ());
  g_autoptr (LwPrediction) answer = ui_prediction (lw_desk_job (desk), 100);
  g_autoptr (GtkWidget) state = g_object_ref_sink (g_object_new (LW_TYPE_RUN_STATE, "desk", desk, NULL));
  static const char *const told[] = { "Rough, moving", "Rough, moving", "Rough, 2 edits old", "Rough, 3 edits old",
                                      "Rough, 4 edits old", "5 or more edits old" };

  answer->rough = TRUE;
  lw_desk_set_dragging (desk, TRUE);
  g_assert_true (lw_desk_take_answer (desk, lw_document_revision (lw_desk_document (desk)), answer, NULL));
  for (guint i = 0; i < 23; i++) {
    if (i < G_N_ELEMENTS (told))
      g_assert_cmpstr (lw_run_state_text (LW_RUN_STATE (state)), ==, told[i]);
    edit (desk, lw_edit_number (lw_desk_job (desk), "ambient_c", 20 + 0.1 * i, NULL));
  }
  g_assert_cmpstr (lw_run_state_text (LW_RUN_STATE (state)), ==, "20 or more edits old");
  g_assert_false (lw_desk_stale (desk));
  lw_desk_set_dragging (desk, FALSE);
  g_assert_cmpstr (lw_run_state_text (LW_RUN_STATE (state)), ==, "Out of date");
}

static void
test_answer_of_another_plan_goes (void)
{
  g_autoptr (LwDesk) desk = desk_with (ui_planned_job ());
  guint64 first = lw_document_revision (lw_desk_document (desk));
  g_autoptr (LwPrediction) old = ui_prediction (lw_desk_job (desk), 100);

  g_assert_true (lw_desk_take_answer (desk, first, old, NULL));
  edit (desk, lw_edit_choose_target (lw_desk_job (desk), "C2", NULL));
  g_assert_null (lw_desk_prediction (desk));
  g_assert_false (lw_desk_stale (desk));
  g_assert_false (lw_desk_take_answer (desk, first, old, NULL)); /* it comes late: still another plan's */
  g_assert_null (lw_desk_prediction (desk));
}

static void
test_answer_goes_with_its_parts (void)
{
  g_autoptr (LwDesk) desk = desk_with (ui_planned_job ());
  guint64 first = lw_document_revision (lw_desk_document (desk));
  g_autoptr (LwPrediction) old = ui_prediction (lw_desk_job (desk), 100);

  g_assert_true (lw_desk_take_answer (desk, first, old, NULL));
  edit (desk, without (desk, 1));
  g_assert_null (lw_desk_prediction (desk));
}

static void
test_selection_follows_its_part (void)
{
  g_autoptr (LwDesk) desk = desk_with (ui_planned_job ());
  int index;

  lw_desk_select_part (desk, 3); /* R1 */
  edit (desk, without (desk, 1));
  g_assert_cmpint (lw_desk_selected_part (desk), ==, 2);
  edit (desk, without (desk, 2));
  g_assert_cmpint (lw_desk_selected_part (desk), ==, -1);
  g_assert_cmpint (lw_desk_selection (desk, &index), ==, LW_THING_BOARD);
}

static void
test_selection_of_things (void)
{
  g_autoptr (LwDesk) desk = desk_with (ui_planned_job ());
  int index = -1;

  lw_desk_select (desk, LW_THING_STAGE, 1);
  g_assert_cmpint (lw_desk_selected_stage (desk), ==, 1);
  lw_desk_select (desk, LW_THING_NOZZLE, 0);
  g_assert_cmpint (lw_desk_selected_stage (desk), ==, -1);
  g_assert_cmpint (lw_desk_selection (desk, &index), ==, LW_THING_NOZZLE);
  lw_desk_select (desk, LW_THING_STAGE, 99);
  g_assert_cmpint (lw_desk_selected_stage (desk), ==, -1);
}

/* The inspector's menu offers the first stage whatever the plan has. */
static void
test_what_is_not_there (void)
{
  static const LwThing things[] = { LW_THING_PART, LW_THING_STAGE, LW_THING_SHIELD, LW_THING_THERMOCOUPLE };
  g_autoptr (LwDesk) desk = desk_with (ui_planned_job ());
  int index = 0;

  for (guint i = 0; i < G_N_ELEMENTS (things); i++) {
    lw_desk_select (desk, LW_THING_NOZZLE, 0);
    lw_desk_select (desk, things[i], 99);
    g_assert_cmpint (lw_desk_selection (desk, &index), ==, LW_THING_BOARD);
    g_assert_cmpint (index, ==, -1);
  }
}

static void
test_first_answer_shows_the_peak (void)
{
  g_autoptr (LwDesk) desk = desk_with (ui_planned_job ());
  g_autoptr (LwPrediction) answer = ui_prediction (lw_desk_job (desk), 200);
  guint64 revision = lw_document_revision (lw_desk_document (desk));

  lw_desk_take_answer (desk, revision, answer, NULL);
  g_assert_cmpfloat (lw_desk_moment (desk), ==, 70);
  lw_desk_set_moment (desk, 30);
  lw_desk_take_answer (desk, revision, answer, NULL);
  g_assert_cmpfloat (lw_desk_moment (desk), ==, 30); /* the person's choice stays */
}

static void
message_cb (LwDesk *desk, const char *text, gboolean undo, char **kept)
{
  g_free (*kept);
  *kept = g_strdup (text);
}

static void
test_refused_edit_is_told (void)
{
  g_autoptr (LwDesk) desk = desk_with (ui_planned_job ());
  g_autofree char *said = NULL;
  GError *error = NULL;
  LwJob *job = lw_edit_number (lw_desk_job (desk), "board.thickness_mm", 0, &error);

  g_signal_connect (desk, "message", G_CALLBACK (message_cb), &said);
  g_assert_null (job);
  g_assert_false (lw_desk_edit (desk, job, "edit", NULL, error));
  g_assert_nonnull (said);
  g_assert_false (lw_document_modified (lw_desk_document (desk)));
}

/* Every switch of what is shown stands at first as its property says, and moves no other. */
static void
test_each_show_is_its_own (void)
{
  static const char *const shows[] = { "show-field", "show-isotherms", "show-names", "show-copper", "show-other-side" };
  g_autoptr (LwDesk) desk = lw_desk_new ();
  GObjectClass *class = G_OBJECT_GET_CLASS (desk);
  gboolean now[G_N_ELEMENTS (shows)];

  for (guint i = 0; i < G_N_ELEMENTS (shows); i++) {
    const GValue *first = g_param_spec_get_default_value (g_object_class_find_property (class, shows[i]));

    now[i] = lw_desk_shows (desk, shows[i]);
    g_assert_true (now[i] == g_value_get_boolean (first));
  }
  for (guint i = 0; i < G_N_ELEMENTS (shows); i++) {
    now[i] = !now[i];
    g_object_set (desk, shows[i], now[i], NULL);
    for (guint k = 0; k < G_N_ELEMENTS (shows); k++)
      g_assert_true (lw_desk_shows (desk, shows[k]) == now[k]);
  }
}

int
main (int argc, char **argv)
{
  ui_test_init (&argc, &argv);
  g_test_add_func ("/desk/older-answer-is-dropped", test_older_answer_is_dropped);
  g_test_add_func ("/desk/older-answer-is-marked", test_older_answer_is_marked);
  g_test_add_func ("/desk/lag-is-told", test_lag_is_told);
  g_test_add_func ("/desk/answer-of-another-plan-goes", test_answer_of_another_plan_goes);
  g_test_add_func ("/desk/answer-goes-with-its-parts", test_answer_goes_with_its_parts);
  g_test_add_func ("/desk/selection-follows-its-part", test_selection_follows_its_part);
  g_test_add_func ("/desk/selection-of-things", test_selection_of_things);
  g_test_add_func ("/desk/what-is-not-there", test_what_is_not_there);
  g_test_add_func ("/desk/first-answer-shows-the-peak", test_first_answer_shows_the_peak);
  g_test_add_func ("/desk/refused-edit-is-told", test_refused_edit_is_told);
  g_test_add_func ("/desk/each-show-is-its-own", test_each_show_is_its_own);
  return g_test_run ();
}
