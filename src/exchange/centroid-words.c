/* Words of centroid tables: what heads a column, units, sides. Names as seen in files of several tools
 * and plain words of the trade in a few languages. */
#include <glib/gi18n.h>
#include <math.h>
#include <string.h>

#include "exchange/centroid-rows.h"

/* ---- units ---- */

static const struct {
  const char *word;
  LwCentroidUnit unit;
} unit_words[] = {
  { "mm", LW_CENTROID_MM },         { "millimeter", LW_CENTROID_MM },  { "millimeters", LW_CENTROID_MM },
  { "millimetre", LW_CENTROID_MM }, { "millimetres", LW_CENTROID_MM }, { "metric", LW_CENTROID_MM },
  { "mil", LW_CENTROID_THOU },      { "mils", LW_CENTROID_THOU },      { "thou", LW_CENTROID_THOU },
  { "inch", LW_CENTROID_INCH },     { "inches", LW_CENTROID_INCH },    { "in", LW_CENTROID_INCH },
  { "um", LW_CENTROID_UM },         { "µm", LW_CENTROID_UM },          { "micron", LW_CENTROID_UM },
  { "microns", LW_CENTROID_UM },    { "\"", LW_CENTROID_INCH },
};

/* 1 inch = 25.4 mm exactly (international yard and pound agreement of 1959). */
double
lw_centroid_unit_mm (LwCentroidUnit unit)
{
  static const double mm[LW_CENTROID_N_UNITS] = { 1.0, 0.001, 0.0254, 25.4 };

  return mm[unit];
}

const char *
lw_centroid_unit_word (LwCentroidUnit unit)
{
  static const char *const words[LW_CENTROID_N_UNITS] = { "mm", "µm", "thou", "inch" };

  return words[unit];
}

const char *
lw_centroid_column_name (LwCentroidColumn column)
{
  static const char *const names[LW_CENTROID_N_COLUMNS]
      = { N_ ("reference"), N_ ("value"),    N_ ("package"), N_ ("x"),
          N_ ("y"),         N_ ("rotation"), N_ ("side"),    N_ ("height") };

  return _ (names[column]);
}

static int
find_unit (const char *word)
{
  for (guint i = 0; i < G_N_ELEMENTS (unit_words); i++)
    if (strcmp (unit_words[i].word, word) == 0)
      return (int)unit_words[i].unit;
  return -1;
}

/* "in" alone is a word of the language; behind "=" or ":" it is the unit. */
int
lw_centroid_unit_in_text (const char *text)
{
  g_autofree char *lower = g_utf8_strdown (text, -1);
  const char *p = lower;
  char before = '\0';

  while (*p != '\0') {
    const char *start = p;
    g_autofree char *word = NULL;
    int unit;

    while (g_ascii_isalnum (*p) || (guchar)*p >= 0x80)
      p++;
    if (p == start) {
      before = g_ascii_isspace (*p) ? before : *p;
      p++;
      continue;
    }
    word = g_strndup (start, p - start);
    unit = find_unit (word);
    if (unit >= 0 && (strcmp (word, "in") != 0 || before == '=' || before == ':'))
      return unit;
    before = 'a';
  }
  return -1;
}

/* ---- numbers ---- */

/* Digits, one decimal sign, an exponent. No hexadecimal, no "inf", no blanks. */
static gsize
number_length (const char *s, char decimal)
{
  const char *p = s;
  guint digits = 0;

  p += *p == '-' || *p == '+';
  for (; g_ascii_isdigit (*p); p++)
    digits++;
  if (*p == decimal)
    for (p++; g_ascii_isdigit (*p); p++)
      digits++;
  if (digits == 0)
    return 0;
  if (*p == 'e' || *p == 'E') {
    const char *e = p + 1;

    e += *e == '-' || *e == '+';
    if (g_ascii_isdigit (*e)) {
      while (g_ascii_isdigit (*e))
        e++;
      p = e;
    }
  }
  return (gsize)(p - s);
}

gboolean
lw_centroid_number (const char *field, gboolean decimal_comma, double *value, double *unit_mm)
{
  gsize length = number_length (field, decimal_comma ? ',' : '.');
  char digits[64], *comma;
  g_autofree char *rest = NULL;
  int unit;

  if (length == 0 || length >= sizeof digits)
    return FALSE;
  memcpy (digits, field, length);
  digits[length] = '\0';
  comma = strchr (digits, ',');
  if (comma != NULL)
    *comma = '.';
  *value = g_ascii_strtod (digits, NULL);
  if (!isfinite (*value))
    return FALSE;
  rest = g_utf8_strdown (field + length, -1);
  g_strstrip (rest);
  if (*rest == '\0' || strcmp (rest, "°") == 0 || strcmp (rest, "deg") == 0)
    return TRUE;
  unit = find_unit (rest);
  if (unit >= 0)
    *unit_mm = lw_centroid_unit_mm ((LwCentroidUnit)unit);
  return unit >= 0;
}

/* ---- names ---- */

/* Lower case without blanks, "_", "-", ".", "#", ":", "/" and what stands in brackets. */
static char *
plain (const char *name)
{
  g_autofree char *lower = g_utf8_strdown (name, -1);
  GString *out = g_string_new (NULL);
  int depth = 0;

  for (const char *p = lower; *p != '\0'; p++) {
    if (*p == '(' || *p == '[' || *p == '{')
      depth++;
    else if ((*p == ')' || *p == ']' || *p == '}') && depth > 0)
      depth--;
    else if (depth == 0 && strchr (" _-.#:/\"'\t", *p) == NULL)
      g_string_append_c (out, *p);
  }
  return g_string_free (out, FALSE);
}

