/* Standard apertures: circle, rectangle, obround, regular polygon, each with or without a hole. */
#include <glib/gi18n.h>
#include <math.h>

#include "exchange/gerber-private.h"

LwAperture *
lw_aperture_new (void)
{
  LwAperture *self = g_new0 (LwAperture, 1);

  self->shape = lw_plot_new ();
  self->function = g_strdup ("");
  return self;
}

void
lw_aperture_free (LwAperture *self)
{
  if (self == NULL)
    return;
  lw_plot_free (self->shape);
  g_free (self->function);
  g_free (self);
}

static void
add_rectangle (LwPlot *shape, double width, double height)
{
  LwPoint corners[4] = { { -width / 2, -height / 2 },
                         { width / 2, -height / 2 },
                         { width / 2, height / 2 },
                         { -width / 2, height / 2 } };

  lw_plot_polygon (shape, TRUE, corners, 4);
}

static void
add_obround (LwPlot *shape, double width, double height)
{
  double r = fmin (width, height) / 2;
  LwPoint a = { r - width / 2, r - height / 2 }, b = { width / 2 - r, height / 2 - r };

  lw_plot_capsule (shape, TRUE, a, b, r);
}

static void
add_polygon (LwPlot *shape, double diameter, guint n, double turn_deg)
{
  LwPoint corners[12];

  for (guint i = 0; i < n; i++)
    {
      double at = 2 * G_PI * i / n + turn_deg * G_PI / 180;

      corners[i] = (LwPoint) { diameter / 2 * cos (at), diameter / 2 * sin (at) };
    }
  lw_plot_polygon (shape, TRUE, corners, n);
}

/* A hole lets through what lies beneath. Old files may have one of two sides. */
static void
add_hole (LwAperture *self, const double *mm, guint n)
{
  LwPoint middle = { 0, 0 };

  if (n == 0 || !(mm[0] > 0))
    return;
  lw_plot_capsule (self->shape, FALSE, middle, middle,
                   n > 1 && mm[1] > 0 ? sqrt (mm[0] * mm[1] / G_PI) : mm[0] / 2);
  self->stamp = TRUE;
}

char *
lw_aperture_standard (LwAperture *self, char kind, const double *mm, guint n)
{
  guint needed = kind == 'C' ? 1 : 2;

  if (n < needed)
    return g_strdup_printf (_("an aperture of kind %c has too few figures"), kind);
  if (!(mm[0] >= 0) || (needed == 2 && !(mm[1] >= 0)))
    return g_strdup_printf (_("an aperture of kind %c has a size below zero"), kind);
  if (kind == 'P' && !(mm[1] >= 3 && mm[1] <= 12))
    return g_strdup (_("a polygon aperture must have 3 to 12 corners"));
  self->size = fmax (mm[0], kind == 'C' || kind == 'P' ? 0 : mm[1]);
  if (kind == 'C')
    {
      self->diameter = mm[0];
      lw_plot_capsule (self->shape, TRUE, (LwPoint) { 0, 0 }, (LwPoint) { 0, 0 }, mm[0] / 2);
    }
  else if (kind == 'R')
    {
      self->width = mm[0];
      self->height = mm[1];
      add_rectangle (self->shape, mm[0], mm[1]);
    }
  else if (kind == 'O')
    add_obround (self->shape, mm[0], mm[1]);
  else
    add_polygon (self->shape, mm[0], (guint) mm[1], n > 2 ? mm[2] : 0);
  if (kind != 'P')
    add_hole (self, mm + needed, n - needed);
  else if (n > 3)
    add_hole (self, mm + 3, n - 3);
  return NULL;
}
