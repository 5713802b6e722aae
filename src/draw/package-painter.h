/* Between the parts of the package picture. Internal to the room. */
#ifndef LW_PACKAGE_PAINTER_H
#define LW_PACKAGE_PAINTER_H

#include "draw/lettering.h"
#include "draw/package-picture.h"
#include "draw/palette.h"

G_BEGIN_DECLS

typedef struct {
  cairo_t *cr;
  const LwPackagePicture *picture;
  const LwPalette *ink;
  LwLettering lettering;
  double scale;
  double mid_x;             /* picture: middle of both views */
  double top_y;             /* picture: middle of the view from above */
  double board_y;           /* picture: the board's surface in the view from the side */
  double reach_x, reach_y;  /* mm: half of what body and joints take */
  GArray *joints;           /* LwPoint */
} LwPackagePainter;

/* Joints' boxes of the view from above: half their sizes, mm. */
void lw_package_joint_half (const LwPackagePainter *self, const LwPoint *at, double *half_x, double *half_y);
void lw_package_paint_top (LwPackagePainter *self);
void lw_package_paint_side (LwPackagePainter *self);
void lw_package_paint_dimensions (LwPackagePainter *self);

/* Margins that dimensions need round the views, picture units. */
#define LW_PACKAGE_MARGIN_X 84.0
#define LW_PACKAGE_MARGIN_TOP 46.0
#define LW_PACKAGE_MARGIN_BOTTOM 30.0
#define LW_PACKAGE_BETWEEN 46.0

G_END_DECLS

#endif
