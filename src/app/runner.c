#include "app/runner.h"

#include "app/quick-thread.h"
#include "app/run-look.h"
#include "app/settings.h"
#include "plan/weigh.h"

/* Hands off for so long: the full solution begins. */
#define PAUSE_MS 300
/* A job that was just opened is drawn before anything is computed for it. */
#define FIRST_MS 60
/* The reduced model goes first, but the full solution does not wait for it longer than this. */
#define PATIENCE_MS 1500

struct _LwRunner {
  GObject parent_instance;

  LwDesk *desk;
  GSignalGroup *desk_signals;
  LwRunnerEngine engine;

  guint pause, patience;
  GCancellable *running;   /* of the run in flight */
  LwDocument *run_document;
  LwJob *run_job;
  guint64 run_revision;
  gboolean wanted;         /* another run follows the one in flight */
  LwQuickThread *quick;    /* NULL until the engine asks for one */
  guint64 generation;      /* of the document, for tickets */
  guint64 asked, answered; /* tickets of the reduced model */
  gboolean due;            /* the present version waits for its run */
  gboolean unasked;        /* the reduced model is asked when the pause is over, not at once */
  gboolean weighing;       /* the run in flight adds the doubt to an answer that is there */
  LwDocument *seen_document; /* compared, never used */
  LwJudgement *judged;       /* the last, for the next to share */
};

G_DEFINE_FINAL_TYPE (LwRunner, lw_runner, G_TYPE_OBJECT)

static void
stop_waiting (LwRunner *self)
{
  g_clear_handle_id (&self->pause, g_source_remove);
  g_clear_handle_id (&self->patience, g_source_remove);
}

static void start (LwRunner *self);
static void launch (LwRunner *self, gboolean weighing);

static const LwRunnerEngine predict_engine = { lw_predict_async, lw_predict_finish, TRUE };

/* Takes JUDGEMENT over. */
static void
keep_judgement (LwRunner *self, LwJudgement *judgement)
{
  lw_judgement_unref (self->judged);
  self->judged = judgement;
}

/* What the present job's geometry and limits say, with whatever temperatures are there. */
static void
judge (LwRunner *self)
{
  LwJob *job = self->desk == NULL ? NULL : lw_desk_job (self->desk);
  int plan = self->desk == NULL ? -1 : lw_desk_plan (self->desk);
  LwChances chances;

  if (job == NULL || plan < 0)
    return;
  chances = lw_settings_chances ();
  keep_judgement (self, lw_judgement_new (job, plan, lw_desk_prediction (self->desk), &chances, self->judged));
  lw_desk_take_answer (self->desk, lw_document_revision (lw_desk_document (self->desk)), NULL,
                       lw_judgement_findings (self->judged));
}

static void
progress_cb (double done, gpointer user)
{
  LwRunner *self = user;

  if (self->desk != NULL && self->running != NULL && !g_cancellable_is_cancelled (self->running))
    lw_desk_set_run (self->desk, TRUE, CLAMP (done, 0, 1));
}

static LwLook
look_at (LwRunner *self, LwPrediction *answer, LwJob *job)
{
  return (LwLook){ .job = job,
                   .plan = answer->plan,
                   .answer = answer,
                   .before = lw_desk_prediction (self->desk),
                   .same_version = lw_desk_answer_revision (self->desk) == self->run_revision,
                   .chances = lw_settings_chances () };
}

/* JUDGEMENT (transfer full) is what a first look in a thread has made of ANSWER; NULL: nobody has looked. */
static void
take (LwRunner *self, LwPrediction *answer, LwJudgement *judgement)
{
  LwLook look = look_at (self, answer, NULL);

  answer->revision = self->run_revision;
  answer->full = TRUE;
  if (judgement != NULL)
    keep_judgement (self, judgement);
  else
    lw_look_compare (&look);
  if (lw_desk_take_answer (self->desk, self->run_revision, answer, NULL))
    judge (self);
}

