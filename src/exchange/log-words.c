#include "exchange/log-words.h"

#include <math.h>
#include <string.h>

#include <glib/gi18n.h>

#include "exchange/log-cells.h"

/* Words of a heading: letters, digits, the degree sign, '%' and '#'. */
static GPtrArray *
words_of (const char *text)
{
  GPtrArray *words = g_ptr_array_new_with_free_func (g_free);
  g_autoptr (GString) word = g_string_new (NULL);
  g_autofree char *low = g_utf8_strdown (text, -1);

  for (const char *p = low;; p = g_utf8_next_char (p))
    {
      gunichar c = g_utf8_get_char (p);

      if (c != 0 && (g_unichar_isalnum (c) || c == 0xb0 || c == '%' || c == '#'))
        g_string_append_unichar (word, c);
      else if (word->len > 0)
        {
          g_ptr_array_add (words, g_strdup (word->str));
          g_string_truncate (word, 0);
        }
      if (c == 0)
        return words;
    }
}

static gboolean
has (const GPtrArray *words, const char *const *list)
{
  for (guint i = 0; i < words->len; i++)
    if (g_strv_contains (list, g_ptr_array_index (words, i)))
      return TRUE;
  return FALSE;
}

/* Heads of columns in several languages: common practice, no source. */
static const char *const time_words[] = { "time", "elapsed", "zeit", "uhrzeit", "temps", "heure", "tiempo", "hora", "tempo", "ora", "tijd",
                                          "timestamp", "datetime", "clock", "seconds", "sekunden", "uptime", "runtime", NULL };
static const char *const bare_times[] = { "s", "sec", "secs", "t", "ms", "msec", "minutes", "hours", NULL };
static const char *const date_words[] = { "date", "datum", "fecha", "day", "tag", "jour", NULL };
static const char *const index_words[] = { "no", "nr", "#", "index", "sample", "scan", "record", "row", "n", "point", "num", "number", "id", "line", NULL };
static const char *const cold_words[] = { "cj", "cjc", "cjt", "rj", "rjc", "cold", "coldjunction", NULL };
static const char *const other_words[]
    = { "humidity", "rh", "%", "%rh", "battery", "bat", "alarm", "alarms", "event", "mark", "marker", "status", "unit", "units", "volt",
        "voltage", "power", "pressure", "fan", "flow", "setpoint", "set", "sp", "soll", "sollwert", "comment", "note", "rate", "output", "duty", NULL };

static int
unit_of (const GPtrArray *words)
{
  static const char *const c[] = { "c", "°c", "degc", "celsius", "centigrade", NULL };
  static const char *const f[] = { "f", "°f", "degf", "fahrenheit", NULL };
  static const char *const k[] = { "k", "kelvin", NULL };
  static const char *const mv[] = { "mv", "millivolt", "millivolts", NULL };
  static const char *const type[] = { "type", "typ", "thermocouple", "tc", NULL };

  if (has (words, mv))
    return LW_LOG_TYPE_K_MV;
  if (has (words, f))
    return LW_LOG_F;
  if (has (words, c))
    return LW_LOG_C;
  return has (words, k) && !has (words, type) ? LW_LOG_K : -1; /* "type K" is no unit */
}

static int
scale_of (const GPtrArray *words)
{
  static const char *const ms[] = { "ms", "msec", "millis", "milliseconds", NULL };
  static const char *const s[] = { "s", "sec", "secs", "second", "seconds", "sek", "sekunden", "secondes", NULL };
  static const char *const min[] = { "min", "mins", "minute", "minutes", "minuten", NULL };
  static const char *const h[] = { "h", "hr", "hrs", "hour", "hours", "stunden", NULL };
  static const char *const d[] = { "days", "d", NULL };

  return has (words, ms) ? LW_LOG_MILLISECONDS : has (words, s) ? LW_LOG_SECONDS : has (words, min) ? LW_LOG_MINUTES
         : has (words, h) ? LW_LOG_HOURS : has (words, d) ? LW_LOG_DAYS : -1;
}

