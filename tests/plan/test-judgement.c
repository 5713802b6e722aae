/* A judgement that shares an earlier one's findings says word for word what one that is made from nothing says. */
#include <math.h>

#include "board/edits.h"
#include "board/library.h"
#include "plan/judgement.h"
#include "plan/quick.h"

/* An area array with small parts round it and under it, some of which get too hot. */
static void
add_part (LwJob *job, const char *package, double x, double y, LwSide side)
{
  LwPart *part = lw_part_new ();

  g_free (part->ref);
  g_free (part->package);
  part->ref = g_strdup_printf ("P%u", job->parts->len + 1);
  part->package = g_strdup (package);
  part->x_mm = x;
  part->y_mm = y;
  part->side = side;
  part->placed = TRUE;
  g_ptr_array_add (job->parts, part);
}

static LwJob *
new_job (void)
{
  static const char *const small[] = { "C0402", "R0603", "C0805", "R1206" };
  g_autoptr (LwJob) bare = lw_job_new ();
  g_autoptr (GError) error = NULL;
  LwJob *job;

  g_ptr_array_add (bare->board->outline, lw_loop_new_rectangle (0, 0, 100, 80));
  lw_station_unref (bare->station);
  bare->station = lw_station_ref (lw_library_station ("Harbour bench 1"));
  add_part (bare, "BGA-324-19x19-1.00", 50, 40, LW_SIDE_TOP);
  add_part (bare, "BGA-324-19x19-1.00", 80, 40, LW_SIDE_TOP);
  for (guint i = 0; i < 30; i++)
    add_part (bare, small[i % 4], 10 + 3 * (i % 10), i < 20 ? 10 + 30 * (i / 10) : 45, i % 3 ? LW_SIDE_TOP : LW_SIDE_BOTTOM);
  add_part (bare, "C0402", 39, 40, LW_SIDE_TOP);
  add_part (bare, "R0603", 50, 40, LW_SIDE_BOTTOM);
  lw_limits_add (((LwPart *) bare->parts->pdata[12])->limits, LW_LIMIT_BODY_PEAK_C, 50, NAN, "invented");
  job = lw_edit_choose_target (bare, "P1", &error);
  g_assert_no_error (error);
  return job;
}

static LwPrediction *
predict (LwJob *job)
{
  LwQuickOptions options = { .cell_mm = 4, .coarse_mm = 12, .scout = TRUE };
  g_autoptr (GError) error = NULL;
  g_autoptr (LwQuick) quick = lw_quick_new (job, 0, &options, NULL, NULL, NULL, &error);
  g_autoptr (LwQuickRun) run = NULL;
  LwPrediction *answer;

  g_assert_no_error (error);
  run = lw_quick_run_new (quick);
  answer = lw_quick_answer (quick, run, job, 0, &error);
  g_assert_no_error (error);
  return answer;
}

static void
same_number (double a, double b)
{
  g_assert_true (a == b || (isnan (a) && isnan (b)));
}

static void
same_findings (const GPtrArray *a, const GPtrArray *b)
{
  g_assert_cmpuint (a->len, ==, b->len);
  for (guint i = 0; i < a->len; i++) {
    const LwFinding *f = g_ptr_array_index (a, i), *g = g_ptr_array_index (b, i);

    g_assert_cmpint (f->grade, ==, g->grade);
    g_assert_cmpstr (f->kind, ==, g->kind);
    g_assert_cmpstr (f->ref, ==, g->ref);
    g_assert_cmpstr (f->text, ==, g->text);
    g_assert_cmpstr (f->advice, ==, g->advice);
    g_assert_cmpstr (f->source, ==, g->source);
    same_number (f->value, g->value);
    same_number (f->limit, g->limit);
    same_number (f->moment_s, g->moment_s);
  }
}

/* Judges NEXT after BEFORE and, for comparison, from nothing; LEAST parts at least are taken over, and MOST at most. */
static void
judge_after (const LwJudgement *before, LwJob *next, LwPrediction *prediction, guint least, guint most)
{
  g_autoptr (LwJudgement) after = lw_judgement_new (next, 0, prediction, NULL, before);
  g_autoptr (GPtrArray) fresh = lw_judge (next, 0, prediction);

  same_findings (lw_judgement_findings (after), fresh);
  g_assert_cmpuint (lw_judgement_n_kept (after), >=, least);
  g_assert_cmpuint (lw_judgement_n_kept (after), <=, most);
}

static guint
count (const GPtrArray *findings, LwGrade grade)
{
  guint n = 0;

  for (guint i = 0; i < findings->len; i++)
    n += ((const LwFinding *) g_ptr_array_index (findings, i))->grade == grade;
  return n;
}

