/* What a fit told and was kept: figures of the newest fit of a job that is kept, as a plan can use them. The film under
 * the nozzle and the spill hold for the nozzle the run was made with, the joints for the part it was made on; the room's
 * temperature was that day's, and is not kept. */
#ifndef LW_KEPT_H
#define LW_KEPT_H

#include "board/job.h"
#include "plan/unsure.h"

G_BEGIN_DECLS

/* What a fit moves: the inputs of unsure.h, then the heaters' lags (factors). */
#define LW_FIT_GAS_LAG LW_N_UNSURE
#define LW_FIT_PREHEAT_LAG (LW_N_UNSURE + 1)
#define LW_N_FIT (LW_N_UNSURE + 2)

/* Lags: the middle 95 % lie between 1/1.5 and 1.5 of what the station says; no source. */
#define LW_FIT_LAG_SPREAD 0.5

/* The word of a figure (< LW_N_FIT) in files; static. */
const char *lw_fit_figure_key (guint figure);
const char *lw_fit_figure_name (guint figure); /* translated */
/* Factors are of their median 1; others are K that are added. */
gboolean lw_fit_is_factor (guint figure);

typedef struct {
  const LwFit *of;        /* NULL: nothing is kept; as long as the job */
  gboolean known[LW_N_FIT];
  double value[LW_N_FIT]; /* factor (1 when not known) or K (0) */
  double sigma[LW_N_FIT]; /* of a factor's logarithm, or K; meaningless when not known */
  double ties[LW_N_FIT * LW_N_FIT];
} LwKeptFigures;

/* What the fit in use of JOB tells of plan PLAN; OUT is written whole, and knows nothing when there is none. */
void lw_kept_find (const LwJob *job, guint plan, LwKeptFigures *out);
/* Makes SPREADS as narrow as was told, and ties them accordingly. */
void lw_kept_narrow (const LwKeptFigures *self, LwUnsureSpreads *spreads);

G_END_DECLS

#endif
