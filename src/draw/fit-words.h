/* What a fit says of its figures, in words: the same in its window and on paper. All strings are the caller's. */
#ifndef LW_FIT_WORDS_H
#define LW_FIT_WORDS_H

#include "draw/units.h"
#include "plan/fit-suggest.h"

G_BEGIN_DECLS

/* Whether the runs told something of a figure: alone, or tied to others. */
gboolean lw_fit_is_told (const LwFitted *figure);
/* "× 1.16", "+0.7 K" */
char *lw_fit_amount (const LwFitted *figure, double value, LwUnits units);
/* "1.08 to 1.24" */
char *lw_fit_range (const LwFitted *figure, double low, double high, LwUnits units);
/* Which thermocouple told it, or why it is not told and which would. */
char *lw_fit_told_by (const LwFitAnswer *fit, const LwFitted *figure);
/* "9 of 13 figures are told", and how far prediction and run were and are apart. */
char *lw_fit_headline (const LwFitAnswer *fit);
char *lw_fit_apart (const LwFitAnswer *fit, LwUnits units);
/* How sure the tightest limit's figure is, "± 3.2 K". */
char *lw_fit_half (const LwSuggestions *suggestions, double half, LwUnits units);

G_END_DECLS

#endif
