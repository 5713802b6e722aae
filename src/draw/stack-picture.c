#include "draw/stack-picture.h"

#include <math.h>

#include <glib/gi18n.h>

#include "draw/lettering.h"
#include "draw/palette.h"
#include "plan/stack.h"

#define LEAST 9.0   /* a sheet's height in the picture, so that foil can be seen and named */
#define MARGIN 10.0
#define STRIPS 12   /* pieces a copper sheet is broken into */

typedef struct {
  double top, bottom; /* picture */
} Band;

static double
sheet_mm (const LwSheet *sheet)
{
  return sheet->thickness_m * 1e3;
}

/* Heights grow with the square root of thickness: foil and core are seen side by side. They fill the room. */
static GArray *
bands_of (const LwStack *stack, double top, double height)
{
  GArray *bands = g_array_new (FALSE, FALSE, sizeof (Band));
  double sum = 0.0, at = top, least = MIN (LEAST, height / MAX (stack->sheets->len, 1u));
  double spare = MAX (height - least * stack->sheets->len, 0.0);

  for (guint i = 0; i < stack->sheets->len; i++)
    sum += sqrt (sheet_mm (&g_array_index (stack->sheets, LwSheet, i)));
  for (guint i = 0; i < stack->sheets->len && sum > 0.0; i++) {
    double share = sqrt (sheet_mm (&g_array_index (stack->sheets, LwSheet, i))) / sum;
    Band band = { at, at + least + spare * share };

    g_array_append_val (bands, band);
    at = band.bottom;
  }
  return bands;
}

static double
text_size (const LwStackPicture *picture)
{
  return picture->text_size > 0.0 ? picture->text_size : 10.5;
}

static double
section_width (const LwStackPicture *picture)
{
  return MAX (0.36 * picture->width - MARGIN, 20.0);
}

/* Two lines below the section, three when the stack is assumed. */
static double
foot (const LwStackPicture *picture, const LwStack *stack)
{
  return (stack->assumed ? 5.8 : 4.4) * text_size (picture);
}

static void
paint_sheet (cairo_t *cr, const LwStackPicture *picture, const LwSheet *sheet, const Band *band, gboolean chosen)
{
  const LwPalette *ink = lw_palette (picture->look);
  gboolean dark = lw_look_plain (picture->look) == LW_LOOK_DARK;
  LwColor resin = dark ? (LwColor){ 0.30, 0.36, 0.28, 1.0 } : (LwColor){ 0.84, 0.86, 0.72, 1.0 };
  LwColor copper = { 0.80, 0.47, 0.22, 1.0 };
  double width = section_width (picture), height = band->bottom - band->top;

  cairo_rectangle (cr, MARGIN, band->top, width, height);
  lw_color_set (cr, resin);
  cairo_fill (cr);
  lw_color_set (cr, copper);
  for (guint k = 0; k < STRIPS && sheet->cover > 0.0; k++)
    cairo_rectangle (cr, MARGIN + width * k / STRIPS, band->top, width * MIN (sheet->cover, 1.0) / STRIPS, height);
  cairo_fill (cr);
  cairo_rectangle (cr, MARGIN, band->top, width, height);
  lw_color_set (cr, chosen ? ink->accent : ink->ink_faint);
  cairo_set_line_width (cr, chosen ? 2.5 : 0.6);
  cairo_stroke (cr);
}

static char *
words_of (const LwSheet *sheet, LwUnits units)
{
  double mm = sheet_mm (sheet);
  g_autofree char *plain = mm < 0.2 ? g_strdup_printf ("%.0f µm", mm * 1e3) : g_strdup_printf ("%.2f mm", mm);
  g_autofree char *thick = lw_units_sentence (units, plain);
  const char *name = sheet->name != NULL ? sheet->name : "";

  /* Translators: a sheet of the board: its name, thickness and the share of it that is copper. */
  return sheet->cover > 0.0 ? g_strdup_printf (_("%s  %s, %.0f %%"), name, thick, sheet->cover * 100)
                            : g_strdup_printf ("%s  %s", name, thick);
}

/* A size at which TEXT fits into WIDTH, not below what can be read. */
static double
fitting (LwLettering *type, const char *text, double size, gboolean bold, double width)
{
  double is, height;

  lw_letter_face (type, size, bold);
  lw_letter_measure (type, text, &is, &height);
  if (is > width && is > 0.0)
    size = MAX (size * width / is, LW_LETTER_MIN);
  lw_letter_face (type, size, bold);
  return size;
}

/* Heights of the words: beside their sheets, pushed down where those are thin, and up again from the end. */
static double *
lines_of (const GArray *bands, guint n, double line, double end)
{
  double *y = g_new (double, n + 1), next = 0.0, last = end;

  for (guint i = 0; i < n; i++) {
    const Band *band = &g_array_index (bands, Band, i);

    y[i] = MAX (0.5 * (band->top + band->bottom), next + 0.5 * line);
    next = y[i] + 0.5 * line;
  }
  for (guint i = n; i-- > 0;) {
    y[i] = MIN (y[i], last - 0.5 * line);
    last = y[i] - 0.5 * line;
  }
  return y;
}

