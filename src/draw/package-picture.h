/* A package as its data sheet draws it: from above, and from the side under it, to one scale, with the figures of its
 * drawing as dimensions. */
#ifndef LW_PACKAGE_PICTURE_H
#define LW_PACKAGE_PICTURE_H

#include "board/sheet.h"
#include "draw/draw.h"

G_BEGIN_DECLS

typedef struct {
  LwLook look;
  const LwDatasheet *sheet;
  const LwPackage *package; /* of the sheet; NULL: a sheet at fault, only its frame is drawn */
  int figure;               /* LwFigure whose dimension stands out, -1 = none */
} LwPackagePicture;

/* Fills the box 0, 0, WIDTH, HEIGHT. */
void lw_draw_package (cairo_t *cr, double width, double height, const LwPackagePicture *picture);
/* Picture units per millimetre that lw_draw_package() takes for the box; 0 without a package. */
double lw_package_picture_scale (double width, double height, const LwPackagePicture *picture);

G_END_DECLS

#endif
