/* The solver's insides, for tests that need what the interface does not offer: a failing allocation, an
 * initial field, the network itself. */
#ifndef HEAT_SOLVE_INTERNAL_H
#define HEAT_SOLVE_INTERNAL_H

#include "heat/march.h"

/* Largest default cell: with it, halving all cells of the benchmark job with five bodies moves no figure
 * by more than 0.5 K (tests/heat/test-solve-mesh.c). */
#define HEAT_DEFAULT_COARSE_M 5e-3
#define HEAT_DEFAULT_CELL_M 1e-3
#define HEAT_DEFAULT_MAX_NODES 4000000

struct HeatSolver {
  HeatArena arena;
  const HeatScene *scene;
  HeatOptions options; /* defaults filled in */
  HeatNetwork net;
  HeatFaces faces;
  HeatMultigrid *mg;
  HeatMarch march;
  size_t fixed_steps; /* steps of a march with the base step */
  double (*initial) (double x, double y, size_t layer, void *user); /* board's start; NULL: start_c */
  void *initial_user;
  long countdown; /* for the result's arena of the next run */
  char detail[256];
};

/* What a result lies in: heat_result_free() frees the arena. */
typedef struct {
  HeatResult result;
  HeatArena arena;
} HeatOwnedResult;

/* As heat_solver_new(), with the COUNTDOWN-th request for memory failing (< 0: none). */
HeatStatus heat_solver_new_counted (const HeatScene *scene, const HeatOptions *options, long countdown,
                                    HeatSolver **solver);
/* The next moment at which the march must stop after T: a knot of any table, or the end. */
double heat_next_moment (const HeatScene *scene, double t_s);

#endif
