/* The fit: what nobody knew exactly before (plan/unsure.h), adjusted to what was measured.
 *
 *   LwFitRecord run = { job, plan, n_moments, t_s, n_channels, couples, c };
 *   LwFitAnswer *fit = lw_fit (&run, 1, NULL, cancellable, NULL, NULL, &error);
 *   fit->figures, fit->channels, fit->remarks ...
 * For the runs of a document: lw_fit_job_runs(), lw_fit_keep().
 *
 * Regularised non-linear least squares (Levenberg and Marquardt, GNU Scientific Library) in the reduced model: the
 * stated distributions count as measurements of their own. docs/fit.md says what is assumed of errors. */
#ifndef LW_FIT_H
#define LW_FIT_H

#include <gio/gio.h>

#include "board/job.h"
#include "plan/kept.h"
#include "plan/predict.h"

G_BEGIN_DECLS

typedef enum {
  LW_FIT_ERROR_RUN,      /* a run that cannot be used; the message says why */
  LW_FIT_ERROR_DIVERGED, /* no set of figures was settled on */
  LW_FIT_ERROR_REFUSED   /* nothing that may be kept */
} LwFitError;
#define LW_FIT_ERROR (lw_fit_error_quark ())
GQuark lw_fit_error_quark (void);

/* A recorded run. Everything is borrowed during the call. */
typedef struct {
  LwJob *job;        /* as it was when the run was made */
  guint plan;
  guint n_moments;
  const double *t_s; /* ascending, on the plan's clock; what lies outside the plan is left out */
  guint n_channels;
  LwThermocouple *const *couples; /* where each channel's thermocouple sat */
  const double *c;   /* [channel * n_moments + i], C; NaN = gap */
  gboolean align;    /* T_S is on the log's own clock: shifted so that the ramps begin when the plan's do */
} LwFitRecord;

typedef struct {
  double cell_mm;    /* finest cell of the model; 0 = as for a prediction */
  double model_k;    /* the model's own error, one deviation, K; 0 = LW_FIT_MODEL_K */
  guint rounds;      /* most rounds of a few steps; 0 = 12 */
  gboolean hold[LW_N_FIT]; /* figures that stay as they are stated, as if nothing about them were in doubt */
} LwFitOptions;
#define LW_FIT_MODEL_K 1.0
#define LW_FIT_MODEL_S 30.0

typedef enum {
  LW_VERDICT_GIVEN,  /* this job does not have it, or it is known: not moved */
  LW_VERDICT_HELD,   /* not moved because nobody asked for it */
  LW_VERDICT_TOLD,   /* the run told it */
  LW_VERDICT_TIED,   /* told only together with another figure */
  LW_VERDICT_UNTOLD  /* hardly better known than before */
} LwVerdict;

/* Values are factors, or K that are added: see is_factor. */
typedef struct {
  guint figure; /* LwUnsure, LW_FIT_GAS_LAG ... */
  gboolean is_factor;
  LwVerdict verdict;
  double value, low, high;          /* the middle 95 % */
  double before_low, before_high;   /* the same before the run */
  double sigma, before_sigma;       /* deviation of a factor's logarithm, or K */
  int tied_to;                      /* figure it is told with, -1 = none */
  double tied_r;                    /* their correlation */
  int told_by;                      /* channel without which it would be least sure, -1 = not told */
  char *teller;                     /* the place whose thermocouple would tell it; NULL = none would */
} LwFitted;

/* One channel: what was measured (means over short spans) and what the model says before and after. */
typedef struct {
  guint run;
  char *name, *place;
  guint n;
  double *t_s, *measured_c, *before_c, *after_c;
  double noise_k;                   /* seen in the readings themselves */
  double rms_before_k, rms_after_k, worst_k, mean_k; /* worst and mean of measured minus after */
} LwFitChannel;