/* Letters shrink before words are left out; of those that find no room, the last are. */
static void
write_sheets (LwLettering *type, const LwStackPicture *picture, const LwStack *stack, const GArray *bands)
{
  const LwPalette *ink = lw_palette (picture->look);
  double x = MARGIN + section_width (picture), end = picture->height - foot (picture, stack);
  double size = CLAMP ((end - 2.0) / MAX (bands->len, 1u) / 1.15, LW_LETTER_MIN, text_size (picture));
  double line = CLAMP ((end - 2.0) / MAX (bands->len, 1u), 1.15 * size, 1.35 * size);
  guint n = MIN (bands->len, (guint) MAX ((end - 2.0) / line + 0.01, 0.0));
  g_autofree double *y = lines_of (bands, n, line, end);

  for (guint i = 0; i < n; i++) {
    const Band *band = &g_array_index (bands, Band, i);
    g_autofree char *text = words_of (&g_array_index (stack->sheets, LwSheet, i), picture->units);

    fitting (type, text, size, FALSE, picture->width - x - 16.0);
    cairo_move_to (type->cr, x, 0.5 * (band->top + band->bottom));
    cairo_line_to (type->cr, x + 9.0, y[i]);
    lw_color_set (type->cr, ink->ink_faint);
    cairo_set_line_width (type->cr, 0.8);
    cairo_stroke (type->cr);
    lw_letter_draw (type, text, x + 13.0, y[i], 0.0, 0.5, 0.0, picture->selected == (int) i ? ink->accent : ink->ink,
                    (LwColor){ 0, 0, 0, 0 });
  }
}

static void
write_sum (LwLettering *type, const LwStackPicture *picture, const LwStack *stack)
{
  const LwPalette *ink = lw_palette (picture->look);
  double in, through, capacity, size = text_size (picture), shown = size, y = picture->height - foot (picture, stack) + 1.3 * size;
  char *lines[3];
  g_autofree char *plain = NULL;

  lw_stack_sum (picture->board, &in, &through, &capacity);
  lines[0] = g_strdup_printf (_("In plane %.1f, through %.2f W/(m·K)"), in, through);
  plain = g_strdup_printf (_("%.2f mm thick, %.2f MJ/(m³·K)"), stack->thickness_m * 1e3, capacity * 1e-6);
  lines[1] = lw_units_sentence (picture->units, plain);
  lines[2] = g_strdup (stack->assumed ? _("A stated default: none is given") : "");
  for (guint i = 0; i < G_N_ELEMENTS (lines); i++)
    shown = fmin (shown, fitting (type, lines[i], size, i == 0, picture->width - 2.0 * MARGIN));
  for (guint i = 0; i < G_N_ELEMENTS (lines); i++) {
    lw_letter_face (type, shown, i == 0);
    lw_letter_draw (type, lines[i], MARGIN, y + 1.5 * i * size, 0.0, 0.5, 0.0, i == 0 ? ink->ink : ink->ink_soft,
                    (LwColor){ 0, 0, 0, 0 });
    g_free (lines[i]);
  }
}

void
lw_draw_stack (cairo_t *cr, const LwStackPicture *picture)
{
  g_autoptr (LwStack) stack = lw_stack_new (picture->board);
  g_autoptr (GArray) bands = bands_of (stack, MARGIN, MAX (picture->height - foot (picture, stack) - MARGIN, 10.0));
  LwLettering type;

  cairo_save (cr);
  lw_color_set (cr, lw_palette (picture->look)->desk);
  cairo_rectangle (cr, 0.0, 0.0, picture->width, picture->height);
  cairo_fill_preserve (cr);
  cairo_clip (cr);
  for (guint i = 0; i < bands->len; i++)
    paint_sheet (cr, picture, &g_array_index (stack->sheets, LwSheet, i), &g_array_index (bands, Band, i),
                 !stack->assumed && picture->selected == (int) i);
  lw_letter_begin (&type, cr);
  write_sheets (&type, picture, stack, bands);
  write_sum (&type, picture, stack);
  lw_letter_end (&type);
  cairo_restore (cr);
}

int
lw_stack_hit (const LwStackPicture *picture, double px, double py)
{
  g_autoptr (LwStack) stack = lw_stack_new (picture->board);
  g_autoptr (GArray) bands = bands_of (stack, MARGIN, MAX (picture->height - foot (picture, stack) - MARGIN, 10.0));

  if (stack->assumed || px < MARGIN || px > MARGIN + section_width (picture))
    return -1;
  for (guint i = 0; i < bands->len; i++)
    if (py >= g_array_index (bands, Band, i).top && py < g_array_index (bands, Band, i).bottom)
      return (int) i;
  return -1;
}

void
lw_stack_sum (const LwBoard *board, double *k_in_plane, double *k_through, double *heat_capacity)
{
  g_autoptr (LwStack) stack = lw_stack_new (board);
  HeatLayer all = lw_stack_slice (stack, 0.0, stack->thickness_m, -1, 0.0);

  *k_in_plane = isnan (board->prescribed_k_in_plane_w_per_mk) ? all.k_in_w_mk : board->prescribed_k_in_plane_w_per_mk;
  *k_through = isnan (board->prescribed_k_through_w_per_mk) ? all.k_thr_w_mk : board->prescribed_k_through_w_per_mk;
  *heat_capacity = isnan (board->prescribed_heat_capacity_j_per_m3k) ? all.rho_c_j_m3k
                                                                     : board->prescribed_heat_capacity_j_per_m3k;
}
