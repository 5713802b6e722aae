/* Commands of the plain kind: G codes, apertures, coordinates. */
#include <glib/gi18n.h>
#include <math.h>
#include <string.h>

#include "exchange/gerber-private.h"

#define REACH_MM 10000.0 /* farther nothing of a board can lie */
#define MAX_DIGITS 15

typedef struct {
  double v;
  gboolean given;
} Number;

/* Digits with the point where the format puts it; a point that is written wins. */
static gboolean
read_number (LwGerberState *self, const char **text, guint digits, guint decimals, Number *number)
{
  const char *p = *text, *start;
  gboolean minus = *p == '-', point = FALSE;
  guint n = 0;
  double v = 0, scale = 1;

  if (*p == '+' || *p == '-')
    p++;
  for (start = p; g_ascii_isdigit (*p) || (*p == '.' && !point); p++)
    if (*p == '.')
      point = TRUE;
    else
      {
        v = v * 10 + (*p - '0');
        scale *= point ? 10 : 1;
        n++;
      }
  if (p == start || n == 0 || n > MAX_DIGITS)
    return lw_gerber_stop (self, _("“%.20s” is not a coordinate"), *text);
  if (!point && self->trailing && n < digits)
    v *= pow (10, digits - n);
  v = (minus ? -v : v) / (point ? scale : pow (10, decimals)) * self->unit_mm;
  if (!(fabs (v) <= REACH_MM))
    return lw_gerber_stop (self, _("a coordinate lies %.0f m away"), fabs (v) / 1000);
  *number = (Number) { v, TRUE };
  *text = p;
  return TRUE;
}

static gboolean
check_ready (LwGerberState *self)
{
  if (self->digits_x == 0)
    return lw_gerber_stop (self, _("a coordinate comes before the number format (FS)"));
  return self->unit_mm > 0 || lw_gerber_stop (self, _("a coordinate comes before the unit (MO)"));
}

static gboolean
select_aperture (LwGerberState *self, guint64 number)
{
  LwAperture *aperture = number <= G_MAXINT32
                           ? g_hash_table_lookup (self->apertures, GUINT_TO_POINTER ((guint) number))
                           : NULL;

  if (aperture == NULL)
    return lw_gerber_stop (self, _("aperture D%llu is not defined"), (unsigned long long) number);
  self->aperture = aperture;
  return TRUE;
}

static gboolean
begin_region (LwGerberState *self)
{
  self->region = TRUE;
  g_array_set_size (self->contour, 0);
  return TRUE;
}

static gboolean
apply_g (LwGerberState *self, guint64 code)
{
  switch (code)
    {
    case 0:
    case 1:
      self->mode = 1;
      return TRUE;
    case 2:
    case 3:
      self->mode = (int) code;
      return TRUE;
    case 36:
      return begin_region (self);
    case 37:
      return lw_gerber_end_region (self);
    case 70:
    case 71:
      self->unit_mm = code == 70 ? 25.4 : 1;
      return TRUE;
    case 74:
    case 75:
      self->multi_quadrant = code == 75;
      return TRUE;
    case 90:
    case 91:
      self->relative = code == 91;
      return TRUE;
    case 54:
    case 55:
      return TRUE;
    default:
      lw_gerber_note (self, "g", _("G%02u is not known and passed over"), (guint) MIN (code, 9999));
      return TRUE;
    }
}

/* The numbers of a coordinate command. */
typedef struct {
  Number x, y, i, j;
} Words;

static gboolean
read_word (LwGerberState *self, const char **p, Words *words)
{
  char letter = *(*p)++;
  gboolean across = letter == 'X' || letter == 'I';
  Number *number = letter == 'X' ? &words->x : letter == 'Y' ? &words->y : letter == 'I' ? &words->i : &words->j;

  return check_ready (self)
         && read_number (self, p, across ? self->digits_x : self->digits_y,
                         across ? self->decimals_x : self->decimals_y, number);
}

static gboolean
operate (LwGerberState *self, const Words *words)
{
  LwPoint to = self->at;

  if (words->x.given)
    to.x_mm = self->relative ? to.x_mm + words->x.v : words->x.v;
  if (words->y.given)
    to.y_mm = self->relative ? to.y_mm + words->y.v : words->y.v;
  return lw_gerber_operate (self, self->operation, to, (LwPoint) { words->i.v, words->j.v });
}

/* D01 to D03 act where they stand; any other number chooses an aperture. */
static gboolean
read_d (LwGerberState *self, const char **p, const Words *words, gboolean *acted)
{
  char *end;
  guint64 code = g_ascii_strtoull (*p + 1, &end, 10);

  if (end == *p + 1)
    return lw_gerber_stop (self, _("a D without a number"));
  *p = end;
  if (code == 0 || code > 3)
    return select_aperture (self, code);
  self->operation = (int) code;
  *acted = TRUE;
  return operate (self, words);
}

static gboolean
read_m (LwGerberState *self, const char *text)
{
  guint64 code = g_ascii_strtoull (text + 1, NULL, 10);

  self->ended = code == 2 || code == 0 || code == 30;
  return TRUE;
}

gboolean
lw_gerber_plain (LwGerberState *self, const char *text)
{
  Words words = { 0 };
  gboolean acted = FALSE;
  const char *p = text;

  while (*p != '\0')
    {
      char *end;

      if (*p == ' ' || *p == '\t')
        p++;
      else if (*p == 'G')
        {
          guint64 code = g_ascii_strtoull (p + 1, &end, 10);

          if (code == 4) /* a comment; some hold attributes */
            {
              const char *mark = strstr (end, "#@!");

              if (mark != NULL)
                lw_gerber_attribute (self, mark + 3);
              return TRUE;
            }
          p = end;
          if (!apply_g (self, code))
            return FALSE;
        }
      else if (*p == 'X' || *p == 'Y' || *p == 'I' || *p == 'J')
        {
          if (!read_word (self, &p, &words))
            return FALSE;
        }
      else if (*p == 'D')
        {
          if (!read_d (self, &p, &words, &acted))
            return FALSE;
        }
      else if (*p == 'M')
        return read_m (self, p);
      else
        return lw_gerber_stop (self, _("“%.20s” is not a command"), p);
    }
  if (!acted && (words.x.given || words.y.given)) /* the operation of before holds */
    {
      if (self->operation == 0)
        return lw_gerber_stop (self, _("a coordinate without an operation"));
      return operate (self, &words);
    }
  return TRUE;
}