/* ---- the reduced model ---- */

#define REVISION_BITS 40

/* Generation of the document, whether it is asked in a hurry, revision. */
static guint64
ticket_now (LwRunner *self)
{
  guint64 hurry = lw_desk_dragging (self->desk);

  return ((self->generation << 1 | hurry) << REVISION_BITS) | lw_document_revision (lw_desk_document (self->desk));
}

/* The pause is over, nothing is under the hand, and the reduced model has spoken: time for the full solution. */
static void
start_if_quiet (LwRunner *self)
{
  if (self->pause == 0 && self->due && self->asked == self->answered && !lw_desk_dragging (self->desk))
    start (self);
}

static void
quick_cb (guint64 ticket, LwPrediction *prediction, LwJudgement *judgement, const GError *error, gpointer user)
{
  LwRunner *self = user;

  if (self->desk == NULL || ticket >> (REVISION_BITS + 1) != self->generation)
    return;
  if (prediction != NULL) {
    prediction->revision = ticket & ((1ull << REVISION_BITS) - 1);
    if (lw_desk_take_answer (self->desk, prediction->revision, prediction, lw_judgement_findings (judgement)))
      keep_judgement (self, lw_judgement_ref (judgement));
  }
  else
    g_debug ("the reduced model has no answer: %s", error->message);
  if (prediction != NULL && prediction->rough && !(ticket >> REVISION_BITS & 1))
    return; /* a finer one follows */
  self->answered = ticket;
  start_if_quiet (self); /* after a refusal too: the full solution's reason is shown */
}

static void
ask_quick (LwRunner *self)
{
  const LwPrediction *have = lw_desk_prediction (self->desk);
  LwQuickQuestion question = { .job = lw_desk_job (self->desk), .hurry = lw_desk_dragging (self->desk) };

  self->unasked = FALSE;
  if (!self->engine.quick || question.job == NULL || lw_desk_plan (self->desk) < 0)
    return;
  if (self->quick == NULL)
    self->quick = lw_quick_thread_new (quick_cb, self);
  question.plan = (guint) lw_desk_plan (self->desk);
  question.ticket = self->asked = ticket_now (self);
  question.doubt = have != NULL ? have->doubt : NULL;
  question.chances = lw_settings_chances ();
  lw_quick_thread_ask (self->quick, &question);
}

/* ---- the full solution ---- */

static void
follow_on (LwRunner *self, gboolean answered)
{
  const LwPrediction *have = lw_desk_prediction (self->desk);
  gboolean current = self->run_revision == lw_document_revision (lw_desk_document (self->desk)) && have != NULL
                     && have->full && lw_desk_answer_revision (self->desk) == self->run_revision;

  if (self->wanted)
    start (self);
  else if (answered && current && !self->weighing && self->pause == 0)
    launch (self, TRUE);
}

/* A run is over; JUDGEMENT as for take(). */
static void
conclude (LwRunner *self, LwPrediction *answer, LwJudgement *judgement, const GError *error)
{
  g_autoptr (LwDocument) document = g_steal_pointer (&self->run_document);
  gboolean cancelled = g_cancellable_is_cancelled (self->running);
  gboolean wanted = answer != NULL && !(cancelled && self->weighing);

  g_clear_object (&self->running);
  g_clear_pointer (&self->run_job, lw_job_unref);
  if (self->desk != NULL && document == lw_desk_document (self->desk) && wanted)
    take (self, answer, g_steal_pointer (&judgement));
  lw_judgement_unref (judgement);
  if (self->desk == NULL)
    return;
  if (document == lw_desk_document (self->desk) && error != NULL && !cancelled
      && self->run_revision == lw_document_revision (document))
    lw_desk_set_failure (self->desk, error->message);
  lw_desk_set_run (self->desk, FALSE, 0);
  if (lw_desk_document (self->desk) != NULL)
    follow_on (self, answer != NULL && !cancelled && document == lw_desk_document (self->desk));
}

