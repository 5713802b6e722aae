/* Recorded runs made by the full solution, for fits. */
#ifndef FIT_JOBS_H
#define FIT_JOBS_H

#include "plan/fit.h"

/* Gives plan 0 of JOB five thermocouples: on U1 (body, a corner joint), J1, and on the board near and far. */
void fit_add_couples (LwJob *job);

/* A smaller board, 64 x 52 mm, with the same U1, C1, K1 and R1 and five thermocouples of the same kinds; for many full solutions. */
LwJob *fit_small_job (void);

typedef struct {
  LwJob *job;
  guint n, n_channels;
  double *t_s, *clean_c; /* every second; [channel * n + i] */
  double *c;             /* with noise */
  double seconds;        /* processor, of the full solution */
  LwFitRecord run;
} FitRecord;

/* Marches the full solution of plan 0 with the figures at Z [LW_N_FIT] (standard normal numbers of what is stated) on
 * cells of CELL_MM in steps of STEP_S, and reads the plan's thermocouples as a prediction is read. */
FitRecord *fit_record_new (LwJob *job, guint plan, const double *z, double cell_mm, double step_s);
/* Fresh noise on every reading, and on each channel an error of its own within a thermocouple's tolerance. */
void fit_record_shake (FitRecord *self, guint64 seed, double noise_k, gboolean tolerances);
void fit_record_free (FitRecord *self);

#endif
