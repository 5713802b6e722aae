#include "draw/draw.h"

#include <math.h>

#include "draw/labels.h"

#define SCALE_MIN 0.2
#define SCALE_MAX 400.0
#define TAKEN_MAX 4
#define TOUCH 1e-6      /* picture units: the board may touch what it is fitted beside, and rounding is no overlap */
#define BESIDE 0.9      /* what the scale is worth of a board put out of the middle, above one in it */
#define TAKEN_LEAST 0.7 /* a board is not made smaller than this share of its size for what lies over the picture */

static double
mirror (const LwViewport *self)
{
  return self->side == LW_SIDE_BOTTOM ? -1.0 : 1.0;
}

/* Into the box SEEN of the picture. */
static void
fit_into (LwViewport *self, LwBox box, LwBox seen)
{
  double width = box.x1_mm - box.x0_mm, height = box.y1_mm - box.y0_mm;
  double room_x = MAX (seen.x1_mm - seen.x0_mm, 1.0), room_y = MAX (seen.y1_mm - seen.y0_mm, 1.0);
  double scale = MIN (room_x / MAX (width, 1e-3), room_y / MAX (height, 1e-3));

  /* A board larger than the smallest scale can show is still fitted; the clamp is for the pointer. */
  self->scale = isfinite (scale) && scale > 0.0 ? MIN (scale, SCALE_MAX) : 1.0;
  self->center_x_mm = 0.5 * (box.x0_mm + box.x1_mm)
                      + mirror (self) * 0.5 * (self->width - seen.x0_mm - seen.x1_mm) / self->scale;
  self->center_y_mm = 0.5 * (box.y0_mm + box.y1_mm) - 0.5 * (self->height - seen.y0_mm - seen.y1_mm) / self->scale;
  if (!isfinite (self->center_x_mm) || !isfinite (self->center_y_mm))
    self->center_x_mm = self->center_y_mm = 0.0;
}

void
lw_viewport_fit (LwViewport *self, LwBox box, double margin)
{
  fit_into (self, box, (LwBox){ margin, margin, self->width - margin, self->height - margin });
}

/* SEEN without the strip that TAKEN, at an edge of the picture, takes off it. */
static LwBox
beside (const LwViewport *self, LwBox seen, const LwBox *taken, gboolean across)
{
  if (across && taken->x0_mm + taken->x1_mm < self->width)
    seen.x0_mm = MAX (seen.x0_mm, taken->x1_mm);
  else if (across)
    seen.x1_mm = MIN (seen.x1_mm, taken->x0_mm);
  else if (taken->y0_mm + taken->y1_mm < self->height)
    seen.y0_mm = MAX (seen.y0_mm, taken->y1_mm);
  else
    seen.y1_mm = MIN (seen.y1_mm, taken->y0_mm);
  return seen;
}

static gboolean
is_covered (const LwViewport *self, LwBox box, const LwBox *taken, guint n)
{
  LwBox seen;

  lw_viewport_to_picture (self, self->side == LW_SIDE_BOTTOM ? box.x1_mm : box.x0_mm, box.y1_mm, &seen.x0_mm, &seen.y0_mm);
  lw_viewport_to_picture (self, self->side == LW_SIDE_BOTTOM ? box.x0_mm : box.x1_mm, box.y0_mm, &seen.x1_mm, &seen.y1_mm);
  seen = (LwBox){ seen.x0_mm + TOUCH, seen.y0_mm + TOUCH, seen.x1_mm - TOUCH, seen.y1_mm - TOUCH };
  for (guint i = 0; i < n; i++) {
    if (lw_boxes_overlap (&seen, &taken[i]))
      return TRUE;
  }
  return FALSE;
}

/* Each strip is left as it is (0), or the picture ends above or below it (1), or beside it (2), which puts the board out of
 * the middle. */
static LwBox
left_over (const LwViewport *self, double margin, const LwBox *taken, guint n, guint way)
{
  LwBox seen = { margin, margin, self->width - margin, self->height - margin };

  for (guint i = 0; i < n; i++, way /= 3) {
    if (way % 3 != 0)
      seen = beside (self, seen, &taken[i], way % 3 == 2);
  }
  return seen;
}

static gboolean
goes_beside (guint way)
{
  while (way % 3 != 2 && way > 0)
    way /= 3;
  return way > 0;
}

void
lw_viewport_fit_beside (LwViewport *self, LwBox box, double margin, const LwBox *taken, guint n)
{
  guint ways = 1;
  LwViewport best;
  double most;

  n = MIN (n, TAKEN_MAX);
  lw_viewport_fit (self, box, margin);
  if (!is_covered (self, box, taken, n))
    return;
  best = *self;
  most = TAKEN_LEAST * self->scale;
  for (guint i = 0; i < n; i++)
    ways *= 3;
  for (guint way = 1; way < ways; way++) {
    LwViewport view = *self;
    double worth;

    fit_into (&view, box, left_over (self, margin, taken, n, way));
    worth = goes_beside (way) ? BESIDE * view.scale : view.scale;
    if (worth <= most * (1.0 + 1e-9) || is_covered (&view, box, taken, n))
      continue;
    most = worth;
    best = view;
  }
  *self = best;
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
