/* Which column is what: by its name, or by what stands in it. */
#include <glib/gi18n.h>
#include <math.h>
#include <string.h>

#include "exchange/centroid-rows.h"
#include "exchange/notes.h"
#include "exchange/text.h"

#define LOOKED_AT 2000 /* rows; the rest follows suit */
/* Without a stated unit: a board is hardly larger than a metre nor, with several parts, smaller than a
 * thumb nail. Common practice, no source. */
#define HARDLY_MM 1000.0
#define HARDLY_INCH 12.0

typedef struct {
  GPtrArray *rows; /* LwCentroidRow */
  LwCentroidMapping mapping;
  int unit;      /* as stated, -1 = not */
  guint n_parts; /* rows that read as a part */
} Guess;

static void
clear_columns (LwCentroidMapping *mapping)
{
  for (int c = 0; c < LW_CENTROID_N_COLUMNS; c++)
    mapping->column[c] = -1;
}

static const char *
field_of (const LwCentroidRow *row, int column)
{
  return column >= 0 && (guint)column < row->n_fields ? row->fields[column] : NULL;
}

/* ---- by name ---- */

/* Fills the columns ROW names; TRUE when x, y and the reference are among them. */
static gboolean
try_header (Guess *self, const LwCentroidRow *row)
{
  guint best[LW_CENTROID_N_COLUMNS];
  LwCentroidMapping *mapping = &self->mapping;
  int unit = -1;

  clear_columns (mapping);
  for (guint i = 0; i < row->n_fields; i++) {
    guint rank = 0;
    gboolean is_mirror;
    int named = -1, column = lw_centroid_column_of (row->fields[i], &rank, &named, &is_mirror);

    if (column < 0 || (mapping->column[column] >= 0 && best[column] <= rank))
      continue;
    mapping->column[column] = (int)i;
    best[column] = rank;
    if (column == LW_CENTROID_X || column == LW_CENTROID_Y)
      unit = named;
    if (column == LW_CENTROID_SIDE)
      mapping->side_is_mirror = is_mirror;
  }
  if (mapping->column[LW_CENTROID_REF] < 0 || mapping->column[LW_CENTROID_X] < 0
      || mapping->column[LW_CENTROID_Y] < 0)
    return FALSE;
  self->unit = unit;
  return TRUE;
}

/* A plain line before a comment: comments often describe the columns in words. */
static gboolean
find_header (Guess *self)
{
  for (int comments = 0; comments <= 1; comments++)
    for (guint i = 0; i < self->rows->len; i++) {
      const LwCentroidRow *row = self->rows->pdata[i];

      if (row->comment != comments || !try_header (self, row))
        continue;
      self->mapping.header_line = row->line;
      return TRUE;
    }
  clear_columns (&self->mapping);
  return FALSE;
}

/* Between runs of blanks an empty field vanishes, and what stands behind it moves up: when every line is
 * short by as many fields, the columns behind the ones that are needed are moved, and left to be asked.
 */
static void
close_up (Guess *self)
{
  LwCentroidMapping *mapping = &self->mapping;
  guint header = 0, least = G_MAXUINT, most = 0;
  int needed = -1;

  for (guint i = 0; i < self->rows->len; i++) {
    const LwCentroidRow *row = self->rows->pdata[i];

    if (row->line == mapping->header_line)
      header = row->n_fields;
    if (row->comment || row->line <= mapping->header_line)
      continue;
    least = MIN (least, row->n_fields);
    most = MAX (most, row->n_fields);
  }
  if (mapping->delimiter != ' ' || least != most || most >= header)
    return;
  for (int c = LW_CENTROID_X; c <= LW_CENTROID_SIDE; c++)
    needed = MAX (needed, mapping->column[c]);
  for (int c = 0; c < LW_CENTROID_N_COLUMNS; c++)
    if (mapping->column[c] > MAX (needed, mapping->column[LW_CENTROID_REF]))
      mapping->column[c] -= (int)(header - most);
  mapping->open |= LW_CENTROID_OPEN_COLUMNS;
}

