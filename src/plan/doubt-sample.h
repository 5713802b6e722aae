/* Doubt by sampling: the uncertain inputs are drawn all at once and each draw is run through the reduced
 * model; then each input is moved alone. */
#ifndef LW_DOUBT_SAMPLE_H
#define LW_DOUBT_SAMPLE_H

#include "plan/doubt.h"
#include "plan/quick.h"

G_BEGIN_DECLS

typedef struct {
  guint samples; /* 0 = 1000 */
  guint curves;  /* of them, how many also give bands over time; 0 = 128, at most all */
  guint threads; /* 0 = as many as there are processors, at most 4 */
  guint64 seed;  /* 0 = 1; another seed shows what chance there is in the draws themselves */
} LwDoubtOptions;

/* The doubt of what QUICK predicts for DRIVE (NULL: its own plan). IN_RANGE: the nozzle works within the
 * published range of its film; where it does not, the film's spread is doubled. The same for the same QUICK,
 * DRIVE, samples, curves and seed, bit by bit, whatever the threads. OPTIONS, CANCELLABLE, PROGRESS and ERROR
 * may be NULL; PROGRESS is called from the caller's thread. NULL with LW_PREDICT_ERROR or
 * G_IO_ERROR_CANCELLED. */
LwDoubt *lw_doubt_sample (LwQuick *quick, const HeatDrive *drive, gboolean in_range, const LwDoubtOptions *options,
                          GCancellable *cancellable, LwPredictProgress progress, gpointer user, GError **error);

/* The spreads of a case: what it does not have is not moved. */
void lw_doubt_spreads (const LwCase *of, gboolean in_range, LwUnsureSpreads *out);
/* Moves DRIVE by one row of standard normal numbers [LW_N_UNSURE]. */
void lw_doubt_move (HeatDrive *drive, const LwUnsureSpreads *spreads, const double *z);

G_END_DECLS

#endif
