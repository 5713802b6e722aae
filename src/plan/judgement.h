/* Findings that are kept, so that after an edit only what has changed is judged anew: on a board of thousands of parts
 * nearly all of them are as they were. */
#ifndef LW_JUDGEMENT_H
#define LW_JUDGEMENT_H

#include "plan/findings.h"

G_BEGIN_DECLS

typedef struct _LwJudgement LwJudgement;

/* Judges as lw_judge_at(), with the same findings in the same order. BEFORE (NULL: none) is an earlier judgement of any
 * job: what it says of a part is shared where the part, its temperatures and all that counts for it are the same. May be
 * made in one thread and used in another. */
LwJudgement *lw_judgement_new (LwJob *job, guint plan, LwPrediction *prediction, const LwChances *chances,
                               const LwJudgement *before);
LwJudgement *lw_judgement_ref (LwJudgement *self);
void lw_judgement_unref (LwJudgement *self); /* NULL allowed */
GPtrArray *lw_judgement_findings (const LwJudgement *self); /* transfer none */
/* Of how many parts BEFORE's findings were taken over. */
guint lw_judgement_n_kept (const LwJudgement *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwJudgement, lw_judgement_unref)

G_END_DECLS

#endif
