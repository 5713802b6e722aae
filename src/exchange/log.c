#include "exchange/log.h"

#include <math.h>
#include <string.h>

#include <glib/gi18n.h>

#include "exchange/centroid-rows.h"
#include "exchange/log-cells.h"
#include "exchange/log-times.h"
#include "exchange/notes.h"
#include "exchange/text.h"

#define MAX_VALUES 20000000u /* readings held while a log is read: 160 MB */
#define RUN_VALUES 300000u   /* what one run should fill of a document's LW_RUN_VALUES_MAX */
#define ROW_BYTES 2048u      /* looked at for each row of a preview */

static void
column_free (gpointer data)
{
  LwLogColumn *column = data;

  g_free (column->name);
  g_array_unref (column->c);
  g_free (column);
}

void
lw_log_free (LwLog *log)
{
  if (log == NULL)
    return;
  g_free (log->file);
  g_free (log->date);
  g_clear_pointer (&log->t_s, g_array_unref);
  g_clear_pointer (&log->columns, g_ptr_array_unref);
  g_clear_pointer (&log->dropped, g_ptr_array_unref);
  g_free (log);
}

/* Only the beginning is decoded: previews are made again and again. */
GPtrArray *
lw_log_rows (const char *name, const char *data, gsize size, char delimiter, guint limit, GError **error)
{
  gsize most = ((gsize) limit + 8) * ROW_BYTES, length = MIN (size, most) & ~(gsize) 1;

  if (size <= most)
    return lw_centroid_rows (name, data, size, delimiter, limit, error);
  GPtrArray *rows = lw_centroid_rows (name, data, length, delimiter, limit, error);
  if (rows != NULL && rows->len > 1 && rows->len < limit)
    g_ptr_array_set_size (rows, (gint) rows->len - 1); /* cut off */
  return rows;
}

/* ---- one row ---- */

typedef struct {
  const char *file;
  const LwLogMapping *m;
  LwLog *log;
  LwLogTimes *times;
  int time, date, cold;       /* columns, -1 = none */
  guint column[LW_LOG_MAX_COLUMNS]; /* of each reading */
} Reading;

static const char *
field_at (const LwCentroidRow *row, int column)
{
  return column >= 0 && (guint) column < row->n_fields ? row->fields[column] : "";
}

static double
cold_of (const Reading *self, const LwCentroidRow *row)
{
  LwCell cell;

  if (self->cold < 0)
    return self->m->cold_c;
  lw_cell_read (field_at (row, self->cold), self->m->decimal_comma, &cell);
  return cell.kind == LW_CELL_NUMBER ? cell.number : NAN;
}

/* Hundredths of a degree: what is beyond is noise, and would swell the document. */
static double
round_to (double value, double per_unit)
{
  return round (value * per_unit) / per_unit;
}

static double
reading_of (const Reading *self, LwLogColumn *column, const char *text, double cold_c)
{
  LwCell cell;
  LwLogUnit unit;
  double c;

  lw_cell_read (text, self->m->decimal_comma, &cell);
  unit = cell.unit >= 0 ? (LwLogUnit) cell.unit : self->m->unit;
  if (cell.kind == LW_CELL_EMPTY)
    column->n_empty++;
  else if (cell.kind == LW_CELL_OPEN || (cell.kind == LW_CELL_NUMBER && lw_log_is_open_code (cell.number, unit)))
    column->n_open++;
  else if (cell.kind != LW_CELL_NUMBER)
    column->n_odd++;
  else
    {
      c = lw_log_to_c (cell.number, unit, cold_c);
      if (isfinite (c))
        return round_to (c, 100.0);
      column->n_odd++;
    }
  return NAN;
}

/* A row without any number where readings are expected is a heading once more, or a remark of the logger. */
static gboolean
holds_readings (const Reading *self, const LwCentroidRow *row)
{
  for (guint i = 0; i < self->log->columns->len; i++)
    {
      LwCell cell;

      lw_cell_read (field_at (row, (int) self->column[i]), self->m->decimal_comma, &cell);
      if (cell.kind == LW_CELL_NUMBER || cell.kind == LW_CELL_OPEN)
        return TRUE;
    }
  return FALSE;
}

static void
say_left_out (const Reading *self, const LwCentroidRow *row, const char *reason)
{
  g_autofree char *text = g_strjoinv (" ", row->fields);
  g_autofree char *start = g_utf8_strlen (text, -1) > 60 ? g_utf8_substring (text, 0, 60) : g_strdup (text);

  lw_notes_add (self->log->dropped, self->file, row->line, _("left out: %s (“%s”)"), reason, start);
}

