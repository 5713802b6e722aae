/* Where limit and prediction meet: the findings of a job. */
#ifndef LW_FINDINGS_H
#define LW_FINDINGS_H

#include "plan/predict.h"

G_BEGIN_DECLS

typedef enum { LW_GRADE_STOP, LW_GRADE_WATCH, LW_GRADE_FINE } LwGrade;

typedef struct {
  LwGrade grade;
  char *kind;     /* "joint-peak", "body-peak", "ramp-up", "lee", "nozzle-clash", ...: docs/manual/findings.md */
  char *ref;      /* part, "" = board or station */
  double value, limit; /* NaN where the kind has none */
  char *unit;     /* "°C", "K", "°C/s", "s", "mm", "L/min", "W/m²K", "" */
  double headroom;     /* distance to the limit on the safe side, in unit; negative = passed */
  double doubt;        /* of value, in unit: half of its band; NaN unknown */
  double low, high;    /* band of value: 5 % and 95 % of all cases; NaN unknown */
  double chance;       /* that the limit is passed, 0..1; NaN unknown */
  gboolean upper;      /* the limit is one from above */
  int body, figure;    /* where the prediction's doubt has it (LwFigure, plan/figure.h); -1 = nowhere */
  double moment_s;     /* when it is worst; NaN = always */
  char *source;   /* of the limit */
  char *text;     /* one sentence: what happens (translated) */
  char *advice;   /* one sentence: what would help (translated), "" = nothing known */
  gint holders;   /* beside the first; lw_finding_ref() */
} LwFinding;

/* From which chance of passing a limit on a finding is graded so; watch <= stop. The program's own choice: as
 * likely as not stops, the odds of the band's end (5 %) are watched. */
typedef struct {
  double stop, watch;
} LwChances;
#define LW_CHANCE_STOP 0.50
#define LW_CHANCE_WATCH 0.05

/* One more holder, in any thread; what is held by more than one is not written to any more. */
LwFinding *lw_finding_ref (LwFinding *finding);
/* One holder less; the last one frees it. NULL allowed. */
void lw_finding_free (LwFinding *finding);

/* Findings of the geometry alone (nozzle, preheat area, lee, station range), without a solution. */
GPtrArray *lw_judge_geometry (const LwJob *job, guint plan);
/* All findings, worst first: stop, watch, fine; within a grade by headroom in units of doubt.
 * PREDICTION may be NULL (geometry only); one for another plan counts as NULL. (transfer full, elements freed with lw_finding_free) */
GPtrArray *lw_judge (const LwJob *job, guint plan, const LwPrediction *prediction);
/* The same with other thresholds; CHANCES NULL = as above. */
GPtrArray *lw_judge_at (const LwJob *job, guint plan, const LwPrediction *prediction, const LwChances *chances);

const char *lw_grade_word (LwGrade grade);  /* "stop", "watch", "fine": file words */
/* What a finding of that kind is about, short, translated and static; the kind itself when nobody has named it. */
const char *lw_finding_kind_label (const char *kind);

G_END_DECLS

#endif
