/* The full solution: a transient march of the whole non-linear network of a scene.
 *
 *   HeatSolver *s = NULL;
 *   heat_solver_new (&scene, &options, &s);   mesh and network; the scene must outlive the solver
 *   heat_solver_run (s, &result);             march from 0 to scene.end_s
 *   heat_solver_free (s); heat_result_free (result);
 *
 * Deterministic: the same scene and options give the same bits, whatever the machine's load.
 */
#ifndef HEAT_SOLVE_H
#define HEAT_SOLVE_H

#include "heat/scene.h"
#include "heat/status.h"

typedef struct HeatSolver HeatSolver;

/* Called between steps with the share done (0..1); returning false cancels the run. */
typedef bool (*HeatProgress) (double done, void *user);

typedef struct {
  double cell_m;      /* finest cell; 0 = default (1 mm) */
  double coarse_m;    /* largest cell far away; equal to cell_m = uniform; 0 = default */
  double step_s;      /* time step; 0 = default (0.5 s) */
  bool adaptive;      /* let the step grow where the solution is smooth */
  double frame_s;     /* spacing of stored fields; 0 = default (1 s) */
  size_t max_nodes;   /* refuse larger meshes; 0 = 4,000,000 */
  double tolerance_k; /* non-linear iteration, largest change; 0 = default (1e-3 K) */
  HeatProgress progress;
  void *user;
} HeatOptions;

/* Temperatures of one body over time, degrees C; arrays of n_times. joint_* are NULL where the body
 * has no joints. joint_* are taken at the joints' own centres, mid-way through the joint. */
typedef struct {
  double *joint_min, *joint_mean, *joint_max;
  double *joint_center; /* under the body's centre */
  double *joint_corner; /* hottest of the joints farthest from the centre */
  double *body_top;     /* centre of the far face */
  double *body_mean;
  double *body_max;     /* hottest place of the body: the highest mean over a square of 2 mm (less where the
                         * body is smaller) of its far face or of a layer inside; a point's would depend
                         * on the mesh where heat enters a poor conductor */
  double *liquid_share; /* share of the joints' mass that is liquid, 0..1 */
} HeatTrace;

/* Surface temperatures of the board at one stored time, row-major [iy * nx + ix]; NaN off the board. */
typedef struct {
  double t_s;
  float *top, *bottom;
} HeatFrame;

/* Energy over the whole run, J. stored = in_nozzle + in_spill + in_preheat - out_room - out_clamps up to
 * imbalance_share, which is |difference| / (sum of the absolute flows). */
typedef struct {
  double in_nozzle, in_spill, in_preheat, out_room, out_clamps, stored, latent_peak;
  double imbalance_share;
} HeatEnergy;

/* How the nozzle and preheater films came about at the time of largest gas flow. */
typedef struct {
  double nozzle_h_w_m2k;      /* film before the finite stream is taken off */
  double nozzle_h_eff_w_m2k;  /* after it */
  double nozzle_reynolds, nozzle_height_ratio, nozzle_radius_ratio;
  bool nozzle_in_range;       /* inside the correlation's published range */
  double gas_power_w;         /* what the delivered gas carries above the room */
  double gas_out_c;           /* as it leaves the box, at the end of gas flow */
  double spill_h_w_m2k;       /* at the wall */
  double preheat_h_w_m2k;     /* mean over the area, film or radiative equivalent, at the end */
  double room_up_h_w_m2k, room_down_h_w_m2k; /* convection + radiation, area means at the end */
} HeatFilmReport;

typedef struct {
  size_t n_times;
  double *t_s; /* [0] = 0 */
  size_t n_bodies;
  HeatTrace *bodies;
  double *joints; /* the target's joints, [time * n_joints + joint], NULL without a target */
  size_t n_joints;
  double *gas_c, *preheat_c; /* as delivered, [n_times]; gas is NaN while off */
  double *board_max, *board_mean; /* [n_times] */
  size_t nx, ny;
  double *x_edges, *y_edges; /* nx + 1, ny + 1, m */
  size_t n_frames;
  HeatFrame *frames;
  double *cell_peak_top, *cell_peak_bottom; /* [ny * nx], NaN off the board */
  HeatEnergy energy;
  HeatFilmReport films;
  size_t n_nodes, n_steps, n_linear_solves, n_cg_iterations;
  double worst_residual; /* largest scaled residual ||Ax-b|| / (||A|| ||x|| + ||b||) accepted */
} HeatResult;

/* Builds mesh and network. *SOLVER is NULL unless HEAT_OK. OPTIONS may be NULL. */
HeatStatus heat_solver_new (const HeatScene *scene, const HeatOptions *options, HeatSolver **solver);
/* Marches the job; *RESULT is NULL unless HEAT_OK. May be called again. */
HeatStatus heat_solver_run (HeatSolver *solver, HeatResult **result);
/* What was wrong with the last call, English, "" when nothing; owned by the solver. */
const char *heat_solver_detail (const HeatSolver *solver);
/* First fault of a scene as static English text, or NULL; heat_solver_new() refuses the same faults. */
const char *heat_scene_fault (const HeatScene *scene);
void heat_solver_free (HeatSolver *solver); /* NULL allowed */
void heat_result_free (HeatResult *result); /* NULL allowed */

#endif