static void
looked_cb (GObject *source, GAsyncResult *result, gpointer user)
{
  g_autoptr (LwRunner) self = user;
  g_autoptr (LwPrediction) answer = NULL;
  LwJudgement *judgement = lw_look_finish (result, &answer);

  conclude (self, answer, judgement, NULL);
}

static void
done_cb (GObject *source, GAsyncResult *result, gpointer user)
{
  g_autoptr (LwRunner) self = user;
  g_autoptr (GError) error = NULL;
  g_autoptr (LwPrediction) answer = self->engine.finish (result, &error);
  gboolean own = self->engine.finish == predict_engine.finish;
  LwLook look;

  if (answer == NULL || !own || self->desk == NULL) {
    conclude (self, answer, NULL, error);
    return;
  }
  answer->full = TRUE;
  look = look_at (self, answer, self->run_job);
  lw_look_async (&look, looked_cb, g_object_ref (self));
}

/* The answer comes first, its doubt after it: that changes no figure of the answer. An engine of a test's own is asked
 * for both at once. */
static void
launch (LwRunner *self, gboolean weighing)
{
  LwPredictOptions options = { .no_doubt = !weighing };
  LwJob *job = lw_desk_job (self->desk);
  guint plan = (guint) lw_desk_plan (self->desk);

  self->weighing = weighing;
  self->running = g_cancellable_new ();
  g_set_object (&self->run_document, lw_desk_document (self->desk));
  self->run_revision = lw_document_revision (self->run_document);
  self->run_job = lw_job_ref (job);
  lw_desk_set_run (self->desk, TRUE, 0);
  if (weighing && self->engine.finish == lw_predict_finish)
    lw_weigh_async (job, plan, lw_desk_prediction (self->desk), self->running, progress_cb, self, done_cb,
                    g_object_ref (self));
  else
    self->engine.start (job, plan, &options, self->running, progress_cb, self, done_cb, g_object_ref (self));
}

static void
start (LwRunner *self)
{
  LwJob *job = lw_desk_job (self->desk);
  int plan = lw_desk_plan (self->desk);

  stop_waiting (self);
  self->wanted = self->due = FALSE;
  if (job == NULL || plan < 0)
    return;
  if (self->running != NULL) { /* one at a time: the next begins when this one has let go */
    self->wanted = TRUE;
    g_cancellable_cancel (self->running);
    return;
  }
  lw_desk_set_failure (self->desk, NULL);
  launch (self, FALSE);
}

static gboolean
patience_over_cb (gpointer user)
{
  LwRunner *self = user;

  self->patience = 0;
  if (self->due && !lw_desk_dragging (self->desk))
    start (self);
  return G_SOURCE_REMOVE;
}

static gboolean
pause_over_cb (gpointer user)
{
  LwRunner *self = user;

  self->pause = 0;
  if (self->unasked)
    ask_quick (self);
  start_if_quiet (self);
  if (self->due && self->patience == 0)
    self->patience = g_timeout_add (PATIENCE_MS, patience_over_cb, self);
  return G_SOURCE_REMOVE;
}

static void
another_document (LwRunner *self, LwDocument *document)
{
  self->seen_document = document;
  self->generation++;
  self->asked = self->answered = 0;
  keep_judgement (self, NULL); /* it holds the other one's job and temperatures */
  if (self->quick != NULL)
    lw_quick_thread_forget (self->quick);
}

/* Nothing is left to be computed for this version: only what is kept of the past has changed. */
static gboolean
answer_holds (LwRunner *self)
{
  const LwPrediction *have = lw_desk_prediction (self->desk);

  return have != NULL && have->full && have->doubt != NULL && self->running == NULL && !self->due && !self->wanted
         && lw_desk_answer_revision (self->desk) == lw_document_revision (lw_desk_document (self->desk));
}

