/* How a log is to be read, from its text alone. */
#include <math.h>
#include <string.h>

#include <glib/gi18n.h>

#include "exchange/log-cells.h"
#include "exchange/log-words.h"
#include "exchange/notes.h"

enum { LOOKED_AT = 400, ROWS_FOR_SEPARATOR = 120 };

/* ---- the separator ---- */

/* A unit that stands in a column of its own. */
static int
unit_word (const char *text)
{
  LwHeading heading;

  if (strlen (text) >= 6)
    return -1;
  lw_heading_read (text, &heading);
  return heading.unit;
}

/* How many cells of a row read as something a log holds; 0 = it is no row of readings. */
static guint
good_cells (const LwCentroidRow *row, gboolean decimal_comma)
{
  guint good = 0, numbers = 0, words = 0;

  for (guint i = 0; i < row->n_fields; i++)
    {
      LwCell cell;

      lw_cell_read (row->fields[i], decimal_comma, &cell);
      words += cell.kind == LW_CELL_WORD && unit_word (row->fields[i]) < 0;
      good += cell.kind != LW_CELL_WORD && cell.kind != LW_CELL_EMPTY;
      numbers += cell.kind == LW_CELL_NUMBER || cell.kind == LW_CELL_OPEN;
    }
  return numbers > 0 && 2 * words <= good && !row->comment ? good : 0;
}

static double
score (const char *name, const char *data, gsize size, char delimiter, gboolean decimal_comma)
{
  g_autoptr (GPtrArray) rows = lw_log_rows (name, data, size, delimiter, ROWS_FOR_SEPARATOR, NULL);
  double sum = 0.0;

  for (guint i = 0; rows != NULL && i < rows->len; i++)
    {
      const LwCentroidRow *row = g_ptr_array_index (rows, i);
      guint good = good_cells (row, decimal_comma);

      if (good > 0)
        sum += good;
    }
  return delimiter == ' ' ? 0.6 * sum : sum; /* blanks stand in dates and headings too */
}

static gboolean
choose_separator (const char *name, const char *data, gsize size, char delimiter, LwLogMapping *m)
{
  static const char delimiters[] = { '\t', ';', ',', '|', ' ' };
  double best = 0.0;

  for (guint i = 0; i < G_N_ELEMENTS (delimiters); i++)
    for (guint comma = 0; comma < 2; comma++)
      {
        double s = delimiter == 0 || delimiter == delimiters[i] ? score (name, data, size, delimiters[i], comma == 1) : 0.0;

        if (!(s > best))
          continue;
        best = s;
        m->delimiter = delimiters[i];
        m->decimal_comma = comma == 1;
      }
  return best > 0.0;
}

/* ---- where it starts ---- */

typedef struct {
  const LwLogMapping *m;
  GPtrArray *rows;
  guint first; /* index of the first row of readings */
  int header;  /* index, -1 = none */
} Sheet;

static guint
usual_fields (const GPtrArray *rows, gboolean decimal_comma)
{
  guint counts[LW_LOG_MAX_COLUMNS + 1] = { 0 }, best = 0;

  for (guint i = 0; i < rows->len; i++)
    {
      const LwCentroidRow *row = g_ptr_array_index (rows, i);

      if (good_cells (row, decimal_comma) > 0)
        counts[MIN (row->n_fields, LW_LOG_MAX_COLUMNS)]++;
    }
  for (guint i = 1; i <= LW_LOG_MAX_COLUMNS; i++)
    if (counts[i] >= counts[best] && counts[i] > 0)
      best = i;
  return best;
}

/* The first row of readings with about the usual number of fields: a number in the preamble is none. */
static gboolean
find_first (Sheet *sheet, guint usual)
{
  for (guint i = 0; i < sheet->rows->len; i++)
    {
      const LwCentroidRow *row = g_ptr_array_index (sheet->rows, i);

      if (good_cells (row, sheet->m->decimal_comma) == 0 || 2 * row->n_fields < usual || (usual > 1 && row->n_fields < 2))
        continue;
      sheet->first = i;
      return TRUE;
    }
  return FALSE;
}

