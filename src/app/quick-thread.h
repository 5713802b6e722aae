/* A thread that answers by the reduced model. It takes the newest question only: one that comes while it works
 * replaces the one that waits. Models are kept, so that set points cost a march and a moved thing a rebuild near
 * the last. */
#ifndef LW_QUICK_THREAD_H
#define LW_QUICK_THREAD_H

#include "plan/judgement.h"
#include "plan/predict.h"

G_BEGIN_DECLS

typedef struct LwQuickThread LwQuickThread;

/* TICKET is the question's; exactly one of PREDICTION (with its JUDGEMENT) and ERROR is there; all are borrowed.
 * Called in the thread-default main context of lw_quick_thread_new()'s caller, not after
 * lw_quick_thread_free(). Questions that were replaced or called off have no reply. A `rough` answer to a question asked
 * without hurry is followed by a finer one with the same ticket. */
typedef void (*LwQuickReply) (guint64 ticket, LwPrediction *prediction, LwJudgement *judgement, const GError *error,
                              gpointer user);

LwQuickThread *lw_quick_thread_new (LwQuickReply reply, gpointer user);
/* Returns at once; the thread ends when it has let go of what it was doing. NULL allowed. */
void lw_quick_thread_free (LwQuickThread *self);

typedef struct {
  LwJob *job;
  guint plan;
  guint64 ticket;
  gboolean hurry;   /* something is being dragged: an answer on a coarser mesh now (`rough` in the prediction) is worth
                     * more than a finer one later, and what is being computed for its last position is not called
                     * off */
  LwDoubt *doubt;   /* of the last answer, for this one until it has its own; or NULL */
  LwChances chances;
} LwQuickQuestion;

/* Copies QUESTION and takes references. */
void lw_quick_thread_ask (LwQuickThread *self, const LwQuickQuestion *question);
/* Forgets what waits and calls off what runs. */
void lw_quick_thread_cancel (LwQuickThread *self);
/* Models are dropped: another job is looked at. */
void lw_quick_thread_forget (LwQuickThread *self);

G_END_DECLS

#endif
