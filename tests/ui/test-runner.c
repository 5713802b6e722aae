/* The runner: one run at a time, the newest version wins, reasons are shown. */
#include <string.h>

#include "board/edits.h"
#include "ui-fixture.h"

typedef struct {
  LwDesk *desk;
  LwRunner *runner;
} Bench;

static void
set_up (Bench *bench, gconstpointer data)
{
  g_autoptr (LwDocument) document = lw_document_new (ui_planned_job (), NULL);

  ui_drop_runs ();
  bench->desk = lw_desk_new ();
  bench->runner = lw_runner_new (bench->desk);
  lw_runner_set_engine (bench->runner, &ui_engine);
  lw_desk_set_document (bench->desk, document);
}

static void
tear_down (Bench *bench, gconstpointer data)
{
  lw_runner_stop (bench->runner);
  ui_drop_runs ();
  ui_spin (10);
  g_object_add_weak_pointer (G_OBJECT (bench->runner), (gpointer *) &bench->runner);
  g_object_unref (bench->runner);
  g_assert_null (bench->runner);
  g_object_unref (bench->desk);
}

static gboolean
has_runs (gpointer data)
{
  return ui_runs->len >= GPOINTER_TO_UINT (data);
}

static gboolean
is_idle (gpointer data)
{
  return !lw_desk_busy (data);
}

static gboolean
has_answer (gpointer data)
{
  return lw_desk_prediction (data) != NULL;
}

static gboolean
is_cancelled (gpointer data)
{
  return g_cancellable_is_cancelled (((UiRun *) data)->cancellable);
}

static void
edit (Bench *bench, double ambient_c)
{
  LwJob *job = lw_edit_number (lw_desk_job (bench->desk), "ambient_c", ambient_c, NULL);

  g_assert_true (lw_desk_edit (bench->desk, job, "edit", NULL, NULL));
}

static void
test_answer_then_doubt (Bench *bench, gconstpointer data)
{
  g_assert_nonnull (lw_desk_findings (bench->desk)); /* geometry at once */
  g_assert_true (ui_wait (has_runs, GUINT_TO_POINTER (1), 2000));
  g_assert_true (lw_desk_busy (bench->desk));
  g_assert_cmpfloat (lw_desk_progress (bench->desk), ==, 0.5);
  g_assert_true (((UiRun *) g_ptr_array_index (ui_runs, 0))->no_doubt);
  ui_finish_run (0, 180);
  g_assert_true (ui_wait (has_answer, bench->desk, 2000));
  g_assert_true (ui_wait (has_runs, GUINT_TO_POINTER (2), 2000));
  g_assert_false (((UiRun *) g_ptr_array_index (ui_runs, 1))->no_doubt);
  ui_finish_run (1, 181);
  g_assert_true (ui_wait (is_idle, bench->desk, 2000));
  ui_spin (250);
  g_assert_cmpuint (ui_runs->len, ==, 2);
  g_assert_false (lw_desk_stale (bench->desk));
}

static void
test_edits_are_gathered (Bench *bench, gconstpointer data)
{
  g_assert_true (ui_wait (has_runs, GUINT_TO_POINTER (1), 2000));
  for (guint i = 0; i < 5; i++) {
    edit (bench, 24 + i);
    ui_spin (20);
  }
  g_assert_true (ui_wait (is_cancelled, g_ptr_array_index (ui_runs, 0), 2000));
  g_assert_cmpuint (ui_runs->len, ==, 1); /* waits until the first has let go */
  ui_fail_run (0, "unused");
  g_assert_true (ui_wait (has_runs, GUINT_TO_POINTER (2), 2000));
  g_assert_cmpfloat (((UiRun *) g_ptr_array_index (ui_runs, 1))->job->ambient_c, ==, 28);
  g_assert_null (lw_desk_failure (bench->desk));
}

