#include "exchange/excellon.h"

#include <glib/gi18n.h>
#include <math.h>
#include <string.h>

#include "exchange/text.h"

#define REACH_MM 10000.0
#define MAX_LINE 4096
#define MAX_TOOLS 20000
#define MAX_REPEATS 10000
#define LW_HOLE_LAYER_MAX 1000

/* How a number without a point is read. */
typedef struct {
  double unit_mm;          /* 0 = not said */
  gboolean keeps_leading;  /* LZ: trailing zeros were dropped */
  gboolean zeros_said;
  guint whole, decimals;   /* digits; 0, 0 = the unit's default: 2.4 in inches, 3.3 in mm */
} Format;

typedef struct {
  double diameter_mm;
  gboolean via;
} Tool;

typedef struct {
  LwExcellon *file;
  GPtrArray *notes; /* NULL: keep quiet (a trial) */
  Format format;    /* as stated so far */
  const Format *given; /* what the file leaves open */
  GHashTable *tools;
  guint n_defined; /* tools so far, one defined again counted again */
  const Tool *tool;
  LwHolePlating plating;
  gboolean next_is_via;
  guint from, to; /* layers of the holes */
  LwPoint at;
  gboolean has_point; /* some number had a point, so that its zeros mean nothing */
  gboolean has_bare;  /* some number had none */
  gboolean routing, relative, ended;
  int mode; /* of routing: 0 move, 1 line, 2, 3 arcs */
  gboolean down;
  guint line;
} Reader;

static gboolean
stop (Reader *self, const char *format, ...)
{
  g_autofree char *raw = NULL, *text = NULL;
  va_list args;

  va_start (args, format);
  raw = g_strdup_vprintf (format, args);
  va_end (args);
  text = g_utf8_make_valid (raw, -1);
  if (self->file->fault == NULL)
    self->file->fault = g_strdup_printf ("%s:%u: %s", self->file->name, self->line, text);
  return FALSE;
}

/* ---- numbers ---- */

static double
unit_of (const Reader *self)
{
  return self->format.unit_mm > 0 ? self->format.unit_mm : self->given->unit_mm;
}

static double
place_point (const Reader *self, double digits, guint n)
{
  double unit = unit_of (self);
  guint whole = self->format.whole, decimals = self->format.decimals;
  gboolean leading = self->format.zeros_said ? self->format.keeps_leading : self->given->keeps_leading;

  if (whole + decimals == 0)
    {
      whole = unit == 1 ? 3 : 2;
      decimals = unit == 1 ? 3 : 4;
    }
  return leading ? digits * pow (10, (double) whole - n) : digits * pow (10, -(double) decimals);
}

static gboolean
read_number (Reader *self, const char **text, double *mm)
{
  const char *p = *text, *start;
  gboolean minus = *p == '-', point = FALSE;
  double v = 0, scale = 1;
  guint n = 0;

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
  if (p == start || n == 0 || n > 15)
    return stop (self, _("“%.20s” is not a number"), *text);
  *(point ? &self->has_point : &self->has_bare) = TRUE;
  v = (point ? v / scale : place_point (self, v, n)) * unit_of (self);
  if (!(v <= REACH_MM))
    return stop (self, _("a coordinate lies %.0f m away"), v / 1000);
  *mm = minus ? -v : v;
  *text = p;
  return TRUE;
}

/* Moves AT by the X and Y words at P, which is advanced past them. */
static gboolean
read_place (Reader *self, const char **p, LwPoint *at, gboolean *any)
{
  *any = FALSE;
  while (**p == 'X' || **p == 'Y')
    {
      gboolean across = *(*p)++ == 'X';
      double *target = across ? &at->x_mm : &at->y_mm, v = 0;

      if (!read_number (self, p, &v))
        return FALSE;
      *target = self->relative ? *target + v : v;
      *any = TRUE;
    }
  return TRUE;
}

/* ---- comments and header ---- */

