/* The bare rules by which a figure and a limit become a grade. Inside plan/. */
#ifndef LW_RULES_H
#define LW_RULES_H

#include "plan/findings.h"

G_BEGIN_DECLS

/* Stop at and beyond the limit; watch when less than MARGIN (>= 0; NaN counts as 0) is left; else fine.
 * For limits from above; NaN values are fine, they say nothing. */
LwGrade lw_rule_upper (double value, double limit, double margin);
/* The same for limits from below: stop below the limit. */
LwGrade lw_rule_lower (double value, double limit, double margin);
/* By the chance (0..1) of passing a limit: stop from STOP on, watch from WATCH on. NaN is fine. */
LwGrade lw_rule_chance (double chance, double stop, double watch);
/* The milder of a grade and WATCH: for alarms and cautions. */
LwGrade lw_rule_at_most_watch (LwGrade grade);

/* J-STD-033 section 6: a body past its floor life that passes 200 C must be baked dry first. */
gboolean lw_rule_bake_first (double body_peak_c, gboolean past_floor_life);

G_END_DECLS

#endif