/* A run that did not heed its cancelling comes back with an answer: it is for an earlier version. */
static void
test_late_answer_is_stale (Bench *bench, gconstpointer data)
{
  g_assert_true (ui_wait (has_runs, GUINT_TO_POINTER (1), 2000));
  edit (bench, 30);
  g_assert_true (ui_wait (is_cancelled, g_ptr_array_index (ui_runs, 0), 2000));
  ui_finish_run (0, 111);
  g_assert_true (ui_wait (has_runs, GUINT_TO_POINTER (2), 2000));
  g_assert_true (lw_desk_stale (bench->desk));
  ui_finish_run (1, 222);
  g_assert_true (ui_wait (has_runs, GUINT_TO_POINTER (3), 2000));
  g_assert_false (lw_desk_stale (bench->desk));
  g_assert_cmpfloat (((LwPartTrace *) g_ptr_array_index (lw_desk_prediction (bench->desk)->parts, 0))->body_peak_c,
                     ==, 222);
}

static void
test_failure_is_told (Bench *bench, gconstpointer data)
{
  g_assert_true (ui_wait (has_runs, GUINT_TO_POINTER (1), 2000));
  ui_fail_run (0, "did not converge");
  g_assert_true (ui_wait (is_idle, bench->desk, 2000));
  g_assert_cmpstr (lw_desk_failure (bench->desk), ==, "did not converge");
  g_assert_null (lw_desk_prediction (bench->desk));
  lw_runner_again (bench->runner);
  g_assert_null (lw_desk_failure (bench->desk));
  g_assert_cmpuint (ui_runs->len, ==, 2);
}

static void
test_cancel (Bench *bench, gconstpointer data)
{
  g_assert_true (ui_wait (has_runs, GUINT_TO_POINTER (1), 2000));
  lw_runner_cancel (bench->runner);
  ui_fail_run (0, "unused");
  g_assert_true (ui_wait (is_idle, bench->desk, 2000));
  ui_spin (250);
  g_assert_cmpuint (ui_runs->len, ==, 1);
  g_assert_null (lw_desk_failure (bench->desk));
}

/* The real engine, on the small board. */
static void
test_real_engine (void)
{
  g_autoptr (LwDesk) desk = lw_desk_new ();
  g_autoptr (LwRunner) runner = lw_runner_new (desk);
  g_autoptr (LwDocument) document = lw_document_new (ui_planned_job (), NULL);

  lw_desk_set_document (desk, document);
  g_assert_true (ui_wait (has_answer, desk, 60000));
  g_assert_null (lw_desk_failure (desk));
  g_assert_cmpuint (lw_desk_prediction (desk)->parts->len, ==, 4);
  g_assert_cmpint (lw_desk_prediction (desk)->target, >=, 0);
  g_assert_cmpuint (lw_desk_findings (desk)->len, >, 0);
  lw_runner_stop (runner);
  ui_spin (50);
}

/* ---- the reduced model ---- */

static gboolean
has_quick_answer (gpointer desk)
{
  const LwPrediction *answer = lw_desk_prediction (desk);

  return answer != NULL && !answer->full && lw_desk_answer_revision (desk) > 1;
}

static gboolean
has_full_answer (gpointer desk)
{
  return lw_desk_prediction (desk) != NULL && lw_desk_prediction (desk)->full && !lw_desk_stale (desk);
}

static void
drag_part (LwDesk *desk, double x_mm)
{
  int part = lw_job_find_part (lw_desk_job (desk), "C1");

  lw_desk_set_dragging (desk, TRUE);
  g_assert_true (lw_desk_edit (desk, lw_edit_move_part (lw_desk_job (desk), (guint) part, x_mm, 20, NULL), "Move", "drag",
                               NULL));
}

static gboolean
says_full (gpointer state)
{
  return g_str_equal (lw_run_state_text (state), "Full answer");
}

/* Fresh figures come while the hand still holds the part; the full solution follows when it has let go, and says how
 * far the quick answer was off. */
