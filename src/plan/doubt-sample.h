/* Doubt by sampling: the uncertain inputs are drawn all at once, and each draw is run through the compact model, which
 * has learned from the reduced model what each input does alone and some of them together; then each input is moved
 * alone. Only changes against the run with nothing moved are kept. */
#ifndef LW_DOUBT_SAMPLE_H
#define LW_DOUBT_SAMPLE_H

#include "plan/doubt.h"
#include "plan/quick.h"
#include "plan/solve-scene.h"

G_BEGIN_DECLS

typedef struct {
  guint samples; /* 0 = lw_doubt_samples_for() */
  guint curves;  /* of them, how many also give bands over time; 0 = 256, at most all */
  guint threads; /* 0 = as many as there are processors, at most 4 */
  guint64 seed;  /* 0 = 1; another seed shows what chance there is in the draws themselves */
} LwDoubtOptions;

/* The doubt of what QUICK predicts for DRIVE (NULL: its own plan); QUICK can vary conductance. IN_RANGE: the nozzle
 * works within the published range of its film; where it does not, the film's spread is doubled. The same for the same
 * QUICK, DRIVE, samples, curves and seed, bit by bit, whatever the threads. OPTIONS, WATCH and ERROR may be NULL;
 * progress is told in the caller's thread. NULL with LW_PREDICT_ERROR or G_IO_ERROR_CANCELLED. */
LwDoubt *lw_doubt_sample (LwQuick *quick, const HeatDrive *drive, gboolean in_range, const LwDoubtOptions *options,
                          const LwWatch *watch, GError **error);
/* The same of a plan of JOB, on coarse cells of its own: good for what changes by how much. */
LwDoubt *lw_doubt_of_plan (LwJob *job, guint plan, gboolean in_range, const LwDoubtOptions *options,
                           const LwWatch *watch, GError **error);

/* How many samples are drawn unless somebody says otherwise: 1,000 for up to 2,000 bodies, fewer for more, 256 at least. */
guint lw_doubt_samples_for (guint n_bodies);
/* The spreads of a case: what it does not have is not moved. */
void lw_doubt_spreads (const LwCase *of, gboolean in_range, LwUnsureSpreads *out);
/* Moves DRIVE by one row of standard normal numbers [LW_N_UNSURE]. */
void lw_doubt_move (HeatDrive *drive, const LwUnsureSpreads *spreads, const double *z);

G_END_DECLS

#endif
