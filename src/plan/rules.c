#include "plan/rules.h"

#include <math.h>

LwGrade
lw_rule_upper (double value, double limit, double margin)
{
  if (isnan (value) || isnan (limit))
    return LW_GRADE_FINE;
  if (value >= limit)
    return LW_GRADE_STOP;
  return limit - value < (isnan (margin) ? 0 : margin) ? LW_GRADE_WATCH : LW_GRADE_FINE;
}

LwGrade
lw_rule_lower (double value, double limit, double margin)
{
  if (isnan (value) || isnan (limit))
    return LW_GRADE_FINE;
  if (value < limit)
    return LW_GRADE_STOP;
  return value - limit < (isnan (margin) ? 0 : margin) ? LW_GRADE_WATCH : LW_GRADE_FINE;
}

LwGrade
lw_rule_chance (double chance, double stop, double watch)
{
  if (chance >= stop)
    return LW_GRADE_STOP;
  return chance >= watch ? LW_GRADE_WATCH : LW_GRADE_FINE;
}

LwGrade
lw_rule_at_most_watch (LwGrade grade)
{
  return grade == LW_GRADE_STOP ? LW_GRADE_WATCH : grade;
}

gboolean
lw_rule_bake_first (double body_peak_c, gboolean past_floor_life)
{
  return past_floor_life && body_peak_c > 200;
}