static void
read_format_comment (Reader *self, const char *text)
{
  const char *p = strstr (text, "FORMAT={");

  if (p != NULL)
    p += strlen ("FORMAT={");
  else if ((p = strstr (text, "FILE_FORMAT=")) != NULL)
    p += strlen ("FILE_FORMAT=");
  else
    return;
  if (g_ascii_isdigit (p[0]) && p[1] == ':' && g_ascii_isdigit (p[2]))
    {
      self->format.whole = (guint) (p[0] - '0');
      self->format.decimals = (guint) (p[2] - '0');
    }
  if (strstr (p, "suppress trailing") != NULL || strstr (p, "suppress leading") != NULL)
    {
      self->format.keeps_leading = strstr (p, "suppress trailing") != NULL;
      self->format.zeros_said = TRUE;
    }
}

void
lw_hole_span (const char *function, guint *from, guint *to)
{
  const char *comma = strchr (function, ',');
  char *end = NULL;
  guint64 first = comma != NULL ? g_ascii_strtoull (comma + 1, &end, 10) : 0;
  guint64 last = first > 0 && *end == ',' ? g_ascii_strtoull (end + 1, NULL, 10) : 0;
  gboolean fine = first > 0 && last > 0 && first <= LW_HOLE_LAYER_MAX && last <= LW_HOLE_LAYER_MAX;

  *from = fine ? (guint) MIN (first, last) : 0;
  *to = fine ? (guint) MAX (first, last) : 0;
}

static void
read_comment (Reader *self, const char *text)
{
  const char *mark = strstr (text, "#@!");
  const char *function = strstr (text, "TF.FileFunction,");

  read_format_comment (self, text);
  if (function != NULL)
    lw_hole_span (function + strlen ("TF.FileFunction,"), &self->from, &self->to);
  if (strstr (text, "TYPE=NON_PLATED") != NULL || strstr (text, "TF.FileFunction,NonPlated") != NULL)
    self->plating = LW_HOLE_UNPLATED;
  else if (strstr (text, "TYPE=PLATED") != NULL || strstr (text, "TF.FileFunction,Plated") != NULL)
    self->plating = LW_HOLE_PLATED;
  if (mark != NULL && strstr (mark, "TA.AperFunction") != NULL)
    self->next_is_via = strstr (mark, "ViaDrill") != NULL;
}

/* "INCH,LZ,00.0000" */
static void
read_unit (Reader *self, const char *text)
{
  g_auto (GStrv) words = g_strsplit (text, ",", 8);

  self->format.unit_mm = *text == 'I' ? 25.4 : 1;
  for (char **w = words + (*words != NULL); *w != NULL; w++)
    {
      char *point = strchr (*w, '.');

      if (strcmp (*w, "LZ") == 0 || strcmp (*w, "TZ") == 0)
        {
          self->format.keeps_leading = **w == 'L';
          self->format.zeros_said = TRUE;
        }
      else if (point != NULL && strspn (*w, "0.") == strlen (*w) && strlen (*w) < 16)
        {
          self->format.whole = (guint) (point - *w);
          self->format.decimals = (guint) strlen (point + 1);
        }
    }
}

/* ---- tools ---- */

/* "T3C0.0315F200S60": defines; "T3": selects. */
static gboolean
read_tool (Reader *self, const char *text)
{
  char *p;
  guint64 number = g_ascii_strtoull (text + 1, &p, 10);
  const char *c = strchr (p, 'C');
  const Tool *tool;

  if (p == text + 1 || number > 1000000)
    return stop (self, _("a tool without a number"));
  if (c != NULL && ++self->n_defined > MAX_TOOLS)
    return stop (self, _("more than %d tools"), MAX_TOOLS);
  if (c != NULL)
    {
      Tool *made = g_new0 (Tool, 1);
      char *end;

      made->diameter_mm = g_ascii_strtod (c + 1, &end) * unit_of (self);
      made->via = self->next_is_via;
      g_hash_table_insert (self->tools, GUINT_TO_POINTER ((guint) number), made);
      if (end == c + 1 || !(made->diameter_mm > 0) || !(made->diameter_mm < 100))
        return stop (self, _("the diameter of tool %u is none"), (guint) number);
    }
  tool = g_hash_table_lookup (self->tools, GUINT_TO_POINTER ((guint) number));
  if (tool == NULL && number != 0)
    return stop (self, _("tool %u is not defined"), (guint) number);
  self->tool = tool;
  return TRUE;
}

