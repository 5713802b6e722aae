/* Inside of the fit, for its own files.
 *
 * Figures are moved in units of what was known before: Z is a standard normal number of each (see lw_unsure_value), and
 * those that are free are Z = MIX U with U independent of each other. After them comes one number per run, by how
 * much its recording runs late, in units of LATE_S. What a fit solves for is U; the stated distributions are then as many
 * measurements "U is 0, give or take 1". */
#ifndef LW_FIT_INSIDE_H
#define LW_FIT_INSIDE_H

#include <gsl/gsl_matrix.h>

#include "plan/doubt-sample.h"
#include "plan/figure.h"
#include "plan/fit-places.h"
#include "plan/fit.h"
#include "plan/solve-scene.h"

G_BEGIN_DECLS

/* Moments are found by the start of the ramp or by hand: a second, common practice, no source. */
#define LW_FIT_LATE_S 1.0
#define LW_FIT_GRID_S 1.0
/* Of the model's error what has nothing to do with the moment before: its steps, straight lines between them. */
#define LW_FIT_ROUGH_K 0.5
/* Beyond this many times its expected value the sum of squares says that the model does not hold. */
#define LW_FIT_POOR 4.0

/* ---- the model ---- */

typedef struct {
  LwQuick *quick;
  const LwCase *of;
  LwUnsureSpreads spreads;
  guint n_runs, n_grid, n_bodies;
  LwQuickDrive *drives; /* [n_runs] */
  guint n_free, free_of[LW_N_FIT]; /* figures that are moved */
  gboolean held[LW_N_FIT];
  gsl_matrix *mix;                 /* [n_free * n_free] */
  gint n_marches;
  GMutex lock; /* guards what follows */
  GPtrArray *idle; /* LwQuickRun */
  GCancellable *cancellable;
} LwFitModel;

/* The records of one job and plan with the quick model they are fitted in; RUNS must outlive it (transfer full). NULL with
 * ERROR when the model cannot be made, a record does not fit it, or CANCELLABLE was set. */
LwFitModel *lw_fit_model_new (const LwFitRecord *runs, guint n_runs, const LwFitOptions *options, GCancellable *cancellable,
                              LwPredictProgress progress, gpointer user, GError **error);
void lw_fit_model_free (LwFitModel *self); /* NULL allowed */
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwFitModel, lw_fit_model_free)

/* Numbers in U: the free figures and the clocks. */
guint lw_fit_model_n (const LwFitModel *self);
/* Z [LW_N_FIT] of U. */
void lw_fit_model_z (const LwFitModel *self, const double *u, double *z);
double lw_fit_value (const LwUnsureSpreads *spreads, guint figure, double z);
/* One deviation of a figure before the run: of a factor's logarithm, or K. */
double lw_fit_before_sigma (const LwUnsureSpreads *spreads, guint figure);

/* Curves of all places of READER over all runs, [run * n_places + place][n_grid], and, if wanted, the figures of
 * each body in the first run [body * LW_N_FIGURES + figure]. */
typedef struct {
  guint n_places;
  double *curves, *figures;
} LwFitCurves;
LwFitCurves *lw_fit_curves_new (const LwFitModel *self, guint n_places, gboolean figures);
void lw_fit_curves_free (LwFitCurves *self); /* NULL allowed */
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwFitCurves, lw_fit_curves_free)

/* At each of N rows of Z; on all threads. */
gboolean lw_fit_model_march (LwFitModel *self, const LwPlaceReader *reader, const double *z, guint n, LwFitCurves **out,
                             GError **error);
/* Derivatives of everything in AT (at Z) by each free figure's Z: SLOPES [n_free], new; values of AT are not changed. */
gboolean lw_fit_model_slopes (LwFitModel *self, const LwPlaceReader *reader, const double *z, const LwFitCurves *at,
                              LwFitCurves **slopes, GError **error);

/* ---- the data ---- */

typedef struct {
  guint run, channel, place, n, first; /* first of its rows */
  gboolean on_target;
  double *t_s, *c;
  double noise_k, per_span; /* of one reading; readings in a mean */
  gsl_matrix *root; /* of the covariance of its errors: lower triangle */
} LwFitSeries;

typedef struct {
  GPtrArray *series; /* LwFitSeries */
  guint n;           /* rows */
} LwFitData;

/* Means over short spans, with what is known of their errors. NULL with LW_FIT_ERROR_RUN. */
LwFitData *lw_fit_data_new (const LwFitModel *model, const LwFitRecord *runs, double model_k, GError **error);
void lw_fit_data_free (LwFitData *self); /* NULL allowed */
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwFitData, lw_fit_data_free)