/* The heading is the row nearest above that has a word for most columns; a row of units may lie between. */
static void
find_header (Sheet *sheet, guint usual)
{
  sheet->header = -1;
  for (guint i = sheet->first; i-- > 0 && sheet->first - i <= 3;)
    {
      const LwCentroidRow *row = g_ptr_array_index (sheet->rows, i);
      guint words = 0, names = 0;

      for (guint k = 0; k < row->n_fields; k++)
        {
          LwHeading heading;

          lw_heading_read (row->fields[k], &heading);
          words += row->fields[k][0] != '\0';
          names += row->fields[k][0] != '\0' && (heading.unit < 0 || strlen (row->fields[k]) > 6);
        }
      if (2 * words < usual || row->n_fields > usual + 1)
        continue;
      if (sheet->header < 0 || names > 0)
        sheet->header = (int) i;
      if (names * 2 >= words)
        return;
    }
}

/* ---- what each column holds ---- */

typedef struct {
  guint n, numbers, clocks, dates, date_clocks, open, words;
  double first, last, least_step, most_step;
  double first_c, high_c; /* as readings: codes of open thermocouples do not count */
  gboolean rising;
  int unit; /* behind the numbers, or named by words */
  int most_day[2];
  LwHeading heading;
} Column;

static void
note_number (Column *c, double value)
{
  if (c->numbers == 0)
    c->first = value;
  else
    {
      c->rising &= value > c->last;
      c->least_step = fmin (c->least_step, value - c->last);
      c->most_step = fmax (c->most_step, value - c->last);
    }
  c->last = value;
  c->numbers++;
  if (lw_log_is_open_code (value, LW_LOG_C))
    return;
  c->first_c = isnan (c->first_c) ? value : c->first_c;
  c->high_c = fmax (c->high_c, value);
}

static void
note_cell (Column *c, const char *text, const LwCell *cell)
{
  c->n += cell->kind != LW_CELL_EMPTY;
  if (cell->kind == LW_CELL_NUMBER)
    note_number (c, cell->number);
  c->clocks += cell->kind == LW_CELL_CLOCK;
  c->dates += cell->kind == LW_CELL_DATE;
  c->date_clocks += cell->kind == LW_CELL_DATE_CLOCK;
  c->open += cell->kind == LW_CELL_OPEN;
  c->words += cell->kind == LW_CELL_WORD;
  if (cell->unit >= 0)
    c->unit = cell->unit;
  if (cell->kind == LW_CELL_WORD && unit_word (text) >= 0)
    c->unit = unit_word (text);
  for (guint i = 0; i < 2 && (cell->kind == LW_CELL_DATE || cell->kind == LW_CELL_DATE_CLOCK); i++)
    c->most_day[i] = MAX (c->most_day[i], cell->date[i]);
}

/* A row of units under or over the heading speaks for its columns too. */
static void
read_headings (const Sheet *sheet, Column *columns, guint n)
{
  for (guint k = 0; k < n; k++)
    columns[k].heading = (LwHeading){ LW_HEADING_UNKNOWN, -1, -1, FALSE, FALSE };
  if (sheet->header < 0)
    return;
  for (guint i = (guint) sheet->header; i < sheet->first; i++)
    {
      const LwCentroidRow *row = g_ptr_array_index (sheet->rows, i);

      for (guint k = 0; k < MIN (n, row->n_fields); k++)
        {
          LwHeading heading;

          lw_heading_read (row->fields[k], &heading);
          if (i == (guint) sheet->header)
            columns[k].heading = heading;
          else if (heading.unit >= 0)
            columns[k].heading.unit = heading.unit;
          if (i > (guint) sheet->header && heading.scale >= 0)
            columns[k].heading.scale = heading.scale;
        }
    }
}

static void
look_at_columns (const Sheet *sheet, Column *columns, guint n)
{
  for (guint k = 0; k < n; k++)
    columns[k] = (Column){ .rising = TRUE, .least_step = INFINITY, .most_step = -INFINITY, .first_c = NAN, .high_c = NAN, .unit = -1 };
  for (guint i = sheet->first; i < sheet->rows->len; i++)
    {
      const LwCentroidRow *row = g_ptr_array_index (sheet->rows, i);

      for (guint k = 0; k < MIN (n, row->n_fields); k++)
        {
          LwCell cell;

          lw_cell_read (row->fields[k], sheet->m->decimal_comma, &cell);
          note_cell (&columns[k], row->fields[k], &cell);
        }
    }
  read_headings (sheet, columns, n);
}

static gboolean
mostly (guint some, const Column *c)
{
  return c->n > 0 && 3 * some >= 2 * c->n;
}

/* Equal steps, or nearly: a clock of some kind. */
static gboolean
ticks (const Column *c)
{
  return c->numbers >= 3 && c->rising && c->most_step <= 3.0 * c->least_step;
}

