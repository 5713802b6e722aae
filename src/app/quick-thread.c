#include "app/quick-thread.h"

#include "plan/background.h"
#include "plan/compact.h"
#include "plan/doubt.h"
#include "plan/quick.h"

/* An answer that takes longer than this does not follow a hand: a coarser mesh is tried, up to the coarsest. */
#define LIVE_S 0.03
/* The first is for a hand at rest: the full solution follows it, so it has to be there long before. */
static const struct {
  double cell_mm, coarse_mm;
  gboolean scout;
} MESHES[] = { { 3, 10, FALSE }, { 3, 10, TRUE }, { 4, 12, TRUE }, { 6, 15, TRUE } };

/* A model on one mesh, its workspace, and what the last rebuild took. */
typedef struct {
  LwQuick *quick;
  LwQuickRun *run;
  LwCompact *compact; /* NULL: it has not been learned from */
  HeatCompactRun *guess;
  double rebuild_s;
} Model;

struct LwQuickThread {
  gint ref_count; /* the owner's and the thread's */
  GMutex lock;    /* guards up to the next blank line */
  GCond wake;
  LwQuickQuestion *next;
  GCancellable *running;
  gboolean in_hurry; /* what runs is */
  gboolean forget, closed;

  GMainContext *context;
  LwQuickReply reply;
  gpointer user;
  Model models[G_N_ELEMENTS (MESHES)]; /* the thread's own */
  guint live; /* mesh for what is dragged */
};

typedef struct {
  LwQuickThread *thread;
  guint64 ticket;
  LwPrediction *prediction;
  LwJudgement *judgement;
  GError *error;
} Answer;

static void
question_free (LwQuickQuestion *question)
{
  if (question == NULL)
    return;
  lw_job_unref (question->job);
  lw_doubt_unref (question->doubt);
  g_free (question);
}

static void
model_clear (Model *model)
{
  g_clear_pointer (&model->guess, heat_compact_run_free);
  g_clear_pointer (&model->compact, lw_compact_unref);
  g_clear_pointer (&model->run, lw_quick_run_free);
  g_clear_pointer (&model->quick, lw_quick_unref);
}

static void
thread_unref (LwQuickThread *self)
{
  if (!g_atomic_int_dec_and_test (&self->ref_count))
    return;
  question_free (self->next);
  g_main_context_unref (self->context);
  g_mutex_clear (&self->lock);
  g_cond_clear (&self->wake);
  g_free (self);
}

/* ---- answers, back in the owner's context ---- */

static void
answer_free (gpointer data)
{
  Answer *answer = data;

  g_clear_pointer (&answer->prediction, lw_prediction_unref);
  g_clear_pointer (&answer->judgement, lw_judgement_unref);
  g_clear_error (&answer->error);
  thread_unref (answer->thread);
  g_free (answer);
}

static gboolean
deliver (gpointer data)
{
  Answer *answer = data;
  gboolean closed;

  g_mutex_lock (&answer->thread->lock);
  closed = answer->thread->closed;
  g_mutex_unlock (&answer->thread->lock);
  if (!closed)
    answer->thread->reply (answer->ticket, answer->prediction, answer->judgement, answer->error,
                           answer->thread->user);
  return G_SOURCE_REMOVE;
}

static void
send (LwQuickThread *self, Answer *answer)
{
  g_autoptr (GSource) source = g_idle_source_new ();

  answer->thread = self;
  g_atomic_int_inc (&self->ref_count);
  g_source_set_priority (source, G_PRIORITY_DEFAULT);
  g_source_set_callback (source, deliver, answer, answer_free);
  g_source_attach (source, self->context);
}

/* ---- the work ---- */

static gboolean
rebuild (Model *model, guint mesh, const LwQuickQuestion *question, GCancellable *cancellable, GError **error)
{
  LwQuickOptions options = { .cell_mm = MESHES[mesh].cell_mm,
                             .coarse_mm = MESHES[mesh].coarse_mm,
                             .scout = MESHES[mesh].scout,
                             .near = model->quick };
  gint64 start = g_get_monotonic_time ();
  LwQuick *quick = lw_quick_new (question->job, question->plan, &options, cancellable, NULL, NULL, error);

  if (quick == NULL)
    return FALSE;
  model_clear (model);
  model->quick = quick;
  model->run = lw_quick_run_new (quick);
  model->rebuild_s = 1e-6 * (double) (g_get_monotonic_time () - start);
  return TRUE;
}

