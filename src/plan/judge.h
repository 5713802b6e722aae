/* How findings are made. Each judge-*.c looks at one subject and adds what it finds. Inside plan/. */
#ifndef LW_JUDGE_H
#define LW_JUDGE_H

#include "plan/figure.h"
#include "plan/findings.h"

G_BEGIN_DECLS

/* What is being judged; everything is borrowed but OUT. */
typedef struct {
  const LwJob *job;
  const LwPlan *plan;
  const LwPart *target;           /* NULL: the plan's part is not on the board */
  const LwPackage *package;       /* of the target, or NULL */
  const LwNozzle *nozzle;         /* NULL: the station has none of that name */
  const LwPrediction *prediction; /* NULL: geometry alone */
  const LwPartTrace *trace;       /* of the target, or NULL */
  LwChances chances;
  double heating_end_s;           /* last moment of the hottest gas, when the part moves; NaN = no gas */
  GPtrArray *out;                 /* LwFinding */
} LwJudge;

/* Shares of what lies between the room and a limit that count as little headroom; the program's own
 * choice, no source. The figure's doubt counts when it is larger. */
#define LW_MARGIN_TEMPERATURE 0.05
#define LW_MARGIN_RAMP 0.10
#define LW_MARGIN_TIME 0.10

/* Adds a finding with everything but text and advice, which the caller sets (transfer full strings).
 * UPPER: the limit is one from above. The finding belongs to JUDGE. */
LwFinding *lw_judge_add (LwJudge *judge, LwGrade grade, const char *kind, const char *ref, double value,
                         double limit, gboolean upper, const char *unit, const char *source);

/* A predicted figure and its limit. TRACE NULL: the board's. WATCH_LEVEL: what is itself worth watching when it
 * is as likely to be passed as would stop a job; NaN = none. SOFT: never more than watched. */
typedef struct {
  LwFigure figure;
  const LwPartTrace *trace;
  double value, limit, watch_level;
  gboolean upper, soft;
} LwWeighing;

/* lw_judge_add() with the grade that the chance of passing the limit gives, PLAIN where it is not known; sets
 * what the doubt knows. */
LwFinding *lw_judge_add_weighed (LwJudge *judge, const LwWeighing *w, LwGrade plain, const char *kind,
                                 const char *unit, const char *source);
/* Doubt of a figure, in its unit; NaN = unknown. */
double lw_judge_doubt_of (const LwJudge *judge, const LwWeighing *w);
/* Adds the chance to the text of what is not fine, unless it is below LEAST: then it is not the reason. */
void lw_judge_say_chance (LwFinding *finding, double least);

/* Sets text (transfer full) and advice (copied; "" = nothing known). */
void lw_finding_say (LwFinding *finding, char *text, const char *advice);

/* Margin of a temperature limit, K. */
double lw_judge_margin_k (const LwJudge *judge, double limit_c, double doubt_k);
/* The part a trace is of; NULL when the job has lost it since. */
const LwPart *lw_judge_part_of (const LwJudge *judge, const LwPartTrace *trace);
const LwPackage *lw_judge_package (const LwJudge *judge, const LwPart *part); /* NULL if unknown */

/* Fills JUDGE in for a new array of findings; FALSE when there is no such plan. In this order: begin, before parts, parts
 * (with a prediction alone), after parts; then the chances are said and all is sorted. */
gboolean lw_judge_begin (LwJudge *judge, const LwJob *job, guint plan, const LwPrediction *prediction);
void lw_judge_before_parts (LwJudge *judge);
void lw_judge_after_parts (LwJudge *judge);
/* The order of findings, of two pointers to pointers. */
int lw_findings_compare (gconstpointer a, gconstpointer b);

void lw_judge_station (LwJudge *judge); /* ranges of gas, flow, preheater */
void lw_judge_nozzle (LwJudge *judge);  /* cover, height, clash and clearance */
void lw_judge_preheat (LwJudge *judge); /* area against board and part */
void lw_judge_lee (LwJudge *judge);     /* what hides sky, preheat and spill */
void lw_judge_parts (LwJudge *judge);   /* neighbours, both sides */
void lw_judge_part (LwJudge *judge, guint trace); /* one of them, by its number; nothing of the target */
void lw_judge_target (LwJudge *judge); /* body, joints, ramps of the part in hand */
void lw_judge_board (LwJudge *judge); /* laminate, assumptions */

/* What is done with a kind of part before any heat, as taking a cell out; NULL: nothing special. */
const char *lw_advice_by_kind (LwPackageKind kind);
/* What would help a part that gets too hot, too fast, or whose joints melt (transfer full). */
char *lw_advice_hot (const LwJudge *judge, const LwPart *part);
char *lw_advice_ramp (const LwJudge *judge, const LwPart *part);

G_END_DECLS

#endif
