/* Painting of the board view, and what it says in words. */
#include "widgets/board-view-private.h"

#include <glib/gi18n.h>

#include "draw/palette.h"
#include "widgets/shown-units.h"
#include "widgets/text-scale.h"

/* All that the desk, the preferences and the pointer say of how the board is shown; borrowed from them. */
static void
fill_picture (LwBoardView *self, LwBoardPicture *picture)
{
  LwDesk *desk = self->desk;

  lw_board_picture_init (picture, lw_desk_job (desk));
  picture->look = lw_widget_look (GTK_WIDGET (self));
  picture->units = lw_shown_units ();
  picture->letters = lw_text_scale (GTK_WIDGET (self));
  picture->plan = lw_desk_plan (desk);
  picture->prediction = lw_desk_prediction (desk);
  picture->findings = lw_desk_findings (desk);
  picture->t_s = lw_desk_moment (desk);
  picture->show_field = lw_desk_shows (desk, "show-field");
  picture->show_isotherms = lw_desk_shows (desk, "show-isotherms");
  picture->show_names = lw_desk_shows (desk, "show-names");
  picture->show_other_side = lw_desk_shows (desk, "show-other-side");
  picture->show_copper = lw_desk_shows (desk, "show-copper");
  picture->proposed = lw_desk_proposed (desk);
  picture->hovered = self->hovered;
  if (lw_board_view_sketching (self)) /* what is drawn is the bare board */
    picture->show_field = picture->show_isotherms = picture->show_preheat = picture->show_nozzle
      = picture->show_shields = picture->show_thermocouples = FALSE;
}

static void
add_temperatures (GString *text, LwBoardView *self, int part)
{
  const LwPrediction *p = lw_desk_prediction (self->desk);
  double t = lw_desk_moment (self->desk);

  int at = p ? lw_prediction_find (p, (guint) part) : -1;
  const LwPartTrace *trace = at < 0 ? NULL : g_ptr_array_index (p->parts, at);

  if (trace && trace->joint_max)
    g_string_append_printf (text, _ ("\nJoints %.0f °C now, %.0f °C at most"),
                            lw_prediction_at (p, trace->joint_max, t), trace->joint_peak_c);
  if (trace && trace->body_top)
    g_string_append_printf (text, _ ("\nBody %.0f °C now, %.0f °C at most"),
                            lw_prediction_at (p, trace->body_top, t), trace->body_peak_c);
}

static void
add_findings (GString *text, LwBoardView *self, const char *ref)
{
  const GPtrArray *findings = lw_desk_findings (self->desk);
  guint n = 0;

  for (guint i = 0; findings && i < findings->len && n < 2; i++) {
    const LwFinding *finding = g_ptr_array_index (findings, i);

    if (finding->grade == LW_GRADE_FINE || g_strcmp0 (finding->ref, ref) != 0)
      continue;
    g_string_append_printf (text, "\n%s", finding->text);
    n++;
  }
}

char *
lw_board_view_describe (LwBoardView *self, int part_index)
{
  LwJob *job = lw_board_view_job (self);
  const LwPart *part;
  g_autoptr (GString) text = NULL;

  if (!job || part_index < 0 || (guint) part_index >= job->parts->len)
    return NULL;
  part = g_ptr_array_index (job->parts, part_index);
  text = g_string_new (part->ref);
  if (part->value[0])
    g_string_append_printf (text, ", %s", part->value);
  if (part->package[0])
    g_string_append_printf (text, ", %s", part->package);
  add_temperatures (text, self, part_index);
  add_findings (text, self, part->ref);
  return lw_units_sentence (lw_shown_units (), text->str);
}

/* ---- empty state ---- */

static void
paint_text (cairo_t *cr, GtkWidget *widget, const char *words, double y, double size, gboolean bold)
{
  g_autoptr (PangoLayout) layout = gtk_widget_create_pango_layout (widget, words);
  g_autoptr (PangoFontDescription) font = pango_font_description_new ();
  int w, h;

  pango_font_description_set_absolute_size (font, size * PANGO_SCALE);
  pango_font_description_set_weight (font, bold ? PANGO_WEIGHT_SEMIBOLD : PANGO_WEIGHT_NORMAL);
  pango_layout_set_font_description (layout, font);
  pango_layout_get_pixel_size (layout, &w, &h);
  cairo_move_to (cr, 0.5 * (gtk_widget_get_width (widget) - w), y);
  lw_color_set (cr, lw_palette (lw_widget_look (widget))->ink_soft);
  pango_cairo_show_layout (cr, layout);
}

static void
paint_nothing (cairo_t *cr, GtkWidget *widget)
{
  double y = 0.45 * gtk_widget_get_height (widget), large = lw_text_scale (widget);

  lw_color_set (cr, lw_palette (lw_widget_look (widget))->desk);
  cairo_paint (cr);
  paint_text (cr, widget, _ ("No board"), y - 12.0 * large, 20.0 * large, TRUE);
  paint_text (cr, widget, _ ("Open a job or a board file to begin."), y + 18.0 * large, 13.0 * large, FALSE);
}

LwBox
lw_board_view_scale_box (LwBoardView *self)
{
  double large = lw_text_scale (GTK_WIDGET (self)), height = MIN (0.5 * self->view.height, 260.0 * large);

  if (self->view.width <= 420.0 * large || self->view.height <= 200.0 * large)
    return (LwBox){ 0 };
  /* below it stand the unit and the moment */
  return (LwBox){ self->view.width - 52.0 * large, 14.0 * large, self->view.width - 8.0 * large, 46.0 * large + height };
}

static void
paint_scale (cairo_t *cr, LwBoardView *self, const LwBoardPicture *picture)
{
  LwBox box = lw_board_view_scale_box (self);

  if (picture->show_field && picture->prediction && box.x1_mm > box.x0_mm)
    lw_draw_heat_scale (cr, box.x0_mm, box.y0_mm, box.x1_mm - box.x0_mm,
                        box.y1_mm - box.y0_mm - 32.0 * lw_letters (picture->letters), picture);
}

void
lw_board_view_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  LwBoardView *self = LW_BOARD_VIEW (widget);
  int width = gtk_widget_get_width (widget), height = gtk_widget_get_height (widget);
  cairo_t *cr;
  LwBoardPicture picture;
  const GArray *selected;

  if (width <= 0 || height <= 0)
    return;
  cr = gtk_snapshot_append_cairo (snapshot, &GRAPHENE_RECT_INIT (0, 0, width, height));
  if (!lw_board_view_job (self)) {
    paint_nothing (cr, widget);
  } else {
    fill_picture (self, &picture);
    selected = lw_desk_selected_parts (self->desk);
    picture.selected = (const guint *) selected->data;
    picture.n_selected = selected->len;
    lw_board_view_paint_sheets (self, cr, &picture);
    lw_board_view_paint_sketch (self, cr);
    picture.prediction = self->sheets.prediction; /* its range is that of the colours that are shown */
    paint_scale (cr, self, &picture);
  }
  lw_canvas_paint_focus (cr, widget);
  cairo_destroy (cr);
}