/* How surely a column is the one of times; 0 = it is not. */
static guint
time_rank (const Column *c, guint index)
{
  if (mostly (c->numbers, c) && c->heading.kind == LW_HEADING_TIME)
    return 5;
  if (mostly (c->date_clocks, c))
    return 4;
  if (mostly (c->clocks, c))
    return 3;
  /* A temperature may rise evenly too: without a word for it, the times stand first. */
  return index == 0 && mostly (c->numbers, c) && ticks (c) && c->heading.kind == LW_HEADING_UNKNOWN && c->heading.unit < 0
         && !c->heading.channel;
}

static int
choose_time (const Column *columns, guint n)
{
  int best = -1;
  guint rank = 0;

  for (guint k = 0; k < n; k++)
    if (time_rank (&columns[k], k) > rank)
      {
        rank = time_rank (&columns[k], k);
        best = (int) k;
      }
  return best;
}

static void
choose_scale (LwLogMapping *m, const Column *c, guint rows)
{
  double span = c->last - c->first, step = rows > 1 ? span / (rows - 1) : 0.0;

  m->clock_is_m_s = c->heading.m_s || c->heading.scale == LW_LOG_MINUTES;
  if (mostly (c->clocks + c->date_clocks, c))
    return;
  m->scale = LW_LOG_SECONDS;
  if (c->heading.scale >= 0)
    {
      m->scale = (LwLogScale) c->heading.scale;
      return;
    }
  m->open |= LW_LOG_OPEN_SCALE;
  if (c->first > 20000.0 && c->last < 80000.0 && step < 0.01)
    m->scale = LW_LOG_DAYS; /* days since 1900, as spreadsheets count */
  else if (c->first > 1e12 || (step >= 50.0 && step == floor (step)))
    m->scale = LW_LOG_MILLISECONDS;
  else if (rows > 60 && step > 0.003 && step < 0.05 && span < 60.0)
    m->scale = LW_LOG_MINUTES;
}

static void
choose_date_order (LwLogMapping *m, const Column *columns, guint n)
{
  for (guint k = 0; k < n; k++)
    {
      const Column *c = &columns[k];

      if (c->dates + c->date_clocks == 0)
        continue;
      m->date_order = c->most_day[0] > 31 ? LW_LOG_YEAR_FIRST : c->most_day[1] > 12 ? LW_LOG_MONTH_FIRST : LW_LOG_DAY_FIRST;
      if (c->most_day[0] <= 12 && c->most_day[1] <= 12)
        m->open |= LW_LOG_OPEN_DATE;
      return;
    }
}

static void
choose_roles (LwLogMapping *m, const Column *columns, guint n)
{
  int time = choose_time (columns, n);
  gboolean date = FALSE, cold = FALSE;

  for (guint k = 0; k < n; k++)
    {
      const Column *c = &columns[k];

      m->role[k] = LW_LOG_SKIP;
      if ((int) k == time)
        m->role[k] = LW_LOG_TIME;
      else if (!date && mostly (c->dates + c->date_clocks, c))
        {
          m->role[k] = LW_LOG_DATE;
          date = TRUE;
        }
      else if (!cold && c->heading.kind == LW_HEADING_COLD && mostly (c->numbers, c))
        {
          m->role[k] = LW_LOG_COLD_JUNCTION;
          cold = TRUE;
        }
      else if (c->heading.kind == LW_HEADING_UNKNOWN && mostly (c->numbers + c->open, c)
               && (c->numbers > 0 || m->header_line > 0))
        m->role[k] = LW_LOG_READING;
    }
  if (time < 0)
    m->open |= LW_LOG_OPEN_TIME;
}

/* ---- the unit ---- */

static int
named_unit (const Sheet *sheet, const Column *columns, guint n)
{
  for (guint k = 0; k < n; k++)
    if (sheet->m->role[k] == LW_LOG_READING && columns[k].unit >= 0)
      return columns[k].unit;
  for (guint k = 0; k < n; k++)
    if (sheet->m->role[k] == LW_LOG_READING && columns[k].heading.unit >= 0)
      return columns[k].heading.unit;
  for (guint k = 0; k < n; k++)
    if (columns[k].unit >= 0 && columns[k].words > 0)
      return columns[k].unit;
  for (guint i = 0; i < sheet->first; i++)
    {
      int unit = lw_log_stated_unit (g_ptr_array_index (sheet->rows, i));

      if (unit >= 0)
        return unit;
    }
  return -1;
}

