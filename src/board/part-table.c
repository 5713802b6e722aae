/* Tables of parts to and from a spreadsheet. */
#include <math.h>
#include <math.h>
#include <string.h>

#include <glib/gi18n.h>

#include "board/edit-finish.h"
#include "board/part-text.h"
#include "board/typed-number.h"

typedef enum { REF, PACKAGE, VALUE, X, Y, ROTATION, SIDE, HEIGHT, LOCKED, IGNORED, N_COLUMNS = IGNORED } Column;
enum { ROWS_MAX = 20000, CELLS_MAX = 64 };

/* The first word of each line is the one written; headings are compared in small letters. */
static const char *const headings[N_COLUMNS][8] = {
  { "ref", "reference", "designator", "refdes", "part", "name" },
  { "package", "footprint", "outline", "pattern", "body" },
  { "value", "part number", "comment", "val" },
  { "x", "x_mm", "x (mm)", "x, mm", "mid x", "pos x", "center x" },
  { "y", "y_mm", "y (mm)", "y, mm", "mid y", "pos y", "center y" },
  { "rotation", "rotation_deg", "rot", "angle", "turn", "rotation, °" },
  { "side", "layer", "face" },
  { "height", "height_mm", "height, mm", "z" },
  { "locked", "lock", "fixed" },
};

/* ---- out ---- */

static void
add_number (GString *text, double value)
{
  char buffer[G_ASCII_DTOSTR_BUF_SIZE];

  g_string_append_c (text, '\t');
  if (isfinite (value))
    g_string_append (text, g_ascii_formatd (buffer, sizeof buffer, "%.10g", value));
}

/* Tabs and line ends would break the table. */
static void
add_text (GString *text, const char *cell)
{
  for (const char *c = cell; *c != '\0'; c++)
    g_string_append_c (text, *c == '\t' || *c == '\n' || *c == '\r' ? ' ' : *c);
}

char *
lw_parts_to_table (const LwJob *job, const GArray *parts)
{
  GString *text = g_string_new (NULL);

  for (guint i = 0; i < N_COLUMNS; i++)
    g_string_append_printf (text, "%s%s", i > 0 ? "\t" : "", headings[i][0]);
  for (guint i = 0; i < parts->len; i++)
    {
      const LwPart *part = g_ptr_array_index (job->parts, g_array_index (parts, guint, i));

      g_string_append_c (text, '\n');
      add_text (text, part->ref);
      g_string_append_c (text, '\t');
      add_text (text, part->package);
      g_string_append_c (text, '\t');
      add_text (text, part->value);
      add_number (text, part->placed ? part->x_mm : NAN);
      add_number (text, part->placed ? part->y_mm : NAN);
      add_number (text, part->rotation_deg);
      g_string_append_printf (text, "\t%s", lw_side_word (part->side));
      add_number (text, part->height_mm);
      g_string_append (text, part->locked ? "\tyes" : "\tno");
    }
  g_string_append_c (text, '\n');
  return g_string_free (text, FALSE);
}

/* ---- in ---- */

/* Spreadsheets quote cells that hold quotes. */
static char *
clean (const char *cell)
{
  char *text = g_strstrip (g_strdup (cell));
  gsize length = strlen (text);

  if (length >= 2 && text[0] == '"' && text[length - 1] == '"')
    {
      text[length - 1] = '\0';
      memmove (text, text + 1, length - 1);
    }
  return text;
}

static Column
column_named (const char *cell)
{
  g_autofree char *text = clean (cell), *small = g_utf8_strdown (text, -1);

  for (guint c = 0; c < N_COLUMNS; c++)
    for (guint k = 0; k < G_N_ELEMENTS (headings[c]) && headings[c][k] != NULL; k++)
      if (strcmp (small, headings[c][k]) == 0)
        return (Column) c;
  return IGNORED;
}

/* A heading row has a reference column and no cell that is a number. */
static gboolean
read_heading (char **cells, Column *columns, guint *n)
{
  gboolean found = FALSE;
  guint known = 0;

  *n = MIN (g_strv_length (cells), (guint) CELLS_MAX);
  for (guint i = 0; i < *n; i++)
    {
      columns[i] = column_named (cells[i]);
      found = found || columns[i] == REF;
      known += columns[i] != IGNORED;
    }
  if (found && (known > 1 || *n == 1))
    return TRUE;
  *n = N_COLUMNS;
  for (guint i = 0; i < N_COLUMNS; i++)
    columns[i] = (Column) i;
  return FALSE;
}

