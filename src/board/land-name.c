/* The rules as the naming convention for IPC-7351B land patterns lists them: one row a word. */
#include "board/land-name.h"

#include <glib/gi18n.h>
#include <math.h>
#include <string.h>

typedef enum {
  FORM_ARRAY, /* 289C80P17X17_1500X1500X140 */
  FORM_QUAD,  /* 50P1600X1600X160-100: pitch, over the leads, height, leads */
  FORM_DUAL,  /* 127P600X175-8 */
  FORM_FLAT,  /* 50P500X500X100-33: pitch, body, height, terminals */
  FORM_SIDES, /* as FLAT, but the first size is the one along the rows */
  FORM_CHIP,  /* 1608X90; or 160X80X90 */
  FORM_BASE,  /* 660X550 */
  FORM_BOX,   /* 320X250X80 */
  FORM_PINS   /* 762W52P254L1905H508Q14 */
} Form;

typedef struct {
  const char *word;
  Form form;
  LwDatasheetFamily family;
  LwPackageKind kind;
  gboolean ceramic;
} Rule;

static const Rule rules[] = {
  { "BGA", FORM_ARRAY, LW_SHEET_BALLS, LW_KIND_AREA_ARRAY },
  { "BGAS", FORM_ARRAY, LW_SHEET_BALLS, LW_KIND_AREA_ARRAY },
  { "CGA", FORM_ARRAY, LW_SHEET_COLUMNS, LW_KIND_AREA_ARRAY, TRUE },
  { "LGA", FORM_ARRAY, LW_SHEET_LANDS, LW_KIND_AREA_ARRAY },
  { "QFP", FORM_QUAD, LW_SHEET_QUAD_GULL, LW_KIND_LEADED },
  { "CQFP", FORM_QUAD, LW_SHEET_QUAD_GULL, LW_KIND_LEADED, TRUE },
  { "PLCC", FORM_QUAD, LW_SHEET_QUAD_J, LW_KIND_LEADED },
  { "SOIC", FORM_DUAL, LW_SHEET_DUAL_GULL, LW_KIND_LEADED },
  { "SOP", FORM_DUAL, LW_SHEET_DUAL_GULL, LW_KIND_LEADED },
  { "CFP", FORM_DUAL, LW_SHEET_DUAL_GULL, LW_KIND_LEADED, TRUE },
  { "SOJ", FORM_DUAL, LW_SHEET_DUAL_J, LW_KIND_LEADED },
  { "SOT", FORM_DUAL, LW_SHEET_SMALL, LW_KIND_LEADED },
  { "SOTFL", FORM_DUAL, LW_SHEET_SMALL, LW_KIND_LEADED },
  { "QFN", FORM_FLAT, LW_SHEET_QUAD_FLAT, LW_KIND_LEADLESS },
  { "PQFN", FORM_FLAT, LW_SHEET_QUAD_FLAT, LW_KIND_LEADLESS },
  { "SON", FORM_FLAT, LW_SHEET_DUAL_FLAT, LW_KIND_LEADLESS },
  { "PSON", FORM_FLAT, LW_SHEET_DUAL_FLAT, LW_KIND_LEADLESS },
  { "LCC", FORM_FLAT, LW_SHEET_CARRIER, LW_KIND_LEADLESS, TRUE },
  { "CAPCAV", FORM_SIDES, LW_SHEET_DUAL_FLAT, LW_KIND_CERAMIC_CAPACITOR },
  { "CAPCAF", FORM_SIDES, LW_SHEET_DUAL_FLAT, LW_KIND_CERAMIC_CAPACITOR },
  { "RESCAV", FORM_SIDES, LW_SHEET_DUAL_FLAT, LW_KIND_RESISTOR },
  { "RESCAXE", FORM_SIDES, LW_SHEET_DUAL_FLAT, LW_KIND_RESISTOR },
  { "RESCAXS", FORM_SIDES, LW_SHEET_DUAL_FLAT, LW_KIND_RESISTOR },
  { "RESCAF", FORM_SIDES, LW_SHEET_DUAL_FLAT, LW_KIND_RESISTOR },
  { "INDCAV", FORM_SIDES, LW_SHEET_DUAL_FLAT, LW_KIND_INDUCTOR },
  { "INDCAF", FORM_SIDES, LW_SHEET_DUAL_FLAT, LW_KIND_INDUCTOR },
  { "OSCSC", FORM_SIDES, LW_SHEET_DUAL_FLAT, LW_KIND_CRYSTAL },
  { "LEDSC", FORM_SIDES, LW_SHEET_DUAL_FLAT, LW_KIND_LED },
  { "DIOSC", FORM_SIDES, LW_SHEET_DUAL_FLAT, LW_KIND_LEADLESS },
  { "CAPC", FORM_CHIP, LW_SHEET_CHIP, LW_KIND_CERAMIC_CAPACITOR },
  { "CAPCP", FORM_CHIP, LW_SHEET_CHIP, LW_KIND_TANTALUM },
  { "CAPCWR", FORM_CHIP, LW_SHEET_CHIP, LW_KIND_TANTALUM },
  { "RESC", FORM_CHIP, LW_SHEET_CHIP, LW_KIND_RESISTOR },
  { "INDC", FORM_CHIP, LW_SHEET_CHIP, LW_KIND_INDUCTOR },
  { "DIOC", FORM_CHIP, LW_SHEET_CHIP, LW_KIND_LEADLESS },
  { "LEDC", FORM_CHIP, LW_SHEET_CHIP, LW_KIND_LED },
  { "FUSC", FORM_CHIP, LW_SHEET_CHIP, LW_KIND_FUSE },
  { "BEADC", FORM_CHIP, LW_SHEET_CHIP, LW_KIND_INDUCTOR },
  { "THRMC", FORM_CHIP, LW_SHEET_CHIP, LW_KIND_RESISTOR },
  { "VARC", FORM_CHIP, LW_SHEET_CHIP, LW_KIND_CERAMIC_CAPACITOR },
  { "RESMELF", FORM_CHIP, LW_SHEET_CHIP, LW_KIND_RESISTOR },
  { "DIOMELF", FORM_CHIP, LW_SHEET_CHIP, LW_KIND_LEADLESS },
  { "CAPMELF", FORM_CHIP, LW_SHEET_CHIP, LW_KIND_CERAMIC_CAPACITOR },
  { "CAPM", FORM_CHIP, LW_SHEET_MOULDED, LW_KIND_FILM_CAPACITOR },
  { "CAPMP", FORM_CHIP, LW_SHEET_MOULDED, LW_KIND_TANTALUM },
  { "DIOM", FORM_CHIP, LW_SHEET_MOULDED, LW_KIND_LEADED },
  { "FUSM", FORM_CHIP, LW_SHEET_MOULDED, LW_KIND_FUSE },
  { "INDM", FORM_CHIP, LW_SHEET_MOULDED, LW_KIND_INDUCTOR },
  { "INDP", FORM_CHIP, LW_SHEET_MOULDED, LW_KIND_INDUCTOR },
  { "LEDM", FORM_CHIP, LW_SHEET_MOULDED, LW_KIND_LED },
  { "RESM", FORM_CHIP, LW_SHEET_MOULDED, LW_KIND_RESISTOR },
  { "SOD", FORM_CHIP, LW_SHEET_MOULDED, LW_KIND_LEADED },
  { "SODFL", FORM_CHIP, LW_SHEET_MOULDED, LW_KIND_LEADED },
  { "CAPAE", FORM_BASE, LW_SHEET_CAN, LW_KIND_ELECTROLYTIC },
  { "XTAL", FORM_BOX, LW_SHEET_CHIP, LW_KIND_CRYSTAL },
  { "OSCCC", FORM_BOX, LW_SHEET_CORNERS, LW_KIND_CRYSTAL },
  { "DIP", FORM_PINS, LW_SHEET_DUAL_PIN, LW_KIND_LEADED },
  { "CAPPRD", FORM_PINS, LW_SHEET_RADIAL, LW_KIND_ELECTROLYTIC },
  { "CAPRR", FORM_PINS, LW_SHEET_RADIAL, LW_KIND_FILM_CAPACITOR },
};

