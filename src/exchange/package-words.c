#include "exchange/package-words.h"

#include <glib/gi18n.h>
#include <stdlib.h>
#include <string.h>

#include "board/land-name.h"

/* ---- families ---- */

typedef struct {
  const char *word; /* letters at the start of a name's piece, upper case */
  LwPackageKind kind;
  LwJointPattern pattern;
  gboolean leads;
} Family;

/* Words of JEDEC and EIAJ outlines, of land patterns whose name goes on otherwise than the standard says, and plain
 * trade words. */
static const Family families[] = {
  { "BGA", LW_KIND_AREA_ARRAY, LW_JOINTS_GRID },
  { "FBGA", LW_KIND_AREA_ARRAY, LW_JOINTS_GRID },
  { "PBGA", LW_KIND_AREA_ARRAY, LW_JOINTS_GRID },
  { "CBGA", LW_KIND_AREA_ARRAY, LW_JOINTS_GRID },
  { "TFBGA", LW_KIND_AREA_ARRAY, LW_JOINTS_GRID },
  { "LFBGA", LW_KIND_AREA_ARRAY, LW_JOINTS_GRID },
  { "UFBGA", LW_KIND_AREA_ARRAY, LW_JOINTS_GRID },
  { "VFBGA", LW_KIND_AREA_ARRAY, LW_JOINTS_GRID },
  { "FCBGA", LW_KIND_AREA_ARRAY, LW_JOINTS_GRID },
  { "XFBGA", LW_KIND_AREA_ARRAY, LW_JOINTS_GRID },
  { "WLCSP", LW_KIND_AREA_ARRAY, LW_JOINTS_GRID },
  { "QFP", LW_KIND_LEADED, LW_JOINTS_FOUR_SIDES, TRUE },
  { "TQFP", LW_KIND_LEADED, LW_JOINTS_FOUR_SIDES, TRUE },
  { "LQFP", LW_KIND_LEADED, LW_JOINTS_FOUR_SIDES, TRUE },
  { "PQFP", LW_KIND_LEADED, LW_JOINTS_FOUR_SIDES, TRUE },
  { "MQFP", LW_KIND_LEADED, LW_JOINTS_FOUR_SIDES, TRUE },
  { "PLCC", LW_KIND_LEADED, LW_JOINTS_NONE },
  { "SOIC", LW_KIND_LEADED, LW_JOINTS_TWO_SIDES, TRUE },
  { "SOP", LW_KIND_LEADED, LW_JOINTS_TWO_SIDES, TRUE },
  { "SSOP", LW_KIND_LEADED, LW_JOINTS_TWO_SIDES, TRUE },
  { "TSSOP", LW_KIND_LEADED, LW_JOINTS_TWO_SIDES, TRUE },
  { "MSOP", LW_KIND_LEADED, LW_JOINTS_TWO_SIDES, TRUE },
  { "VSSOP", LW_KIND_LEADED, LW_JOINTS_TWO_SIDES, TRUE },
  { "TSOP", LW_KIND_LEADED, LW_JOINTS_NONE },
  { "SOJ", LW_KIND_LEADED, LW_JOINTS_NONE },
  { "SOT", LW_KIND_LEADED, LW_JOINTS_NONE },
  { "SOD", LW_KIND_LEADED, LW_JOINTS_NONE },
  { "QFN", LW_KIND_LEADLESS, LW_JOINTS_FOUR_SIDES },
  { "VQFN", LW_KIND_LEADLESS, LW_JOINTS_FOUR_SIDES },
  { "WQFN", LW_KIND_LEADLESS, LW_JOINTS_FOUR_SIDES },
  { "TQFN", LW_KIND_LEADLESS, LW_JOINTS_FOUR_SIDES },
  { "UQFN", LW_KIND_LEADLESS, LW_JOINTS_FOUR_SIDES },
  { "HVQFN", LW_KIND_LEADLESS, LW_JOINTS_FOUR_SIDES },
  { "DFN", LW_KIND_LEADLESS, LW_JOINTS_TWO_SIDES },
  { "VDFN", LW_KIND_LEADLESS, LW_JOINTS_TWO_SIDES },
  { "UDFN", LW_KIND_LEADLESS, LW_JOINTS_TWO_SIDES },
  { "VPDFN", LW_KIND_LEADLESS, LW_JOINTS_TWO_SIDES },
  { "WSON", LW_KIND_LEADLESS, LW_JOINTS_TWO_SIDES },
  { "SON", LW_KIND_LEADLESS, LW_JOINTS_TWO_SIDES },
  { "VSON", LW_KIND_LEADLESS, LW_JOINTS_TWO_SIDES },
  { "CAPC", LW_KIND_CERAMIC_CAPACITOR },
  { "CAPMP", LW_KIND_TANTALUM, LW_JOINTS_NONE },
  { "CAPAE", LW_KIND_ELECTROLYTIC, LW_JOINTS_NONE },
  { "RESC", LW_KIND_RESISTOR },
  { "INDC", LW_KIND_INDUCTOR },
  { "LEDC", LW_KIND_LED },
  { "LED", LW_KIND_LED },
  { "TANT", LW_KIND_TANTALUM },
  { "TANTV", LW_KIND_TANTALUM },
  { "CRYSTAL", LW_KIND_CRYSTAL },
  { "OSCILLATOR", LW_KIND_CRYSTAL },
  { "OSC", LW_KIND_CRYSTAL },
  { "XTAL", LW_KIND_CRYSTAL },
  { "FUSE", LW_KIND_FUSE },
  { "BEAD", LW_KIND_INDUCTOR },
  { "FBEAD", LW_KIND_INDUCTOR },
  { "IND", LW_KIND_INDUCTOR },
  { "INDUCTOR", LW_KIND_INDUCTOR },
  { "RELAY", LW_KIND_RELAY },
  { "TRANSFORMER", LW_KIND_TRANSFORMER },
  { "SWITCH", LW_KIND_SWITCH },
  { "BATTERYHOLDER", LW_KIND_CELL_HOLDER },
  { "CONN", LW_KIND_CONNECTOR },
  { "CONNECTOR", LW_KIND_CONNECTOR },
  { "PINHEADER", LW_KIND_CONNECTOR },
  { "PINSOCKET", LW_KIND_CONNECTOR },
  { "HDR", LW_KIND_CONNECTOR },
  { "DSUB", LW_KIND_CONNECTOR },
  { "USB", LW_KIND_CONNECTOR },
  { "HDMI", LW_KIND_CONNECTOR },
  { "RJ", LW_KIND_CONNECTOR },
  { "MOUNTINGHOLE", LW_KIND_MECHANICAL },
  { "FIDUCIAL", LW_KIND_MECHANICAL },
  { "TESTPOINT", LW_KIND_MECHANICAL },
};