/* One that rests on what is said of a part's body. */
static gboolean
says_take_off (const GPtrArray *findings)
{
  for (guint i = 0; i < findings->len; i++)
    if (g_str_equal (((const LwFinding *) g_ptr_array_index (findings, i))->kind, "readiness-take-off"))
      return TRUE;
  return FALSE;
}

static LwJob *
done (LwJob *job, GError *error)
{
  g_assert_no_error (error);
  return job;
}

static void
test_edits (void)
{
  g_autoptr (LwJob) job = new_job ();
  g_autoptr (LwPrediction) prediction = predict (job);
  g_autoptr (LwJudgement) first = lw_judgement_new (job, 0, prediction, NULL, NULL);
  GError *error = NULL;
  guint n = job->parts->len;

  g_assert_cmpuint (lw_judgement_n_kept (first), ==, 0);
  g_assert_cmpuint (count (lw_judgement_findings (first), LW_GRADE_FINE), >, 20);
  g_assert_cmpuint (count (lw_judgement_findings (first), LW_GRADE_STOP), >, 0);
  g_assert_true (says_take_off (lw_judgement_findings (first)));
  judge_after (first, job, prediction, n - 1, n); /* the target has no trace of its own among the neighbours */
  g_autoptr (LwJob) moved = done (lw_edit_move_part (job, 7, 90, 70, &error), error);
  judge_after (first, moved, prediction, n - 2, n - 1);
  g_autoptr (LwJob) hotter = done (lw_edit_number (job, "plans[0].stages[1].gas_c", 250, &error), error);
  judge_after (first, hotter, prediction, n - 1, n);
  g_autoptr (LwJob) target = done (lw_edit_move_part (job, 0, 48, 42, &error), error);
  judge_after (first, target, prediction, 1, n - 2); /* advice follows the target: those that are not fine are told anew */
  g_autoptr (LwJob) flipped = done (lw_edit_flip_part (job, 0, &error), error);
  judge_after (first, flipped, prediction, 0, 0);
  g_autoptr (LwJob) leaded = done (lw_edit_text (job, "alloy", "Sn63Pb37", &error), error);
  judge_after (first, leaded, prediction, 0, 0);
  g_autoptr (LwJob) warm = done (lw_edit_number (job, "ambient_c", 30, &error), error);
  judge_after (first, warm, prediction, 0, 0);
  g_autoptr (LwJob) tall = done (lw_edit_number (job, "parts[1].height_mm", 4, &error), error);
  judge_after (first, tall, prediction, n - 2, n - 1);
}

/* One judgement after another, as edits come; what is shared outlives those that made it. */
static void
test_row (void)
{
  g_autoptr (LwJob) job = new_job ();
  g_autoptr (LwPrediction) prediction = predict (job);
  g_autoptr (LwJudgement) last = lw_judgement_new (job, 0, prediction, NULL, NULL);

  for (guint i = 0; i < 8; i++) {
    g_autoptr (GError) error = NULL;
    LwJob *next = lw_edit_move_part (job, 3 + i, 10.5 + 3 * i, 20, &error);
    g_autoptr (GPtrArray) fresh = NULL;
    LwJudgement *now = NULL;

    g_assert_no_error (error);
    now = lw_judgement_new (next, 0, prediction, NULL, last);
    lw_judgement_unref (last);
    last = now;
    lw_job_unref (job);
    job = next;
    fresh = lw_judge (job, 0, prediction);
    same_findings (lw_judgement_findings (last), fresh);
  }
}

/* Other temperatures, other thresholds, no temperatures: nothing is kept. */
static void
test_other_ground (void)
{
  g_autoptr (LwJob) job = new_job ();
  g_autoptr (LwPrediction) prediction = predict (job), again = predict (job);
  g_autoptr (LwJudgement) first = lw_judgement_new (job, 0, prediction, NULL, NULL);
  g_autoptr (LwJudgement) geometry = lw_judgement_new (job, 0, NULL, NULL, first);
  g_autoptr (LwJudgement) strict = lw_judgement_new (job, 0, prediction, &(LwChances){ 0.2, 0.01 }, first);
  g_autoptr (GPtrArray) bare = lw_judge (job, 0, NULL);

  judge_after (first, job, again, 0, 0);
  judge_after (geometry, job, prediction, 0, 0);
  same_findings (lw_judgement_findings (geometry), bare);
  g_assert_cmpuint (lw_judgement_n_kept (strict), ==, 0);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/judgement/edits", test_edits);
  g_test_add_func ("/judgement/row", test_row);
  g_test_add_func ("/judgement/other-ground", test_other_ground);
  return g_test_run ();
}