/* Sizes whose run of tenths leaves a digit out: EIA/IEC metric codes, from memory. */
static const struct {
  double length_mm, width_mm, is_length_mm, is_width_mm;
} codes[] = { { 2.0, 1.2, 2.0, 1.25 } };

/* ---- numbers ---- */

enum { MOST_NUMBERS = 4, MOST_DIGITS = 6 };

static gboolean
take_count (const char **p, double *value)
{
  gsize n = strspn (*p, "0123456789");

  if (n == 0 || n > MOST_DIGITS)
    return FALSE;
  *value = (double) g_ascii_strtoull (*p, NULL, 10);
  *p += n;
  return TRUE;
}

static gboolean
take_size (const char **p, double *mm)
{
  double hundredths;

  if (!take_count (p, &hundredths))
    return FALSE;
  *mm = hundredths / 100;
  return TRUE;
}

static gboolean
take_letter (const char **p, char letter)
{
  if (**p != letter)
    return FALSE;
  (*p)++;
  return TRUE;
}

/* "1500X1500X140": how many, 0 when it is none. */
static guint
take_sizes (const char **p, double mm[MOST_NUMBERS])
{
  guint n = 0;

  do
    if (n >= MOST_NUMBERS || !take_size (p, &mm[n++]))
      return 0;
  while (take_letter (p, 'X'));
  return n;
}

