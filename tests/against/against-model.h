/* The reduced model on the job of against-case.h, of the sizes that a program was given. */
#ifndef AGAINST_MODEL_H
#define AGAINST_MODEL_H

#include <stdlib.h>

#include "heat/reduced.h"

/* ARGV[3] and ARGV[4], where they are: cells near the target and far from it, mm; else the default mesh. Exits when there is none. */
static inline HeatReduced *
against_reduced (const HeatScene *scene, int argc, char **argv)
{
  HeatReducedOptions options = { 0 };
  if (argc > 4) {
    options.cell_m = atof (argv[3]) * 1e-3;
    options.coarse_m = atof (argv[4]) * 1e-3;
  }
  HeatReduced *model = NULL;
  if (heat_reduced_new (scene, &options, &model) != HEAT_OK)
    exit (EXIT_FAILURE);
  return model;
}

#endif