/* Size codes of chips in hundredths of an inch: EIA/IEC 60115 and 60384 case sizes, L x W in mm. */
static const struct {
  const char *inch;
  double length_mm, width_mm;
} chips[] = {
  { "01005", 0.4, 0.2 }, { "0201", 0.6, 0.3 }, { "0402", 1.0, 0.5 }, { "0603", 1.6, 0.8 }, { "0805", 2.0, 1.25 },
  { "1206", 3.2, 1.6 },  { "1210", 3.2, 2.5 }, { "1812", 4.5, 3.2 }, { "2010", 5.0, 2.5 }, { "2512", 6.3, 3.2 },
};

/* Class letters that leave no choice. C (of many kinds), D, Q, U and X do. */
static const struct {
  const char *letters;
  LwPackageKind kind;
} classes[] = {
  { "R", LW_KIND_RESISTOR },    { "L", LW_KIND_INDUCTOR },    { "FB", LW_KIND_INDUCTOR },
  { "Y", LW_KIND_CRYSTAL },     { "F", LW_KIND_FUSE },        { "K", LW_KIND_RELAY },
  { "S", LW_KIND_SWITCH },      { "SW", LW_KIND_SWITCH },     { "J", LW_KIND_CONNECTOR },
  { "P", LW_KIND_CONNECTOR },   { "T", LW_KIND_TRANSFORMER }, { "H", LW_KIND_MECHANICAL },
  { "MH", LW_KIND_MECHANICAL }, { "TP", LW_KIND_MECHANICAL }, { "FID", LW_KIND_MECHANICAL },
};

/* ---- reading ---- */

/* A piece of a name: its letters and what follows them. */
typedef struct {
  char letters[20];
  const char *rest;
} Piece;

static Piece
piece_of (const char *text)
{
  Piece piece = { .rest = text };
  gsize n = 0;

  while (g_ascii_isalpha (*piece.rest))
    {
      if (n + 1 < sizeof piece.letters)
        piece.letters[n++] = g_ascii_toupper (*piece.rest);
      piece.rest++;
    }
  piece.letters[n] = '\0';
  return piece;
}

static const Family *
find_family (const char *letters)
{
  for (guint i = 0; i < G_N_ELEMENTS (families); i++)
    if (strcmp (families[i].word, letters) == 0)
      return &families[i];
  return NULL;
}

