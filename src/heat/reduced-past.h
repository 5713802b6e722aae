/* The states a run went through, and whole fields made of them again. */
#ifndef HEAT_REDUCED_PAST_H
#define HEAT_REDUCED_PAST_H

#include "heat/reduced-internal.h"

/* Keeps the run's present state; FLOWS: J out since the one before; BREAKS: sources may have jumped there. False
 * when memory is short. */
bool heat_past_note (HeatReducedRun *run, const double flows[5], bool breaks);

/* Whole fields of N kept moments at once, K over air, as the basis alone has them, or how they change (RATE), K/s:
 * OUT [n * nodes]. */
void heat_past_fields (const HeatReducedRun *run, bool rate, const size_t *at, size_t n, float *out);
/* N nodes of one kept moment from node FROM on, as the basis alone has them, into their places in T [nodes]. */
void heat_past_run (const HeatReducedRun *run, size_t at, size_t from, size_t n, double *t);
/* One face's surface, at the temperatures T of the nodes. */
double heat_past_face (const HeatReducedRun *run, size_t at, size_t face, const double *t);
/* Whole fields of one kept moment: T [n nodes], TS [faces]. */
void heat_past_nodes (const HeatReducedRun *run, size_t at, double *t);
/* Both, but only of what heat_board_surface() reads of one side: the board's outer sheet with its faces and the bodies'
 * sheets against it. All else in T and TS has no meaning then. */
void heat_past_sheet (const HeatReducedRun *run, size_t at, bool up, double *t, double *ts);
/* What a kept moment leaves of the network's own balance, W into each node, with every face's true law: zero
 * if the state were the network's. In LEFT come heat_past_fields()'s, as they do in RATE. T [n] and WIDE [n, and 2 for each node beyond the cells] are scratch,
 * and so is what FACES, the model's, hold of their own. */
void heat_past_left (const HeatReducedRun *run, size_t at, const float *rate, HeatFaces *faces, double *t, double *wide,
                     float *left);

/* While a model is built: how far two runs of one drive are apart, K, at most, in the means of the zones and at
 * the cells. The model and its rows are those of LATER; EARLIER's vectors are the first of them. */
double heat_past_apart (const HeatReducedRun *earlier, const HeatReducedRun *later);

#endif