/* The model's further error where a thermocouple of the reworked part shows C: more than 0 near its joints' melting. */
double lw_fit_melt_k (const LwFitModel *model, double c);
/* Errors of N readings at T_S that show C: each one's own NOISE_K, the thermocouple's tolerance, the model's own
 * error, and MELT_K [N] (may be NULL) beside it. Lower triangle of the covariance's root, or NULL. */
gsl_matrix *lw_fit_root (const double *t_s, const double *c, guint n, double noise_k, double model_k,
                         const double *melt_k);
/* Noise of evenly spaced readings by their second differences, K; gaps are left out. */
double lw_fit_noise_k (const double *c, guint n);

/* Another reading of the same data. */
typedef struct {
  guint run;
  int a, b;       /* series whose places change; -1 = none */
  double shift_s; /* of that run */
} LwFitGuess;
#define LW_FIT_AS_GIVEN { .a = -1, .b = -1 }

/* Where GUESS has series I sit. */
guint lw_fit_placed_as (const LwFitData *data, const LwFitGuess *guess, guint i);
/* Rows of a set of curves: values at the readings' moments, LATE_S [n_runs] earlier, in units of the readings'
 * errors. MINUS: less the readings themselves. */
void lw_fit_rows (const LwFitModel *model, const LwFitData *data, const LwFitCurves *curves, const LwFitGuess *guess,
                  const double *late_s, gboolean minus, double *out);
/* The same of how they change with the clock of run RUN, per second late. */
void lw_fit_late_rows (const LwFitModel *model, const LwFitData *data, const LwFitCurves *curves,
                       const LwFitGuess *guess, const double *late_s, guint run, double *out);

/* ---- the solution ---- */

typedef struct {
  LwFitModel *model;
  LwFitData *data;
  LwPlaceReader *reader;
  guint n_places; /* of the reader */
  LwFitGuess guess;
  guint most_rounds;
  GError *error; /* of a march */
  double *u;     /* [n] */
  double fall;   /* by how much chi-square would still fall, by the slopes there */
  double *slopes_u; /* where the slopes were taken */
  LwFitCurves *at, **slopes;
  double *at_u;
  double chi2;
  guint n_steps;
  gsl_matrix *jacobian;   /* [data->n * n], in U */
  gsl_matrix *covariance; /* of U */
  LwPredictProgress progress;
  gpointer user;
} LwFitSolution;

/* Slopes where nothing is moved, for what follows from them alone. FALSE with a march's error. */
gboolean lw_fit_begin (LwFitSolution *self, GError **error);
/* From START (NULL: nothing moved). FALSE with LW_FIT_ERROR_DIVERGED or a march's error. */
gboolean lw_fit_solve (LwFitSolution *self, const double *start, GError **error);
void lw_fit_solution_clear (LwFitSolution *self);
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (LwFitSolution, lw_fit_solution_clear)

/* Least |r + J d|² + |u + d|² over d: linear, by Cholesky. NAN when it fails. */
double lw_fit_linear (const gsl_matrix *j, const double *r, const double *u);
/* Rows of the slopes as they were last taken, clocks as in U: J [data->n * n]. */
void lw_fit_jacobian (const LwFitSolution *self, const double *u, const LwFitGuess *guess, gsl_matrix *j);

/* Swapped names, shifted clocks and strange channels: remarks for FIT. FALSE with a march's error. */
gboolean lw_fit_doubts (LwFitSolution *self, LwFitAnswer *fit, GError **error);
/* After a fit that does not settle, FAILED: where other names or another clock explain the runs, SELF is solved with them believed, and FIT
 * gets the remark. FALSE with FAILED, which it takes, or a march's error. */
gboolean lw_fit_rescue (LwFitSolution *self, LwFitAnswer *fit, GError *failed, GError **error);

/* lw_fit() with a model made before. */
LwFitAnswer *lw_fit_on (LwFitModel *model, const LwFitRecord *runs, const LwFitOptions *options, const LwWatch *watch, GError **error);
/* Fills in by which channel each figure of FIT was told. */
void lw_fit_tellers (const LwFitSolution *at, LwFitAnswer *fit);
/* The places of runs' channels, in their order, and after them all candidates. GArray of LwPlace (transfer full). */
GArray *lw_fit_places (const LwFitModel *model, const LwFitRecord *runs, guint *n_own);
/* How everything depends on the figures at a solution whose reader has those PLACES. */
LwFitSenses *lw_fit_senses_of (const LwFitSolution *at, const GArray *places, guint n_own);

G_END_DECLS

#endif
