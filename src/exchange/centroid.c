/* A centroid table to a job, by a mapping. */
#include <glib/gi18n.h>
#include <math.h>

#include "exchange/centroid-rows.h"
#include "exchange/listed.h"
#include "exchange/text.h"

#define MAX_COORDINATE_MM 1e6

typedef struct {
  const char *file;
  const LwCentroidMapping *mapping;
  LwListedBoard board;
  GPtrArray *notes;
  guint n_bottom, n_unread;
  gboolean told_side;
} Reading;

static const char *
field_of (const LwCentroidRow *row, int column)
{
  return column >= 0 && (guint)column < row->n_fields ? row->fields[column] : "";
}

static const char *
field_in (const Reading *self, const LwCentroidRow *row, LwCentroidColumn column)
{
  return field_of (row, self->mapping->column[column]);
}

static gboolean
is_number (const Reading *self, const char *text)
{
  double value, unit_mm;

  return lw_centroid_number (text, self->mapping->decimal_comma, &value, &unit_mm);
}

/* A line that was meant to be a part: it has a reference and reaches as far as its place, or into it. Totals and
 * closing words do not; a part whose place is left empty is not placed. */
static gboolean
was_a_part (const Reading *self, const LwCentroidRow *row)
{
  const char *x = field_in (self, row, LW_CENTROID_X), *y = field_in (self, row, LW_CENTROID_Y);
  int last = MAX (self->mapping->column[LW_CENTROID_X], self->mapping->column[LW_CENTROID_Y]);

  return *field_in (self, row, LW_CENTROID_REF) != '\0' && (*x != '\0' || *y != '\0')
         && ((guint) last < row->n_fields || is_number (self, x) || is_number (self, y));
}

/* For what stands in COLUMN, which is no number or too FAR. Always FALSE. */
static gboolean
leave_out (Reading *self, const LwCentroidRow *row, LwCentroidColumn column, gboolean far)
{
  const char *text = field_in (self, row, column);
  g_autofree char *start = g_utf8_substring (text, 0, MIN (40, g_utf8_strlen (text, -1)));
  g_autofree char *what = g_strdup_printf (far ? _ ("column %d (%s): “%s” is farther than a kilometre")
                                               : _ ("column %d (%s): a number expected, not “%s”"),
                                           self->mapping->column[column] + 1, lw_centroid_column_name (column), start);

  if (was_a_part (self, row))
    lw_notes_add_loss (self->notes, self->file, row->line, what, _ ("the line is left out"));
  else
    lw_notes_add (self->notes, self->file, row->line, _ ("left out: %s"), what);
  return FALSE;
}

/* FALSE, with a warning, when the row has no length in COLUMN. */
static gboolean
read_length (Reading *self, const LwCentroidRow *row, LwCentroidColumn column, double *mm)
{
  double unit_mm = lw_centroid_unit_mm (self->mapping->unit);

  if (!lw_centroid_number (field_in (self, row, column), self->mapping->decimal_comma, mm, &unit_mm))
    return leave_out (self, row, column, FALSE);
  *mm *= unit_mm;
  if (fabs (*mm) <= MAX_COORDINATE_MM)
    return TRUE;
  return leave_out (self, row, column, TRUE);
}

static LwSide
read_side (Reading *self, const LwCentroidRow *row)
{
  const char *word = field_in (self, row, LW_CENTROID_SIDE);
  LwSide side = self->mapping->default_side;

  if (self->mapping->column[LW_CENTROID_SIDE] < 0
      || lw_centroid_side (word, self->mapping->side_is_mirror, &side))
    return side;
  lw_notes_add (self->notes, self->file, row->line, _ ("“%.40s” names no side; %s is taken"), word,
                side == LW_SIDE_TOP ? _ ("the top") : _ ("the bottom"));
  return side;
}