/* In each list from the surest word to the least sure; the middle of a part comes before its first pin.
 */
static const char *const names[LW_CENTROID_N_COLUMNS][32] = {
  [LW_CENTROID_REF] = { "refdes", "refdesignator", "referencedesignator", "designator", "reference",
                        "ref", "refname", "partreference", "bauteil", "referenz", "repère", "repere",
                        "referencia", "component", "componentname", "name", "part", "id" },
  [LW_CENTROID_VALUE] = { "value", "val", "wert", "valeur", "valor", "comment", "partnumber", "partno",
                          "pn", "mpn", "device", "part", "componentvalue", "partvalue" },
  [LW_CENTROID_PACKAGE] = { "footprint", "package", "pattern", "geometry", "gehäuse", "gehaeuse",
                            "bauform", "boîtier", "boitier", "encapsulado", "landpattern", "packagename",
                            "footprintname", "case", "decal", "shape", "symbol", "description" },
  [LW_CENTROID_X]
  = { "midx",      "xmid", "centerx",   "xcenter", "centrex",     "xcentre",   "centroidx",
      "xcentroid", "posx", "x",         "xpos",    "xposition",   "positionx", "xloc",
      "xlocation", "locx", "locationx", "xcoord",  "xcoordinate", "coordx",    "xmitte",
      "mittex",    "refx", "padx",      "pin1x" },
  [LW_CENTROID_Y]
  = { "midy",      "ymid", "centery",   "ycenter", "centrey",     "ycentre",   "centroidy",
      "ycentroid", "posy", "y",         "ypos",    "yposition",   "positiony", "yloc",
      "ylocation", "locy", "locationy", "ycoord",  "ycoordinate", "coordy",    "ymitte",
      "mittey",    "refy", "pady",      "pin1y" },
  [LW_CENTROID_ROTATION]
  = { "rotation", "rot", "angle", "orientation", "theta", "winkel", "drehung", "rotacion", "rotación",
      "angulo", "ángulo", "rotationangle", "rotangle", "orient", "phi" },
  [LW_CENTROID_SIDE] = { "side", "layer", "tb", "topbottom", "topbot", "boardside", "placementside",
                         "mountside", "seite", "lage", "côté", "cote", "face", "lado", "capa", "mirror",
                         "mirrored", "placementlayer", "partside" },
  [LW_CENTROID_HEIGHT]
  = { "height", "componentheight", "partheight", "höhe", "hoehe", "hauteur", "altura", "z" },
};

static int
find_name (const char *word, guint *rank)
{
  int best = -1;

  for (int c = 0; c < LW_CENTROID_N_COLUMNS; c++)
    for (guint i = 0; i < G_N_ELEMENTS (names[c]) && names[c][i] != NULL; i++)
      if (strcmp (names[c][i], word) == 0 && (best < 0 || i < *rank)) {
        best = c;
        *rank = i;
      }
  return best;
}

/* The unit in brackets, as in "X (in)". */
static int
bracketed_unit (const char *name)
{
  g_autofree char *lower = g_utf8_strdown (name, -1);
  char *open = strpbrk (lower, "([{"), *close;

  if (open == NULL)
    return -1;
  close = strpbrk (open, ")]}");
  if (close != NULL)
    *close = '\0';
  return find_unit (g_strstrip (open + 1));
}

int
lw_centroid_column_of (const char *name, guint *rank, int *unit, gboolean *is_mirror)
{
  g_autofree char *word = plain (name);
  int column = find_name (word, rank), stated = bracketed_unit (name);

  for (guint i = 0; column < 0 && i < G_N_ELEMENTS (unit_words); i++) {
    g_autofree char *bare = NULL;

    if (!g_str_has_suffix (word, unit_words[i].word))
      continue;
    bare = g_strndup (word, strlen (word) - strlen (unit_words[i].word));
    column = find_name (bare, rank);
    stated = column >= 0 ? (int)unit_words[i].unit : stated;
  }
  if (column >= 0 && stated >= 0)
    *unit = stated;
  *is_mirror = strcmp (word, "mirror") == 0 || strcmp (word, "mirrored") == 0;
  return column;
}

/* ---- sides ---- */

/* Words of a side, and answers to "mirrored?". */
static const char *const top_words[]
    = { "top",           "t",     "toplayer", "topside", "fcu",  "front", "frontside", "component",
        "componentside", "comp",  "primary",  "upper",   "1",    "0",     "oben",      "dessus",
        "arriba",        "topcu", "no",       "n",       "false" };
static const char *const bottom_words[]
    = { "bottom",   "b",      "bot",        "bottomlayer", "bottomside", "bcu",  "back",
        "backside", "solder", "solderside", "secondary",   "lower",      "2",    "unten",
        "dessous",  "abajo",  "bottomcu",   "yes",         "y",          "true", "m" };

static gboolean
in_list (const char *word, const char *const *list, guint n)
{
  for (guint i = 0; i < n; i++)
    if (strcmp (list[i], word) == 0)
      return TRUE;
  return FALSE;
}

gboolean
lw_centroid_side (const char *field, gboolean is_mirror, LwSide *side)
{
  g_autofree char *word = plain (field);

  if (is_mirror && (strcmp (word, "0") == 0 || strcmp (word, "1") == 0)) {
    *side = *word == '1' ? LW_SIDE_BOTTOM : LW_SIDE_TOP;
    return TRUE;
  }
  if (in_list (word, top_words, G_N_ELEMENTS (top_words)))
    *side = LW_SIDE_TOP;
  else if (in_list (word, bottom_words, G_N_ELEMENTS (bottom_words)))
    *side = LW_SIDE_BOTTOM;
  else
    return FALSE;
  return TRUE;
}