static void
read_row (Reading *self, const LwCentroidRow *row)
{
  LwLog *log = self->log;
  double cold_c;

  if (!holds_readings (self, row))
    {
      LwCell cell;

      lw_cell_read (field_at (row, self->time), self->m->decimal_comma, &cell);
      if (self->time < 0 || cell.kind == LW_CELL_WORD || cell.kind == LW_CELL_EMPTY)
        {
          say_left_out (self, row, cell.kind == LW_CELL_WORD ? _("a heading or a remark") : _("no readings"));
          return;
        }
    }
  if (!lw_log_times_add (self->times, field_at (row, self->time), field_at (row, self->date), row->line))
    {
      say_left_out (self, row, _("its time does not read"));
      return;
    }
  cold_c = cold_of (self, row);
  for (guint i = 0; i < log->columns->len; i++)
    {
      LwLogColumn *column = g_ptr_array_index (log->columns, i);
      double c = reading_of (self, column, field_at (row, (int) self->column[i]), cold_c);

      g_array_append_val (column->c, c);
    }
  log->n_lines++;
}

static gboolean
read_rows (Reading *self, const char *text, gsize length, GError **error)
{
  LwCentroidReader reader;
  LwCentroidRow *row;
  gboolean ok = TRUE;

  lw_centroid_reader_init (&reader, text, length, self->m->delimiter);
  while (ok && (row = lw_centroid_reader_next (&reader)) != NULL)
    {
      if (row->line >= self->m->first_line && !row->comment)
        read_row (self, row);
      else if (row->line >= self->m->first_line)
        say_left_out (self, row, _("a comment"));
      if (row->line > LW_LOG_MAX_LINES || (guint64) self->log->n_lines * (self->log->columns->len + 1) > MAX_VALUES)
        ok = lw_notes_fail (error, LW_IMPORT_ERROR_TOO_LARGE, self->file, row->line, _("too long a log: more than %u lines, or %u readings"),
                            LW_LOG_MAX_LINES, MAX_VALUES);
      lw_centroid_row_free (row);
    }
  if (reader.latin1)
    lw_notes_add (self->log->dropped, self->file, 0, _("not all text is UTF-8: those fields are read as Latin-1"));
  return ok;
}

/* ---- before and after ---- */

static int
column_with (const LwLogMapping *m, LwLogRole role)
{
  for (guint i = 0; i < MIN (m->n_columns, LW_LOG_MAX_COLUMNS); i++)
    if (m->role[i] == role)
      return (int) i;
  return -1;
}

static gboolean
refuse_mapping (Reading *self, GError **error)
{
  const LwLogMapping *m = self->m;

  if (column_with (m, LW_LOG_READING) < 0)
    return lw_notes_fail (error, LW_IMPORT_ERROR_SYNTAX, self->file, m->header_line, _("no column holds readings of a thermocouple"));
  if (self->time < 0 && !(m->interval_s > 0.0 && isfinite (m->interval_s)))
    return lw_notes_fail (error, LW_IMPORT_ERROR_UNSUPPORTED, self->file, m->header_line,
                          _("there is no column of times: say how many seconds lie between two lines"));
  if (m->unit == LW_LOG_TYPE_K_MV && self->cold < 0 && !(m->cold_c > -270.0 && m->cold_c < 400.0))
    return lw_notes_fail (error, LW_IMPORT_ERROR_UNSUPPORTED, self->file, m->header_line,
                          _("millivolts need the temperature of the cold junction (0 °C where the logger has taken it in already)"));
  return TRUE;
}

static void
name_columns (Reading *self, const char *text, gsize length)
{
  LwCentroidReader reader;
  LwCentroidRow *row = NULL;

  lw_centroid_reader_init (&reader, text, length, self->m->delimiter);
  while (self->m->header_line > 0 && (row = lw_centroid_reader_next (&reader)) != NULL && row->line < self->m->header_line)
    g_clear_pointer (&row, lw_centroid_row_free);
  for (guint i = 0; i < MIN (self->m->n_columns, LW_LOG_MAX_COLUMNS); i++)
    {
      LwLogColumn *column;
      const char *name = row != NULL && row->line == self->m->header_line ? field_at (row, (int) i) : "";

      if (self->m->role[i] != LW_LOG_READING)
        continue;
      column = g_new0 (LwLogColumn, 1);
      column->name = name[0] != '\0' ? g_strdup (name) : g_strdup_printf (_("Column %u"), i + 1);
      column->column = i;
      column->c = g_array_new (FALSE, FALSE, sizeof (double));
      self->column[self->log->columns->len] = i;
      g_ptr_array_add (self->log->columns, column);
    }
  g_clear_pointer (&row, lw_centroid_row_free);
}