/* The file's angle by the rule of LwPart. */
static double
own_rotation (const Reading *self, LwSide side, double file_deg)
{
  if (side == LW_SIDE_TOP)
    return file_deg;
  switch (self->mapping->bottom) {
  case LW_CENTROID_BOTTOM_TOP_VIEW_FLIP_Y: /* R(f)(u, -v) = R(f + 180)(-u, v) */
    return 180.0 - file_deg;
  case LW_CENTROID_BOTTOM_TOP_VIEW_FLIP_X:
    return -file_deg;
  case LW_CENTROID_BOTTOM_OWN_VIEW_FLIP_Y:
    return file_deg + 180.0;
  case LW_CENTROID_BOTTOM_OWN_VIEW_FLIP_X:
  case LW_CENTROID_N_BOTTOMS:
    break;
  }
  return file_deg;
}

static void
read_rotation (Reading *self, const LwCentroidRow *row, LwListedPart *part)
{
  const char *text = field_in (self, row, LW_CENTROID_ROTATION);
  double deg = 0, unit_mm;

  if (self->mapping->column[LW_CENTROID_ROTATION] >= 0
      && !lw_centroid_number (text, self->mapping->decimal_comma, &deg, &unit_mm)) {
    deg = 0;
    lw_notes_add (self->notes, self->file, row->line, _ ("%.60s: “%.40s” is no angle; 0 is taken"),
                  part->ref, text);
  }
  part->rotation_deg = lw_angle_normalise (own_rotation (self, part->side, deg));
}

/* An empty field means not known, as does 0. */
static void
read_height (Reading *self, const LwCentroidRow *row, LwListedPart *part)
{
  const char *text = field_in (self, row, LW_CENTROID_HEIGHT);
  double unit_mm = lw_centroid_unit_mm (self->mapping->unit), height;

  if (*text != '\0' && lw_centroid_number (text, self->mapping->decimal_comma, &height, &unit_mm)
      && height != 0)
    part->height_mm = height * unit_mm;
}

static gboolean
read_part (Reading *self, const LwCentroidRow *row)
{
  double x, y;
  LwListedPart *part;

  if (!read_length (self, row, LW_CENTROID_X, &x) || !read_length (self, row, LW_CENTROID_Y, &y))
    return FALSE;
  part = lw_listed_part_new (field_in (self, row, LW_CENTROID_PACKAGE),
                             field_in (self, row, LW_CENTROID_VALUE),
                             field_in (self, row, LW_CENTROID_REF), row->line);
  part->side = read_side (self, row);
  part->x_mm = part->side == LW_SIDE_BOTTOM && self->mapping->bottom_x_negated ? -x : x;
  part->y_mm = self->mapping->y_down ? -y : y;
  part->placed = TRUE;
  read_rotation (self, row, part);
  read_height (self, row, part);
  self->n_bottom += part->side == LW_SIDE_BOTTOM;
  g_ptr_array_add (self->board.parts, part);
  return TRUE;
}

static gboolean
read_rows (Reading *self, const char *text, gsize length, GError **error)
{
  LwCentroidReader reader;
  LwCentroidRow *row;
  gboolean ok = TRUE;

  lw_centroid_reader_init (&reader, text, length, self->mapping->delimiter);
  while (ok && (row = lw_centroid_reader_next (&reader)) != NULL) {
    if (row->line >= self->mapping->first_line && !row->comment)
      self->n_unread += !read_part (self, row);
    if (self->board.parts->len > LW_LISTED_MAX_PARTS)
      ok = lw_notes_fail (error, LW_IMPORT_ERROR_TOO_LARGE, self->file, row->line,
                          _ ("more than %d parts"), LW_LISTED_MAX_PARTS);
    lw_centroid_row_free (row);
  }
  if (reader.latin1)
    lw_notes_add (self->notes, self->file, 0,
                  _ ("not all text is UTF-8: those fields are read as Latin-1"));
  return ok;
}

/* What is told, so that nobody takes a guess for a fact. */
static void
tell (Reading *self)
{
  if (self->n_unread > 0)
    lw_notes_add (self->notes, self->file, 0, _ ("lines that could not be read and are left out: %u"),
                  self->n_unread);
  if (self->n_bottom > 0)
    lw_notes_add (
        self->notes, self->file, 0,
        _ ("parts on the bottom: %u; tables do not say how their angles are counted, check one"),
        self->n_bottom);
  if (self->mapping->column[LW_CENTROID_SIDE] < 0)
    lw_notes_add (self->notes, self->file, 0, _ ("no column of sides: all parts are taken to lie on %s"),
                  self->mapping->default_side == LW_SIDE_TOP ? _ ("the top") : _ ("the bottom"));
  if (self->mapping->column[LW_CENTROID_ROTATION] < 0)
    lw_notes_add (self->notes, self->file, 0,
                  _ ("no column of angles: all parts are taken as not turned"));
  lw_notes_add (self->notes, self->file, 0,
                _ ("a placement table knows no bodies, no outline and no thickness: enter them or add "
                   "another file"));
}