/* A plain decimal number at *P, moved behind it; "P" may stand for the point ("1P27"). 0 = none. */
static double
take_number (const char **p, gboolean letter_point)
{
  char digits[16];
  gsize n = 0;
  const char *s = *p;
  gboolean point = FALSE;

  for (; n + 1 < sizeof digits; s++)
    {
      gboolean is_point = *s == '.' || (letter_point && *s == 'P');

      if (!g_ascii_isdigit (*s) && (!is_point || point || !g_ascii_isdigit (s[1])))
        break;
      point |= is_point;
      digits[n++] = is_point ? '.' : *s;
    }
  if (n == 0)
    return 0;
  digits[n] = '\0';
  *p = s;
  return g_ascii_strtod (digits, NULL);
}

/* "20x20mm" */
static gboolean
take_pair (const char *text, double *a, double *b)
{
  const char *p = text;

  *a = take_number (&p, FALSE);
  if (*a <= 0 || (*p != 'x' && *p != 'X'))
    return FALSE;
  p++;
  *b = take_number (&p, FALSE);
  return *b > 0 && g_ascii_strncasecmp (p, "mm", 2) == 0 && !g_ascii_isalnum (p[2]);
}

/* "P0.5mm" or, the letter standing for the point, "P8MMP" (0.8) and "1P27MMP" (1.27). 0 = neither. */
static double
read_pitch (const char *text)
{
  const char *p = text;
  gsize length = strlen (text);
  double pitch;

  if (length > 3 && length < 12 && strcmp (text + length - 3, "MMP") == 0)
    {
      g_autofree char *digits = g_strconcat ("0", text, NULL);

      digits[length - 2] = '\0';
      p = digits;
      pitch = take_number (&p, TRUE);
      return *p == '\0' ? pitch : 0;
    }
  if (*p++ != 'P')
    return 0;
  pitch = take_number (&p, FALSE);
  return strcmp (p, "mm") == 0 ? pitch : 0;
}

/* "Layout20x20" */
static void
read_layout (LwPackageWords *words, const char *text)
{
  const char *p = text;
  double columns = take_number (&p, FALSE), rows = 0;

  if (*p == 'x')
    {
      p++;
      rows = take_number (&p, FALSE);
    }
  if (columns < 1 || rows < 1 || columns > 100 || rows > 100)
    return;
  words->columns = (guint) columns;
  words->rows = (guint) rows;
}

/* "20x20mm", "EP3.2x3.2mm", "Layout20x20", "Ball0.3mm" and pitches */
static void
read_measure (LwPackageWords *words, const char *text)
{
  const char *p;
  double a, b;

  if (words->body_x_mm == 0 && take_pair (text, &a, &b))
    {
      words->body_x_mm = a;
      words->body_y_mm = b;
    }
  else if (g_str_has_prefix (text, "EP") && take_pair (text + 2, &a, &b))
    {
      words->pad_length_mm = a;
      words->pad_width_mm = b;
    }
  else if (g_str_has_prefix (text, "Layout"))
    read_layout (words, text + strlen ("Layout"));
  else if (g_str_has_prefix (text, "Ball"))
    {
      p = text + strlen ("Ball");
      words->ball_mm = take_number (&p, FALSE);
    }
  else if (words->pitch_mm == 0)
    words->pitch_mm = read_pitch (text);
}

/* A name of the land-pattern standard says everything; the words are those of trade names. */
static gboolean
read_standard (LwPackageWords *words, const char *name)
{
  if (!lw_land_name_read (name, &words->sheet))
    return FALSE;
  words->standard = TRUE;
  words->kind = words->sheet.kind;
  words->from = _("its name");
  if (words->sheet.family == LW_SHEET_CHIP)
    {
      words->family = LW_JOINTS_TWO_ENDS;
      words->chip_length_mm = words->sheet.figure[LW_FIGURE_BODY_X];
      words->chip_width_mm = words->sheet.figure[LW_FIGURE_BODY_Y];
    }
  return TRUE;
}

/* "QFN32", "TQFP-144": the count stands right behind the family's word, possibly after a dash. */
static void
read_pins (LwPackageWords *words, const char *rest, const char *next)
{
  const char *digits = *rest != '\0' ? rest : next;
  char *end;
  unsigned long pins;

  if (digits == NULL || !g_ascii_isdigit (*digits))
    return;
  pins = strtoul (digits, &end, 10);
  if (*end == '\0' && pins >= 2 && pins <= 10000)
    words->pins = pins;
}

static void
read_chip (LwPackageWords *words, const char *code)
{
  for (guint i = 0; i < G_N_ELEMENTS (chips); i++)
    if (g_str_has_prefix (code, chips[i].inch) && !g_ascii_isdigit (code[strlen (chips[i].inch)]))
      {
        words->family = LW_JOINTS_TWO_ENDS;
        words->chip_length_mm = chips[i].length_mm;
        words->chip_width_mm = chips[i].width_mm;
      }
}

