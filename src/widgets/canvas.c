#include "widgets/canvas.h"

#include <math.h>
#include <string.h>

#include "widgets/desk.h"

/* The last frame still holds what was painted for it: painting there again would make cairo copy it first. A surface
 * anew is clear already. */
cairo_t *
lw_kept_begin (LwKept *self, GtkWidget *widget, gboolean opaque)
{
  int width = gtk_widget_get_width (widget), height = gtk_widget_get_height (widget);
  int scale = gtk_widget_get_scale_factor (widget);

  if (width <= 0 || height <= 0)
    return NULL;
  if (self->surface && width == self->width && height == self->height && scale == self->scale && !self->dirty)
    return NULL;
  g_clear_pointer (&self->surface, cairo_surface_destroy);
  self->surface = cairo_image_surface_create (opaque ? CAIRO_FORMAT_RGB24 : CAIRO_FORMAT_ARGB32, width * scale,
                                              height * scale);
  cairo_surface_set_device_scale (self->surface, scale, scale);
  self->width = width;
  self->height = height;
  self->scale = scale;
  return cairo_create (self->surface);
}

void
lw_kept_end (LwKept *self, cairo_t *cr)
{
  cairo_destroy (cr);
  self->dirty = FALSE;
}

void
lw_kept_paint (const LwKept *self, cairo_t *cr)
{
  if (!self->surface)
    return;
  cairo_set_source_surface (cr, self->surface, 0.0, 0.0);
  cairo_paint (cr);
}

void
lw_kept_clear (LwKept *self)
{
  g_clear_pointer (&self->surface, cairo_surface_destroy);
  self->dirty = TRUE;
}

static gboolean
turn_cb (GtkWidget *widget, GdkFrameClock *clock, gpointer data)
{
  LwTurn *self = data;

  if (--self->left > 0)
    return G_SOURCE_CONTINUE;
  self->tick = 0;
  self->work (widget);
  return G_SOURCE_REMOVE;
}

void
lw_turn_take (LwTurn *self, GtkWidget *widget, guint frames, void (*work) (gpointer widget))
{
  if (self->tick != 0)
    return;
  self->left = MAX (frames, 1);
  self->work = work;
  self->tick = gtk_widget_add_tick_callback (widget, turn_cb, self, NULL);
}

void
lw_turn_drop (LwTurn *self, GtkWidget *widget)
{
  if (self->tick != 0)
    gtk_widget_remove_tick_callback (widget, self->tick);
  self->tick = 0;
}

/* Whether the desktop asks for high contrast: GTK 4.8 says so by the name of the theme alone. */
static gboolean
is_strong (GtkWidget *widget)
{
  const char *wished = g_getenv ("GTK_THEME");
  g_autofree char *name = NULL;

  if (wished == NULL || *wished == '\0') {
    g_object_get (gtk_widget_get_settings (widget), "gtk-theme-name", &name, NULL);
    wished = name;
  }
  return wished != NULL && (g_str_has_prefix (wished, "HighContrast") || strstr (wished, "-hc") != NULL);
}

LwLook
lw_widget_look (GtkWidget *widget)
{
  gboolean dark = lw_widget_is_dark (widget);

  if (is_strong (widget))
    return dark ? LW_LOOK_DARK_STRONG : LW_LOOK_LIGHT_STRONG;
  return dark ? LW_LOOK_DARK : LW_LOOK_LIGHT;
}

void
lw_canvas_paint_focus (cairo_t *cr, GtkWidget *widget)
{
  gboolean dark = lw_widget_is_dark (widget);

  if (!gtk_widget_has_visible_focus (widget))
    return;
  cairo_rectangle (cr, 2.0, 2.0, gtk_widget_get_width (widget) - 4.0, gtk_widget_get_height (widget) - 4.0);
  cairo_set_source_rgb (cr, dark ? 0.38 : 0.04, dark ? 0.80 : 0.42, dark ? 0.88 : 0.51);
  cairo_set_line_width (cr, 2.0);
  cairo_stroke (cr);
}

double
lw_snap (double value, double step)
{
  return step > 0.0 ? round (value / step) * step : value;
}
