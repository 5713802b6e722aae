/* Commands between percent signs: format, unit, apertures, macros, polarity, repeats, blocks. */
#include <glib/gi18n.h>
#include <math.h>
#include <string.h>

#include "exchange/gerber-private.h"

#define MAX_APERTURES 100000
#define MAX_PARAMETERS 1000
#define MAX_MACRO_BLOCKS 20000

/* ---- format and unit ---- */

static gboolean
read_digits (LwGerberState *self, const char *p, guint *digits, guint *decimals)
{
  if (!g_ascii_isdigit (p[0]) || !g_ascii_isdigit (p[1]))
    return lw_gerber_stop (self, _("the number format is not two digits"));
  *digits = (guint) (p[0] - '0') + (guint) (p[1] - '0');
  *decimals = (guint) (p[1] - '0');
  return TRUE;
}

static gboolean
read_format (LwGerberState *self, const char *text)
{
  const char *x = strchr (text, 'X'), *y = strchr (text, 'Y'), *p = text + 2;

  for (; *p != '\0' && *p != 'X'; p++)
    {
      self->trailing |= *p == 'T';
      self->relative |= *p == 'I';
    }
  if (x == NULL || y == NULL)
    return lw_gerber_stop (self, _("the number format has no X and Y"));
  return read_digits (self, x + 1, &self->digits_x, &self->decimals_x)
         && read_digits (self, y + 1, &self->digits_y, &self->decimals_y);
}

static gboolean
read_unit (LwGerberState *self, const char *text)
{
  if (strncmp (text + 2, "MM", 2) == 0)
    self->unit_mm = 1;
  else if (strncmp (text + 2, "IN", 2) == 0)
    self->unit_mm = 25.4;
  else
    return lw_gerber_stop (self, _("the unit is neither MM nor IN"));
  return TRUE;
}

/* ---- apertures ---- */

/* APERTURE (transfer full) takes the place of one of its number, which is chosen no longer. */
static void
keep_aperture (LwGerberState *self, guint number, LwAperture *aperture)
{
  if (self->aperture != NULL && self->aperture == g_hash_table_lookup (self->apertures, GUINT_TO_POINTER (number)))
    self->aperture = NULL;
  g_hash_table_insert (self->apertures, GUINT_TO_POINTER (number), aperture);
}

static char *
make_standard (const LwGerberState *self, LwAperture *aperture, char kind, const double *values, guint n)
{
  double mm[4] = { 0 };

  for (guint i = 0; i < MIN (n, 4); i++)
    mm[i] = kind == 'P' && (i == 1 || i == 2) ? values[i] : values[i] * self->unit_mm;
  return lw_aperture_standard (aperture, kind, mm, MIN (n, 4));
}

static char *
make_from_macro (const LwGerberState *self, LwAperture *aperture, const char *name, const double *values,
                 guint n)
{
  const LwGerberMacro *macro = g_hash_table_lookup (self->macros, name);
  char *reason;
  LwBox box;

  if (macro == NULL)
    return g_strdup_printf (_("there is no aperture macro “%.60s”"), name);
  reason = lw_gerber_macro_draw (macro, values, n, self->unit_mm, aperture->shape, &aperture->stamp);
  box = lw_plot_box (aperture->shape);
  aperture->size = fmax (box.x1_mm - box.x0_mm, box.y1_mm - box.y0_mm);
  return reason;
}

/* "C,0.5X0.2": the figures. */
static char *
read_values (const char *text, double *values, guint *n)
{
  g_auto (GStrv) words = g_strsplit (text, "X", MAX_PARAMETERS + 1);

  *n = 0;
  for (char **w = words; *w != NULL; w++)
    {
      char *word = g_strstrip (*w), *end;

      if (*word == '\0')
        continue;
      if (*n == MAX_PARAMETERS)
        return g_strdup (_("an aperture has too many figures"));
      values[*n] = g_ascii_strtod (word, &end);
      if (*end != '\0' || strpbrk (word, "xXpPnN") != NULL || !(fabs (values[*n]) < 1e6))
        return g_strdup_printf (_("“%.30s” is not a size of an aperture"), word);
      (*n)++;
    }
  return NULL;
}

