/* What the window calls things, and how it writes figures: translated, in the person's locale. */
#ifndef LW_WORDS_H
#define LW_WORDS_H

#include "board/names.h"
#include "plan/findings.h"
#include "widgets/shown-units.h"

G_BEGIN_DECLS

/* Translated names, static. */
const char *lw_kind_label (LwPackageKind kind);
const char *lw_grade_label (LwGrade grade);
const char *lw_limit_label (LwLimitKind kind);
/* How many of FINDINGS (of LwFinding; NULL: "") there are of each grade. (transfer full) */
char *lw_findings_counts (const GPtrArray *findings);

/* At most DIGITS decimals, no trailing zeros; a dash for NaN. (transfer full) */
char *lw_figure (double value, int digits);
/* A figure in UNIT, which may be "", as a bare number in the person's units: for cells and entries whose unit stands
 * elsewhere (lw_units_word(), lw_units_heading()). */
char *lw_figure_in (double value, int digits, const char *unit);
/* The same with its unit after a narrow space. */
char *lw_figure_unit (double value, int digits, const char *unit);
/* "value ± doubt unit"; no doubt when it is NaN. */
char *lw_figure_doubt (double value, double doubt, int digits, const char *unit);
/* What a person typed into an entry of UNIT, in their units and locale: VALUE is in UNIT. */
gboolean lw_figure_parse_in (const char *text, const char *unit, double *value);
/* Reads what a person typed, as lw_typed_number() does; FALSE when it is no finite number. */
gboolean lw_figure_parse (const char *text, double *value);

G_END_DECLS

#endif
