/* Where limit and prediction meet: the findings of a job. */
#ifndef LW_FINDINGS_H
#define LW_FINDINGS_H

#include "plan/predict.h"

G_BEGIN_DECLS

typedef enum { LW_GRADE_STOP, LW_GRADE_WATCH, LW_GRADE_FINE } LwGrade;

typedef struct {
  LwGrade grade;
  char *kind;     /* "joint-peak", "body-peak", "ramp-up", "lee", "nozzle-clash", ...: docs/findings.md */
  char *ref;      /* part, "" = board or station */
  double value, limit; /* NaN where the kind has none */
  char *unit;     /* "°C", "K", "°C/s", "s", "mm", "L/min", "W/m²K", "" */
  double headroom;     /* distance to the limit on the safe side, in unit; negative = passed */
  double doubt;        /* of value, in unit; NaN unknown */
  double moment_s;     /* when it is worst; NaN = always */
  char *source;   /* of the limit */
  char *text;     /* one sentence: what happens (translated) */
  char *advice;   /* one sentence: what would help (translated), "" = nothing known */
} LwFinding;

void lw_finding_free (LwFinding *finding);

/* Findings of the geometry alone (nozzle, preheat area, lee, station range), without a solution. */
GPtrArray *lw_judge_geometry (const LwJob *job, guint plan);
/* All findings, worst first: stop, watch, fine; within a grade by headroom in units of doubt.
 * PREDICTION may be NULL (geometry only); one for another plan counts as NULL. (transfer full, elements freed with lw_finding_free) */
GPtrArray *lw_judge (const LwJob *job, guint plan, const LwPrediction *prediction);

const char *lw_grade_word (LwGrade grade);  /* "stop", "watch", "fine": file words */
/* Worst grade of a part's findings, FINE when it has none. */
LwGrade lw_findings_grade_of (const GPtrArray *findings, const char *ref);

G_END_DECLS

#endif
