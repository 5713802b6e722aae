/* The list itself, for those who paint it. */
#ifndef LW_PLOT_PRIVATE_H
#define LW_PLOT_PRIVATE_H

#include "exchange/plot.h"

G_BEGIN_DECLS

typedef enum
{
  LW_SHAPE_CAPSULE,
  LW_SHAPE_POLYGON,
  LW_SHAPE_STAMP /* the N shapes that follow are its own */
} LwShapeKind;

typedef struct {
  guint8 kind, dark;
  guint first, n; /* polygon: corners; stamp: n shapes */
  double ax, ay, bx, by, r; /* capsule; else a, b = box */
} LwShape;

struct _LwPlot {
  GArray *shapes;  /* LwShape */
  GArray *corners; /* LwPoint */
  gboolean full;
};

G_END_DECLS

#endif