static gboolean
set_sizes (LwDatasheet *sheet, const double *mm, guint n, LwFigure a, LwFigure b, LwFigure c)
{
  const LwFigure figures[] = { a, b, c };

  for (guint i = 0; i < MIN (n, 3); i++)
    sheet->figure[figures[i]] = mm[i];
  return n >= 2 && n <= 3;
}

/* ---- forms ---- */

/* Collapsing balls have the family's stand-off; others keep their height: 0.9 of the ball, common practice. */
static void
set_hard_balls (LwDatasheet *sheet)
{
  if (sheet->family == LW_SHEET_BALLS)
    sheet->figure[LW_FIGURE_STANDOFF] = 0.9 * lw_datasheet_value (sheet, LW_FIGURE_JOINT);
}

static gboolean
take_pitches (LwDatasheet *sheet, const char **p)
{
  gboolean before = take_letter (p, 'P'); /* a later draft puts the letter first: "CP80_17X17" */

  if (!take_size (p, &sheet->figure[LW_FIGURE_PITCH])
      || (take_letter (p, 'X') && !take_size (p, &sheet->figure[LW_FIGURE_PITCH_Y])))
    return FALSE;
  return take_letter (p, before ? '_' : 'P');
}

static gboolean
read_array (LwDatasheet *sheet, const char **p)
{
  double mm[MOST_NUMBERS];
  gboolean hard;
  guint n;

  if (!take_count (p, &sheet->figure[LW_FIGURE_COUNT]) || strchr ("CNRS", **p) == NULL || **p == '\0')
    return FALSE;
  hard = **p == 'N';
  (*p)++;
  if (!take_pitches (sheet, p) || !take_count (p, &sheet->figure[LW_FIGURE_COLUMNS]) || !take_letter (p, 'X')
      || !take_count (p, &sheet->figure[LW_FIGURE_ROWS]) || !take_letter (p, '_'))
    return FALSE;
  n = take_sizes (p, mm);
  if (take_letter (p, 'B') && !take_size (p, &sheet->figure[LW_FIGURE_JOINT]))
    return FALSE;
  if (hard)
    set_hard_balls (sheet);
  return set_sizes (sheet, mm, n, LW_FIGURE_BODY_X, LW_FIGURE_BODY_Y, LW_FIGURE_HEIGHT);
}

/* "-8", and "-24_20": of so many places so many are there, in either order. */
static gboolean
take_joints (LwDatasheet *sheet, const char **p)
{
  double count, other;

  if (!take_letter (p, '-') || !take_count (p, &count))
    return FALSE;
  if (**p == '_' && g_ascii_isdigit ((*p)[1])) {
    (*p)++;
    if (!take_count (p, &other))
      return FALSE;
    count = MIN (count, other);
  }
  /* an odd one out is the pad in the middle */
  if (sheet->family != LW_SHEET_SMALL && fmod (count, 2) == 1)
    count--;
  sheet->figure[LW_FIGURE_COUNT] = count;
  return TRUE;
}

