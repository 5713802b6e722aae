/* The sources a network answers to: each with the state of the station in which it acts. */
#ifndef HEAT_REDUCED_INPUTS_H
#define HEAT_REDUCED_INPUTS_H

#include "heat/reduced-internal.h"

enum { HEAT_INPUTS_MAX = 16 };

typedef struct {
  bool gas_on, pre_on;
  float *w; /* W per node */
} HeatInput;

/* The sources of the model's scene, by its laws; *N <= HEAT_INPUTS_MAX. False when memory is short. */
bool heat_inputs_list (HeatArena *arena, const HeatReduced *model, HeatInput *inputs, size_t *n);
/* Weights of the laws while an input acts. */
HeatMoment heat_input_moment (bool gas_on, bool pre_on);

#endif