static void
test_drag_is_answered (void)
{
  g_autoptr (LwDesk) desk = lw_desk_new ();
  g_autoptr (LwRunner) runner = lw_runner_new (desk);
  g_autoptr (LwDocument) document = lw_document_new (ui_planned_job (), NULL);
  g_autoptr (GtkWidget) state = g_object_ref_sink (g_object_new (LW_TYPE_RUN_STATE, "desk", desk, NULL));

  lw_desk_set_document (desk, document);
  g_assert_true (ui_wait (has_answer, desk, 60000));
  for (guint i = 0; i < 4; i++)
    drag_part (desk, 31 + 0.2 * i);
  g_assert_true (ui_wait (has_quick_answer, desk, 60000));
  g_assert_true (lw_desk_dragging (desk));
  g_assert_false (lw_desk_stale (desk));
  g_assert_cmpuint (lw_desk_findings (desk)->len, >, 0);
  g_assert_false (has_full_answer (desk));
  g_assert_null (strstr (lw_run_state_text (LW_RUN_STATE (state)), "Full"));
  lw_document_seal (document);
  lw_desk_set_dragging (desk, FALSE);
  g_assert_true (ui_wait (has_full_answer, desk, 60000));
  g_assert_cmpuint (lw_desk_prediction (desk)->revision, ==, lw_document_revision (document));
  g_assert_cmpfloat (lw_desk_prediction (desk)->apart_k, >=, 0); /* not NaN: it was compared */
  g_assert_true (ui_wait (says_full, state, 60000)); /* once the doubt is there too */
  g_assert_true (lw_document_undo (document)); /* one step */
  g_assert_null (lw_document_undo_label (document));
  lw_runner_stop (runner);
  ui_spin (50);
}

/* A lesser answer for the same version never replaces a better one. */
static void
test_ranks (void)
{
  g_autoptr (LwDesk) desk = lw_desk_new ();
  g_autoptr (LwDocument) document = lw_document_new (ui_planned_job (), NULL);
  g_autoptr (LwPrediction) rough = ui_prediction (lw_document_job (document), 100);
  g_autoptr (LwPrediction) quick = ui_prediction (lw_document_job (document), 110);
  g_autoptr (LwPrediction) full = ui_prediction (lw_document_job (document), 120);
  guint64 revision = lw_document_revision (document);

  rough->rough = full->full = TRUE;
  lw_desk_set_document (desk, document);
  g_assert_true (lw_desk_take_answer (desk, revision, rough, NULL));
  g_assert_true (lw_desk_take_answer (desk, revision, quick, NULL));
  g_assert_false (lw_desk_take_answer (desk, revision, rough, NULL));
  g_assert_true (lw_desk_take_answer (desk, revision, full, NULL));
  g_assert_false (lw_desk_take_answer (desk, revision, quick, NULL));
  g_assert_true (lw_desk_prediction (desk) == full);
}

int
main (int argc, char **argv)
{
  ui_test_init (&argc, &argv);
  g_test_add ("/runner/answer-then-doubt", Bench, NULL, set_up, test_answer_then_doubt, tear_down);
  g_test_add ("/runner/edits-are-gathered", Bench, NULL, set_up, test_edits_are_gathered, tear_down);
  g_test_add ("/runner/late-answer-is-stale", Bench, NULL, set_up, test_late_answer_is_stale, tear_down);
  g_test_add ("/runner/failure-is-told", Bench, NULL, set_up, test_failure_is_told, tear_down);
  g_test_add ("/runner/cancel", Bench, NULL, set_up, test_cancel, tear_down);
  g_test_add_func ("/runner/real-engine", test_real_engine);
  g_test_add_func ("/runner/drag-is-answered", test_drag_is_answered);
  g_test_add_func ("/runner/ranks", test_ranks);
  return g_test_run ();
}
