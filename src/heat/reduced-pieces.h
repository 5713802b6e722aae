/* Work over all nodes in pieces that may be done at the same time: always the same pieces, and what they sum up is
 * added in their order, so that the number of threads does not show in the result. */
#ifndef HEAT_REDUCED_PIECES_H
#define HEAT_REDUCED_PIECES_H

#include "heat/reduced-cross.h"
#include "heat/reduced.h"

enum { HEAT_PIECES = 4 };

/* The first node of piece I of N nodes; that of piece HEAT_PIECES is N. */
static inline size_t
heat_piece (size_t n, size_t i)
{
  size_t runs = (n + HEAT_CROSS_RUN - 1) / HEAT_CROSS_RUN, at = runs * i / HEAT_PIECES * HEAT_CROSS_RUN;
  return at < n ? at : n;
}

/* JOB (DATA, i) for each i below N; PARALLEL may be NULL. */
static inline void
heat_do_pieces (const HeatParallel *parallel, size_t n, void (*job) (void *, size_t), void *data)
{
  if (parallel)
    parallel->run (parallel->pool, n, job, data);
  else
    for (size_t i = 0; i < n; i++)
      job (data, i);
}

#endif
