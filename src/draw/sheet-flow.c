#include "draw/sheet-flow.h"

#include <math.h>

#define HEADER 32.0   /* kept free at the top of every page */
#define CELL_PAD 1.5  /* above and below a row's text, */
#define TIGHT_PAD 0.5 /* and where the paper is short */
#define HEADING_GAP 7.0
#define TIGHT_GAP 4.0
#define BLANK 0.42    /* share of a cell that is a line to write on */
#define TICK 9.0
#define INDENT 20.0
#define HEAD_PT 12.0
#define KEEP_WITH_HEADING 60.0

static void
item_clear (gpointer data)
{
  g_free (((LwSheetItem *) data)->text);
}

void
lw_flow_begin (LwSheetFlow *self, double width, double height)
{
  PangoContext *context = pango_font_map_create_context (pango_cairo_font_map_get_default ());
  cairo_font_options_t *options = cairo_font_options_create ();

  cairo_font_options_set_hint_metrics (options, CAIRO_HINT_METRICS_OFF); /* as lettering.c paints it */
  cairo_font_options_set_hint_style (options, CAIRO_HINT_STYLE_NONE);
  pango_cairo_context_set_font_options (context, options);
  cairo_font_options_destroy (options);
  *self = (LwSheetFlow){ .layout = pango_layout_new (context), .width = width, .height = height };
  g_object_unref (context);
  self->left = LW_SHEET_MARGIN_PT;
  self->right = width - LW_SHEET_MARGIN_PT;
  self->top = self->y = LW_SHEET_MARGIN_PT + HEADER;
  self->bottom = height - LW_SHEET_MARGIN_PT;
  self->pad = CELL_PAD;
  self->heading_gap = HEADING_GAP;
  self->items = g_array_new (FALSE, FALSE, sizeof (LwSheetItem));
  g_array_set_clear_func (self->items, item_clear);
}

void
lw_flow_tighten (LwSheetFlow *self)
{
  self->pad = TIGHT_PAD;
  self->heading_gap = TIGHT_GAP;
}

GArray *
lw_flow_end (LwSheetFlow *self)
{
  g_clear_object (&self->layout);
  return g_steal_pointer (&self->items);
}

/* ---- pages ---- */

void
lw_flow_page (LwSheetFlow *self)
{
  self->page++;
  self->y = self->top;
}

void
lw_flow_need (LwSheetFlow *self, double height)
{
  if (self->y + height > self->bottom && self->y > self->top)
    lw_flow_page (self);
}

void
lw_flow_gap (LwSheetFlow *self, double height)
{
  if (self->y > self->top)
    self->y = fmin (self->y + height, self->bottom);
}

/* ---- words ---- */

static void
set_face (LwSheetFlow *self, double size, gboolean bold)
{
  g_autoptr (PangoFontDescription) font = pango_font_description_new ();

  pango_font_description_set_family_static (font, "sans-serif");
  pango_font_description_set_weight (font, bold ? PANGO_WEIGHT_SEMIBOLD : PANGO_WEIGHT_NORMAL);
  pango_font_description_set_absolute_size (font, size * PANGO_SCALE);
  pango_layout_set_font_description (self->layout, font);
}

/* Line ends and other control characters become blanks: where lines end is the layout's business. */
static char *
one_line (const char *text)
{
  char *copy = g_utf8_make_valid (text, -1);

  for (char *p = copy; *p != '\0'; p++)
    if (g_ascii_iscntrl (*p))
      *p = ' ';
  return g_strstrip (copy);
}

static void
measure (LwSheetFlow *self, const char *text, double *width, double *height)
{
  int w, h;

  pango_layout_set_width (self->layout, -1);
  pango_layout_set_text (self->layout, text, -1);
  pango_layout_get_size (self->layout, &w, &h);
  *width = (double) w / PANGO_SCALE;
  *height = (double) h / PANGO_SCALE;
}