/* ---- holes ---- */

static gboolean
add_hole (Reader *self, LwPoint a, LwPoint b)
{
  LwHole hole = { a, b, 0, self->plating, FALSE, self->line, self->from, self->to };

  if (self->tool == NULL)
    return stop (self, _("a hole before a tool is chosen"));
  if (self->file->holes->len >= LW_EXCELLON_MAX_HOLES)
    return stop (self, _("more than %d holes"), LW_EXCELLON_MAX_HOLES);
  hole.diameter_mm = self->tool->diameter_mm;
  hole.via = self->tool->via;
  g_array_append_val (self->file->holes, hole);
  return TRUE;
}

/* "X..Y.." or "X..Y..G85X..Y.." */
static gboolean
read_hole (Reader *self, const char *p)
{
  LwPoint from = self->at, to;
  gboolean any;

  if (!read_place (self, &p, &from, &any))
    return FALSE;
  to = from;
  if (strncmp (p, "G85", 3) == 0)
    {
      p += 3;
      if (!read_place (self, &p, &to, &any))
        return FALSE;
    }
  if (*p != '\0' && strchr ("AIJFST ", *p) == NULL)
    return stop (self, _("“%.20s” is not a coordinate"), p);
  if (self->routing && self->mode != 0 && self->down && !add_hole (self, self->at, to))
    return FALSE;
  self->at = to;
  return self->routing || add_hole (self, from, to);
}

/* "R5X0.1": the last hole again, five times, each a step on. */
static gboolean
read_repeat (Reader *self, const char *text)
{
  char *end;
  guint64 n = g_ascii_strtoull (text + 1, &end, 10);
  const char *p = end;
  LwPoint step = { 0, 0 };
  gboolean any, relative = self->relative;

  if (n == 0 || n > MAX_REPEATS)
    return stop (self, _("a repeat of %.20s is none, or too many"), text + 1);
  self->relative = FALSE;
  if (!read_place (self, &p, &step, &any))
    return FALSE;
  self->relative = relative;
  for (guint64 i = 0; i < n; i++)
    {
      self->at.x_mm += step.x_mm;
      self->at.y_mm += step.y_mm;
      if (!add_hole (self, self->at, self->at))
        return FALSE;
    }
  return TRUE;
}

/* ---- lines ---- */

static gboolean
read_g (Reader *self, const char *text)
{
  char *p;
  guint64 code = g_ascii_strtoull (text + 1, &p, 10);

  if (code <= 3)
    {
      self->routing = TRUE;
      self->mode = (int) code;
      if (code >= 2 && self->notes != NULL)
        lw_notes_add (self->notes, self->file->name, self->line, _("a routed arc is taken as straight"));
    }
  else if (code == 5)
    self->routing = FALSE;
  else if (code == 90 || code == 91)
    self->relative = code == 91;
  else if (code == 93)
    return TRUE;
  while (*p == ' ')
    p++;
  return *p == '\0' || read_hole (self, p);
}

static gboolean
read_m (Reader *self, const char *text)
{
  guint64 code = g_ascii_strtoull (text + 1, NULL, 10);

  if (code == 30 || (code == 0 && self->file->holes->len > 0))
    self->ended = TRUE;
  else if (code == 71 || code == 72)
    self->format.unit_mm = code == 71 ? 1 : 25.4;
  else if (code == 15)
    self->down = TRUE;
  else if (code == 16 || code == 17)
    self->down = FALSE;
  return TRUE;
}

