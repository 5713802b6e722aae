/* Nothing on the screen is told by hue alone. Lines of one dash keep their distance, marks differ in outline and in lightness, for
 * usual vision and for the three kinds of colour blindness; where a difference of colour alone has to do, it is 10 or more by
 * CIEDE2000, some ten times what is just seen side by side (common practice for categories, no source). */
#include "color-vision.h"
#include "canvas.h"
#include "draw/profile-painter.h"
#include "draw/run-curves.h"

#define APART 10.0
#define N_NEIGHBOURS 3 /* as many as are drawn */

static const LwLook looks[] = { LW_LOOK_LIGHT, LW_LOOK_DARK, LW_LOOK_LIGHT_STRONG, LW_LOOK_DARK_STRONG };

/* Pairs of table 1 in Sharma, Wu & Dalal, Color Research and Application 30 (2005), 21: those that slips in the hue's mean, in its
 * turning and in the chroma's exponent would spoil. */
static void
test_difference (void)
{
  static const struct {
    Lab p, q;
    double difference;
  } pairs[] = {
    { { 50, 2.6772, -79.7751 }, { 50, 0, -82.7485 }, 2.0425 },   { { 50, -1.1848, -84.8006 }, { 50, 0, -82.7485 }, 1.0 },
    { { 50, 0, 0 }, { 50, -1, 2 }, 2.3669 },                     { { 50, 2.49, -0.001 }, { 50, -2.49, 0.0009 }, 7.1792 },
    { { 50, 2.49, -0.001 }, { 50, -2.49, 0.0011 }, 7.2195 },     { { 50, -0.001, 2.49 }, { 50, 0.0009, -2.49 }, 4.8045 },
    { { 50, -0.001, 2.49 }, { 50, 0.0011, -2.49 }, 4.7461 },     { { 50, 2.5, 0 }, { 50, 0, -2.5 }, 4.3065 },
    { { 50, 2.5, 0 }, { 73, 25, -18 }, 27.1492 },                { { 50, 2.5, 0 }, { 61, -5, 29 }, 22.8977 },
    { { 50, 2.5, 0 }, { 56, -27, -3 }, 31.9030 },                { { 50, 2.5, 0 }, { 58, 24, 15 }, 19.4535 },
    { { 22.7233, 20.0904, -46.6940 }, { 23.0331, 14.9730, -42.5619 }, 2.0373 },
    { { 36.4612, 47.8580, 18.3852 }, { 36.2715, 50.5065, 21.2231 }, 1.4146 },
  };

  for (guint i = 0; i < G_N_ELEMENTS (pairs); i++) {
    g_assert_cmpfloat_with_epsilon (difference_2000 (pairs[i].p, pairs[i].q), pairs[i].difference, 1e-4);
    g_assert_cmpfloat_with_epsilon (difference_2000 (pairs[i].q, pairs[i].p), pairs[i].difference, 1e-4);
  }
}

/* ---- lines of the profile ---- */

typedef struct {
  const char *name;
  LwColor color;
  const double *dash;
  int n_dash;
} Line;

static double
dash_period (const Line *line)
{
  double sum = 0;

  for (int i = 0; i < line->n_dash; i++)
    sum += line->dash[i];
  return sum;
}

/* Dashes that the eye does not tell apart at a glance: as many pieces, of much the same length, and as much of it ink. */
static gboolean
alike_dashed (const Line *a, const Line *b)
{
  double pa = dash_period (a), pb = dash_period (b);

  if (a->n_dash != b->n_dash)
    return FALSE;
  return a->n_dash == 0 || (MAX (pa, pb) < 1.4 * MIN (pa, pb) && fabs (a->dash[0] / pa - b->dash[0] / pb) < 0.2);
}

static guint
set_lines (Line *lines, LwLook look)
{
  const LwPalette *ink = lw_palette (look);
  guint n = 0;

  lines[n++] = (Line){ "gas set", ink->gas, lw_dash_gas, 2 };
  lines[n++] = (Line){ "preheat set", ink->warmth, lw_dash_warm, 4 };
  lines[n++] = (Line){ "joints", ink->joints, NULL, 0 };
  lines[n++] = (Line){ "body", ink->body, NULL, 0 };
  lines[n++] = (Line){ "selected part", ink->accent, NULL, 0 };
  lines[n++] = (Line){ "its body", ink->accent, lw_dash_selected_body, 6 };
  lines[n++] = (Line){ "limit", ink->limit, lw_dash_limit, 2 };
  lines[n++] = (Line){ "liquidus", ink->ink_soft, lw_dash_liquidus, 2 };
  for (guint k = 0; k < N_NEIGHBOURS; k++) {
    Line line = { "neighbour", ink->neighbour[k], NULL, 0 };

    line.dash = lw_dash_neighbour (k + 1, &line.n_dash);
    lines[n++] = line;
  }
  return n;
}

