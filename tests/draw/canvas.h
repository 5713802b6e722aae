/* An image to draw on and to compare. */
#ifndef CANVAS_H
#define CANVAS_H

#include <cairo.h>
#include <string.h>

typedef struct {
  cairo_surface_t *surface;
  cairo_t *cr;
  int width, height;
} Canvas;

static inline Canvas
canvas_new (int width, int height)
{
  Canvas canvas = { cairo_image_surface_create (CAIRO_FORMAT_RGB24, width, height), NULL, width, height };

  canvas.cr = cairo_create (canvas.surface);
  return canvas;
}

static inline void
canvas_clear (Canvas *canvas)
{
  cairo_destroy (canvas->cr);
  cairo_surface_destroy (canvas->surface);
}

static inline guint32
canvas_pixel (const Canvas *canvas, int x, int y)
{
  const guchar *data = cairo_image_surface_get_data (canvas->surface);
  guint32 pixel;

  memcpy (&pixel, data + (gsize) y * cairo_image_surface_get_stride (canvas->surface) + 4 * (gsize) x, 4);
  return pixel & 0xffffff;
}

static inline int
pixel_difference (guint32 a, guint32 b)
{
  int worst = 0;

  for (int shift = 0; shift < 24; shift += 8) {
    int d = (int) ((a >> shift) & 0xff) - (int) ((b >> shift) & 0xff);

    worst = MAX (worst, ABS (d));
  }
  return worst;
}

/* Pixels that differ by more than LEVELS; MIRRORED compares A with B's mirror image. */
static inline guint
canvas_differing (const Canvas *a, const Canvas *b, int levels, gboolean mirrored)
{
  guint n = 0;

  cairo_surface_flush (a->surface);
  cairo_surface_flush (b->surface);
  for (int y = 0; y < a->height; y++) {
    for (int x = 0; x < a->width; x++) {
      if (pixel_difference (canvas_pixel (a, x, y), canvas_pixel (b, mirrored ? a->width - 1 - x : x, y)) > levels)
        n++;
    }
  }
  return n;
}

/* How many different colours the picture holds, at most 4096. */
static inline guint
canvas_colors (const Canvas *canvas)
{
  g_autoptr (GHashTable) seen = g_hash_table_new (NULL, NULL);

  cairo_surface_flush (canvas->surface);
  for (int y = 0; y < canvas->height; y++) {
    for (int x = 0; x < canvas->width && g_hash_table_size (seen) < 4096; x++)
      g_hash_table_add (seen, GUINT_TO_POINTER (canvas_pixel (canvas, x, y)));
  }
  return g_hash_table_size (seen);
}

#endif
