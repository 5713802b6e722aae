/* What a job keeps of its past: recorded runs of its plans, fits to them, plans as they stood once. */
#ifndef LW_HISTORY_H
#define LW_HISTORY_H

#include <json-glib/json-glib.h>

#include "board/counted.h"

G_BEGIN_DECLS

typedef struct _LwPlan LwPlan;
typedef struct _LwJob LwJob;

/* A longer log is thinned out when it is read. All runs of a job together hold at most LW_RUN_VALUES_MAX numbers:
 * they are kept in the document, and looked at after each edit. */
enum { LW_RUN_MOMENTS_MAX = 20000, LW_RUN_COLUMNS_MAX = 64, LW_RUN_VALUES_MAX = 1000000 };

/* One column of a log. */
typedef struct {
  char *name;         /* its heading in the log */
  char *thermocouple; /* of the plan, by name; "" = none */
  GArray *c;          /* double, one for each moment; NaN = a gap */
  JsonObject *extra;
} LwRunColumn;

/* A recorded run of the plan for REF. */
typedef struct {
  char *name;
  char *ref;
  char *plan_hash;    /* of the plan as it stood when the run was taken in, "" = unknown */
  char *date;         /* ISO 8601, "" = unknown */
  char *file;         /* name of the log */
  char *operator_name, *lot, *notes;
  double shift_s;     /* time of the plan minus time of the log; NaN = by the start of the ramp */
  GArray *t_s;        /* double, rising */
  GPtrArray *columns; /* LwRunColumn */
  JsonObject *extra;
} LwRun;

/* One figure that a fit found. */
typedef struct {
  char *key;  /* which one, a word of plan/fit.h */
  char *text; /* for people */
  char *unit;
  double before, value; /* NaN = unknown */
  double sigma;         /* standard deviation of VALUE, in its unit; NaN = the runs cannot tell */
  JsonObject *extra;
} LwFitFigure;

typedef struct {
  char *run; /* by name */
} LwFitRun;

/* Figures of station and board brought to agree with runs of the plan for REF. */
typedef struct {
  char *name;
  char *ref;
  char *plan_hash;
  char *date, *notes;
  double apart_before_k, apart_after_k; /* root mean square of run minus plan, NaN = unknown */
  GArray *runs;                         /* LwFitRun */
  GPtrArray *figures;                   /* LwFitFigure */
  GArray *ties;                         /* double: correlations of the figures, row by row below the diagonal (1 with 0,
                                         * 2 with 0, 2 with 1, ...); empty = unknown */
  char *nozzle;                         /* with which the runs were made; "" = unknown */
  gboolean kept;                        /* predictions rest on it, if it is the newest that is kept */
  JsonObject *extra;
} LwFit;

/* A plan as it stood once. */
typedef struct {
  char *hash; /* lw_plan_hash() at that time */
  char *date, *author, *note;
  LwPlan *plan;
  JsonObject *extra;
} LwRevision;

LW_DECLARE_COUNTED (LwRunColumn, lw_run_column)
LW_DECLARE_COUNTED (LwRun, lw_run)
LW_DECLARE_COUNTED (LwFitFigure, lw_fit_figure)
LW_DECLARE_COUNTED (LwFit, lw_fit)
LW_DECLARE_COUNTED (LwRevision, lw_revision)

/* As lw_job_edit_plan(). */
LwRun *lw_job_edit_run (LwJob *job, guint index);
LwFit *lw_job_edit_fit (LwJob *job, guint index);
LwRevision *lw_job_edit_revision (LwJob *job, guint index);

/* Index by name, or -1. */
int lw_job_find_run (const LwJob *job, const char *name);
int lw_job_find_fit (const LwJob *job, const char *name);

G_END_DECLS

#endif
