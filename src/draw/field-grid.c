/* Prediction cells made ready for drawing: holes filled, a rim added. */
#include <math.h>
#include <string.h>

#include "draw/board-painter.h"

/* One sweep outward: every hole beside a known cell takes the mean of its known neighbours. */
static gboolean
fill_once (float *field, float *next, guint nx, guint ny)
{
  gboolean changed = FALSE;

  memcpy (next, field, sizeof *field * nx * ny);
  for (guint j = 0; j < ny; j++) {
    for (guint i = 0; i < nx; i++) {
      double sum = 0.0;
      int n = 0;

      if (!isnan (field[j * nx + i]))
        continue;
      for (int dj = -1; dj <= 1; dj++) {
        for (int di = -1; di <= 1; di++) {
          int ii = (int) i + di, jj = (int) j + dj;

          if (ii < 0 || jj < 0 || ii >= (int) nx || jj >= (int) ny || isnan (field[jj * (int) nx + ii]))
            continue;
          sum += field[jj * (int) nx + ii];
          n++;
        }
      }
      if (n > 0) {
        next[j * nx + i] = (float) (sum / n);
        changed = TRUE;
      }
    }
  }
  memcpy (field, next, sizeof *field * nx * ny);
  return changed;
}

/* A few sweeps are enough: the picture is clipped to the outline, only the cells along it matter. */
void
lw_field_fill (float *field, guint nx, guint ny)
{
  g_autofree float *next = g_new (float, (gsize) nx * ny);

  for (int sweep = 0; sweep < 4; sweep++) {
    if (!fill_once (field, next, nx, ny))
      break;
  }
}

static double *
padded_axis (const double *edges, guint n)
{
  double *at = g_new (double, n + 2);

  at[0] = edges[0];
  for (guint i = 0; i < n; i++)
    at[i + 1] = 0.5 * (edges[i] + edges[i + 1]);
  at[n + 1] = edges[n];
  return at;
}

/* The rim continues the run of the two cells beside it, as a straight line. */
static float
rim (float near, float far, double at, double x_near, double x_far)
{
  double slope = x_near != x_far && !isnan (far) ? (near - far) / (x_near - x_far) : 0.0;

  return (float) (near + slope * (at - x_near));
}

float *
lw_field_padded (const LwPrediction *prediction, const float *field, double **xs, double **ys)
{
  guint nx = prediction->nx, ny = prediction->ny, w = nx + 2, h = ny + 2;
  float *out = g_new (float, (gsize) w * h);
  double *x = padded_axis (prediction->x_edges_mm, nx), *y = padded_axis (prediction->y_edges_mm, ny);

  for (guint j = 0; j < ny; j++) {
    const float *from = field + (gsize) j * nx;
    float *to = out + (gsize) (j + 1) * w;

    memcpy (to + 1, from, sizeof *from * nx);
    to[0] = rim (to[1], nx > 1 ? to[2] : NAN, x[0], x[1], x[MIN (2, w - 1)]);
    to[w - 1] = rim (to[w - 2], nx > 1 ? to[w - 3] : NAN, x[w - 1], x[w - 2], x[w - 3]);
  }
  for (guint i = 0; i < w; i++) {
    float *low = out + i, *high = out + (gsize) (h - 1) * w + i;

    low[0] = rim (low[w], ny > 1 ? low[2 * w] : NAN, y[0], y[1], y[MIN (2, h - 1)]);
    high[0] = rim (high[-(int) w], ny > 1 ? high[-2 * (int) w] : NAN, y[h - 1], y[h - 2], y[h - 3]);
  }
  *xs = x;
  *ys = y;
  return out;
}
