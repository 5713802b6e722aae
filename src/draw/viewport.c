#include "draw/draw.h"

#include <math.h>

#define SCALE_MIN 0.2
#define SCALE_MAX 400.0

static double
mirror (const LwViewport *self)
{
  return self->side == LW_SIDE_BOTTOM ? -1.0 : 1.0;
}

void
lw_viewport_fit (LwViewport *self, LwBox box, double margin)
{
  double width = box.x1_mm - box.x0_mm, height = box.y1_mm - box.y0_mm;
  double room_x = MAX (self->width - 2.0 * margin, 1.0), room_y = MAX (self->height - 2.0 * margin, 1.0);
  double scale = MIN (room_x / MAX (width, 1e-3), room_y / MAX (height, 1e-3));

  self->center_x_mm = 0.5 * (box.x0_mm + box.x1_mm);
  self->center_y_mm = 0.5 * (box.y0_mm + box.y1_mm);
  if (!isfinite (self->center_x_mm) || !isfinite (self->center_y_mm))
    self->center_x_mm = self->center_y_mm = 0.0;
  /* A board larger than the smallest scale can show is still fitted; the clamp is for the pointer. */
  self->scale = isfinite (scale) && scale > 0.0 ? MIN (scale, SCALE_MAX) : 1.0;
}

void
lw_viewport_to_picture (const LwViewport *self, double x_mm, double y_mm, double *px, double *py)
{
  *px = 0.5 * self->width + mirror (self) * (x_mm - self->center_x_mm) * self->scale;
  *py = 0.5 * self->height - (y_mm - self->center_y_mm) * self->scale;
}

void
lw_viewport_to_board (const LwViewport *self, double px, double py, double *x_mm, double *y_mm)
{
  *x_mm = self->center_x_mm + mirror (self) * (px - 0.5 * self->width) / self->scale;
  *y_mm = self->center_y_mm - (py - 0.5 * self->height) / self->scale;
}

void
lw_viewport_zoom (LwViewport *self, double factor, double px, double py)
{
  double x_mm, y_mm, now_x, now_y;

  if (!isfinite (factor) || factor <= 0.0)
    return;
  lw_viewport_to_board (self, px, py, &x_mm, &y_mm);
  self->scale = CLAMP (self->scale * factor, SCALE_MIN, SCALE_MAX);
  lw_viewport_to_board (self, px, py, &now_x, &now_y);
  self->center_x_mm += x_mm - now_x;
  self->center_y_mm += y_mm - now_y;
}

void
lw_viewport_pan (LwViewport *self, double dpx, double dpy)
{
  self->center_x_mm -= mirror (self) * dpx / self->scale;
  self->center_y_mm += dpy / self->scale;
}

double
lw_letters (double letters)
{
  return isfinite (letters) && letters > 0.0 ? letters : 1.0;
}

LwViewport
lw_viewport_lettered (const LwViewport *self, double letters)
{
  LwViewport view = *self;
  double by = lw_letters (letters);

  view.width /= by;
  view.height /= by;
  view.scale /= by;
  return view;
}
