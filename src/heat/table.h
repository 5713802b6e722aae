/* Quantities over time and what a first-order lag makes of them. */
#ifndef HEAT_TABLE_H
#define HEAT_TABLE_H

#include "heat/scene.h"

/* Which value a jump has: the one it comes from or the one it goes to. */
typedef enum { HEAT_BEFORE, HEAT_AFTER } HeatSide;

/* Value at T; 0 for an empty table. */
double heat_table_at (const HeatTable *table, double t_s, HeatSide side);
/* The first knot later than T, or INFINITY. */
double heat_table_next (const HeatTable *table, double t_s);
/* What a first-order lag (LAG_S >= 0) delivers at T. The table is taken to have stood at its first value
 * for ever before its first knot; a heater that starts cold has two knots at the start. Exact. */
double heat_table_lagged (const HeatTable *table, double lag_s, double t_s, HeatSide side);

#endif