static GPtrArray *
lines_of (LwSheetFlow *self, const char *text, double width)
{
  GPtrArray *lines = g_ptr_array_new_with_free_func (g_free);
  g_autofree char *clean = one_line (text);

  pango_layout_set_width (self->layout, (int) (fmax (width, 1.0) * PANGO_SCALE));
  pango_layout_set_wrap (self->layout, PANGO_WRAP_WORD_CHAR);
  pango_layout_set_text (self->layout, clean, -1);
  for (GSList *at = pango_layout_get_lines_readonly (self->layout); at != NULL; at = at->next) {
    const PangoLayoutLine *line = at->data;

    g_ptr_array_add (lines, g_strchomp (g_strndup (clean + line->start_index, (gsize) line->length)));
  }
  return lines;
}

static double
pitch_of (double size)
{
  return 1.24 * size;
}

static double
add_words (LwSheetFlow *self, guint page, const char *text, double x, double y, double align, double size,
           gboolean bold)
{
  LwSheetItem item = { .kind = LW_SHEET_WORDS, .page = page, .size = size, .bold = bold, .text = g_strdup (text) };
  double w, h;

  measure (self, text, &w, &h);
  item.box = (LwBox){ x - align * w, y, x + (1.0 - align) * w, y + h };
  g_array_append_val (self->items, item);
  return h;
}

double
lw_flow_line_at (LwSheetFlow *self, guint page, const char *text, double x, double y, double width, double align,
                 double size, gboolean bold)
{
  g_autofree char *clean = one_line (text), *fit = g_strdup (clean);
  double w, h;
  glong n = g_utf8_strlen (clean, -1);

  set_face (self, size, bold);
  measure (self, fit, &w, &h);
  if (w > width) {
    n = MIN (n, (glong) (width / size * 4.0)); /* no letter is that narrow */
    while (w > width && n > 0) {
      g_autofree char *head = g_utf8_substring (clean, 0, --n);

      g_free (fit);
      fit = g_strconcat (g_strchomp (head), "…", NULL);
      measure (self, fit, &w, &h);
    }
  }
  return add_words (self, page, fit, x, y, align, size, bold);
}

static void
add_item (LwSheetFlow *self, LwSheetKind kind, guint page, LwBox box, double weight)
{
  LwSheetItem item = { .kind = kind, .page = page, .box = box, .weight = weight };

  g_array_append_val (self->items, item);
}

void
lw_flow_rule_at (LwSheetFlow *self, guint page, double x0, double y0, double x1, double y1, double weight)
{
  add_item (self, LW_SHEET_RULE, page, (LwBox){ x0, y0, x1, y1 }, weight);
}

/* ---- rows ---- */

static double
text_width (const LwSheetCell *cell)
{
  return cell->blank ? cell->width * (1.0 - BLANK) : cell->width;
}

static guint
wrap_cells (LwSheetFlow *self, const LwSheetCell *cells, guint n, double size, GPtrArray **lines)
{
  guint most = 1;

  for (guint i = 0; i < n; i++) {
    set_face (self, size, cells[i].bold);
    lines[i] = lines_of (self, cells[i].text, text_width (&cells[i]));
    most = MAX (most, lines[i]->len);
  }
  return most;
}

static double
row_height (LwSheetFlow *self, const LwSheetCell *cells, guint n, double size)
{
  g_autofree GPtrArray **lines = g_new0 (GPtrArray *, n);
  guint most = wrap_cells (self, cells, n, size, lines);

  for (guint i = 0; i < n; i++)
    g_ptr_array_unref (lines[i]);
  return most * pitch_of (size) + 2.0 * self->pad;
}

static void
lay_cells (LwSheetFlow *self, const LwSheetCell *cells, guint n, double size, GPtrArray **lines, guint line)
{
  for (guint i = 0; i < n; i++) {
    double x = self->left + cells[i].x, width = text_width (&cells[i]);

    if (line < lines[i]->len && *(char *) lines[i]->pdata[line] != '\0') {
      set_face (self, size, cells[i].bold);
      add_words (self, self->page, lines[i]->pdata[line], x + cells[i].align * width, self->y, cells[i].align, size,
                 cells[i].bold);
    }
    if (cells[i].blank && line == 0)
      lw_flow_rule_at (self, self->page, x + width + 5.0, self->y + 1.05 * size, x + cells[i].width - 3.0,
                       self->y + 1.05 * size, 0.6);
  }
}