/* ---- by content ---- */

typedef struct {
  guint n, numbers, names, sides, letters;
} Column;

/* Letters and then a digit, as designators are. */
static gboolean
looks_like_ref (const char *field)
{
  guint letters = 0;

  while (g_ascii_isalpha (field[letters]))
    letters++;
  return letters >= 1 && letters <= 5 && g_ascii_isdigit (field[letters]);
}

static void
look_at (Column *column, const char *field, gboolean decimal_comma)
{
  double value, unit_mm;
  LwSide side;

  column->n++;
  column->numbers += lw_centroid_number (field, decimal_comma, &value, &unit_mm);
  column->names += looks_like_ref (field);
  column->sides += lw_centroid_side (field, FALSE, &side) && !g_ascii_isdigit (*field);
  column->letters += strlen (field);
}

static guint
survey (const Guess *self, Column *columns, gboolean decimal_comma)
{
  guint n_columns = 0;

  for (guint i = 0; i < self->rows->len; i++) {
    const LwCentroidRow *row = self->rows->pdata[i];

    for (guint c = 0; !row->comment && c < row->n_fields; c++)
      look_at (&columns[c], row->fields[c], decimal_comma);
    n_columns = row->comment ? n_columns : MAX (n_columns, row->n_fields);
  }
  return n_columns;
}

static gboolean
mostly (guint n, guint of)
{
  return n > 0 && 10 * n >= 9 * of;
}

/* The reference is the first that looks so; x, y and rotation the first numbers in that order; of the
 * rest the one with the longer texts is the package. */
static void
columns_by_content (Guess *self)
{
  Column columns[LW_CENTROID_MAX_FIELDS] = { 0 };
  guint n = survey (self, columns, self->mapping.decimal_comma);
  int *map = self->mapping.column;
  int next_number = LW_CENTROID_X;

  for (guint c = 0; c < n; c++) {
    const Column *column = &columns[c];

    if (map[LW_CENTROID_REF] < 0 && mostly (column->names, column->n))
      map[LW_CENTROID_REF] = (int)c;
    else if (mostly (column->numbers, column->n) && next_number <= LW_CENTROID_ROTATION)
      map[next_number++] = (int)c;
    else if (map[LW_CENTROID_SIDE] < 0 && mostly (column->sides, column->n))
      map[LW_CENTROID_SIDE] = (int)c;
    else if (map[LW_CENTROID_VALUE] < 0)
      map[LW_CENTROID_VALUE] = (int)c;
    else if (map[LW_CENTROID_PACKAGE] < 0)
      map[LW_CENTROID_PACKAGE] = (int)c;
  }
  int value = map[LW_CENTROID_VALUE], package = map[LW_CENTROID_PACKAGE];
  if (value >= 0 && package >= 0 && columns[value].letters > columns[package].letters) {
    map[LW_CENTROID_VALUE] = package;
    map[LW_CENTROID_PACKAGE] = value;
  }
}

/* ---- numbers, units, parts ---- */

static gboolean
is_part (const LwCentroidRow *row, const LwCentroidMapping *mapping, gboolean decimal_comma,
         double xy[2], double *unit_mm)
{
  const char *ref = field_of (row, mapping->column[LW_CENTROID_REF]);
  const char *x = field_of (row, mapping->column[LW_CENTROID_X]);
  const char *y = field_of (row, mapping->column[LW_CENTROID_Y]);

  return !row->comment && row->line > mapping->header_line && ref != NULL && *ref != '\0' && x != NULL
         && y != NULL && lw_centroid_number (x, decimal_comma, &xy[0], unit_mm)
         && lw_centroid_number (y, decimal_comma, &xy[1], unit_mm);
}

static guint
count_parts (const Guess *self, gboolean decimal_comma)
{
  guint n = 0;

  for (guint i = 0; i < self->rows->len; i++) {
    double xy[2], unit_mm;

    n += is_part (self->rows->pdata[i], &self->mapping, decimal_comma, xy, &unit_mm);
  }
  return n;
}