static void
tell_columns (const Reading *self)
{
  for (guint i = 0; i < self->log->columns->len; i++)
    {
      const LwLogColumn *c = g_ptr_array_index (self->log->columns, i);
      guint all = c->n_open + c->n_empty + c->n_odd;

      if (all > 0)
        lw_notes_add (self->log->dropped, self->file, 0,
                      _("%s: %u of %u readings left out: %u from an open thermocouple, %u empty, %u not a number"), c->name, all,
                      self->log->n_lines, c->n_open, c->n_empty, c->n_odd);
    }
}

/* Neighbouring moments become one, by their mean. */
static void
thin (LwLog *log)
{
  guint most = MIN ((guint) LW_RUN_MOMENTS_MAX, RUN_VALUES / (log->columns->len + 1)), n = log->t_s->len;

  log->thinned = (n + most - 1) / MAX (most, 1);
  if (log->thinned <= 1)
    return;
  for (guint k = 0; k <= log->columns->len; k++)
    {
      GArray *array = k == 0 ? log->t_s : ((LwLogColumn *) g_ptr_array_index (log->columns, k - 1))->c;
      guint out = 0;

      for (guint i = 0; i < n; i += log->thinned, out++)
        {
          double sum = 0.0;
          guint count = 0;

          for (guint j = i; j < MIN (i + log->thinned, n); j++)
            if (!isnan (g_array_index (array, double, j)))
              {
                sum += g_array_index (array, double, j);
                count++;
              }
          g_array_index (array, double, out) = round_to (sum / count, k == 0 ? 1000.0 : 100.0);
        }
      g_array_set_size (array, out);
    }
  lw_notes_add (log->dropped, log->file, 0, _("%u lines are more than a document should hold: each %u were put together by their mean"), n,
                log->thinned);
}

static gboolean
finish (Reading *self, GError **error)
{
  LwLog *log = self->log;
  g_autoptr (GArray) keep = NULL;

  tell_columns (self);
  keep = lw_log_times_settle (self->times, log->t_s, log->dropped, error);
  if (keep == NULL)
    return FALSE;
  for (guint k = 0; k < log->columns->len; k++)
    {
      GArray *c = ((LwLogColumn *) g_ptr_array_index (log->columns, k))->c;

      for (guint i = 0; i < keep->len; i++)
        g_array_index (c, double, i) = g_array_index (c, double, g_array_index (keep, guint, i));
      g_array_set_size (c, keep->len);
    }
  log->date = lw_log_times_date (self->times);
  thin (log);
  return TRUE;
}

LwLog *
lw_log_read (const char *name, const char *data, gsize size, const LwLogMapping *mapping, GError **error)
{
  g_autoptr (LwLog) log = g_new0 (LwLog, 1);
  g_autoptr (LwLogTimes) times = lw_log_times_new (name, mapping);
  Reading self = { name, mapping, log, times, column_with (mapping, LW_LOG_TIME), column_with (mapping, LW_LOG_DATE),
                   column_with (mapping, LW_LOG_COLD_JUNCTION), { 0 } };
  g_autofree char *text = NULL;
  gsize length;

  log->file = g_strdup (name);
  log->t_s = g_array_new (FALSE, FALSE, sizeof (double));
  log->columns = g_ptr_array_new_with_free_func (column_free);
  log->dropped = lw_notes_new ();
  if (size > LW_LOG_MAX_BYTES)
    {
      lw_notes_fail (error, LW_IMPORT_ERROR_TOO_LARGE, name, 0, _("larger than %u MB"), LW_LOG_MAX_BYTES / 1024 / 1024);
      return NULL;
    }
  text = refuse_mapping (&self, error) ? lw_text_decode (name, data, size, &length, error) : NULL;
  if (text == NULL)
    return NULL;
  name_columns (&self, text, length);
  return read_rows (&self, text, length, error) && finish (&self, error) ? g_steal_pointer (&log) : NULL;
}