static gboolean
fits (const Model *model, const LwQuickQuestion *question)
{
  return model->quick != NULL && lw_quick_fits (model->quick, question->job, question->plan);
}

/* The finest mesh that can answer as fast as a hand moves: one whose model still fits, else one that is rebuilt
 * in time. What a rebuild takes is known only after it was done. */
static guint
choose_mesh (LwQuickThread *self, const LwQuickQuestion *question)
{
  if (!question->hurry)
    return 0;
  for (guint i = 1; i <= self->live; i++)
    if (fits (&self->models[i], question))
      return i;
  while (self->live + 1 < G_N_ELEMENTS (MESHES) && self->models[self->live].rebuild_s > LIVE_S)
    self->live++;
  return self->live;
}

static LwPrediction *
predict_on (LwQuickThread *self, guint mesh, const LwQuickQuestion *question, GCancellable *cancellable,
            GError **error)
{
  Model *model = &self->models[mesh];
  gint64 start = g_get_monotonic_time ();
  LwPrediction *answer;

  if (!fits (model, question) && !rebuild (model, mesh, question, cancellable, error))
    return NULL;
  answer = lw_quick_answer (model->quick, model->run, question->job, question->plan, error);
  if (answer == NULL)
    return NULL;
  answer->rough = mesh > 0;
  answer->seconds = 1e-6 * (double) (g_get_monotonic_time () - start);
  return answer;
}

/* What does not converge on a coarser mesh or near an older model is tried from scratch on the first. */
static LwPrediction *
predict (LwQuickThread *self, const LwQuickQuestion *question, GCancellable *cancellable, GError **error)
{
  LwPrediction *answer = predict_on (self, choose_mesh (self, question), question, cancellable, error);

  if (answer != NULL || !g_error_matches (*error, LW_PREDICT_ERROR, LW_PREDICT_ERROR_SOLVER))
    return answer;
  g_clear_error (error);
  model_clear (&self->models[0]);
  return predict_on (self, 0, question, cancellable, error);
}

static void
judge_and_send (LwQuickThread *self, const LwQuickQuestion *question, Answer *answer)
{
  answer->ticket = question->ticket;
  if (answer->prediction != NULL) {
    if (question->doubt != NULL)
      lw_prediction_set_doubt (answer->prediction, question->doubt);
    answer->judgement
      = lw_judgement_new (question->job, question->plan, answer->prediction, &question->chances, NULL);
  }
  if (g_error_matches (answer->error, G_IO_ERROR, G_IO_ERROR_CANCELLED)) {
    g_error_free (answer->error);
    g_free (answer);
    return;
  }
  send (self, answer);
}

/* ---- set points ---- */

/* The mesh whose compact model answers edits of set points. */
enum { GUESSED = 1 };

/* An answer in milliseconds, when nothing but set points and times differs from what was learned. */
static gboolean
guess (LwQuickThread *self, const LwQuickQuestion *question)
{
  Model *model = &self->models[GUESSED];
  LwPrediction *prediction = NULL;

  if (model->compact != NULL)
    prediction = lw_compact_answer (model->compact, model->guess, question->job, question->plan, NULL);
  if (prediction == NULL)
    return FALSE;
  Answer *answer = g_new0 (Answer, 1);
  answer->prediction = prediction;
  judge_and_send (self, question, answer);
  return TRUE;
}

/* The hand is at rest and its answer is out: time to learn what edits of set points will do. */
static void
learn (LwQuickThread *self, const LwQuickQuestion *question, GCancellable *cancellable)
{
  Model *model = &self->models[GUESSED];

  if (model->compact != NULL && fits (model, question))
    return;
  if (!fits (model, question) && !rebuild (model, GUESSED, question, cancellable, NULL))
    return;
  g_clear_pointer (&model->guess, heat_compact_run_free);
  g_clear_pointer (&model->compact, lw_compact_unref);
  LwCompact *compact = lw_compact_new_live (model->quick, cancellable, NULL);
  HeatCompactRun *run = compact != NULL ? heat_compact_run_new (lw_compact_model (compact)) : NULL;
  if (run == NULL) {
    lw_compact_unref (compact);
    return;
  }
  model->compact = compact;
  model->guess = run;
}