/* Finds the first part and whether there are bottom ones, and a unit when the numbers carry it. */
static void
look_at_parts (Guess *self, LwBox *box)
{
  LwCentroidMapping *mapping = &self->mapping;
  gboolean first = TRUE;

  for (guint i = 0; i < self->rows->len; i++) {
    const LwCentroidRow *row = self->rows->pdata[i];
    const char *word = field_of (row, mapping->column[LW_CENTROID_SIDE]);
    double xy[2], unit_mm = NAN;
    LwSide side;

    if (!is_part (row, mapping, mapping->decimal_comma, xy, &unit_mm))
      continue;
    if (first) {
      mapping->first_line = row->line;
      *box = (LwBox){ xy[0], xy[1], xy[0], xy[1] };
    }
    first = FALSE;
    lw_box_extend (box, xy[0], xy[1]);
    for (int u = 0; self->unit < 0 && u < LW_CENTROID_N_UNITS; u++)
      if (unit_mm == lw_centroid_unit_mm ((LwCentroidUnit)u))
        self->unit = u;
    if (word != NULL && lw_centroid_side (word, mapping->side_is_mirror, &side)
        && side == LW_SIDE_BOTTOM)
      mapping->open |= LW_CENTROID_OPEN_BOTTOM;
  }
}

/* What the lines before the first part say. */
static void
unit_from_preamble (Guess *self)
{
  for (guint i = 0; self->unit < 0 && i < self->rows->len; i++) {
    const LwCentroidRow *row = self->rows->pdata[i];
    g_autofree char *text = g_strjoinv (" ", row->fields);

    if (row->line >= self->mapping.first_line || row->line == self->mapping.header_line)
      continue;
    self->unit = lw_centroid_unit_in_text (text);
  }
}

static void
settle_unit (Guess *self, const LwBox *box)
{
  double span = MAX (box->x1_mm - box->x0_mm, box->y1_mm - box->y0_mm);
  LwCentroidMapping *mapping = &self->mapping;

  unit_from_preamble (self);
  if (self->unit >= 0) {
    mapping->unit = (LwCentroidUnit)self->unit;
    return;
  }
  mapping->open |= LW_CENTROID_OPEN_UNIT;
  mapping->unit = span > HARDLY_MM                          ? LW_CENTROID_THOU
                  : self->n_parts > 2 && span < HARDLY_INCH ? LW_CENTROID_INCH
                                                            : LW_CENTROID_MM;
}

/* ---- the whole ---- */

static GPtrArray *
read_rows (const char *text, gsize length, char delimiter, guint limit)
{
  GPtrArray *rows = g_ptr_array_new_with_free_func ((GDestroyNotify)lw_centroid_row_free);
  LwCentroidReader reader;
  LwCentroidRow *row;

  lw_centroid_reader_init (&reader, text, length, delimiter);
  while (rows->len < limit && (row = lw_centroid_reader_next (&reader)) != NULL)
    g_ptr_array_add (rows, row);
  return rows;
}

static Guess
guess_with (const char *text, gsize length, char delimiter)
{
  Guess self = { .rows = read_rows (text, length, delimiter, LOOKED_AT), .unit = -1 };
  LwCentroidMapping *mapping = &self.mapping;
  LwBox box = { 0 };
  guint with_comma;

  mapping->delimiter = delimiter;
  if (find_header (&self))
    close_up (&self);
  else {
    mapping->open |= LW_CENTROID_OPEN_COLUMNS;
    columns_by_content (&self);
  }
  self.n_parts = count_parts (&self, FALSE);
  with_comma = count_parts (&self, TRUE);
  mapping->decimal_comma = with_comma > self.n_parts;
  if (mapping->decimal_comma)
    self.n_parts = with_comma;
  if (mapping->column[LW_CENTROID_SIDE] < 0)
    mapping->open |= LW_CENTROID_OPEN_SIDE;
  look_at_parts (&self, &box);
  settle_unit (&self, &box);
  return self;
}

