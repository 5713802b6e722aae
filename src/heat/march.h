/* The march in time: two-stage, L-stable, second order (SDIRK2; R. Alexander, SIAM J. Numer. Anal. 14
 * (1977) 1006-1021). Each stage solves (H (T) - H*) / (gamma dt) + L T + Q (T) = 0 by Newton's method: H
 * is enthalpy, L the conductances, Q the faces' flows. */
#ifndef HEAT_MARCH_H
#define HEAT_MARCH_H

#include "heat/cg.h"
#include "heat/environment.h"
#include "heat/solve.h"

#define HEAT_GAMMA 0.29289321881345254 /* 1 - 1/sqrt 2 */
enum { HEAT_PAST = 3 };

typedef struct {
  const HeatScene *scene;
  HeatNetwork *net;
  HeatFaces *faces;
  HeatMultigrid *mg;
  HeatCgWork cg;
  double tolerance_k;

  double t_s, t0_s;      /* time reached; before the last step */
  double *t;             /* now */
  const double *t0, *t1; /* start of the step; first stage: among the remembered */
  double *h, *h0, *h1;   /* the same of the melting nodes' enthalpies */
  const double *base;    /* what a stage starts from */
  double *h_base, *reach, *guess;
  bool wants_error;                                 /* guess_error is asked for */
  double *guess_past[HEAT_PAST], past_t[HEAT_PAST]; /* latest first */
  double past_surface[HEAT_PAST];
  size_t n_past;
  double *r, *diag, *sum, *delta;
  double *melt_slope; /* of the matrix in use */
  double matrix_gdt, row_most;
  int matrix_age;      /* stages it has served */
  double surface_c;    /* mean inside the nozzle */
  HeatEnvironment env; /* of the last stage */
  double flows_dt[5];  /* J out in the last step: nozzle, spill, preheat, room, clamps */
  double guess_error;  /* largest difference of the second stage from its extrapolation, K; NAN: none */

  size_t n_solves, n_iterations;
  double worst_residual;
  char *detail; /* 256 bytes */
} HeatMarch;

/* Memory from ARENA for a march over NET; everything handed in is kept and must outlive it. TOLERANCE_K: largest change
 * that ends the iteration; DETAIL: 256 bytes for what went wrong. False without memory. */
bool heat_march_new (HeatArena *arena, const HeatScene *scene, HeatNetwork *net, HeatFaces *faces,
                     HeatMultigrid *mg, double tolerance_k, char *detail, HeatMarch *march);
/* Everything at one temperature per node, time 0. */
void heat_march_start (HeatMarch *march, double start_c);
/* Takes over temperatures set in march->t by the caller. */
void heat_march_restart (HeatMarch *march);
/* One step of DT; what the tables do at its end is taken from before a jump. */
HeatStatus heat_march_step (HeatMarch *march, double dt);
/* Whether a joint is melting or freezing, or will within DT at its present rate. */
bool heat_march_melts (const HeatMarch *march, double dt);
/* Forgets the past: after a jump nothing may be extrapolated across it. */
void heat_march_forget (HeatMarch *march);
/* Goes back to the start of the last step. */
void heat_march_undo (HeatMarch *march);

#endif
