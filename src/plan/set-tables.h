/* Stages and tables of set points, as a plan asks for them and as a scene takes them. Inside plan/.
 *
 * A search fills these thousands of times a second, so the caller brings the memory. */
#ifndef LW_SET_TABLES_H
#define LW_SET_TABLES_H

#include "board/job.h"
#include "heat/scene.h"

G_BEGIN_DECLS

/* A set point over time as the plan asks for it: like HeatTable, but NaN = off; a piece with one end off
 * is off. Starts at 0 and ends at the end of the job. */
typedef struct {
  double *t_s, *v;
  guint n;
} LwSetPoints;

typedef struct {
  LwSetPoints gas_asked, preheat_asked;
  HeatTable gas_c, flow_m3_s, preheat_c; /* of the heaters, before their lag */
  double end_s;                          /* of the job; 0 = the plan has no stages */
  gboolean followed;                     /* a table of the plan, which is followed without lag */
} LwSetTables;

/* What a station and its room have to do with it. */
typedef struct {
  const LwStation *station;
  double room_c;
  double gas_lag_s, preheat_lag_s;
} LwSetBench;

/* Doubles lw_set_tables_fill() needs at most for a plan. */
gsize lw_set_tables_room (const LwPlan *plan);
/* TABLES borrows ROOM, which is overwritten. */
void lw_set_tables_fill (LwSetTables *tables, double *room, const LwPlan *plan, const LwSetBench *bench);

/* Value of a set point at a moment (right of a jump), NaN = off. */
double lw_set_points_at (const LwSetPoints *self, double t_s);
/* Whether it is ever on. */
gboolean lw_set_points_on (const LwSetPoints *self);

G_END_DECLS

#endif