/* Tables without a header and with decimal commas: the survey has to know the sign first. */
static Guess
guess_with_comma (const char *text, gsize length, char delimiter)
{
  Guess self = { .rows = read_rows (text, length, delimiter, LOOKED_AT), .unit = -1 };
  LwBox box = { 0 };

  clear_columns (&self.mapping);
  self.mapping.delimiter = delimiter;
  self.mapping.decimal_comma = TRUE;
  self.mapping.open = LW_CENTROID_OPEN_COLUMNS;
  columns_by_content (&self);
  self.n_parts = count_parts (&self, TRUE);
  if (self.mapping.column[LW_CENTROID_SIDE] < 0)
    self.mapping.open |= LW_CENTROID_OPEN_SIDE;
  look_at_parts (&self, &box);
  settle_unit (&self, &box);
  return self;
}

/* A header is worth more than any number of chance hits. */
static gboolean
better (const Guess *a, const Guess *b)
{
  gboolean header_a = a->n_parts > 0 && a->mapping.header_line > 0;
  gboolean header_b = b->n_parts > 0 && b->mapping.header_line > 0;

  return header_a != header_b ? header_a : a->n_parts > b->n_parts;
}

static void
keep_better (Guess *best, Guess next)
{
  Guess worse = next;

  if (best->rows == NULL || better (&next, best)) {
    worse = *best;
    *best = next;
  }
  g_clear_pointer (&worse.rows, g_ptr_array_unref);
}

static Guess
guess_text (const char *text, gsize length)
{
  static const char delimiters[] = { ',', ';', '\t', '|', ' ' };
  Guess best = { 0 };

  for (guint i = 0; i < sizeof delimiters; i++) {
    keep_better (&best, guess_with (text, length, delimiters[i]));
    if (best.mapping.header_line == 0)
      keep_better (&best, guess_with_comma (text, length, delimiters[i]));
  }
  return best;
}

gboolean
lw_centroid_guess (const char *name, const char *data, gsize size, LwCentroidMapping *mapping,
                   GError **error)
{
  gsize length;
  g_autoptr (GError) damage = NULL;
  g_autofree char *text = lw_text_decode_start (name, data, size, &length, &damage);
  Guess best;

  if (text == NULL) {
    g_propagate_error (error, g_steal_pointer (&damage));
    return FALSE;
  }
  best = guess_text (text, length);
  g_ptr_array_unref (best.rows);
  *mapping = best.mapping;
  if (best.n_parts > 0)
    return TRUE;
  return lw_notes_fail (
      error, LW_IMPORT_ERROR_SYNTAX, name, best.mapping.header_line,
      best.mapping.header_line > 0
          ? _ ("columns are named here, but no line below gives a part’s reference, x and y")
          : _ ("no line gives a part’s reference, x and y: this is no placement table"));
}

/* The last line may be cut off in the middle; it then simply counts as no part. */
gboolean
lw_centroid_sniff (const char *data, gsize size)
{
  gsize length;
  g_autofree char *text = lw_text_decode_start ("", data, size & ~(gsize)1, &length, NULL);
  Guess best;
  gboolean table;

  if (text == NULL)
    return FALSE;
  best = guess_text (text, length);
  /* A header without a part is a table cut off; without one half the lines must be parts. */
  table = best.mapping.header_line > 0 || (best.n_parts >= 3 && 2 * best.n_parts >= best.rows->len);
  g_ptr_array_unref (best.rows);
  return table;
}

GPtrArray *
lw_centroid_rows (const char *name, const char *data, gsize size, char delimiter, guint limit,
                  GError **error)
{
  gsize length;
  g_autoptr (GError) damage = NULL;
  g_autofree char *text = lw_text_decode_start (name, data, size, &length, &damage);

  if (text != NULL)
    return read_rows (text, length, delimiter, limit);
  g_propagate_error (error, g_steal_pointer (&damage));
  return NULL;
}