static gboolean
define_aperture (LwGerberState *self, const char *text)
{
  g_autofree double *values = g_new0 (double, MAX_PARAMETERS);
  g_autofree char *name = NULL, *reason = NULL;
  const char *comma, *function = g_hash_table_lookup (self->aperture_attributes, "AperFunction");
  LwAperture *aperture;
  char *p;
  guint64 number = g_ascii_strtoull (text + 3, &p, 10);
  guint n = 0;

  if (text[2] != 'D' || number < 10 || number > G_MAXINT32)
    return lw_gerber_stop (self, _("an aperture has no number of 10 or more"));
  if (self->unit_mm == 0)
    return lw_gerber_stop (self, _("an aperture comes before the unit (MO)"));
  if (++self->n_defined > MAX_APERTURES)
    return lw_gerber_stop (self, _("more than %d apertures"), MAX_APERTURES);
  comma = strchr (p, ',');
  name = comma != NULL ? g_strndup (p, (gsize) (comma - p)) : g_strdup (p);
  reason = comma != NULL ? read_values (comma + 1, values, &n) : NULL;
  aperture = lw_aperture_new ();
  if (reason == NULL && strlen (name) == 1 && strchr ("CROP", *name) != NULL)
    reason = make_standard (self, aperture, *name, values, n);
  else if (reason == NULL)
    reason = make_from_macro (self, aperture, name, values, n);
  g_free (aperture->function);
  aperture->function = g_strdup (function != NULL ? function : "");
  keep_aperture (self, (guint) number, aperture);
  self->file->has_tools = TRUE;
  return reason == NULL || lw_gerber_stop (self, "%s", reason);
}

/* ---- macros ---- */

static void
macro_free (gpointer data)
{
  LwGerberMacro *self = data;

  g_ptr_array_unref (self->blocks);
  g_free (self);
}

/* The macro's name; its blocks follow as commands of their own until the closing percent sign. */
static gboolean
begin_macro (LwGerberState *self, const char *name)
{
  LwGerberMacro *macro = g_new0 (LwGerberMacro, 1);

  macro->blocks = g_ptr_array_new_with_free_func (g_free);
  macro->line = self->line;
  g_hash_table_insert (self->macros, g_strstrip (g_strdup (name)), macro);
  self->macro = macro;
  self->macro_signs = self->signs;
  return TRUE;
}

/* ---- polarity, placing ---- */

static gboolean
read_load (LwGerberState *self, const char *text)
{
  char *end;

  switch (text[1])
    {
    case 'P':
      if (text[2] != 'D' && text[2] != 'C')
        return lw_gerber_stop (self, _("a polarity is neither D nor C"));
      self->clear = text[2] == 'C';
      return TRUE;
    case 'M':
      self->place.mirror_x = strchr (text + 2, 'X') != NULL;
      self->place.mirror_y = strchr (text + 2, 'Y') != NULL;
      return TRUE;
    case 'R':
      self->place.turn_deg = g_ascii_strtod (text + 2, &end);
      return (end > text + 2 && fabs (self->place.turn_deg) < 1e6)
             || lw_gerber_stop (self, _("a turn of apertures is no number"));
    case 'S':
      self->place.scale = g_ascii_strtod (text + 2, &end);
      return (end > text + 2 && self->place.scale > 0 && self->place.scale < 1e3)
             || lw_gerber_stop (self, _("a scale of apertures is no number above 0"));
    default: /* LN: a name of old files */
      return TRUE;
    }
}

/* ---- repeats ---- */

gboolean
lw_gerber_end_repeat (LwGerberState *self)
{
  LwGerberRepeat repeat = self->repeat;
  guint end = lw_plot_length (self->plot);

  self->repeat.nx = 0;
  if (repeat.nx == 0 || end == repeat.first)
    return TRUE;
  if ((double) repeat.nx * repeat.ny * (end - repeat.first) > LW_PLOT_SHAPES_MAX)
    return lw_gerber_stop (self, _("%u x %u repeats of %u shapes are more than can be drawn"), repeat.nx,
                           repeat.ny, end - repeat.first);
  for (guint i = 1; i < repeat.nx * repeat.ny; i++)
    {
      LwPlotPlace place = { FALSE, FALSE, 1, 0, i / repeat.ny * repeat.dx, i % repeat.ny * repeat.dy };

      if (i % 256 == 0 && g_cancellable_is_cancelled (self->cancellable))
        break;
      lw_plot_append (self->plot, self->plot, repeat.first, end, &place, TRUE);
    }
  return TRUE;
}

/* The figure after LETTER, 0 when there is none. */
static double
figure_after (const char *text, char letter)
{
  const char *p = strchr (text, letter);

  return p != NULL ? g_ascii_strtod (p + 1, NULL) : 0;
}

static gboolean
read_repeat (LwGerberState *self, const char *text)
{
  double nx, ny;

  if (!lw_gerber_end_repeat (self))
    return FALSE;
  if (text[2] == '\0')
    return TRUE;
  nx = figure_after (text + 2, 'X');
  ny = figure_after (text + 2, 'Y');
  if (!(nx >= 1) || !(ny >= 1) || nx * ny > LW_PLOT_SHAPES_MAX)
    return lw_gerber_stop (self, _("a repeat of %.0f x %.0f is none, or too many"), nx, ny);
  self->repeat = (LwGerberRepeat) { lw_plot_length (self->plot), (guint) nx, (guint) ny,
                                    figure_after (text + 2, 'I') * self->unit_mm,
                                    figure_after (text + 2, 'J') * self->unit_mm };
  if (nx * ny == 1)
    self->repeat.nx = 0;
  return TRUE;
}

