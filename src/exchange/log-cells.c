#include "exchange/log-cells.h"

#include <math.h>
#include <string.h>

#include "exchange/type-k.h"

/* ---- numbers ---- */

/* Where the number at the start of TEXT ends; NULL = there is none. Its copy in BUFFER has a decimal point. */
static const char *
copy_number (const char *text, gboolean decimal_comma, char *buffer, gsize size)
{
  const char *p = text;
  gsize n = 0;
  gboolean digits = FALSE, point = FALSE;

  if (*p == '+' || *p == '-')
    buffer[n++] = *p++;
  else if (g_str_has_prefix (p, "\xe2\x88\x92")) /* U+2212, the true minus */
    {
      buffer[n++] = '-';
      p += 3;
    }
  for (; n + 6 < size; p++)
    {
      gboolean is_point = *p == '.' || (decimal_comma && *p == ',');

      if (g_ascii_isdigit (*p))
        digits = TRUE;
      else if (!is_point || point)
        break;
      point |= is_point;
      buffer[n++] = is_point ? '.' : *p;
    }
  if (!digits)
    return NULL;
  if ((*p == 'e' || *p == 'E') && (g_ascii_isdigit (p[1]) || ((p[1] == '+' || p[1] == '-') && g_ascii_isdigit (p[2]))))
    for (gsize i = 0; i < 5 && (i == 0 || g_ascii_isdigit (*p) || (i == 1 && (*p == '+' || *p == '-'))); i++)
      buffer[n++] = *p++;
  buffer[n] = '\0';
  return p;
}

static int
unit_behind (const char *text)
{
  static const struct {
    const char *word;
    int unit;
  } words[] = { { "", -2 },       { "c", LW_LOG_C },    { "°c", LW_LOG_C },    { "degc", LW_LOG_C }, { "deg c", LW_LOG_C },
                { "f", LW_LOG_F }, { "°f", LW_LOG_F },  { "degf", LW_LOG_F },  { "deg f", LW_LOG_F }, { "k", LW_LOG_K },
                { "mv", LW_LOG_TYPE_K_MV },             { "s", -2 },           { "sec", -2 },         { "°", -2 } };
  g_autofree char *bare = g_strstrip (g_utf8_strdown (text, -1));

  for (guint i = 0; i < G_N_ELEMENTS (words); i++)
    if (strcmp (bare, words[i].word) == 0)
      return words[i].unit;
  return -1;
}

static gboolean
read_number (const char *text, gboolean decimal_comma, LwCell *cell)
{
  char buffer[64];
  const char *rest = copy_number (text, decimal_comma, buffer, sizeof buffer);
  int unit;

  if (rest == NULL)
    return FALSE;
  unit = *rest == '\0' ? -2 : unit_behind (rest);
  if (unit == -1)
    return FALSE;
  cell->number = g_ascii_strtod (buffer, NULL);
  cell->unit = unit == -2 ? -1 : unit;
  cell->kind = isfinite (cell->number) ? LW_CELL_NUMBER : LW_CELL_OPEN;
  return TRUE;
}

/* ---- open thermocouples ---- */

/* Words seen in the files and manuals of loggers: common practice, no source. */
static gboolean
is_open_word (const char *text)
{
  static const char *const words[]
      = { "open",     "opn",   "open tc",  "tc open", "ol",       "o.l",     "o.l.",   "+ol",  "-ol",  "over",
          "ovr",      "ovrng", "overrange", "over range", "overload", "overflow", "over-range", "under", "underrange", "under range",
          "err",      "error", "fault",    "fail",    "n/a",      "na",      "#n/a",   "#n/v", "nan",  "-nan",
          "null",     "none",  "inf",      "+inf",    "-inf",     "burnout", "b/o",    "bo",   "disconnected", "no probe",
          "noprobe",  "nc",    "n.c.",     "invalid", "lo",       "hi",      "or",     "ur",   "absent", "off" };
  g_autofree char *low = g_utf8_strdown (text, -1);

  for (guint i = 0; i < G_N_ELEMENTS (words); i++)
    if (strcmp (low, words[i]) == 0)
      return TRUE;
  return strspn (text, "-*?._#") == strlen (text);
}

/* The ends of type K's table as linearisers give them, rows of nines, full scale of 15 and 16 bits with none, one or
 * two decimals: common practice, no source. */
gboolean
lw_log_is_open_code (double value, LwLogUnit unit)
{
  static const double codes[] = { 999,   999.9,  9999,    9999.9,  99999,   -999, -999.9, -9999,   -9999.9, 32767,
                                  32768, -32768, 3276.7,  3276.8,  -3276.8, 6553.5, 65535, 655.35, 327.67,  -327.68 };
  double c = lw_log_to_c (value, unit, 0.0);

  if (unit == LW_LOG_TYPE_K_MV)
    return isnan (c) || c >= LW_TYPE_K_MAX_C - 2.0;
  for (guint i = 0; i < G_N_ELEMENTS (codes); i++)
    if (fabs (value - codes[i]) < 1e-6 * fabs (codes[i]))
      return TRUE;
  return c >= LW_TYPE_K_MAX_C - 2.0 || c <= -200.0;
}

double
lw_log_to_c (double value, LwLogUnit unit, double cold_c)
{
  switch (unit)
    {
    case LW_LOG_F:
      return (value - 32.0) / 1.8;
    case LW_LOG_K:
      return value - 273.15;
    case LW_LOG_TYPE_K_MV:
      return lw_type_k_with_cold_c (value, cold_c);
    default:
      return value;
    }
}

/* ---- clocks and dates ---- */