static gboolean
fault (GError **error, guint row, Column column, const char *cell, const char *why)
{
  g_set_error (error, LW_EDIT_ERROR, LW_EDIT_ERROR_RANGE, _("row %u, column “%s”: “%s” %s"), row, headings[column][0],
               cell, why);
  return FALSE;
}

static gboolean
read_number (const char *cell, double *value)
{
  g_autofree char *text = g_strchomp (g_strdup (cell));

  if (g_str_has_suffix (text, "mm") || g_str_has_suffix (text, "°"))
    text[strlen (text) - 2] = '\0'; /* the degree sign is two bytes */
  return lw_typed_number (text, TRUE, value);
}

static gboolean
is_one_of (const char *cell, const char *const *words)
{
  g_autofree char *small = g_utf8_strdown (cell, -1);

  return g_strv_contains (words, small);
}

static gboolean
put_side (LwPart *part, const char *cell, guint row, GError **error)
{
  static const char *const top[] = { "top", "t", "front", "toplayer", "top layer", "0", NULL };
  static const char *const bottom[] = { "bottom", "b", "bot", "back", "bottomlayer", "bottom layer", "1", NULL };

  if (!is_one_of (cell, top) && !is_one_of (cell, bottom))
    return fault (error, row, SIDE, cell, _("is neither top nor bottom"));
  part->side = is_one_of (cell, top) ? LW_SIDE_TOP : LW_SIDE_BOTTOM;
  return TRUE;
}

static gboolean
put_lock (LwPart *part, const char *cell, guint row, GError **error)
{
  static const char *const yes[] = { "yes", "y", "true", "1", "locked", NULL };
  static const char *const no[] = { "no", "n", "false", "0", NULL };

  if (!is_one_of (cell, yes) && !is_one_of (cell, no))
    return fault (error, row, LOCKED, cell, _("is neither yes nor no"));
  part->locked = is_one_of (cell, yes);
  return TRUE;
}

static gboolean
put_number (LwPart *part, Column column, const char *cell, guint row, GError **error)
{
  double value;

  if (!read_number (cell, &value))
    return fault (error, row, column, cell, _("is no number"));
  if (column == HEIGHT && !(value > 0.0))
    return fault (error, row, column, cell, _("must be above 0"));
  if (fabs (value) > 10000.0)
    return fault (error, row, column, cell, _("is beyond all boards"));
  *(column == X ? &part->x_mm : column == Y ? &part->y_mm : column == HEIGHT ? &part->height_mm : &part->rotation_deg)
    = column == ROTATION ? lw_angle_normalise (value) : value;
  return TRUE;
}

static gboolean
put_cell (LwPart *part, Column column, const char *cell, guint row, GError **error)
{
  if (cell[0] == '\0' || column == IGNORED || column == REF)
    return TRUE;
  if (column == SIDE)
    return put_side (part, cell, row, error);
  if (column == LOCKED)
    return put_lock (part, cell, row, error);
  if (column != PACKAGE && column != VALUE)
    return put_number (part, column, cell, row, error);
  char **text = column == PACKAGE ? &part->package : &part->value;
  g_free (*text);
  *text = g_strdup (cell);
  return TRUE;
}

typedef struct {
  LwJob *after;
  GHashTable *by_ref;  /* char * -> index + 1 */
  GHashTable *in_rows; /* references met in this table */
  GArray *touched;
  Column columns[CELLS_MAX];
  guint n_columns;
} Paste;

static LwPart *
part_of_row (Paste *self, const char *ref, gboolean *known)
{
  guint index = GPOINTER_TO_UINT (g_hash_table_lookup (self->by_ref, ref));
  LwPart *part;

  *known = index > 0;
  if (index > 0)
    {
      index--;
      g_array_append_val (self->touched, index);
      return lw_job_edit_part (self->after, index);
    }
  part = lw_part_new ();
  g_free (part->ref);
  part->ref = g_strdup (ref);
  part->placed = FALSE;
  part->x_mm = part->y_mm = 0.0;
  index = self->after->parts->len;
  g_array_append_val (self->touched, index);
  g_ptr_array_add (self->after->parts, part);
  g_hash_table_insert (self->by_ref, g_strdup (ref), GUINT_TO_POINTER (index + 1));
  return part;
}

