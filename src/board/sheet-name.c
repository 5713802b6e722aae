/* What the land-pattern standard would call a sheet's package: the rules of land-name.c the other way round. */
#include <math.h>

#include "board/sheet.h"

#define VALUE(name) lw_datasheet_value (self, LW_FIGURE_##name)

static int
hundredths (double mm)
{
  return isnan (mm) ? 0 : (int) lround (100 * mm);
}

static int
whole (double count)
{
  return isnan (count) ? 0 : (int) lround (count);
}

static char *
array_name (const LwDatasheet *self, const char *word, char leads)
{
  return g_strdup_printf ("%s%d%c%dP%dX%d_%dX%dX%d", word, whole (VALUE (COUNT)), leads, hundredths (VALUE (PITCH)),
                          whole (VALUE (COLUMNS)), whole (VALUE (ROWS)), hundredths (VALUE (BODY_X)),
                          hundredths (VALUE (BODY_Y)), hundredths (VALUE (HEIGHT)));
}

static char *
quad_name (const LwDatasheet *self, const char *word, LwFigure x, LwFigure y)
{
  gboolean pad = VALUE (PAD_X) > 0;
  g_autofree char *tail = pad ? g_strdup_printf ("T%dX%d", hundredths (VALUE (PAD_X)), hundredths (VALUE (PAD_Y)))
                              : g_strdup ("");

  return g_strdup_printf ("%s%dP%dX%dX%d-%d%s", word, hundredths (VALUE (PITCH)),
                          hundredths (lw_datasheet_value (self, x)), hundredths (lw_datasheet_value (self, y)),
                          hundredths (VALUE (HEIGHT)), whole (VALUE (COUNT)) + pad, tail);
}

static char *
dual_name (const LwDatasheet *self, const char *word)
{
  return g_strdup_printf ("%s%dP%dX%d-%d", word, hundredths (VALUE (PITCH)), hundredths (VALUE (SPAN_X)),
                          hundredths (VALUE (HEIGHT)), whole (VALUE (COUNT)) + (VALUE (PAD_X) > 0));
}

static const char *
two_ended_word (const LwDatasheet *self)
{
  gboolean moulded = self->family == LW_SHEET_MOULDED;

  switch (self->kind) {
  case LW_KIND_CERAMIC_CAPACITOR:
    return "CAPC";
  case LW_KIND_RESISTOR:
    return moulded ? "RESM" : "RESC";
  case LW_KIND_INDUCTOR:
    return moulded ? "INDM" : "INDC";
  case LW_KIND_LED:
    return moulded ? "LEDM" : "LEDC";
  case LW_KIND_FUSE:
    return moulded ? "FUSM" : "FUSC";
  case LW_KIND_CRYSTAL:
    return "XTAL";
  case LW_KIND_TANTALUM:
  case LW_KIND_POLYMER_CAPACITOR:
    return moulded ? "CAPMP" : "CAPCP";
  case LW_KIND_FILM_CAPACITOR:
    return "CAPM";
  default:
    return moulded ? "DIOM" : "DIOC";
  }
}

/* Tenths; a size between two tenths is cut, as 2.0 x 1.25 mm is 2012. */
static char *
two_ended_name (const LwDatasheet *self)
{
  double length = self->family == LW_SHEET_MOULDED ? VALUE (SPAN_X) : VALUE (BODY_X), width = VALUE (BODY_Y);
  int digits = fmax (length, width) >= 10 ? 3 : 2;

  if (self->kind == LW_KIND_CRYSTAL)
    return g_strdup_printf ("XTAL%dX%dX%d", hundredths (length), hundredths (width), hundredths (VALUE (HEIGHT)));
  return g_strdup_printf ("%s%0*d%0*dX%d", two_ended_word (self), digits, (int) (10 * length + 0.25), digits,
                          (int) (10 * width + 0.25), hundredths (VALUE (HEIGHT)));
}

static char *
pin_name (const LwDatasheet *self)
{
  int span = hundredths (VALUE (SPAN_X)), wide = hundredths (VALUE (JOINT_WIDTH)), high = hundredths (VALUE (HEIGHT));

  if (self->family == LW_SHEET_DUAL_PIN)
    return g_strdup_printf ("DIP%dW%dP%dL%dH%dQ%d", span, wide, hundredths (VALUE (PITCH)),
                            hundredths (VALUE (BODY_Y)), high, whole (VALUE (COUNT)));
  if (isnan (self->figure[LW_FIGURE_BODY_Y]))
    return g_strdup_printf ("CAPPRD%dW%dD%dH%d", span, wide, hundredths (VALUE (BODY_X)), high);
  return g_strdup_printf ("CAPRR%dW%dL%dT%dH%d", span, wide, hundredths (VALUE (BODY_X)),
                          hundredths (VALUE (BODY_Y)), high);
}

char *
lw_datasheet_name (const LwDatasheet *self)
{
  switch (self->family) {
  case LW_SHEET_BALLS:
    return array_name (self, self->staggered ? "BGAS" : "BGA", 'C');
  case LW_SHEET_COLUMNS:
    return array_name (self, "CGA", 'C');
  case LW_SHEET_LANDS:
    return array_name (self, "LGA", 'C');
  case LW_SHEET_QUAD_GULL:
    return quad_name (self, self->ceramic ? "CQFP" : "QFP", LW_FIGURE_SPAN_X, LW_FIGURE_SPAN_Y);
  case LW_SHEET_QUAD_J:
    return quad_name (self, "PLCC", LW_FIGURE_SPAN_X, LW_FIGURE_SPAN_Y);
  case LW_SHEET_QUAD_FLAT:
    return quad_name (self, "QFN", LW_FIGURE_BODY_X, LW_FIGURE_BODY_Y);
  case LW_SHEET_DUAL_FLAT:
    return quad_name (self, "SON", LW_FIGURE_BODY_X, LW_FIGURE_BODY_Y);
  case LW_SHEET_CARRIER:
    return quad_name (self, "LCC", LW_FIGURE_BODY_X, LW_FIGURE_BODY_Y);
  case LW_SHEET_DUAL_GULL:
    return dual_name (self, self->ceramic ? "CFP" : VALUE (PITCH) == 1.27 ? "SOIC" : "SOP");
  case LW_SHEET_SMALL:
    return dual_name (self, "SOT");
  case LW_SHEET_DUAL_J:
    return dual_name (self, "SOJ");
  case LW_SHEET_CAN:
    return g_strdup_printf ("CAPAE%dX%d", hundredths (VALUE (BODY_X)), hundredths (VALUE (HEIGHT)));
  case LW_SHEET_CORNERS:
    return g_strdup_printf ("OSCCC%dX%dX%d", hundredths (VALUE (BODY_X)), hundredths (VALUE (BODY_Y)),
                            hundredths (VALUE (HEIGHT)));
  case LW_SHEET_DUAL_PIN:
  case LW_SHEET_RADIAL:
    return pin_name (self);
  default:
    return two_ended_name (self);
  }
}