static void
work_on (LwQuickThread *self, const LwQuickQuestion *question, GCancellable *cancellable)
{
  gboolean guessed = guess (self, question);
  Answer *answer;

  if (guessed && question->hurry)
    return;
  answer = g_new0 (Answer, 1);
  answer->prediction = predict (self, question, cancellable, &answer->error);
  judge_and_send (self, question, answer);
  if (!question->hurry)
    learn (self, question, cancellable);
}

static void
drop_models (LwQuickThread *self)
{
  for (guint i = 0; i < G_N_ELEMENTS (self->models); i++) {
    model_clear (&self->models[i]);
    self->models[i].rebuild_s = 0;
  }
  self->live = 1;
}

/* The next question, or NULL when it is over. */
static LwQuickQuestion *
wait_for_question (LwQuickThread *self, GCancellable **cancellable)
{
  LwQuickQuestion *question;

  g_mutex_lock (&self->lock);
  g_clear_object (&self->running);
  while (self->next == NULL && !self->closed && !self->forget)
    g_cond_wait (&self->wake, &self->lock);
  if (self->forget) {
    self->forget = FALSE;
    drop_models (self);
  }
  while (self->next == NULL && !self->closed)
    g_cond_wait (&self->wake, &self->lock);
  question = self->closed ? NULL : g_steal_pointer (&self->next);
  if (question != NULL) {
    self->running = g_cancellable_new ();
    self->in_hurry = question->hurry;
    *cancellable = g_object_ref (self->running);
  }
  g_mutex_unlock (&self->lock);
  return question;
}

static gpointer
thread_main (gpointer data)
{
  LwQuickThread *self = data;
  GCancellable *cancellable = NULL;
  LwQuickQuestion *question;

  lw_background_thread ();
  while ((question = wait_for_question (self, &cancellable)) != NULL) {
    work_on (self, question, cancellable);
    g_clear_object (&cancellable);
    question_free (question);
  }
  drop_models (self);
  thread_unref (self);
  return NULL;
}

/* ---- the owner's side ---- */

LwQuickThread *
lw_quick_thread_new (LwQuickReply reply, gpointer user)
{
  LwQuickThread *self = g_new0 (LwQuickThread, 1);

  self->ref_count = 2;
  self->live = 1;
  self->reply = reply;
  self->user = user;
  self->context = g_main_context_ref_thread_default ();
  g_mutex_init (&self->lock);
  g_cond_init (&self->wake);
  g_thread_unref (g_thread_new ("quick answers", thread_main, self));
  return self;
}

static void
call_off (LwQuickThread *self)
{
  g_clear_pointer (&self->next, question_free);
  if (self->running != NULL)
    g_cancellable_cancel (self->running);
}

void
lw_quick_thread_free (LwQuickThread *self)
{
  if (self == NULL)
    return;
  g_mutex_lock (&self->lock);
  self->closed = TRUE;
  call_off (self);
  g_cond_signal (&self->wake);
  g_mutex_unlock (&self->lock);
  thread_unref (self);
}

void
lw_quick_thread_ask (LwQuickThread *self, const LwQuickQuestion *question)
{
  LwQuickQuestion *own = g_memdup2 (question, sizeof *question);

  lw_job_ref (own->job);
  if (own->doubt != NULL)
    lw_doubt_ref (own->doubt);
  g_mutex_lock (&self->lock);
  question_free (self->next);
  self->next = own;
  if (self->running != NULL && !(self->in_hurry && own->hurry))
    g_cancellable_cancel (self->running);
  g_cond_signal (&self->wake);
  g_mutex_unlock (&self->lock);
}

void
lw_quick_thread_cancel (LwQuickThread *self)
{
  g_mutex_lock (&self->lock);
  call_off (self);
  g_mutex_unlock (&self->lock);
}

void
lw_quick_thread_forget (LwQuickThread *self)
{
  g_mutex_lock (&self->lock);
  call_off (self);
  self->forget = TRUE;
  g_cond_signal (&self->wake);
  g_mutex_unlock (&self->lock);
}
