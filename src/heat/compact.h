/* The compact model: a reduced model projected once more, on the few directions that a job's plans make use of, so
 * that a whole job costs some tenths of a millisecond.
 *
 *   HeatCompact *compact = NULL;
 *   heat_compact_new (reduced, drives, n, &options, &compact);   lessons: marches of the reduced model
 *   HeatCompactRun *run = heat_compact_run_new (compact);        a thread's workspace
 *   heat_compact_solve (compact, run, &drive, NULL);             march
 *   heat_compact_figures (compact, run, figures);
 *
 * It learns from marches of the reduced model: their states give the directions, their figures the readings. Between
 * the drives it learned from it is good to a kelvin or so (heat_compact_report()); far outside them it is a guess.
 * It ranks plans and samples doubts; the reduced model and the full solution certify.
 *
 * A model is never written to once it is built: any number of threads may run it, each with a workspace of its own.
 * The reduced model must outlive it. Deterministic: the same model, lessons and drive give the same bits, whatever
 * the number of threads. */
#ifndef HEAT_COMPACT_H
#define HEAT_COMPACT_H

#include "heat/reduced.h"

typedef struct HeatCompact HeatCompact;
typedef struct HeatCompactRun HeatCompactRun;

/* What is asked of a body besides the peaks of its joints and of itself, one bit each. The target has it all. */
enum {
  HEAT_COMPACT_RAMPS = 1,  /* ramp_up_k_s, ramp_down_k_s */
  HEAT_COMPACT_SHAPE = 2,  /* joint_center_peak_c, joint_corner_peak_c */
  HEAT_COMPACT_JOINTS = 4, /* the coldest joint and the mean: the rest of HeatFigures */
};

typedef struct {
  const unsigned char *asked;   /* [n_bodies], bits of the above; NULL: all of all bodies */
  bool whole;                   /* what heat_compact_result() and heat_compact_past_new() need is kept; asks all of all */
  const HeatParallel *parallel; /* lessons are marched so; NULL: one after the other */
  double (*clock_s) (void);     /* for the report's times; NULL: they are 0 */
  HeatProgress progress;        /* false cancels */
  bool (*stopped) (void *user); /* true cancels; asked before each lesson, on any of PARALLEL's threads; or NULL */
  void *user;
} HeatCompactOptions;

typedef struct {
  size_t n_vectors, n_zones, n_rows, n_lessons, n_moments;
  double left_k;  /* of the lessons' states, what the directions leave out: root mean square, K */
  double apart_k; /* of the lessons' readings: 99th percentile of the distance from the reduced model, K */
  double lessons_s, fit_s;
  size_t bytes;
} HeatCompactReport;

/* Lessons: the first of DRIVES is the job as it stands, the others spread over what will be tried. *COMPACT is NULL
 * unless HEAT_OK; HEAT_NOT_CONVERGED when the first cannot be marched (of the others such are passed over). OPTIONS
 * may be NULL. */
HeatStatus heat_compact_new (const HeatReduced *model, const HeatDrive *drives, size_t n_drives,
                             const HeatCompactOptions *options, HeatCompact **compact);
void heat_compact_free (HeatCompact *compact); /* NULL allowed */
const HeatCompactReport *heat_compact_report (const HeatCompact *compact);

HeatCompactRun *heat_compact_run_new (const HeatCompact *compact); /* NULL when memory is short */
void heat_compact_run_free (HeatCompactRun *run);                   /* NULL allowed */

/* Marches one job; of WANTS (may be NULL) `linear` counts alone. HEAT_BAD_SCENE for a drive that
 * heat_reduced_solve() would not take either, HEAT_NOT_CONVERGED when a temperature is not a number; then the run holds
 * no answer. Allocates only when the run has to grow. */
HeatStatus heat_compact_solve (const HeatCompact *compact, HeatCompactRun *run, const HeatDrive *drive,
                               const HeatReducedWants *wants);

/* Of the last solve: FIGURES [scene.n_bodies], NAN where nothing was asked. */
void heat_compact_figures (const HeatCompact *compact, HeatCompactRun *run, HeatFigures *figures);
double heat_compact_board_peak (const HeatCompact *compact, HeatCompactRun *run);
/* Of the target alone (one entry); cheaper. */
void heat_compact_target_figures (const HeatCompact *compact, HeatCompactRun *run, HeatFigures *figures);

/* A series of the last solve: which of the values in HeatTrace. */
typedef enum {
  HEAT_SERIES_BODY_MAX,
  HEAT_SERIES_JOINT_MAX,
  HEAT_SERIES_BODY_TOP,
  HEAT_SERIES_JOINT_CENTER,
  HEAT_SERIES_JOINT_CORNER,
  HEAT_SERIES_JOINT_MIN,
  HEAT_SERIES_JOINT_MEAN,
  HEAT_N_SERIES
} HeatSeries;

/* Moments of a run that has been solved, and when the AT-th of them is, s from the start, AT < heat_compact_n_times();
 * none before it is solved. */
size_t heat_compact_n_times (const HeatCompactRun *run);
double heat_compact_time (const HeatCompactRun *run, size_t at);
/* OUT [heat_compact_n_times()]: degrees C; false (OUT untouched) when nothing was asked of it. */
bool heat_compact_series (const HeatCompact *compact, HeatCompactRun *run, size_t body, HeatSeries series, float *out);

/* Of a model that was asked for WHOLE, the last solve as heat_reduced_result() gives it, but for films and energy (0), and
 * liquid shares by the coldest and hottest joint; and its states for heat_reduced_field(). */
HeatStatus heat_compact_result (const HeatCompact *compact, HeatCompactRun *run, HeatResult **result);
HeatReducedPast *heat_compact_past_new (const HeatCompact *compact, const HeatCompactRun *run); /* NULL: no memory */

#endif
