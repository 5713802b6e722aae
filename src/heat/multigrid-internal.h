/* Inside of the multigrid: its levels. multigrid.c builds them from the conductances, multigrid-update.c takes new row sums,
 * multigrid-cycle.c applies them; what runs in a cycle is all there, so that it is compiled as one loop. */
#ifndef HEAT_MULTIGRID_INTERNAL_H
#define HEAT_MULTIGRID_INTERNAL_H

#include "heat/band.h"
#include "heat/multigrid-axes.h"
#include "heat/multigrid.h"

enum { HEAT_LEVELS_MAX = 16 };

typedef struct {
  HeatLayout layout;
  float *gx, *gy, *gz, *gc, *gsum;
  float *gzsum; /* sum of the conductances along a column */
  float *sum, *diag;
  float *inverse, *lower; /* of the diagonal, or of the columns' tridiagonal factors */
  bool lines;
  float *x, *b, *r, *p;
  float low, high;
  HeatAxis axis[2];
  const HeatLink *pairs; /* of two single nodes that are solved together; none but on the finest level */
  size_t n_pairs;
} HeatLevel;

struct HeatMultigrid {
  const HeatStencil *fine;
  HeatLevel levels[HEAT_LEVELS_MAX];
  size_t n_levels;
  uint32_t *home;  /* node of level 1 each single node belongs to */
  float *links;    /* conductances of the fine links */
  uint32_t *order; /* place of each node of the last level in the band */
  HeatBand band;
  double *work;
  float *factored; /* row sums the factor was made from */
  bool has_factor;
};

/* Visits every conductance G, W/K, of the last level, between its nodes A and B. */
typedef void (*HeatMultigridPair) (HeatMultigrid *mg, size_t a, size_t b, float g);
void heat_multigrid_each_pair (HeatMultigrid *mg, HeatMultigridPair visit);
/* COARSE, a value per node of the level below LEVEL, is set to the sums of FINE over the nodes joined there. */
void heat_multigrid_restrict (const HeatMultigrid *mg, size_t level, const float *fine, float *coarse);

#endif
