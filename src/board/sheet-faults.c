/* What cannot be in an outline drawing: the figure at fault and why. */
#include <glib/gi18n.h>
#include <math.h>

#include "board/sheet.h"

/* Widest body, most joints: those of the document's own checks. */
#define MOST_MM 500.0
#define MOST_JOINTS 10000
/* Figures on a drawing are rounded to hundredths. */
#define ROUNDING_MM 0.011

#define VALUE(name) lw_datasheet_value (self, LW_FIGURE_##name)

static gboolean
is_count (LwFigure figure)
{
  return figure == LW_FIGURE_COLUMNS || figure == LW_FIGURE_ROWS || figure == LW_FIGURE_COUNT;
}

static gboolean
is_array (const LwDatasheet *self)
{
  return self->family <= LW_SHEET_LANDS;
}

static gboolean
has_leads (const LwDatasheet *self)
{
  return self->family >= LW_SHEET_QUAD_GULL && self->family <= LW_SHEET_DUAL_J;
}

static gboolean
has_four_sides (const LwDatasheet *self)
{
  return self->family == LW_SHEET_QUAD_GULL || self->family == LW_SHEET_QUAD_J || self->family == LW_SHEET_QUAD_FLAT
         || self->family == LW_SHEET_CARRIER;
}

static char *
plain_fault (const LwDatasheet *self, LwFigure figure)
{
  const LwDatasheetRow *row = lw_datasheet_row (self->family, figure);
  double value = self->figure[figure];
  gboolean zero_allowed = figure == LW_FIGURE_STANDOFF || figure == LW_FIGURE_PAD_X || figure == LW_FIGURE_PAD_Y;

  if (isnan (value))
    return row != NULL && row->needed && isnan (lw_datasheet_value (self, figure)) ? g_strdup (_("Is needed."))
                                                                              : NULL;
  if (is_count (figure)) {
    if (value != floor (value) || value < 1)
      return g_strdup (_("Must be a whole number above 0."));
    return value > MOST_JOINTS ? g_strdup_printf (_("Must be at most %d."), MOST_JOINTS) : NULL;
  }
  if (value < 0 || (value <= 0 && !zero_allowed))
    return g_strdup (_("Must be above 0."));
  return value > MOST_MM ? g_strdup_printf (_("Must be at most %g mm."), MOST_MM) : NULL;
}

/* ---- against other figures; all compare false with NaN ---- */

static char *
height_fault (const LwDatasheet *self)
{
  return VALUE (HEIGHT) <= VALUE (STANDOFF) ? g_strdup (_("Leaves no body above the stand-off.")) : NULL;
}

static char *
standoff_fault (const LwDatasheet *self)
{
  if (self->family == LW_SHEET_BALLS && VALUE (STANDOFF) > VALUE (JOINT) + ROUNDING_MM)
    return g_strdup (_("Is more than the ball’s diameter."));
  return NULL;
}

/* How much of the body N joints at a pitch take, the outer ones whole. */
static double
reach (double n, double pitch_mm, double joint_mm)
{
  return (n - 1) * pitch_mm + joint_mm;
}

static char *
pitch_fault (const LwDatasheet *self)
{
  double x = 0, y = 0;

  if (is_array (self)) {
    x = reach (VALUE (COLUMNS), VALUE (PITCH), VALUE (JOINT));
    y = reach (VALUE (ROWS), VALUE (PITCH_Y), VALUE (JOINT));
  } else if (self->family <= LW_SHEET_CARRIER || self->family == LW_SHEET_DUAL_PIN) {
    x = reach (VALUE (COLUMNS), VALUE (PITCH), VALUE (JOINT_WIDTH));
    y = reach (VALUE (ROWS), VALUE (PITCH), VALUE (JOINT_WIDTH));
  }
  if (x > VALUE (BODY_X) + ROUNDING_MM || y > VALUE (BODY_Y) + ROUNDING_MM)
    return g_strdup (_("The joints would reach beyond the body."));
  return NULL;
}

static char *
span_fault (double span_mm, double body_mm)
{
  return span_mm < body_mm - ROUNDING_MM ? g_strdup (_("The leads would end inside the body.")) : NULL;
}

static char *
body_fault (const LwDatasheet *self, LwFigure figure)
{
  LwFigure span = figure == LW_FIGURE_BODY_X ? LW_FIGURE_SPAN_X : LW_FIGURE_SPAN_Y;

  if ((has_leads (self) || self->family == LW_SHEET_MOULDED) && figure == LW_FIGURE_BODY_X
      && lw_datasheet_value (self, figure) > lw_datasheet_value (self, span) + ROUNDING_MM)
    return g_strdup (_("Reaches beyond the leads’ tips."));
  if (self->family == LW_SHEET_QUAD_GULL && lw_datasheet_value (self, figure) > lw_datasheet_value (self, span) + ROUNDING_MM)
    return g_strdup (_("Reaches beyond the leads’ tips."));
  return lw_datasheet_value (self, figure) <= 0 ? g_strdup (_("The leads leave no room for a body; say it.")) : NULL;
}

