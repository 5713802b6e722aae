/* What a fit found, as it stands in its window: remarks, figures, what is left unexplained, and where the next thermocouples
 * tell most. */
#ifndef LW_FIT_OUTCOME_H
#define LW_FIT_OUTCOME_H

#include "plan/fit-suggest.h"
#include "widgets/desk.h"

G_BEGIN_DECLS

#define LW_TYPE_FIT_OUTCOME (lw_fit_outcome_get_type ())
G_DECLARE_FINAL_TYPE (LwFitOutcome, lw_fit_outcome, LW, FIT_OUTCOME, GtkWidget)

/* Signals: "mend" (guint remark): the remark is to be believed; "chosen" (LwThermocouple *couple, NULL = none): a place is to be shown;
 * "add" (LwThermocouple *couple): a thermocouple is to be put there. */
/* Both are borrowed until the next call; FIT NULL empties it. */
void lw_fit_outcome_show (LwFitOutcome *self, const LwFitAnswer *fit, const LwSuggestions *suggestions);

G_END_DECLS

#endif