static gboolean
names_channel (const GPtrArray *words)
{
  static const char *const channels[] = { "", "t", "tc", "ch", "channel", "kanal", "canal", "k", "temp", "temperature", "sensor", "probe", "input", NULL };
  const char *first = words->len > 0 ? g_ptr_array_index (words, 0) : "";
  g_autofree char *letters = g_strdup (first);

  for (gsize n = strlen (letters); n > 0 && g_ascii_isdigit (letters[n - 1]); n--)
    letters[n - 1] = '\0';
  return words->len > 0 && g_strv_contains (channels, letters) && (strlen (letters) < strlen (first) || strlen (first) > 1);
}

void
lw_heading_read (const char *text, LwHeading *heading)
{
  g_autoptr (GPtrArray) words = words_of (text);
  static const char *const m[] = { "mm", NULL }, *const ss[] = { "ss", NULL }, *const hh[] = { "hh", "h", NULL };

  *heading = (LwHeading){ LW_HEADING_UNKNOWN, unit_of (words), scale_of (words), FALSE, names_channel (words) };
  heading->m_s = has (words, m) && has (words, ss) && !has (words, hh);
  if (has (words, cold_words))
    heading->kind = LW_HEADING_COLD;
  else if (has (words, time_words) || (words->len > 0 && g_strv_contains (bare_times, g_ptr_array_index (words, 0))))
    heading->kind = LW_HEADING_TIME;
  else if (has (words, date_words))
    heading->kind = LW_HEADING_DATE;
  else if (has (words, other_words))
    heading->kind = LW_HEADING_OTHER;
  else if (words->len > 0 && words->len <= 2 && g_strv_contains (index_words, g_ptr_array_index (words, 0)))
    heading->kind = LW_HEADING_INDEX;
}

static char *
join_fields (const LwCentroidRow *row)
{
  return g_strjoinv (" ", row->fields);
}

double
lw_log_stated_interval (const LwCentroidRow *row)
{
  static const char *const interval[] = { "interval", "intervall", "intervalle", "period", "intervalo", NULL };
  static const double seconds[] = { 1.0, 1e-3, 60.0, 3600.0, 86400.0 };
  g_autofree char *text = join_fields (row);
  g_autoptr (GPtrArray) words = words_of (text);
  int scale = scale_of (words);
  LwCell cell;

  if (!has (words, interval))
    return NAN;
  for (const char *p = strpbrk (text, "0123456789"); p != NULL; p = NULL)
    {
      g_autofree char *number = g_strndup (p, strspn (p, "0123456789.,:"));

      lw_cell_read (number, TRUE, &cell);
      if (cell.kind == LW_CELL_CLOCK)
        return lw_cell_clock_s (&cell, FALSE);
      if (cell.kind == LW_CELL_NUMBER && cell.number > 0.0)
        return cell.number * seconds[MAX (scale, 0)];
    }
  return NAN;
}

int
lw_log_stated_unit (const LwCentroidRow *row)
{
  static const char *const unit[] = { "unit", "units", "einheit", "unité", "unidad", "temperature", "temp", NULL };
  g_autofree char *text = join_fields (row);
  g_autoptr (GPtrArray) words = words_of (text);

  return has (words, unit) ? unit_of (words) : -1;
}

/* ---- words for people ---- */

const char *
lw_log_role_name (LwLogRole role)
{
  static const char *const names[] = { N_("not used"), N_("time"), N_("date"), N_("reading"), N_("cold junction, °C") };

  g_return_val_if_fail (role < LW_LOG_N_ROLES, "");
  return _(names[role]);
}

const char *
lw_log_scale_name (LwLogScale scale)
{
  static const char *const names[] = { N_("seconds"), N_("milliseconds"), N_("minutes"), N_("hours"), N_("days") };

  g_return_val_if_fail (scale < LW_LOG_N_SCALES, "");
  return _(names[scale]);
}

const char *
lw_log_unit_name (LwLogUnit unit)
{
  static const char *const names[] = { N_("°C"), N_("°F"), N_("kelvin"), N_("mV, type K") };

  g_return_val_if_fail (unit < LW_LOG_N_UNITS, "");
  return _(names[unit]);
}

const char *
lw_log_date_order_name (LwLogDateOrder order)
{
  static const char *const names[] = { N_("year first"), N_("day first"), N_("month first") };

  g_return_val_if_fail (order < LW_LOG_N_DATE_ORDERS, "");
  return _(names[order]);
}
