/* Where the next thermocouple tells most: how every place a thermocouple can sit depends on the uncertain figures, and
 * what a reading there would leave of the doubt of a finding (linear: covariances add up as information). */
#ifndef LW_FIT_SUGGEST_H
#define LW_FIT_SUGGEST_H

#include "plan/figure.h"
#include "plan/fit.h"

G_BEGIN_DECLS

/* What a figure of a finding stands on. Halves are half of what lies between 5 % and 95 %. */
typedef struct {
  LwThermocouple *couple; /* where to put it; no name */
  char *text;             /* the place, translated */
  double half;            /* of the figure, with this one and those before it in the list */
} LwSuggestion;

typedef struct {
  char *kind, *ref;  /* of the finding, as LwFinding */
  guint body;
  LwFigure figure;
  double value, limit;
  double half_before; /* with nothing measured */
  double half_now;    /* after the run; without one: with the plan's own thermocouples */
  GPtrArray *next;    /* LwSuggestion, the best first, each on top of those before it */
} LwSuggestions;

void lw_suggestions_free (LwSuggestions *self); /* NULL allowed */
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwSuggestions, lw_suggestions_free)

void lw_fit_senses_free (LwFitSenses *self); /* NULL allowed */
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwFitSenses, lw_fit_senses_free)

/* Before any run: the plan's own thermocouples count as if they had been read. Blocks; all but JOB may be NULL. */
LwFitSenses *lw_fit_senses_new (LwJob *job, guint plan, GCancellable *cancellable, LwPredictProgress progress,
                                gpointer user, GError **error);
/* At most N places for the figure that stands worst against its limit, in units of its doubt; NULL when the job
 * asks nothing of anyone. */
LwSuggestions *lw_fit_suggest (const LwFitSenses *self, guint n);
/* Names, for every figure of FIT that was not told, the place that would tell it. */
void lw_fit_senses_tell (const LwFitSenses *self, LwFitAnswer *fit);

G_END_DECLS

#endif
