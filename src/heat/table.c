#include "heat/table.h"

#include <math.h>

double
heat_table_at (const HeatTable *table, double t_s, HeatSide side)
{
  if (!table->n)
    return 0;
  size_t i = 0; /* knots that count as passed */
  while (i < table->n && (table->t_s[i] < t_s || (side == HEAT_AFTER && table->t_s[i] <= t_s)))
    i++;
  if (i == 0)
    return table->v[0];
  if (i == table->n)
    return table->v[i - 1];
  double span = table->t_s[i] - table->t_s[i - 1];
  double share = span > 0 ? (t_s - table->t_s[i - 1]) / span : 1;
  return table->v[i - 1] + share * (table->v[i] - table->v[i - 1]);
}

double
heat_table_next (const HeatTable *table, double t_s)
{
  for (size_t i = 0; i < table->n; i++)
    if (table->t_s[i] > t_s)
      return table->t_s[i];
  return INFINITY;
}

/* y' = (s - y) / lag over DT with s running straight from S0 to S1: the particular solution is
 * s - slope lag, the rest decays. */
static double
lag_piece (double y, double s0, double s1, double dt, double lag)
{
  double slope = (s1 - s0) / dt;
  return s1 - slope * lag + (y - s0 + slope * lag) * exp (-dt / lag);
}

double
heat_table_lagged (const HeatTable *table, double lag_s, double t_s, HeatSide side)
{
  if (!table->n || lag_s <= 0)
    return heat_table_at (table, t_s, side);
  double y = table->v[0];
  for (size_t i = 0; i < table->n && table->t_s[i] < t_s; i++) {
    bool last = i + 1 == table->n;
    double end = last ? t_s : fmin (t_s, table->t_s[i + 1]);
    double dt = end - table->t_s[i];
    if (dt <= 0)
      continue;
    double s1 = last ? table->v[i] : heat_table_at (table, end, HEAT_BEFORE);
    y = lag_piece (y, table->v[i], s1, dt, lag_s);
  }
  return y;
}