static gboolean
read_line (Reader *self, char *text)
{
  static const char *const passed[] = { "FMAT", "VER", "DETECT", "ATC", "ICI", "OM48", "S", "F", "B", "Z", "H", "N", NULL };

  g_strstrip (text);
  for (char *end = text + strlen (text); end > text && end[-1] == '*';) /* some end as Gerber does */
    *--end = '\0';
  if (*text == ';')
    read_comment (self, text);
  if (*text == ';' || *text == '\0' || *text == '%' || *text == '(')
    return TRUE;
  if (g_str_has_prefix (text, "INCH") || g_str_has_prefix (text, "METRIC"))
    {
      read_unit (self, text);
      return TRUE;
    }
  switch (*text)
    {
    case 'T':
      return read_tool (self, text);
    case 'X':
    case 'Y':
      return read_hole (self, text);
    case 'R':
      return read_repeat (self, text);
    case 'G':
      return read_g (self, text);
    case 'M':
      return read_m (self, text);
    default:
      for (guint i = 0; passed[i] != NULL; i++)
        if (g_str_has_prefix (text, passed[i]))
          return TRUE;
      return stop (self, _("“%.20s” is not a command"), text);
    }
}

/* ---- one trial, and the best of several ---- */

static LwExcellon *
excellon_new (const char *name)
{
  LwExcellon *self = g_new0 (LwExcellon, 1);

  self->name = g_strdup (name);
  self->holes = g_array_new (FALSE, FALSE, sizeof (LwHole));
  return self;
}

void
lw_excellon_free (LwExcellon *self)
{
  if (self == NULL)
    return;
  g_free (self->name);
  g_array_unref (self->holes);
  g_free (self->fault);
  g_free (self);
}

/* By the file's name, when nothing inside says it. */
static LwHolePlating
plating_by_name (const char *name)
{
  g_autofree char *low = g_ascii_strdown (name, -1);

  if (strstr (low, "npth") != NULL || strstr (low, "unplated") != NULL || strstr (low, "non-plated") != NULL
      || strstr (low, "nonplated") != NULL)
    return LW_HOLE_UNPLATED;
  return strstr (low, "pth") != NULL || strstr (low, "plated") != NULL ? LW_HOLE_PLATED : LW_HOLE_UNKNOWN;
}

static LwExcellon *
read_once (const char *name, const char *text, gsize length, const Format *given, GPtrArray *notes, Reader *reader)
{
  LwExcellon *file = excellon_new (name);
  g_autoptr (GString) line = g_string_new (NULL);
  const char *cursor = text, *end = text + length;

  *reader = (Reader) { .file = file, .notes = notes, .given = given, .plating = plating_by_name (name) };
  reader->tools = g_hash_table_new_full (NULL, NULL, NULL, g_free);
  while (!reader->ended && file->fault == NULL && lw_text_next_line (&cursor, end, MAX_LINE, line))
    {
      reader->line++;
      if (line->len > MAX_LINE)
        stop (reader, _("a line of more than %d characters"), MAX_LINE);
      else
        read_line (reader, line->str);
    }
  if (file->fault == NULL && !reader->ended)
    file->no_end_line = MAX (reader->line, 1);
  g_hash_table_unref (reader->tools);
  return file;
}

static double
share_inside (const LwExcellon *file, const LwBox *board)
{
  guint inside = 0;

  for (guint i = 0; i < file->holes->len; i++)
    {
      const LwPoint *p = &g_array_index (file->holes, LwHole, i).a;

      inside += p->x_mm >= board->x0_mm - 0.1 && p->x_mm <= board->x1_mm + 0.1 && p->y_mm >= board->y0_mm - 0.1
                && p->y_mm <= board->y1_mm + 0.1;
    }
  return file->holes->len > 0 ? (double) inside / file->holes->len : 0;
}