typedef enum {
  LW_FIT_SWAPPED, /* two thermocouples' names */
  LW_FIT_SHIFTED, /* the clock */
  LW_FIT_UNCLEAR, /* names or clock, and the run does not tell which */
  LW_FIT_STRANGE, /* a thermocouple that does not go with the others */
  LW_FIT_POOR     /* all of it together */
} LwFitRemarkKind;

typedef struct {
  LwFitRemarkKind kind;
  guint run;
  int a, b;             /* of the answer's channels, -1 = none */
  double shift_s;       /* the recording runs late by this */
  double chi2, chi2_if; /* as given (NAN: the fit does not settle), and with the remark believed */
  char *text;           /* translated, with its figures */
} LwFitRemark;

typedef struct LwFitSenses LwFitSenses; /* plan/fit-suggest.h */

typedef struct {
  LwFitted figures[LW_N_FIT];
  double correlation[LW_N_FIT * LW_N_FIT]; /* of the figures after the run */
  GPtrArray *channels; /* LwFitChannel */
  GPtrArray *remarks;  /* LwFitRemark, the gravest first */
  GArray *clock_s;     /* double, per run: by how much the recording runs late */
  GArray *aligned_s;   /* double, per run: shift by which its log was laid on the plan's clock; NAN = it was there already */
  double clock_sigma_s;
  double chi2, chance; /* at the best figures, those before counted in; chance of as large a value */
  guint n_data;
  double widened;      /* by how much deviations were widened because chi2 is large; 1 = not */
  gboolean settled;    /* FALSE: as given the fit does not settle; everything here is with the first remark believed */
  gboolean usable;     /* FALSE: nothing explains the run; nothing may be kept */
  char *nozzle, *ref;  /* with which and on which it was made */
  guint n_steps, n_marches;
  double seconds, build_seconds;
  LwFitSenses *senses;
} LwFitAnswer;

void lw_fit_answer_free (LwFitAnswer *self); /* NULL allowed */
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwFitAnswer, lw_fit_answer_free)

/* Blocks; OPTIONS, CANCELLABLE, PROGRESS and ERROR may be NULL. Starts from what is stated, never from an earlier fit, so
 * that no run counts twice. All runs must have been made with the same board,
 * parts, nozzle and place: only set points and times may differ. NULL with LW_FIT_ERROR, LW_PREDICT_ERROR or
 * G_IO_ERROR_CANCELLED; then nothing has changed. The same runs give the same bits. */
LwFitAnswer *lw_fit (const LwFitRecord *runs, guint n_runs, const LwFitOptions *options, GCancellable *cancellable,
               LwPredictProgress progress, gpointer user, GError **error);
/* Which figures plan PLAN of JOB has that a fit could move; none when the plan cannot be laid out. */
void lw_fit_has (LwJob *job, guint plan, gboolean has[LW_N_FIT]);

/* ---- runs of a job ---- */

/* Fits to recorded runs RUNS (indices in JOB), each with the plan as it stood when it was made, as far as that is known. Where a run
 * has no shift it is aligned by the start of the ramp. */
LwFitAnswer *lw_fit_job_runs (LwJob *job, const guint *runs, guint n_runs, const LwFitOptions *options,
                              GCancellable *cancellable, LwPredictProgress progress, gpointer user, GError **error);
/* In a thread; OPTIONS are copied, PROGRESS is called in the thread-default main context of the caller. */
void lw_fit_job_runs_async (LwJob *job, const guint *runs, guint n_runs, const LwFitOptions *options,
                            GCancellable *cancellable, LwPredictProgress progress, gpointer user, GAsyncReadyCallback callback, gpointer user_data);
LwFitAnswer *lw_fit_job_runs_finish (GAsyncResult *result, GError **error);

/* An edit: JOB with the answer as its newest kept fit, on which predictions rest from now on. NULL with
 * LW_FIT_ERROR_REFUSED when the answer is not usable, or names or clock of a run look wrong. */
LwJob *lw_fit_keep (const LwFitAnswer *self, const LwJob *job, const guint *runs, guint n_runs, GError **error);

G_END_DECLS

#endif