/* A family's word is at the start of a piece: what it says. REST is the piece after the word. */
static void
take_family (LwPackageWords *words, const Family *family, const char *rest, const char *next)
{
  words->kind = family->kind;
  words->from = _("its name");
  words->family = family->pattern;
  words->leads = family->leads;
  read_pins (words, rest, next);
}

/* "C0402", "R_0603_1608Metric", "LED_0805": a letter and a size code. */
static gboolean
take_chip (LwPackageWords *words, const Piece *piece, const char *next)
{
  static const struct {
    const char *letters;
    LwPackageKind kind;
  } letters[] = {
    { "C", LW_KIND_CERAMIC_CAPACITOR }, { "CAP", LW_KIND_CERAMIC_CAPACITOR },
    { "R", LW_KIND_RESISTOR },          { "RES", LW_KIND_RESISTOR },
    { "L", LW_KIND_INDUCTOR },          { "F", LW_KIND_FUSE },
    { "FUSE", LW_KIND_FUSE },           { "LED", LW_KIND_LED },
    { "BEAD", LW_KIND_INDUCTOR },       { "FBEAD", LW_KIND_INDUCTOR },
  };
  const char *code = *piece->rest != '\0' ? piece->rest : next;

  if (code == NULL)
    return FALSE;
  for (guint i = 0; i < G_N_ELEMENTS (letters); i++)
    if (strcmp (letters[i].letters, piece->letters) == 0)
      {
        read_chip (words, code);
        if (words->chip_length_mm == 0)
          return FALSE;
        words->kind = letters[i].kind;
        words->from = _("its name");
        return TRUE;
      }
  return FALSE;
}

/* Radial and axial polarised capacitors with leads are wet aluminium; plain ones may be anything. */
static gboolean
take_can (LwPackageWords *words, const Piece *piece, const char *next)
{
  static const char *const forms[] = { "Radial", "Axial", "Elec" };

  if (next == NULL)
    return FALSE;
  for (guint i = 0; i < G_N_ELEMENTS (forms); i++)
    if (strcmp (piece->letters, "CP") == 0 && strcmp (next, forms[i]) == 0)
      {
        words->kind = LW_KIND_ELECTROLYTIC;
        words->from = _("its name");
        return TRUE;
      }
  if (strcmp (piece->letters, "R") == 0 && strcmp (next, "Axial") == 0)
    {
      words->kind = LW_KIND_RESISTOR;
      words->from = _("its name");
      return TRUE;
    }
  return FALSE;
}

static void
read_name (LwPackageWords *words, const char *name)
{
  g_auto (GStrv) pieces = g_strsplit_set (name, "_- /", 16);

  for (guint i = 0; pieces[i] != NULL; i++)
    {
      Piece piece = piece_of (pieces[i]);
      const Family *family = find_family (piece.letters);

      read_measure (words, pieces[i]);
      if (words->from != NULL)
        continue;
      if (take_chip (words, &piece, pieces[i + 1]) || take_can (words, &piece, pieces[i + 1]))
        continue;
      if (family != NULL)
        take_family (words, family, piece.rest, pieces[i + 1]);
    }
}

static const LwPackageKind *
class_of (const char *ref)
{
  Piece piece = piece_of (ref);

  if (!g_ascii_isdigit (*piece.rest))
    return NULL;
  for (guint i = 0; i < G_N_ELEMENTS (classes); i++)
    if (strcmp (classes[i].letters, piece.letters) == 0)
      return &classes[i].kind;
  return NULL;
}

static gboolean
is_chip_kind (LwPackageKind kind)
{
  return kind == LW_KIND_CERAMIC_CAPACITOR || kind == LW_KIND_RESISTOR || kind == LW_KIND_INDUCTOR
         || kind == LW_KIND_FUSE;
}

LwPackageWords
lw_package_words_read (const char *name, const char *number, const char *ref)
{
  LwPackageWords words = { .kind = LW_KIND_OTHER };
  const LwPackageKind *class = class_of (ref);

  if (!read_standard (&words, name))
    read_name (&words, name);
  /* A chip's drawing may be lent to another kind of chip; the designator says which it is. */
  if (class != NULL && (words.from == NULL || (is_chip_kind (words.kind) && words.kind != *class)))
    {
      words.kind = *class;
      words.from = _("its reference designator");
    }
  if (words.kind == LW_KIND_CERAMIC_CAPACITOR && strstr (number, "TANT") != NULL)
    {
      words.kind = LW_KIND_TANTALUM;
      words.from = _("its part number");
    }
  return words;
}
