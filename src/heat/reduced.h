/* The reduced model: a scene's network projected on a small basis, so that a whole job costs milliseconds.
 *
 *   HeatReduced *model = NULL;
 *   heat_reduced_new (&scene, &options, &model);          mesh, network, basis; the scene must outlive it
 *   HeatReducedRun *run = heat_reduced_run_new (model);   a thread's workspace
 *   HeatDrive drive = heat_drive_of (&scene);             and change what is to be tried
 *   heat_reduced_solve (model, run, &drive, NULL);        march
 *   heat_reduced_figures (model, run, figures);           or
 *   heat_reduced_result (model, run, &result);            traces, as the full solution gives them
 *
 * A model is never written to once it is built: any number of threads may run it, each with a workspace of
 * its own. Geometry is the model's; set points, times, flows, room, and the uncertain inputs are the drive's.
 * Deterministic: the same scene, options and drive give the same bits, whatever the number of threads.
 */
#ifndef HEAT_REDUCED_H
#define HEAT_REDUCED_H

#include "heat/scene.h"
#include "heat/solve.h"
#include "heat/status.h"
#include "heat/workspace.h"

typedef struct HeatReduced HeatReduced;
typedef struct HeatReducedRun HeatReducedRun;

/* How to do several things at once: RUN calls JOB (DATA, i) once for each i below N, in any order and maybe
 * at the same time, and returns when all have returned. heat/ itself starts no thread. */
typedef struct {
  void (*run) (void *pool, size_t n, void (*job) (void *data, size_t i), void *data);
  void *pool;
} HeatParallel;

typedef struct {
  double cell_m, coarse_m;       /* as in HeatOptions; 0 = default */
  size_t max_nodes;              /* as in HeatOptions; 0 = default */
  double error_k;                /* wanted error, by estimate; 0 = default (0.1 K) */
  bool scout;                    /* fewer zones, longer steps, no joints melt but the target's: for searching */
  bool vary_conductance;         /* drives may change scale_conductivity and scale_joint */
  const HeatParallel *parallel;  /* NULL: one thing after the other */
  HeatWorkspace *workspace;      /* of which this model and its runs have their memory, and to which it goes back: see
                                  * workspace.h; NULL: none */
  const HeatReduced *near;       /* a model of a scene that differs in little (a moved nozzle or part, another
                                  * preheat area), in which the same bodies may lie elsewhere): how warm it gets is
                                  * taken from it, and its responses, if it had a workspace, are where this one's are
                                  * solved for from, to the same accuracy. So a model depends on it within its error. Only
                                  * read, during the call, with its scene as it was; NULL: none */
  double (*clock_s) (void);      /* for the report's times; NULL: they are 0 */
  HeatProgress progress;         /* false cancels */
  void *user;
} HeatReducedOptions;

/* How a model came about. Seconds are of the options' clock. */
typedef struct {
  size_t n_nodes, n_basis, n_zones, n_melt_zones, n_solves, n_cg_iterations;
  double error_k; /* by estimate, K: a tenth of what the last sweep of the basis moved the scene's own job by */
  double mesh_s, responses_s, marches_s, projection_s, readers_s;
  size_t bytes;   /* held after the build */
} HeatReducedReport;

/* What a run may vary without a new model. All scales: 1 = as computed. */
typedef struct {
  HeatTable gas_set_c, flow_m3_s, preheat_set_c; /* borrowed until the next solve */
  double end_s;
  double mark_s; /* a moment of interest, as the one at which a part is lifted: see HeatFigures; NAN = end_s */
  double air_c, start_c;
  double gas_add_k, preheat_add_k; /* delivered minus asked for */
  double gas_lag_s, preheat_lag_s; /* of the heaters */
  double scale_nozzle_film, scale_spill_film, scale_preheat_film, scale_room_film;
  double scale_conductivity; /* of board and meshed bodies, in plane and through */
  double scale_capacity;     /* of everything */
  double scale_joint;        /* conductances of the target's joints, leads and gap */
  double scale_emissivity;   /* of board and parts; the product is kept at 1 or less */
} HeatDrive;