/* The version is another one: what runs is of no use, the reduced model is asked at once. */
static void
job_changed_cb (LwRunner *self)
{
  LwDocument *document = lw_desk_document (self->desk);
  gboolean first = document != self->seen_document;

  stop_waiting (self);
  if (first)
    another_document (self, document);
  if (document == NULL) {
    lw_runner_cancel (self);
    return;
  }
  lw_desk_set_failure (self->desk, NULL);
  if (!first && answer_holds (self))
    return;
  if (self->running != NULL)
    g_cancellable_cancel (self->running);
  self->wanted = FALSE;
  self->due = TRUE;
  self->unasked = first;
  if (!first)
    ask_quick (self);
  if (lw_desk_dragging (self->desk) && self->quick != NULL)
    return;
  judge (self);
  self->pause = g_timeout_add_full (first ? G_PRIORITY_LOW : G_PRIORITY_DEFAULT, first ? FIRST_MS : PAUSE_MS,
                                    pause_over_cb, self, NULL);
}

/* The hand has let go: its last version once more, on the finest mesh, and then in full. */
static void
dragging_cb (LwRunner *self)
{
  if (lw_desk_dragging (self->desk) || lw_desk_document (self->desk) == NULL)
    return;
  ask_quick (self);
  stop_waiting (self);
  self->pause = g_timeout_add (PAUSE_MS, pause_over_cb, self);
}

void
lw_runner_cancel (LwRunner *self)
{
  g_return_if_fail (LW_IS_RUNNER (self));
  stop_waiting (self);
  self->wanted = self->due = FALSE;
  self->asked = self->answered;
  if (self->quick != NULL)
    lw_quick_thread_cancel (self->quick);
  if (self->running != NULL)
    g_cancellable_cancel (self->running);
}

void
lw_runner_again (LwRunner *self)
{
  g_return_if_fail (LW_IS_RUNNER (self));
  start (self);
}

void
lw_runner_stop (LwRunner *self)
{
  g_return_if_fail (LW_IS_RUNNER (self));
  lw_runner_cancel (self);
  g_clear_pointer (&self->quick, lw_quick_thread_free);
  g_clear_object (&self->desk_signals);
  g_clear_object (&self->desk);
}

void
lw_runner_set_engine (LwRunner *self, const LwRunnerEngine *engine)
{
  g_return_if_fail (LW_IS_RUNNER (self));
  self->engine = *engine;
}

static void
lw_runner_dispose (GObject *object)
{
  lw_runner_stop (LW_RUNNER (object));
  g_clear_pointer (&LW_RUNNER (object)->judged, lw_judgement_unref);
  G_OBJECT_CLASS (lw_runner_parent_class)->dispose (object);
}

static void
lw_runner_class_init (LwRunnerClass *class)
{
  G_OBJECT_CLASS (class)->dispose = lw_runner_dispose;
}

static void
lw_runner_init (LwRunner *self)
{
  self->engine = predict_engine;
  self->desk_signals = g_signal_group_new (LW_TYPE_DESK);
  g_signal_group_connect_swapped (self->desk_signals, "job-changed", G_CALLBACK (job_changed_cb), self);
  g_signal_group_connect_swapped (self->desk_signals, "notify::dragging", G_CALLBACK (dragging_cb), self);
}

LwRunner *
lw_runner_new (LwDesk *desk)
{
  LwRunner *self = g_object_new (LW_TYPE_RUNNER, NULL);

  self->desk = g_object_ref (desk);
  g_signal_group_set_target (self->desk_signals, desk);
  if (lw_settings () != NULL) {
    g_signal_connect_object (lw_settings (), "changed::stop-percent", G_CALLBACK (judge), self, G_CONNECT_SWAPPED);
    g_signal_connect_object (lw_settings (), "changed::watch-percent", G_CALLBACK (judge), self, G_CONNECT_SWAPPED);
  }
  if (lw_desk_document (desk) != NULL)
    job_changed_cb (self);
  return self;
}