static gboolean
read_leads (LwDatasheet *sheet, const char **p, Form form)
{
  double mm[MOST_NUMBERS];
  guint n;

  if (!take_size (p, &sheet->figure[LW_FIGURE_PITCH]) || !take_letter (p, 'P'))
    return FALSE;
  n = take_sizes (p, mm);
  if (n == 0 || !take_joints (sheet, p))
    return FALSE;
  switch (form) {
  case FORM_QUAD:
    return set_sizes (sheet, mm, n, LW_FIGURE_SPAN_X, LW_FIGURE_SPAN_Y, LW_FIGURE_HEIGHT);
  case FORM_DUAL:
    return n == 3 ? set_sizes (sheet, mm, n, LW_FIGURE_SPAN_X, LW_FIGURE_BODY_Y, LW_FIGURE_HEIGHT)
                  : set_sizes (sheet, mm, n, LW_FIGURE_SPAN_X, LW_FIGURE_HEIGHT, LW_FIGURE_HEIGHT);
  case FORM_SIDES:
    return set_sizes (sheet, mm, n, LW_FIGURE_BODY_Y, LW_FIGURE_BODY_X, LW_FIGURE_HEIGHT);
  default:
    return set_sizes (sheet, mm, n, LW_FIGURE_BODY_X, LW_FIGURE_BODY_Y, LW_FIGURE_HEIGHT);
  }
}

/* A run of tenths, length before width, of as many digits each. */
static gboolean
take_run (const char **p, double *length_mm, double *width_mm)
{
  gsize n = strspn (*p, "0123456789");
  double run, unit = n == 6 ? 1000 : 100;

  if ((n != 4 && n != 6) || !take_count (p, &run))
    return FALSE;
  *length_mm = floor (run / unit) / 10;
  *width_mm = fmod (run, unit) / 10;
  for (guint i = 0; i < G_N_ELEMENTS (codes); i++)
    if (*length_mm == codes[i].length_mm && *width_mm == codes[i].width_mm) {
      *length_mm = codes[i].is_length_mm;
      *width_mm = codes[i].is_width_mm;
    }
  return TRUE;
}

static gboolean
read_chip (LwDatasheet *sheet, const char **p, gboolean cylinder)
{
  LwFigure along = sheet->family == LW_SHEET_MOULDED ? LW_FIGURE_SPAN_X : LW_FIGURE_BODY_X;
  const char *start = *p;
  double mm[MOST_NUMBERS];
  guint n = take_sizes (p, mm);

  if (n == 3)
    return set_sizes (sheet, mm, n, along, LW_FIGURE_BODY_Y, LW_FIGURE_HEIGHT);
  *p = start;
  if (!take_run (p, &sheet->figure[along], &sheet->figure[LW_FIGURE_BODY_Y]))
    return FALSE;
  if (take_letter (p, 'X'))
    return take_size (p, &sheet->figure[LW_FIGURE_HEIGHT]);
  if (cylinder)
    sheet->figure[LW_FIGURE_HEIGHT] = sheet->figure[LW_FIGURE_BODY_Y];
  return TRUE;
}

static gboolean
read_base (LwDatasheet *sheet, const char **p)
{
  double mm[MOST_NUMBERS];
  guint n = take_sizes (p, mm);

  if (n < 2)
    return FALSE;
  sheet->figure[LW_FIGURE_BODY_X] = mm[0];
  sheet->figure[LW_FIGURE_HEIGHT] = mm[n - 1];
  return n <= 3 && (n == 2 || mm[0] == mm[1]);
}

static gboolean
read_box (LwDatasheet *sheet, const char **p)
{
  double mm[MOST_NUMBERS], lands = 0;
  guint n = take_sizes (p, mm);

  if (take_letter (p, '-') && take_count (p, &lands) && lands == 4)
    sheet->family = LW_SHEET_CORNERS;
  return set_sizes (sheet, mm, n, LW_FIGURE_BODY_X, LW_FIGURE_BODY_Y, LW_FIGURE_HEIGHT);
}

/* Letters with a number each. Of an older way, "254P762X533-8" is pitch, row to row, height, pins. */
static gboolean
read_pins (LwDatasheet *sheet, const char **p)
{
  static const struct {
    char letter;
    LwFigure figure;
  } tags[] = { { 'W', LW_FIGURE_JOINT_WIDTH }, { 'P', LW_FIGURE_PITCH },  { 'L', LW_FIGURE_BODY_Y },
               { 'H', LW_FIGURE_HEIGHT },      { 'D', LW_FIGURE_BODY_X }, { 'T', LW_FIGURE_BODY_Y } };
  gboolean radial = sheet->family == LW_SHEET_RADIAL;
  gboolean any = TRUE;

  if (!take_size (p, &sheet->figure[LW_FIGURE_SPAN_X]))
    return FALSE;
  while (any) {
    any = FALSE;
    if (take_letter (p, 'Q'))
      any = take_count (p, &sheet->figure[LW_FIGURE_COUNT]);
    for (guint i = 0; i < G_N_ELEMENTS (tags) && !any; i++)
      if (**p == tags[i].letter && g_ascii_isdigit ((*p)[1])) {
        LwFigure figure = radial && tags[i].letter == 'L' ? LW_FIGURE_BODY_X : tags[i].figure;

        (*p)++;
        any = take_size (p, &sheet->figure[figure]);
      }
  }
  return !isnan (sheet->figure[LW_FIGURE_HEIGHT]);
}