static gboolean
read_text (Reading *self, const char *data, gsize size, GError **error)
{
  gsize length;
  g_autoptr (GError) damage = NULL;
  g_autofree char *text = lw_text_decode_start (self->file, data, size, &length, &damage);
  const int *column = self->mapping->column;

  if (text == NULL) {
    g_propagate_error (error, g_steal_pointer (&damage));
    return FALSE;
  }
  if (damage != NULL)
    lw_notes_add_damage (self->notes, self->file, damage);
  if (column[LW_CENTROID_REF] < 0 || column[LW_CENTROID_X] < 0 || column[LW_CENTROID_Y] < 0)
    return lw_notes_fail (error, LW_IMPORT_ERROR_SYNTAX, self->file, self->mapping->header_line,
                          _ ("the columns of reference, x and y must be known"));
  if (!read_rows (self, text, length, error))
    return FALSE;
  if (self->board.parts->len >= MAX (self->n_unread, 1))
    return TRUE;
  const LwImportWarning *first = self->notes->len > 0 ? self->notes->pdata[0] : NULL;
  return lw_notes_fail (error, LW_IMPORT_ERROR_SYNTAX, self->file, first != NULL ? first->line : 0,
                        _ ("%u lines read as parts and %u do not: are the columns right? %s"),
                        self->board.parts->len, self->n_unread, first == NULL ? "" : first->damage ? first->reason : first->text);
}

LwImport *
lw_import_centroid (const char *name, const char *data, gsize size, const LwCentroidMapping *mapping,
                    GError **error)
{
  Reading self = { .file = name, .mapping = mapping };
  g_autoptr (LwImport) import = g_new0 (LwImport, 1);
  gboolean ok;

  self.notes = import->warnings = lw_notes_new ();
  import->format = g_strdup (_ ("placement table"));
  import->job = lw_job_new ();
  lw_listed_board_init (&self.board);
  ok = read_text (&self, data, size, error);
  if (ok) {
    tell (&self);
    ok = lw_listed_to_job (import->job, &self.board, NULL, name, self.notes, error);
  }
  lw_listed_board_clear (&self.board);
  return ok ? g_steal_pointer (&import) : NULL;
}

/* ---- by a guess ---- */

static char *
columns_text (const LwCentroidMapping *mapping)
{
  g_autoptr (GString) text = g_string_new (NULL);

  for (int c = 0; c < LW_CENTROID_N_COLUMNS; c++)
    if (mapping->column[c] >= 0)
      g_string_append_printf (text, "%s%d %s", text->len > 0 ? ", " : "", mapping->column[c] + 1,
                              lw_centroid_column_name ((LwCentroidColumn)c));
  return g_string_free (g_steal_pointer (&text), FALSE);
}

LwImport *
lw_import_centroid_guessed (const char *name, const char *data, gsize size, GError **error)
{
  LwCentroidMapping mapping;
  LwImport *import;

  if (!lw_centroid_guess (name, data, size, &mapping, error))
    return NULL;
  import = lw_import_centroid (name, data, size, &mapping, error);
  if (import != NULL && (mapping.open & LW_CENTROID_OPEN_UNIT) != 0)
    lw_notes_add (import->warnings, name, 0, _ ("the file states no unit: %s is taken"),
                  lw_centroid_unit_word (mapping.unit));
  if (import != NULL && (mapping.open & LW_CENTROID_OPEN_COLUMNS) != 0) {
    g_autofree char *columns = columns_text (&mapping);

    lw_notes_add (import->warnings, name, mapping.first_line,
                  _ ("no line names the columns, or not all of them are there; taken as: %s"), columns);
  }
  return import;
}