/* "AM", "pm", a zone ("Z", "+01:00"), or nothing. */
static gboolean
read_half (const char *rest, LwCell *cell)
{
  while (*rest == ' ')
    rest++;
  if (g_ascii_strncasecmp (rest, "am", 2) == 0 || g_ascii_strncasecmp (rest, "pm", 2) == 0)
    {
      cell->half = g_ascii_tolower (rest[0]) == 'a' ? 1 : 2;
      rest += 2;
    }
  if (*rest == 'Z' || *rest == 'z')
    rest++;
  else if (*rest == '+' || *rest == '-')
    rest += strspn (rest, "+-0123456789:");
  return *rest == '\0';
}

/* 10:15:03.5, 10:15, 0:00:00:500 */
static gboolean
read_clock (const char *text, LwCell *cell)
{
  char buffer[64];
  const char *p = text;
  guint n = 0;

  while (n < 4)
    {
      const char *rest = g_ascii_isdigit (*p) ? copy_number (p, TRUE, buffer, sizeof buffer) : NULL;

      if (rest == NULL)
        return FALSE;
      cell->clock[n++] = g_ascii_strtod (buffer, NULL);
      p = rest;
      if (*p != ':')
        break;
      p++;
    }
  if (n < 2 || !read_half (p, cell))
    return FALSE;
  if (n == 4) /* the last are thousandths */
    cell->clock[2] += cell->clock[3] / 1000.0;
  cell->n_clock = MIN (n, 3);
  cell->kind = LW_CELL_CLOCK;
  for (guint i = 1; i < cell->n_clock; i++)
    if (cell->clock[i] >= 60.0)
      return FALSE;
  return TRUE;
}

static int
month_of (const char **p)
{
  static const char *const names[] = { "jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec" };

  for (int i = 0; i < 12; i++)
    if (g_ascii_strncasecmp (*p, names[i], 3) == 0)
      {
        while (g_ascii_isalpha (**p))
          (*p)++;
        return i + 1;
      }
  return -1;
}

/* Where the date at the start ends; NULL = there is none. */
static const char *
read_date (const char *text, LwCell *cell)
{
  const char *p = text;

  for (guint i = 0; i < 3; i++)
    {
      const char *start = p;

      if (i > 0 && g_ascii_isalpha (*p))
        cell->date[i] = month_of (&p);
      else
        {
          guint64 value = g_ascii_strtoull (p, (char **) &p, 10);

          cell->date[i] = (int) MIN (value, 99999);
        }
      if (p == start || cell->date[i] < 0 || p - start > 9)
        return NULL;
      if (i == 0)
        {
          cell->year_first = p - start == 4;
          cell->date_mark = *p;
        }
      if (i < 2 && (*p == '\0' || strchr ("-/.", *p) == NULL || *p != cell->date_mark))
        return NULL;
      p += i < 2;
    }
  return p;
}

static gboolean
read_date_clock (const char *text, LwCell *cell)
{
  const char *rest = g_ascii_isdigit (*text) ? read_date (text, cell) : NULL;

  if (rest == NULL)
    return FALSE;
  if (*rest == '\0')
    {
      cell->kind = LW_CELL_DATE;
      return TRUE;
    }
  if (strchr (" T_,", *rest) == NULL)
    return FALSE;
  rest++;
  while (*rest == ' ')
    rest++;
  if (!read_clock (rest, cell))
    return FALSE;
  cell->kind = LW_CELL_DATE_CLOCK;
  return TRUE;
}

double
lw_cell_clock_s (const LwCell *cell, gboolean m_s)
{
  double hour = cell->clock[0];

  if (cell->n_clock == 2 && m_s)
    return 60.0 * cell->clock[0] + cell->clock[1];
  if (cell->half > 0)
    hour = fmod (hour, 12.0) + (cell->half == 2 ? 12.0 : 0.0);
  return 3600.0 * hour + 60.0 * cell->clock[1] + (cell->n_clock > 2 ? cell->clock[2] : 0.0);
}

gboolean
lw_cell_day (const LwCell *cell, LwLogDateOrder order, double *day)
{
  static const guint at[LW_LOG_N_DATE_ORDERS][3] = { { 0, 1, 2 }, { 2, 1, 0 }, { 2, 0, 1 } }; /* year, month, day */
  const guint *where = at[cell->year_first ? LW_LOG_YEAR_FIRST : order];
  int year = cell->date[where[0]], month = cell->date[where[1]], d = cell->date[where[2]];
  GDate date;

  if (year < 100)
    year += 2000;
  if (year > 9999 || month < 1 || month > 12 || d < 1 || d > 31
      || !g_date_valid_dmy ((GDateDay) d, (GDateMonth) month, (GDateYear) year))
    return FALSE;
  g_date_clear (&date, 1);
  g_date_set_dmy (&date, (GDateDay) d, (GDateMonth) month, (GDateYear) year);
  *day = g_date_get_julian (&date);
  return TRUE;
}

void
lw_cell_read (const char *text, gboolean decimal_comma, LwCell *cell)
{
  LwCell fresh = { .kind = LW_CELL_EMPTY, .number = NAN, .unit = -1 };

  *cell = fresh;
  if (text == NULL || text[0] == '\0')
    return;
  if (strlen (text) < 64)
    {
      if (read_number (text, decimal_comma, cell))
        return;
      *cell = fresh;
      if (read_date_clock (text, cell))
        return;
      *cell = fresh;
      if (read_clock (text, cell))
        return;
    }
  *cell = fresh;
  cell->kind = is_open_word (text) ? LW_CELL_OPEN : LW_CELL_WORD;
}