static gboolean
read_dual_pins (LwDatasheet *sheet, const char **p)
{
  const char *start = *p;

  if (read_pins (sheet, p))
    return TRUE;
  lw_datasheet_clear (sheet, sheet->family);
  *p = start;
  if (!read_leads (sheet, p, FORM_DUAL))
    return FALSE;
  return TRUE;
}

static gboolean
read_form (LwDatasheet *sheet, const Rule *rule, const char **p)
{
  switch (rule->form) {
  case FORM_ARRAY:
    sheet->staggered = strcmp (rule->word, "BGAS") == 0;
    return read_array (sheet, p);
  case FORM_CHIP:
    return read_chip (sheet, p, g_str_has_suffix (rule->word, "MELF"));
  case FORM_BASE:
    return read_base (sheet, p);
  case FORM_BOX:
    return read_box (sheet, p);
  case FORM_PINS:
    return rule->family == LW_SHEET_DUAL_PIN ? read_dual_pins (sheet, p) : read_pins (sheet, p);
  default:
    return read_leads (sheet, p, rule->form);
  }
}

/* What may follow: the size of the thermal pad, the sizes of leads, a letter for the land pattern's density, a
 * maker's addition. Only the pad is of use here. */
static gboolean
read_tail (LwDatasheet *sheet, const char *p)
{
  double mm[MOST_NUMBERS];
  gboolean pads = lw_datasheet_row (sheet->family, LW_FIGURE_PAD_X) != NULL;

  if (g_ascii_isdigit (*p) || *p == 'X')
    return FALSE;
  if (*p == 'T' && g_ascii_isdigit (p[1])) {
    p++;
    guint n = take_sizes (&p, mm);
    if (pads && n > 0)
      set_sizes (sheet, (double[]){ mm[0], n > 1 ? mm[1] : mm[0] }, 2, LW_FIGURE_PAD_X, LW_FIGURE_PAD_Y, 0);
  }
  for (; *p != '\0'; p++)
    if (!g_ascii_isalnum (*p) && strchr ("_-.", *p) == NULL)
      return FALSE;
  return TRUE;
}

static gboolean
read_at (const char *name, LwDatasheet *sheet)
{
  const char *rest = name + strspn (name, "ABCDEFGHIJKLMNOPQRSTUVWXYZ");

  for (guint i = 0; i < G_N_ELEMENTS (rules); i++) {
    const Rule *rule = &rules[i];

    if (strlen (rule->word) != (gsize) (rest - name) || strncmp (rule->word, name, strlen (rule->word)) != 0)
      continue;
    lw_datasheet_clear (sheet, rule->family);
    sheet->kind = rule->kind;
    sheet->ceramic = rule->ceramic;
    return read_form (sheet, rule, &rest) && read_tail (sheet, rest) && lw_datasheet_first_fault (sheet) < 0;
  }
  return FALSE;
}

gboolean
lw_land_name_read (const char *name, LwDatasheet *sheet)
{
  char upper[100];
  gsize length = strlen (name);

  if (length >= sizeof upper)
    return FALSE;
  for (gsize i = 0; i <= length; i++)
    upper[i] = g_ascii_toupper (name[i]);
  for (const char *at = upper; at != NULL; at = at[0] != '\0' ? strpbrk (at + 1, ":/-") : NULL) {
    if (strchr (":/-", *at) != NULL && *at != '\0')
      at++;
    if (read_at (at, sheet))
      return TRUE;
  }
  return FALSE;
}

LwPackage *
lw_land_name_package (const char *name)
{
  LwDatasheet sheet;

  if (!lw_land_name_read (name, &sheet))
    return NULL;
  return lw_datasheet_package (&sheet, name, _("read from its name by the land-pattern standard, IPC-7351B"));
}