guint
lw_flow_row (LwSheetFlow *self, const LwSheetCell *cells, guint n, double size, LwRowStyle style)
{
  g_autofree GPtrArray **lines = g_new0 (GPtrArray *, n);
  guint most = wrap_cells (self, cells, n, size, lines), begins;
  double pitch = pitch_of (size), height = most * pitch + 2.0 * self->pad;

  lw_flow_need (self, height > self->bottom - self->top ? pitch + 2.0 * self->pad : height);
  begins = self->page;
  if (style == LW_ROW_HEAD && height <= self->bottom - self->top)
    add_item (self, LW_SHEET_TINT, self->page, (LwBox){ self->left, self->y, self->right, self->y + height }, 0.9);
  if (style == LW_ROW_TICK)
    add_item (self, LW_SHEET_FRAME, self->page,
              (LwBox){ self->left + 1.0, self->y + self->pad + 1.5, self->left + 1.0 + TICK, self->y + self->pad + 1.5 + TICK },
              1.0);
  self->y += self->pad;
  for (guint k = 0; k < most; k++) {
    lw_flow_need (self, pitch);
    lay_cells (self, cells, n, size, lines, k);
    self->y += pitch;
  }
  self->y += self->pad;
  if (style == LW_ROW_RULED || style == LW_ROW_HEAD)
    lw_flow_rule_at (self, self->page, self->left, self->y, self->right, self->y, style == LW_ROW_HEAD ? 1.0 : 0.4);
  for (guint i = 0; i < n; i++)
    g_ptr_array_unref (lines[i]);
  return begins;
}

void
lw_flow_heading (LwSheetFlow *self, const char *text)
{
  const LwSheetCell cell = { .text = text, .width = self->right - self->left, .bold = TRUE };

  lw_flow_gap (self, self->heading_gap);
  lw_flow_need (self, row_height (self, &cell, 1, HEAD_PT) + KEEP_WITH_HEADING);
  lw_flow_row (self, &cell, 1, HEAD_PT, LW_ROW_PLAIN);
}

void
lw_flow_words (LwSheetFlow *self, const char *text, double size, gboolean bold)
{
  const LwSheetCell cell = { .text = text, .width = self->right - self->left, .bold = bold };

  lw_flow_row (self, &cell, 1, size, LW_ROW_PLAIN);
}

void
lw_flow_point (LwSheetFlow *self, const char *mark, const char *text, double size)
{
  const LwSheetCell cells[] = { { .text = mark, .width = INDENT - 3.0, .bold = TRUE },
                                { .text = text, .x = INDENT, .width = self->right - self->left - INDENT } };

  lw_flow_row (self, cells, 2, size, LW_ROW_PLAIN);
}

void
lw_flow_tick (LwSheetFlow *self, const char *text, double size)
{
  const LwSheetCell cell = { .text = text, .x = INDENT, .width = self->right - self->left - INDENT };

  lw_flow_row (self, &cell, 1, size, LW_ROW_TICK);
}

/* ---- pictures and fields ---- */

void
lw_flow_picture (LwSheetFlow *self, double height, LwSheetPaint paint, gconstpointer data)
{
  LwSheetItem item = { .kind = LW_SHEET_PICTURE, .paint = paint, .data = data };

  height = fmin (height, self->bottom - self->top);
  lw_flow_need (self, height);
  item.page = self->page;
  item.box = (LwBox){ self->left, self->y, self->right, self->y + height };
  g_array_append_val (self->items, item);
  self->y += height;
}

void
lw_flow_fields (LwSheetFlow *self, const LwSheetField *fields, guint n)
{
  const double gap = 14.0, height = 28.0;
  double room = self->right - self->left - gap * (n - 1), x = self->left;

  lw_flow_need (self, height);
  for (guint i = 0; i < n; i++) {
    double width = room * fields[i].share;

    lw_flow_line_at (self, self->page, fields[i].label, x, self->y + 1.0, width, 0.0, LW_SHEET_TEXT_PT, FALSE);
    lw_flow_rule_at (self, self->page, x, self->y + height - 2.0, x + width, self->y + height - 2.0, 0.6);
    x += width + gap;
  }
  self->y += height;
}
