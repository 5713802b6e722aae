/* Brings a worker's progress to the main context of whoever started it. Inside plan/. */
#ifndef LW_TELLER_H
#define LW_TELLER_H

#include "plan/predict.h"

G_BEGIN_DECLS

typedef struct LwTeller LwTeller;

/* PROGRESS will be called in the thread-default main context of the calling thread. */
LwTeller *lw_teller_new (LwPredictProgress progress, gpointer user);
void lw_teller_free (LwTeller *self); /* what is under way still arrives */
/* From any thread; an LwPredictProgress with the teller as its user data. */
void lw_teller_tell (double done, gpointer teller);

G_END_DECLS

#endif