/* Nothing says it: a run starts near a room's temperature, 10 to 40 C. Millivolts of one stay below 20. */
static LwLogUnit
likely_unit (const LwLogMapping *m, const Column *columns, guint n)
{
  double first = 0.0, high = -INFINITY;
  guint count = 0;

  for (guint k = 0; k < n; k++)
    if (m->role[k] == LW_LOG_READING && !isnan (columns[k].first_c))
      {
        first += columns[k].first_c;
        high = fmax (high, columns[k].high_c);
        count++;
      }
  first /= MAX (count, 1);
  if (first > 280.0 && first < 315.0)
    return LW_LOG_K;
  if (first >= 55.0 && first < 105.0)
    return LW_LOG_F;
  return high < 20.0 && first < 5.0 ? LW_LOG_TYPE_K_MV : LW_LOG_C;
}

static void
choose_unit (LwLogMapping *m, const Sheet *sheet, const Column *columns, guint n)
{
  int unit = named_unit (sheet, columns, n);

  m->unit = unit >= 0 ? (LwLogUnit) unit : likely_unit (m, columns, n);
  if (unit < 0)
    m->open |= LW_LOG_OPEN_UNIT;
  /* Only millivolts need a cold junction; in degrees it is one more temperature, of the logger. */
  for (guint k = 0; k < n && m->unit != LW_LOG_TYPE_K_MV; k++)
    if (m->role[k] == LW_LOG_COLD_JUNCTION)
      m->role[k] = LW_LOG_SKIP;
}

/* ---- the whole ---- */

static void
state_interval (LwLogMapping *m, const Sheet *sheet)
{
  for (guint i = 0; i < sheet->first && isnan (m->interval_s); i++)
    m->interval_s = lw_log_stated_interval (g_ptr_array_index (sheet->rows, i));
  if (!isnan (m->interval_s))
    m->open &= ~(guint) LW_LOG_OPEN_TIME;
}

static gboolean
guess_sheet (const char *name, Sheet *sheet, LwLogMapping *m, GError **error)
{
  guint usual = usual_fields (sheet->rows, m->decimal_comma);
  Column columns[LW_LOG_MAX_COLUMNS];
  int time = -1;

  if (!find_first (sheet, usual))
    return lw_notes_fail (error, LW_IMPORT_ERROR_SYNTAX, name, 0, _("no line of it holds readings"));
  find_header (sheet, usual);
  m->first_line = ((const LwCentroidRow *) g_ptr_array_index (sheet->rows, sheet->first))->line;
  m->header_line = sheet->header >= 0 ? ((const LwCentroidRow *) g_ptr_array_index (sheet->rows, sheet->header))->line : 0;
  m->n_columns = MIN (usual, LW_LOG_MAX_COLUMNS);
  look_at_columns (sheet, columns, m->n_columns);
  choose_roles (m, columns, m->n_columns);
  choose_date_order (m, columns, m->n_columns);
  for (guint k = 0; k < m->n_columns; k++)
    time = m->role[k] == LW_LOG_TIME ? (int) k : time;
  if (time >= 0)
    choose_scale (m, &columns[time], columns[time].numbers);
  else
    state_interval (m, sheet);
  choose_unit (m, sheet, columns, m->n_columns);
  return TRUE;
}

gboolean
lw_log_guess_with (const char *name, const char *data, gsize size, char delimiter, LwLogMapping *mapping, GError **error)
{
  Sheet sheet = { .m = mapping };
  g_autoptr (GPtrArray) rows = NULL;

  *mapping = (LwLogMapping){ .delimiter = ',', .interval_s = NAN, .cold_c = NAN, .date_order = LW_LOG_DAY_FIRST };
  if (size > LW_LOG_MAX_BYTES)
    return lw_notes_fail (error, LW_IMPORT_ERROR_TOO_LARGE, name, 0, _("larger than %u MB"), LW_LOG_MAX_BYTES / 1024 / 1024);
  rows = lw_log_rows (name, data, size, ',', 1, error); /* is it text at all? */
  if (rows == NULL)
    return FALSE;
  if (!choose_separator (name, data, size, delimiter, mapping))
    return lw_notes_fail (error, LW_IMPORT_ERROR_SYNTAX, name, 0, _("no line of it holds readings"));
  g_ptr_array_unref (rows);
  sheet.rows = rows = lw_log_rows (name, data, size, mapping->delimiter, LOOKED_AT, error);
  return rows != NULL && guess_sheet (name, &sheet, mapping, error);
}

gboolean
lw_log_guess (const char *name, const char *data, gsize size, LwLogMapping *mapping, GError **error)
{
  return lw_log_guess_with (name, data, size, 0, mapping, error);
}
