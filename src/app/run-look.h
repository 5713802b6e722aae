/* The first look at an answer that has just come: how far the quick one before it was off, and what it means. On a board
 * of thousands of parts that takes most of a second, so it is done in a thread before the answer is shown. */
#ifndef LW_RUN_LOOK_H
#define LW_RUN_LOOK_H

#include <gio/gio.h>

#include "plan/judgement.h"

G_BEGIN_DECLS

typedef struct {
  LwJob *job; /* that ANSWER is for */
  guint plan;
  LwPrediction *answer; /* nobody else's until the look is over */
  LwPrediction *before; /* what was shown until now, or NULL */
  gboolean same_version; /* BEFORE is for the same version of the job */
  LwChances chances;
} LwLook;

/* ANSWER is told how far BEFORE was off when it was the quick answer to the same, and keeps its doubt until it has its
 * own. */
void lw_look_compare (const LwLook *look);
/* Compares and judges in a thread; references are taken. */
void lw_look_async (const LwLook *look, GAsyncReadyCallback callback, gpointer user_data);
/* What the look has found, and of which answer; both transfer full. */
LwJudgement *lw_look_finish (GAsyncResult *result, LwPrediction **answer);

G_END_DECLS

#endif