/* ---- blocks ---- */

static gboolean
begin_block (LwGerberState *self, guint number)
{
  LwAperture *block;

  if (self->n_blocks == LW_GERBER_BLOCKS_MAX)
    return lw_gerber_stop (self, _("aperture blocks are nested more than %d deep"), LW_GERBER_BLOCKS_MAX);
  block = lw_aperture_new ();
  block->is_block = TRUE;
  self->block_numbers[self->n_blocks] = number;
  self->blocks[self->n_blocks++] = block;
  self->plot = block->shape;
  return TRUE;
}

static gboolean
end_block (LwGerberState *self)
{
  LwAperture *block;
  guint number;

  if (self->n_blocks == 0)
    return lw_gerber_stop (self, _("an aperture block ends that has not begun"));
  number = self->block_numbers[--self->n_blocks];
  block = self->blocks[self->n_blocks];
  self->plot = self->n_blocks > 0 ? self->blocks[self->n_blocks - 1]->shape : self->file->plot;
  keep_aperture (self, number, block);
  return TRUE;
}

static gboolean
read_block (LwGerberState *self, const char *text)
{
  guint64 number = text[2] == 'D' ? g_ascii_strtoull (text + 3, NULL, 10) : 0;

  if (text[2] == '\0')
    return end_block (self);
  if (number < 10 || number > G_MAXINT32)
    return lw_gerber_stop (self, _("an aperture block has no number of 10 or more"));
  return begin_block (self, (guint) number);
}

/* ---- the table ---- */

static gboolean
read_image (LwGerberState *self, const char *text)
{
  self->file->negative = strncmp (text, "IPNEG", 5) == 0;
  return TRUE;
}

static gboolean
read_attribute (LwGerberState *self, const char *text)
{
  lw_gerber_attribute (self, text);
  return TRUE;
}

static gboolean
read_macro (LwGerberState *self, const char *text)
{
  return begin_macro (self, text + 2);
}

/* Blocks of a macro begin with a shape's code or a variable. */
static gboolean
is_macro_block (LwGerberState *self, const char *text)
{
  if (self->macro != NULL && (self->signs != self->macro_signs || !strchr ("0123456789$ ", *text)))
    self->macro = NULL;
  return self->macro != NULL;
}

static gboolean
add_macro_block (LwGerberState *self, const char *text)
{
  if (self->macro->blocks->len >= MAX_MACRO_BLOCKS)
    return lw_gerber_stop (self, _("an aperture macro has more than %d parts"), MAX_MACRO_BLOCKS);
  g_ptr_array_add (self->macro->blocks, g_strdup (text));
  return TRUE;
}

gboolean
lw_gerber_extended (LwGerberState *self, const char *text)
{
  static const struct {
    const char *word;
    gboolean (*read) (LwGerberState *self, const char *text);
  } commands[] = { { "FS", read_format },    { "MO", read_unit },      { "AD", define_aperture },
                   { "AM", read_macro },     { "LP", read_load },      { "LM", read_load },
                   { "LR", read_load },      { "LS", read_load },      { "LN", read_load },
                   { "SR", read_repeat },    { "AB", read_block },     { "IP", read_image },
                   { "TF", read_attribute }, { "TA", read_attribute }, { "TO", read_attribute },
                   { "TD", read_attribute } };
  static const char *const harmless[] = { "IN", "ICAS", "IF", "RO", NULL };

  if (is_macro_block (self, text))
    return add_macro_block (self, text);
  for (guint i = 0; i < G_N_ELEMENTS (commands); i++)
    if (strncmp (text, commands[i].word, 2) == 0)
      return commands[i].read (self, text);
  for (guint i = 0; harmless[i] != NULL; i++)
    if (g_str_has_prefix (text, harmless[i]))
      return TRUE;
  if (g_str_has_prefix (text, "OF") || g_str_has_prefix (text, "SF") || g_str_has_prefix (text, "MI")
      || g_str_has_prefix (text, "AS"))
    lw_gerber_note (self, "old", _("the old command %.30s is not followed: check size and place"), text);
  else if (g_ascii_isdigit (*text) || *text == 'G' || *text == 'D' || *text == 'X' || *text == 'Y')
    return lw_gerber_plain (self, text);
  else
    lw_gerber_note (self, NULL, _("the command “%.30s” is not known and passed over"), text);
  return TRUE;
}

GHashTable *
lw_gerber_macros_new (void)
{
  return g_hash_table_new_full (g_str_hash, g_str_equal, g_free, macro_free);
}