typedef struct {
  double step_s;     /* fixed steps; 0 = as long as an error estimate allows */
  bool linear;       /* reference slopes only, no zone terms, no latent heat (for proof and measurement) */
  bool no_figures;   /* none will be asked for, but a result: their series, of thousands of bodies, take hundreds of MB */
} HeatReducedWants;

/* Figures of one body over a run; NaN where it has none (no joints, never reached). */
typedef struct {
  double joint_peak_c;        /* highest of the hottest joint */
  double joint_cold_peak_c;   /* highest of the coldest joint */
  double joint_center_peak_c, joint_corner_peak_c;
  double body_peak_c;         /* highest of body_max, see HeatTrace */
  double body_top_peak_c;
  double ramp_up_k_s, ramp_down_k_s; /* of the middle of the body's far face, over 5 s windows */
  double above_liquidus_s;    /* coldest joint */
  double above_liquidus_hot_s; /* hottest joint */
  double joint_ramp_up_k_s;   /* of the joints' mean, over 5 s windows */
  double joint_cold_mark_c;   /* highest of the coldest joint up to the drive's mark_s */
  double liquid_s;            /* when the coldest joint has passed its liquidus, first time */
  double spread_k;            /* largest of hottest minus coldest joint while the coldest is liquid, up to mark_s; when
                               * it never is: at the coldest joint's hottest moment up to then */
} HeatFigures;

/* *MODEL is NULL unless HEAT_OK. OPTIONS may be NULL. */
HeatStatus heat_reduced_new (const HeatScene *scene, const HeatReducedOptions *options, HeatReduced **model);
void heat_reduced_free (HeatReduced *model); /* NULL allowed */
const HeatReducedReport *heat_reduced_report (const HeatReduced *model);

/* NULL when memory is short. */
HeatReducedRun *heat_reduced_run_new (const HeatReduced *model);
void heat_reduced_run_free (HeatReducedRun *run); /* NULL allowed */

/* The scene's own set points, times, room and scales. */
HeatDrive heat_drive_of (const HeatScene *scene);

/* Marches one job; WANTS may be NULL. On anything but HEAT_OK the run holds no answer, and
 * heat_reduced_detail() says why. Allocates only when the run has to grow. */
HeatStatus heat_reduced_solve (const HeatReduced *model, HeatReducedRun *run, const HeatDrive *drive,
                               const HeatReducedWants *wants);
const char *heat_reduced_detail (const HeatReducedRun *run); /* owned by the run */

/* Of any result of SCENE: FIGURES [scene.n_bodies]; MARK_S as in HeatDrive. */
void heat_figures (const HeatScene *scene, const HeatResult *result, double mark_s, HeatFigures *figures);

/* Of the run's last solve: FIGURES [scene.n_bodies]; all NaN after no_figures. */
void heat_reduced_figures (const HeatReduced *model, HeatReducedRun *run, HeatFigures *figures);
/* Highest temperature of the board's surface over the last solve, C; NaN after no_figures. */
double heat_reduced_board_peak (const HeatReduced *model, HeatReducedRun *run);
/* Of the target alone (one entry); cheaper. */
void heat_reduced_target_figures (const HeatReduced *model, HeatReducedRun *run, HeatFigures *figures);
/* Everything the full solution's result has but frames and cell peaks (n_frames 0, cell_peak NULL): freed
 * with heat_result_free(). n_steps, n_times and energy are the reduced march's. */
HeatStatus heat_reduced_result (const HeatReduced *model, HeatReducedRun *run, HeatResult **result);

/* The last solve's states, so that fields can be asked for later: n_times moments and their
 * coefficients; freed with heat_reduced_past_free(). NULL when memory is short. */
typedef struct HeatReducedPast HeatReducedPast;
HeatReducedPast *heat_reduced_past_new (const HeatReduced *model, const HeatReducedRun *run);
void heat_reduced_past_free (HeatReducedPast *past); /* NULL allowed */
/* Board surface at a moment (straight between the states), nx * ny as in HeatFrame; either may be NULL. All NaN
 * when memory is short. */
void heat_reduced_field (const HeatReduced *model, const HeatReducedPast *past, double t_s, float *top,
                         float *bottom);

#endif
