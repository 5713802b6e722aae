/* Laws linear in temperature for the faces of a network, or for zones of them. */
#ifndef HEAT_REDUCED_LAWS_H
#define HEAT_REDUCED_LAWS_H

#include "heat/reduced-internal.h"

/* The state the laws are taken at: gas at its largest flow, preheat at its largest. */
void heat_reference_find (const HeatScene *scene, double inside_m2, HeatReference *reference);
bool heat_laws_new (HeatArena *arena, size_t n, HeatLaws *laws);
/* Leaves FACES stale. */
void heat_laws_fill (const HeatScene *scene, const HeatReference *reference, HeatFaces *faces,
                     HeatLaws *laws);
/* Weights and strengths of the laws under ENV. */
void heat_moment_of (const HeatReduced *model, const HeatScene *scene, const HeatDrive *drive,
                     const HeatEnvironment *env, HeatMoment *moment);
/* Flux out of face I by its linear law, W/m2, its node being OVER_K warmer than air. */
double heat_law_flux (const HeatLaws *laws, size_t i, const HeatMoment *moment, double over_k);
/* Its slope in that, W/m2K. */
double heat_law_slope (const HeatLaws *laws, size_t i, const HeatMoment *moment);

#endif