static char *
count_fault (const LwDatasheet *self)
{
  double count = VALUE (COUNT);

  if (is_array (self) && count > VALUE (COLUMNS) * VALUE (ROWS))
    return g_strdup (_("Is more than columns times rows."));
  if (self->family == LW_SHEET_SMALL && (count < 3 || count > 8))
    return g_strdup (_("Must be 3 to 8."));
  if (!is_array (self) && self->family != LW_SHEET_SMALL && fmod (count, 2) != 0)
    return g_strdup (_("Must be even; leave a thermal pad out."));
  if (has_four_sides (self) && count < 4)
    return g_strdup (_("Must be at least 4 on four sides."));
  return NULL;
}

static char *
array_joint_fault (const LwDatasheet *self)
{
  double pitch = fmin (VALUE (PITCH), VALUE (PITCH_Y)) * (self->staggered ? G_SQRT2 : 1);

  if (VALUE (JOINT) >= pitch)
    return g_strdup (_("Is not smaller than the pitch: neighbours would touch."));
  return NULL;
}

static char *
joint_fault (const LwDatasheet *self)
{
  double length = VALUE (JOINT), out = (VALUE (SPAN_X) - VALUE (BODY_X)) / 2;

  if (is_array (self))
    return array_joint_fault (self);
  switch (self->family) {
  case LW_SHEET_QUAD_GULL:
  case LW_SHEET_DUAL_GULL:
  case LW_SHEET_SMALL:
    return length > out + 0.05 ? g_strdup (_("Is longer than what stands out of the body.")) : NULL;
  case LW_SHEET_QUAD_FLAT:
  case LW_SHEET_DUAL_FLAT:
  case LW_SHEET_CARRIER:
  case LW_SHEET_CHIP:
  case LW_SHEET_CAN:
  case LW_SHEET_CORNERS:
    return 2 * length >= VALUE (BODY_X) ? g_strdup (_("Would meet the one opposite.")) : NULL;
  case LW_SHEET_MOULDED:
    return 2 * length >= VALUE (SPAN_X) ? g_strdup (_("Would meet the one opposite.")) : NULL;
  default:
    return NULL;
  }
}

static char *
width_fault (const LwDatasheet *self)
{
  if (self->family <= LW_SHEET_CARRIER || self->family == LW_SHEET_DUAL_PIN)
    return VALUE (JOINT_WIDTH) >= VALUE (PITCH)
             ? g_strdup (_("Is not smaller than the pitch: neighbours would touch.")) : NULL;
  if (self->family == LW_SHEET_CORNERS && 2 * VALUE (JOINT_WIDTH) >= VALUE (BODY_Y))
    return g_strdup (_("Would meet the one opposite."));
  if (self->family == LW_SHEET_RADIAL)
    return VALUE (JOINT_WIDTH) >= VALUE (SPAN_X) ? g_strdup (_("The pins would touch.")) : NULL;
  return VALUE (JOINT_WIDTH) > VALUE (BODY_Y) + ROUNDING_MM ? g_strdup (_("Is wider than the body.")) : NULL;
}

static char *
pad_fault (const LwDatasheet *self, LwFigure figure)
{
  gboolean x = figure == LW_FIGURE_PAD_X, lands = self->family == LW_SHEET_QUAD_FLAT
                                                  || (self->family == LW_SHEET_DUAL_FLAT && x);
  double body = x ? VALUE (BODY_X) : VALUE (BODY_Y), pad = lw_datasheet_value (self, figure);
  double other = x ? VALUE (PAD_Y) : VALUE (PAD_X);

  if (pad > 0 && pad >= body - (lands ? 2 * VALUE (JOINT) : 0))
    return g_strdup (lands ? _("Would reach the terminals.") : _("Is larger than the body."));
  return !(pad > 0) && other > 0 ? g_strdup (_("The pad’s other side is given: say this one too.")) : NULL;
}

char *
lw_datasheet_fault (const LwDatasheet *self, LwFigure figure)
{
  char *fault = plain_fault (self, figure);

  if (fault != NULL)
    return fault;
  switch (figure) {
  case LW_FIGURE_HEIGHT:
    return height_fault (self);
  case LW_FIGURE_STANDOFF:
    return standoff_fault (self);
  case LW_FIGURE_BODY_X:
  case LW_FIGURE_BODY_Y:
    return body_fault (self, figure);
  case LW_FIGURE_SPAN_X:
    return has_leads (self) || self->family == LW_SHEET_MOULDED ? span_fault (VALUE (SPAN_X), VALUE (BODY_X)) : NULL;
  case LW_FIGURE_SPAN_Y:
    return has_leads (self) ? span_fault (VALUE (SPAN_Y), VALUE (BODY_Y)) : NULL;
  case LW_FIGURE_PITCH:
    return pitch_fault (self);
  case LW_FIGURE_COUNT:
    return count_fault (self);
  case LW_FIGURE_JOINT:
    return joint_fault (self);
  case LW_FIGURE_JOINT_WIDTH:
    return width_fault (self);
  case LW_FIGURE_PAD_X:
  case LW_FIGURE_PAD_Y:
    return pad_fault (self, figure);
  default:
    return NULL;
  }
}

int
lw_datasheet_first_fault (const LwDatasheet *self)
{
  for (guint i = 0; i < LW_N_FIGURES; i++) {
    g_autofree char *fault = lw_datasheet_fault (self, i);

    if (fault != NULL)
      return (int) i;
  }
  return -1;
}
