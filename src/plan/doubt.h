/* How sure a prediction is: samples of every figure with the uncertain inputs (unsure.h) drawn at once, bands
 * of the curves over time, and what each input alone moves. Kept as changes against the run with nothing
 * moved, so that they go on top of any prediction of the same job, the full solution's too.
 *
 * Counted, immutable once it is sealed; any number of threads may read it. Bodies are numbered as the parts of
 * a prediction are. */
#ifndef LW_DOUBT_H
#define LW_DOUBT_H

#include "plan/figure.h"
#include "plan/predict.h"
#include "plan/unsure.h"

G_BEGIN_DECLS

/* The share of all cases that a band leaves out at each end. */
#define LW_BAND_SHARE 0.05

/* 5 %, 50 % and 95 % of a figure; NaN = unknown. */
typedef struct {
  double low, mid, high;
} LwBand;

/* What a figure becomes when one input alone goes from its own 5 % to its 95 %: changes LOW and HIGH, and the
 * input's share of the sum of squares of all swings, 0..1. */
typedef struct {
  LwUnsure input;
  double low, high, share;
} LwDependence;

typedef enum {
  LW_CURVE_JOINT_MIN,
  LW_CURVE_JOINT_MEAN,
  LW_CURVE_JOINT_MAX,
  LW_CURVE_BODY_TOP,
  LW_N_CURVES
} LwCurve;

/* A reference more, returned. */
LwDoubt *lw_doubt_ref (LwDoubt *self);
void lw_doubt_unref (LwDoubt *self); /* NULL allowed */
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwDoubt, lw_doubt_unref)

/* How many samples of the inputs there are. */
guint lw_doubt_n_samples (const LwDoubt *self);
/* Spread of an input as it was drawn, see LwUnsureInput. */
double lw_doubt_spread (const LwDoubt *self, LwUnsure input);

/* Band of a figure that is predicted as VALUE. */
LwBand lw_doubt_band (const LwDoubt *self, guint body, LwFigure figure, double value);
/* Half of what lies between 5 % and 95 %, in the figure's unit; NaN = unknown. */
double lw_doubt_half (const LwDoubt *self, guint body, LwFigure figure);
/* Share of the samples in which a figure predicted as VALUE is at or beyond an UPPER limit, or below a lower
 * one; NaN = unknown. */
double lw_doubt_chance (const LwDoubt *self, guint body, LwFigure figure, double value, double limit,
                        gboolean upper);
/* Inputs that move a figure, the strongest first; how many were written to OUT. */
guint lw_doubt_depends (const LwDoubt *self, guint body, LwFigure figure, LwDependence out[LW_N_UNSURE]);
/* Changes of a curve at a moment that 5 % and 95 % of the samples stay below; FALSE when they were not kept. */
gboolean lw_doubt_curve (const LwDoubt *self, guint body, LwCurve curve, double t_s, double *low, double *high);

/* "12 %", "less than 0.1 %" (transfer full) and "unlikely", translated: the calibrated words of the IPCC's
 * guidance note (Mastrandrea and others, 2010). */
char *lw_chance_number (double chance);
const char *lw_chance_word (double chance);

/* Gives PREDICTION this doubt (kept by reference) and fills the doubts of its parts: half-bands of the peaks.
 * FALSE, and nothing is changed, when it has another number of parts. */
gboolean lw_prediction_set_doubt (LwPrediction *prediction, LwDoubt *doubt);

/* ---- making one ---- */

/* Everything unknown. N_TIMES moments for curves, ascending (copied); 0 = none. */
LwDoubt *lw_doubt_new (guint n_samples, guint n_bodies, const double *t_s, guint n_times,
                       const LwUnsureSpreads *spreads);
/* Change of a figure in a sample; different samples may be put from different threads. */
void lw_doubt_put (LwDoubt *self, guint sample, guint body, LwFigure figure, double change);
/* Change of a figure with one input at its 5 % (END 0) or its 95 % (END 1). */
void lw_doubt_put_swing (LwDoubt *self, LwUnsure input, guint end, guint body, LwFigure figure, double change);
/* Band of a curve as changes [n_times] (copied). */
void lw_doubt_put_curve (LwDoubt *self, guint body, LwCurve curve, const double *low, const double *high);
/* Computes the bands; from now on it only answers. */
void lw_doubt_seal (LwDoubt *self);

G_END_DECLS

#endif
