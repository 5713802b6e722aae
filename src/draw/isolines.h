/* Lines of equal value in a field given at the corners of a graded rectangular grid. */
#ifndef LW_ISOLINES_H
#define LW_ISOLINES_H

#include "board/geometry.h"

G_BEGIN_DECLS

typedef struct {
  GArray *points; /* LwPoint */
  gboolean closed;
} LwIsoline;

/* Marching squares: values VALUES[nx * ny] row-major from low y at XS x YS; squares with a NaN corner are
 * left out, saddles are settled by the mean of the four corners. Points lie where the linear run along
 * a grid edge passes LEVEL. GPtrArray of LwIsoline (transfer full). */
GPtrArray *lw_isolines (const double *xs, guint nx, const double *ys, guint ny, const float *values,
                        double level);
void lw_isoline_free (LwIsoline *line);

G_END_DECLS

#endif
