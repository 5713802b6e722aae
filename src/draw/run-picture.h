/* A recorded run over its plan: measured curves with marks on them, the plan's curves bare, and below them how far the
 * plan lies above or below what was measured. */
#ifndef LW_RUN_PICTURE_H
#define LW_RUN_PICTURE_H

#include "draw/draw.h"
#include "plan/run-compare.h"

G_BEGIN_DECLS

typedef struct {
  LwLook look;
  LwUnits units;
  const LwJob *job;
  int plan;
  const LwComparison *run;        /* NULL: only the plan's set points */
  const LwBenchReadings *should;  /* the plan's curves, or NULL */
  int column;                     /* of the run, stands out; -1 = none */
  double t_s;                     /* cursor; NaN = none */
  double width, height;
  double end_s;                   /* end of the time axis; 0 = from the data (held during a drag) */
  double letters;                 /* see lw_letters() */
} LwRunPicture;

/* CR is left as it was. */
void lw_draw_run (cairo_t *cr, const LwRunPicture *picture);
/* Time on the plan's clock at a picture point, and back. */
double lw_run_time_at (const LwRunPicture *picture, double px);
double lw_run_x_of (const LwRunPicture *picture, double t_s);
/* End of the time axis. */
double lw_run_end_s (const LwRunPicture *picture);
/* The column whose measured curve passes nearest to a picture point, -1 = none near. */
int lw_run_hit (const LwRunPicture *picture, double px, double py);
/* The mark on column K's curve, filled, about (x, y). */
void lw_draw_run_mark (cairo_t *cr, double x, double y, double size, guint k, LwLook look);
LwColor lw_run_color (guint k, LwLook look);

G_END_DECLS

#endif