static char *
cell_of (Paste *self, char **cells, Column column)
{
  guint n = g_strv_length (cells);

  for (guint i = 0; i < MIN (n, self->n_columns); i++)
    if (self->columns[i] == column)
      return clean (cells[i]);
  return g_strdup ("");
}

static gboolean
paste_row (Paste *self, char **cells, guint row, GError **error)
{
  g_autofree char *ref = cell_of (self, cells, REF), *x = cell_of (self, cells, X), *y = cell_of (self, cells, Y);
  gboolean known;

  if (ref[0] == '\0')
    return fault (error, row, REF, ref, _("names no part"));
  if (g_hash_table_contains (self->in_rows, ref))
    return fault (error, row, REF, ref, _("stands in the table twice"));
  g_hash_table_add (self->in_rows, g_strdup (ref));
  LwPart *part = part_of_row (self, ref, &known);
  gboolean moves = (x[0] != '\0' || y[0] != '\0') && known && part->locked;
  if (moves)
    return fault (error, row, REF, ref, _("is locked in its place"));
  if (!known && (x[0] == '\0') != (y[0] == '\0'))
    return fault (error, row, x[0] == '\0' ? X : Y, "", _("is missing: a place needs both x and y"));
  for (guint i = 0; i < MIN (g_strv_length (cells), self->n_columns); i++)
    {
      g_autofree char *cell = clean (cells[i]);

      if (!put_cell (part, self->columns[i], cell, row, error))
        return FALSE;
    }
  part->placed = part->placed || (x[0] != '\0' && y[0] != '\0');
  return TRUE;
}

static gboolean
paste_rows (Paste *self, char **lines, GError **error)
{
  gboolean first = TRUE;

  for (guint i = 0; lines[i] != NULL; i++)
    {
      g_auto (GStrv) cells = NULL;

      g_strchomp (lines[i]);
      if (lines[i][0] == '\0')
        continue;
      cells = g_strsplit_set (lines[i], "\t", -1);
      if (first && read_heading (cells, self->columns, &self->n_columns))
        {
          first = FALSE;
          continue;
        }
      first = FALSE;
      if (!paste_row (self, cells, i + 1, error))
        return FALSE;
    }
  return TRUE;
}

static gboolean
is_table (const char *text, char **lines, GError **error)
{
  if (!g_utf8_validate (text, -1, NULL))
    g_set_error_literal (error, LW_EDIT_ERROR, LW_EDIT_ERROR_RANGE, _("must be UTF-8 text"));
  else if (strchr (text, '\t') == NULL)
    g_set_error_literal (error, LW_EDIT_ERROR, LW_EDIT_ERROR_RANGE,
                         _("this is no table: cells of one row are parted by tabs"));
  else if (g_strv_length (lines) > ROWS_MAX)
    g_set_error (error, LW_EDIT_ERROR, LW_EDIT_ERROR_RANGE, _("at most %d rows are taken at once"), ROWS_MAX);
  else
    return TRUE;
  return FALSE;
}

LwJob *
lw_edit_paste_table (const LwJob *job, const char *text, GArray **touched, GError **error)
{
  g_auto (GStrv) lines = g_strsplit_set (text, "\n", ROWS_MAX + 2); /* no more than shows that there are too many */
  g_autoptr (GHashTable) by_ref = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  g_autoptr (GHashTable) in_rows = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  g_autoptr (GArray) list = g_array_new (FALSE, FALSE, sizeof (guint));
  g_autoptr (LwJob) after = lw_job_copy (job);
  Paste paste = { after, by_ref, in_rows, list, { REF }, 0 };
  LwJob *finished;

  for (guint i = 0; i < job->parts->len; i++)
    g_hash_table_insert (by_ref, g_strdup (((const LwPart *) g_ptr_array_index (job->parts, i))->ref),
                         GUINT_TO_POINTER (i + 1));
  if (!is_table (text, lines, error) || !paste_rows (&paste, lines, error))
    return NULL;
  if (list->len == 0)
    {
      g_set_error_literal (error, LW_EDIT_ERROR, LW_EDIT_ERROR_RANGE, _("the table has no row below its heading"));
      return NULL;
    }
  finished = lw_edit_finish (job, g_steal_pointer (&after), NULL, error);
  if (finished != NULL && touched != NULL)
    *touched = g_steal_pointer (&list);
  return finished;
}