static void
check_pair (const Line *a, const Line *b, LwLook look, int vision)
{
  double d = difference_2000 (vision_seen (a->color, vision), vision_seen (b->color, vision));

  if (d < APART) {
    g_test_message ("look %d, vision %d: %s and %s differ by %.1f", look, vision, a->name, b->name, d);
    g_test_fail ();
  }
}

static void
test_lines (void)
{
  LwProfilePicture picture;

  lw_profile_picture_init (&picture, NULL, 100, 100);
  g_assert_cmpuint (picture.n_neighbours, ==, N_NEIGHBOURS);
  for (guint i = 0; i < G_N_ELEMENTS (looks); i++) {
    Line lines[8 + N_NEIGHBOURS];
    guint n = set_lines (lines, looks[i]);

    for (int vision = 0; vision < N_VISIONS; vision++)
      for (guint a = 0; a < n; a++)
        for (guint b = 0; b < a; b++)
          if (alike_dashed (&lines[a], &lines[b]))
            check_pair (&lines[a], &lines[b], looks[i], vision);
  }
}

/* ---- marks ---- */

/* Where a mark covers the ground, whatever its colour. */
static guint
outline_differs (const Canvas *a, const Canvas *b, guint32 ground)
{
  guint n = 0;

  for (int y = 0; y < a->height; y++)
    for (int x = 0; x < a->width; x++)
      n += (pixel_difference (canvas_pixel (a, x, y), ground) > 60) != (pixel_difference (canvas_pixel (b, x, y), ground) > 60);
  return n;
}

static Canvas
mark_canvas (void (*paint) (cairo_t *cr, guint kind, LwLook look), guint kind, LwLook look)
{
  Canvas canvas = canvas_new (40, 40);
  LwColor ground = lw_palette (look)->halo;

  cairo_set_source_rgb (canvas.cr, ground.r, ground.g, ground.b);
  cairo_paint (canvas.cr);
  paint (canvas.cr, kind, look);
  cairo_surface_flush (canvas.surface);
  return canvas;
}

static void
paint_grade (cairo_t *cr, guint kind, LwLook look)
{
  lw_draw_grade_mark (cr, 20, 20, 24, (LwGrade) kind, look);
}

static void
paint_run (cairo_t *cr, guint kind, LwLook look)
{
  lw_draw_run_mark (cr, 20, 20, 11, kind, look);
}

static void
check_outlines (void (*paint) (cairo_t *cr, guint kind, LwLook look), guint n, guint least)
{
  for (guint i = 0; i < G_N_ELEMENTS (looks); i++)
    for (guint a = 0; a < n; a++)
      for (guint b = 0; b < a; b++) {
        Canvas first = mark_canvas (paint, a, looks[i]), second = mark_canvas (paint, b, looks[i]);
        guint differs = outline_differs (&first, &second, canvas_pixel (&first, 0, 0));

        if (differs < least) {
          g_test_message ("look %d: marks %u and %u differ in %u pixels only", looks[i], a, b, differs);
          g_test_fail ();
        }
        canvas_clear (&first);
        canvas_clear (&second);
      }
}

/* A mark of 24 covers some 450 pixels: a tenth of that is plain to see. */
static void
test_grade_outlines (void)
{
  check_outlines (paint_grade, 3, 45);
}

/* Twelve measured curves: six outlines, filled and hollow. */
static void
test_run_outlines (void)
{
  check_outlines (paint_run, 12, 30);
}

/* Stop is darker on paper, and duller on slate, than watch: a difference of lightness no kind of colour blindness takes away. */
static void
test_grade_lightness (void)
{
  for (guint i = 0; i < G_N_ELEMENTS (looks); i++)
    for (int vision = 0; vision < N_VISIONS; vision++) {
      Lab stop = vision_seen (lw_grade_color (LW_GRADE_STOP, looks[i]), vision);
      Lab watch = vision_seen (lw_grade_color (LW_GRADE_WATCH, looks[i]), vision);
      Lab fine = vision_seen (lw_grade_color (LW_GRADE_FINE, looks[i]), vision);

      g_test_message ("look %d, vision %d: lightness %.0f, %.0f, %.0f", looks[i], vision, stop.l, watch.l, fine.l);
      g_assert_cmpfloat (watch.l - stop.l, >, 10);
      g_assert_cmpfloat (difference_2000 (stop, fine), >, APART);
      g_assert_cmpfloat (difference_2000 (watch, fine), >, APART);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/color-vision/difference", test_difference);
  g_test_add_func ("/color-vision/lines", test_lines);
  g_test_add_func ("/color-vision/grade-outlines", test_grade_outlines);
  g_test_add_func ("/color-vision/run-outlines", test_run_outlines);
  g_test_add_func ("/color-vision/grade-lightness", test_grade_lightness);
  return g_test_run ();
}
