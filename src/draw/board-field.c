/* The temperature field: prediction cells interpolated bilinearly onto an image that is clipped to the
 * outline. The image is coarser than the picture; the field is smooth, so the eye cannot tell. */
#include <math.h>

#include "draw/board-painter.h"

#define COARSE 2.0        /* picture units per image pixel */
#define N_COLORS 512
#define IMAGE_MAX 1400    /* pixels per side */

/* For each image column or row: the grid interval it falls into and how far. */
typedef struct {
  guint *index;
  float *share;
} Steps;

static Steps
steps_new (guint n)
{
  return (Steps){ g_new (guint, n), g_new (float, n) };
}

static void
steps_clear (Steps *self)
{
  g_free (self->index);
  g_free (self->share);
}

static void
steps_set (Steps *self, guint k, const double *at, guint n, double where)
{
  guint low = 0, high = n - 1;
  double f;

  while (high - low > 1) {
    guint middle = (low + high) / 2;

    if (at[middle] <= where)
      low = middle;
    else
      high = middle;
  }
  f = at[low + 1] > at[low] ? (where - at[low]) / (at[low + 1] - at[low]) : 0.0;
  self->index[k] = low;
  self->share[k] = (float) CLAMP (f, 0.0, 1.0);
}

static void
fill_colors (guint32 *colors, LwLook look)
{
  for (int i = 0; i < N_COLORS; i++) {
    LwColor c = lw_heat_color (i / (N_COLORS - 1.0), look);

    colors[i] = 0xff000000u | (guint32) (c.r * 255.0 + 0.5) << 16 | (guint32) (c.g * 255.0 + 0.5) << 8
                | (guint32) (c.b * 255.0 + 0.5);
  }
}

static void
fill_row (guint32 *row, guint width, const Steps *columns, const float *low, const float *high, float f,
          float base, float gain, const guint32 *colors)
{
  for (guint x = 0; x < width; x++) {
    guint i = columns->index[x];
    float s = columns->share[x];
    float a = low[i] + s * (low[i + 1] - low[i]), b = high[i] + s * (high[i + 1] - high[i]);
    float at = (a + f * (b - a) - base) * gain;

    if (at >= 0.0f)
      row[x] = colors[at >= N_COLORS - 1 ? N_COLORS - 1 : (int) at];
    else
      row[x] = isnan (at) ? 0u : colors[0];
  }
}

/* The picture's part that the board covers, in picture units; FALSE when it is empty. */
static gboolean
covered_box (const LwBoardPainter *self, LwBox *box)
{
  const LwPrediction *p = self->picture->prediction;
  const LwBox *frame = &self->frame;
  double x0, y0, x1, y1;

  lw_viewport_to_picture (self->view, p->x_edges_mm[0], p->y_edges_mm[p->ny], &x0, &y0);
  lw_viewport_to_picture (self->view, p->x_edges_mm[p->nx], p->y_edges_mm[0], &x1, &y1);
  *box = (LwBox){ floor (MAX (MIN (x0, x1), frame->x0_mm)), floor (MAX (y0, frame->y0_mm)),
                  ceil (MIN (MAX (x0, x1), frame->x1_mm)), ceil (MIN (y1, frame->y1_mm)) };
  return box->x1_mm - box->x0_mm >= 1.0 && box->y1_mm - box->y0_mm >= 1.0;
}

static cairo_surface_t *
render (LwBoardPainter *self, const LwBox *box, guint width, guint height, double pixel)
{
  const LwPrediction *p = self->picture->prediction;
  cairo_surface_t *image = cairo_image_surface_create (CAIRO_FORMAT_RGB24, (int) width, (int) height);
  g_autofree double *xs = NULL, *ys = NULL;
  g_autofree float *grid = lw_field_padded (p, self->field, &xs, &ys);
  Steps columns = steps_new (width), rows = steps_new (height);
  guint32 colors[N_COLORS];
  int stride = cairo_image_surface_get_stride (image);
  guchar *data = cairo_image_surface_get_data (image);
  double x_mm, y_mm;

  fill_colors (colors, self->picture->look);
  for (guint x = 0; x < width; x++) {
    lw_viewport_to_board (self->view, box->x0_mm + (x + 0.5) * pixel, 0.0, &x_mm, &y_mm);
    steps_set (&columns, x, xs, p->nx + 2, x_mm);
  }
  for (guint y = 0; y < height; y++) {
    lw_viewport_to_board (self->view, 0.0, box->y0_mm + (y + 0.5) * pixel, &x_mm, &y_mm);
    steps_set (&rows, y, ys, p->ny + 2, y_mm);
  }
  cairo_surface_flush (image);
  for (guint y = 0; data && y < height; y++) {
    const float *low = grid + (gsize) rows.index[y] * (p->nx + 2);

    fill_row ((guint32 *) (void *) (data + (gsize) y * stride), width, &columns, low, low + p->nx + 2,
              rows.share[y], (float) self->low_c,
              (float) ((N_COLORS - 1) / MAX (self->high_c - self->low_c, 1e-9)), colors);
  }
  cairo_surface_mark_dirty (image);
  steps_clear (&columns);
  steps_clear (&rows);
  return image;
}

void
lw_board_paint_field (LwBoardPainter *self)
{
  cairo_t *cr = self->cr;
  cairo_surface_t *image;
  LwBox box;
  double w, h, pixel;

  if (!covered_box (self, &box))
    return;
  w = box.x1_mm - box.x0_mm;
  h = box.y1_mm - box.y0_mm;
  pixel = MAX (COARSE, MAX (w, h) / IMAGE_MAX);
  image = render (self, &box, (guint) ceil (w / pixel), (guint) ceil (h / pixel), pixel);
  cairo_save (cr);
  lw_board_outline_path (self);
  cairo_clip (cr);
  cairo_translate (cr, box.x0_mm, box.y0_mm);
  cairo_scale (cr, pixel, pixel);
  cairo_set_source_surface (cr, image, 0.0, 0.0);
  cairo_pattern_set_filter (cairo_get_source (cr), CAIRO_FILTER_BILINEAR);
  cairo_pattern_set_extend (cairo_get_source (cr), CAIRO_EXTEND_PAD);
  cairo_paint (cr);
  cairo_restore (cr);
  cairo_surface_destroy (image);
}
