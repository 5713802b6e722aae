/* Preferences act at once: the chances from which a finding stops a job or is to be watched grade the answer that is there anew. The
 * answer and its chances are the program's own, of the small board; that a finding is graded by its chance is said in docs/doubt.md. */
#include <math.h>
#include <string.h>

#include "app/preferences.h"
#include "plan/prediction.h"
#include "ui-find.h"
#include "ui-fixture.h"

#define LONG_MS 90000

static gboolean
is_doubted (gpointer window)
{
  LwPrediction *answer = lw_desk_prediction (lw_window_desk (window));

  return answer != NULL && answer->doubt != NULL && !lw_desk_busy (lw_window_desk (window));
}

static const double WARMER_K = 15;

/* With the program's own solver. */
static LwWindow *
open_answered (void)
{
  LwWindow *window = lw_window_new (ui_application ());
  LwJob *job = ui_planned_job ();
  LwPlan *plan = g_ptr_array_index (job->plans, 0);
  g_autoptr (LwDocument) document = NULL;

  for (guint i = 0; i < plan->stages->len; i++) /* the target's body comes near its limit */
    ((LwStage *)g_ptr_array_index (plan->stages, i))->gas_c += WARMER_K;
  document = lw_document_new (job, NULL);
  gtk_window_present (GTK_WINDOW (window));
  lw_session_take_document (lw_window_session (window), document);
  g_assert_true (ui_wait (is_doubted, window, LONG_MS));
  return window;
}

static const LwFinding *
find (LwWindow *window, const char *kind, const char *ref)
{
  const GPtrArray *findings = lw_desk_findings (lw_window_desk (window));

  for (guint i = 0; i < findings->len; i++) {
    const LwFinding *finding = g_ptr_array_index (findings, i);

    if (strcmp (finding->kind, kind) == 0 && strcmp (finding->ref, ref) == 0)
      return finding;
  }
  return NULL;
}

/* Whether the target's body keeps its limit, which is neither sure nor surely not so. */
static const LwFinding *
open_question (LwWindow *window)
{
  const GPtrArray *findings = lw_desk_findings (lw_window_desk (window));

  for (guint i = 0; i < findings->len; i++) {
    const LwFinding *finding = g_ptr_array_index (findings, i);

    g_test_message ("%s %s: chance %.3f, grade %d", finding->kind, finding->ref, finding->chance, finding->grade);
    if (finding->chance > 0.05 && finding->chance < 0.9 && strcmp (finding->kind, "target-body") == 0)
      return finding;
  }
  return NULL;
}

static void
set (GtkWidget *preferences, const char *id, int percent)
{
  gtk_spin_button_set_value (GTK_SPIN_BUTTON (gtk_widget_get_template_child (preferences, LW_TYPE_PREFERENCES, id)), percent);
  ui_spin (50);
}

static void
test_chances (void)
{
  LwWindow *window = open_answered ();
  const LwFinding *open = open_question (window);
  g_autofree char *kind = NULL, *ref = NULL;
  GtkWidget *preferences;
  int percent;

  g_assert_nonnull (open);
  kind = g_strdup (open->kind);
  ref = g_strdup (open->ref);
  percent = (int) round (100 * open->chance);
  gtk_widget_activate_action (GTK_WIDGET (window), "app.preferences", NULL);
  ui_spin (50);
  preferences = ui_top_of_type (LW_TYPE_PREFERENCES);
  g_assert_nonnull (preferences);

  set (preferences, "stop", percent + 5);
  set (preferences, "watch", percent - 4);
  g_assert_cmpint (find (window, kind, ref)->grade, ==, LW_GRADE_WATCH);
  set (preferences, "stop", percent - 3);
  g_assert_cmpint (find (window, kind, ref)->grade, ==, LW_GRADE_STOP);
  set (preferences, "stop", percent + 8);
  set (preferences, "watch", percent + 5);
  g_assert_cmpint (find (window, kind, ref)->grade, ==, LW_GRADE_FINE);
  gtk_window_close (GTK_WINDOW (preferences));
  ui_close (window);
}

int
main (int argc, char **argv)
{
  ui_test_init (&argc, &argv);
  g_test_add_func ("/preferences/chances", test_chances);
  return g_test_run ();
}