/* How much of the board's box the holes' box fills: tells a hundredth of the size from the size. */
static double
spread (const LwExcellon *file)
{
  LwBox box = { 0 };

  for (guint i = 0; i < file->holes->len; i++)
    {
      const LwPoint *p = &g_array_index (file->holes, LwHole, i).a;

      if (i == 0)
        box = (LwBox) { p->x_mm, p->y_mm, p->x_mm, p->y_mm };
      lw_box_extend (&box, p->x_mm, p->y_mm);
    }
  return hypot (box.x1_mm - box.x0_mm, box.y1_mm - box.y0_mm);
}

/* Commonest first: it is kept when nothing speaks against it. */
static const Format candidates[] = {
  { 25.4, FALSE, FALSE, 0, 0 },
  { 25.4, TRUE, FALSE, 0, 0 },
  { 1, FALSE, FALSE, 0, 0 },
  { 1, TRUE, FALSE, 0, 0 },
};

static const Format *
best_candidate (const char *name, const char *text, gsize length, const LwBox *board)
{
  const Format *best = &candidates[0];
  double best_score = -1;

  for (guint i = 0; board != NULL && i < G_N_ELEMENTS (candidates); i++)
    {
      Reader reader;
      g_autoptr (LwExcellon) trial = read_once (name, text, length, &candidates[i], NULL, &reader);
      double score = share_inside (trial, board);

      score += score > 0.95 ? fmin (spread (trial) / hypot (board->x1_mm - board->x0_mm, board->y1_mm - board->y0_mm), 1)
                            : 0;
      if (score > best_score + 0.01)
        {
          best = &candidates[i];
          best_score = score;
        }
    }
  return best;
}

static void
tell_guess (const Reader *reader, const LwExcellon *file, const Format *given, GPtrArray *notes)
{
  gboolean no_unit = reader->format.unit_mm == 0, no_zeros = !reader->format.zeros_said && reader->has_bare;

  if (file->holes->len > 0 && no_unit)
    lw_notes_add (notes, file->name, 0, _("the unit is not stated; taken as %s"),
                  given->unit_mm == 1 ? _("millimetres") : _("inches"));
  if (file->holes->len > 0 && no_zeros)
    lw_notes_add (notes, file->name, 0, _("which zeros were dropped is not stated; taken as the %s"),
                  given->keeps_leading ? _("trailing ones") : _("leading ones"));
}

LwExcellon *
lw_excellon_read (const char *name, const char *data, gsize size, const LwBox *board, GPtrArray *notes,
                  GError **error)
{
  gsize length;
  g_autoptr (GError) damage = NULL;
  g_autofree char *text = lw_text_decode_start (name, data, size, &length, &damage);
  const Format *given;
  LwExcellon *file;
  Reader reader;

  if (text == NULL)
    {
      g_propagate_error (error, g_steal_pointer (&damage));
      return NULL;
    }
  given = best_candidate (name, text, length, board);
  file = read_once (name, text, length, given, notes, &reader);
  if (file->fault == NULL && damage != NULL)
    file->fault = g_strdup (damage->message);
  file->guessed = reader.format.unit_mm == 0 || (!reader.format.zeros_said && reader.has_bare);
  tell_guess (&reader, file, given, notes);
  return file;
}

gboolean
lw_excellon_sniff (const char *data, gsize size)
{
  g_autofree char *start = g_strndup (data, MIN (size, 4096));
  const char *p = start;

  while (g_ascii_isspace (*p) || *p == ';')
    if (*p == ';')
      while (*p != '\0' && *p != '\n')
        p++;
    else
      p++;
  return g_str_has_prefix (p, "M48") || (g_str_has_prefix (p, "M30") && strlen (g_strchomp (start)) <= 8)
         || (*p == '%' && strstr (p, "\nT") != NULL && strchr (p, '*') == NULL);
}
