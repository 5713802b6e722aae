/* From a job to numbers: compiles one plan of a job into a scene and solves it. */
#ifndef LW_PREDICT_H
#define LW_PREDICT_H

#include <gio/gio.h>

#include "board/job.h"

G_BEGIN_DECLS

typedef enum {
  LW_PREDICT_ERROR_JOB,      /* the job cannot be computed; the message says why */
  LW_PREDICT_ERROR_SOLVER    /* did not converge, out of memory */
} LwPredictError;
#define LW_PREDICT_ERROR (lw_predict_error_quark ())
GQuark lw_predict_error_quark (void);

/* How sure it all is: plan/doubt.h. */
typedef struct LwDoubt LwDoubt;

/* Temperatures of one part over time, C, arrays of n_times; joint_* NULL where it has no joints. */
typedef struct {
  char *ref;
  guint part;       /* index in the job */
  LwSide side;
  gboolean is_target;
  gboolean height_known;
  double *joint_min, *joint_mean, *joint_max, *joint_center, *joint_corner;
  double *body_top, *body_max;
  double *liquid_share;
  /* Figures over the whole job. */
  double joint_peak_c, joint_peak_s, joint_center_peak_c, joint_corner_peak_c;
  double body_peak_c, body_peak_s;
  double ramp_up_c_per_s, ramp_up_s, ramp_down_c_per_s, ramp_down_s; /* of the body, over 5 s windows */
  double joint_liquidus_c;
  double above_liquidus_s; /* coldest joint */
  double spill_sheltered; /* share of the spill that taller parts keep from it, 0..1; see also lw_prediction_hidden() */
  /* Doubt of the peaks, K: half of what lies between 5 % and 95 % of all cases; NaN = unknown. */
  double joint_doubt_k, body_doubt_k;
} LwPartTrace;

typedef struct {
  double t_s;
  float *top, *bottom; /* nx * ny, row-major from low y; NaN off the board; top = top SIDE of the board */
} LwField;

typedef struct _LwFieldMaker LwFieldMaker;
struct LwLee;

typedef struct {
  gint ref_count;
  guint64 revision;  /* of the document it was computed for; set by the caller */
  guint plan;        /* index in the job */
  gboolean flipped;  /* the board is worked on from its bottom side */
  gboolean full;     /* the full solution, not the reduced model */
  gboolean rough;    /* reduced, on a coarser mesh than the default, to follow a hand */
  double apart_k;    /* largest difference to the reduced model's answer before this full one; NaN = none was there */
  char *apart_ref;   /* the part where it is, or NULL */
  guint n_times;
  double *t_s;
  GPtrArray *parts;  /* LwPartTrace, in the job's order of placed parts */
  int target;        /* index in parts, or -1 */
  double *target_joints; /* [time * n_joints + joint] */
  GArray *target_joint_at; /* LwPoint, board frame */
  double *gas_c, *preheat_c;         /* delivered; NaN = off */
  double *gas_set_c, *preheat_set_c; /* asked for */
  double *board_max, *board_mean;
  guint nx, ny;
  double *x_edges_mm, *y_edges_mm;   /* board frame, ascending */
  GPtrArray *fields;                 /* LwField, ascending in time; empty where MAKER makes them: ask by
                                      * lw_prediction_field() and lw_prediction_board_c() */
  LwFieldMaker *maker;               /* inside plan/ only; NULL = fields are stored */
  struct LwLee *lee;                 /* inside plan/ only */
  gpointer held;                     /* the same: whose the traces' series and the fields are; NULL: their own */
  double board_peak_c;
  LwPoint board_peak_at;
  double board_above_tg_s, board_tg_c; /* time the hottest cell spends above the laminate's Tg */
  double board_td_c;
  /* How it was computed. */
  guint n_nodes, n_steps;
  double seconds;               /* wall time */
  double energy_imbalance;      /* share */
  double nozzle_h_w_m2k, nozzle_h_eff_w_m2k, nozzle_reynolds, nozzle_height_ratio, nozzle_radius_ratio;
  gboolean nozzle_in_range;
  double gas_power_w, gas_out_c, spill_h_w_m2k, preheat_h_w_m2k, room_up_h_w_m2k, room_down_h_w_m2k;
  LwDoubt *doubt;               /* NULL = unknown; lw_prediction_set_doubt() */
  GPtrArray *notes;             /* char *: assumptions made (unknown heights, default stack-up, ...), translated */
} LwPrediction;

/* Counted; unref takes NULL. */
LwPrediction *lw_prediction_ref (LwPrediction *self);
void lw_prediction_unref (LwPrediction *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwPrediction, lw_prediction_unref)

typedef struct {
  double cell_mm;     /* 0 = default */
  gboolean uniform;
  double step_s;      /* 0 = default */
  gboolean no_doubt;  /* leave the doubt figures NaN (saves the perturbed runs) */
} LwPredictOptions;

typedef void (*LwPredictProgress) (double done, gpointer user);

/* Blocks; OPTIONS, CANCELLABLE, PROGRESS and ERROR may be NULL. */
LwPrediction *lw_predict (const LwJob *job, guint plan, const LwPredictOptions *options,
                          GCancellable *cancellable, LwPredictProgress progress, gpointer user,
                          GError **error);
/* In a thread; PROGRESS is called in the thread-default main context of the caller. */
void lw_predict_async (LwJob *job, guint plan, const LwPredictOptions *options, GCancellable *cancellable,
                       LwPredictProgress progress, gpointer user, GAsyncReadyCallback callback,
                       gpointer user_data);
LwPrediction *lw_predict_finish (GAsyncResult *result, GError **error);

/* Whether it knows the board's surface at all. */
gboolean lw_prediction_has_field (const LwPrediction *self);
/* Board-surface temperature at a point and moment, interpolated; NaN off the board. */
double lw_prediction_board_c (const LwPrediction *self, LwSide side, double x_mm, double y_mm, double t_s);
/* Field at a moment, interpolated between the stored ones or made: fills OUT[nx * ny]. */
void lw_prediction_field (const LwPrediction *self, LwSide side, double t_s, float *out);
/* Number of the trace of the job's part PART, or -1; by halving, in a board of any size. */
int lw_prediction_find (const LwPrediction *self, guint part);
/* Value of a trace's array at a moment. */
double lw_prediction_at (const LwPrediction *self, const double *series, double t_s);
/* Shares (0..1) of the sky and of the preheater that other parts hide from the trace of that number, computed anew at
 * every call; NaN when they are not known. */
void lw_prediction_hidden (const LwPrediction *self, guint trace, double *sky, double *preheat);
/* Largest difference between two predictions over the joints and bodies of the parts both have, at every
 * moment of either, K, with half a second of slack in time: marches meet a jump at moments of their own. NaN when they
 * have no part in common. REF (may be NULL) gets the part's name (transfer none). */
double lw_prediction_apart_k (const LwPrediction *a, const LwPrediction *b, const char **ref);

G_END_DECLS

#endif
