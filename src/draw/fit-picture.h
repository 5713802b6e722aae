/* What a fit leaves unexplained: measured minus predicted over time, a strip for each thermocouple, before and after. */
#ifndef LW_FIT_PICTURE_H
#define LW_FIT_PICTURE_H

#include "draw/draw.h"
#include "plan/fit.h"

G_BEGIN_DECLS

typedef struct {
  LwLook look;
  LwUnits units;
  const LwFitAnswer *fit; /* NULL: an empty picture */
  double width, height;
  double letters; /* see lw_letters() */
} LwFitPicture;

/* Strips share the height; CR is left as it was. */
void lw_draw_fit (cairo_t *cr, const LwFitPicture *picture);
/* Height in which every strip is legible with usual letters. */
double lw_fit_picture_height (const LwFitAnswer *fit);
/* Top and bottom of strip K's plot, and the kelvin its ends stand for: above and below zero alike. */
void lw_fit_picture_strip (const LwFitPicture *picture, guint k, double *y0, double *y1, double *most_k);

G_END_DECLS

#endif
