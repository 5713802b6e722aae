#include "exchange/log-times.h"

#include <math.h>
#include <string.h>

#include <glib/gi18n.h>

#include "exchange/log-cells.h"
#include "exchange/notes.h"

#define DAY_S 86400.0

typedef struct {
  double t_s;
  guint line;
} Moment;

struct _LwLogTimes {
  const char *name;
  const LwLogMapping *m;
  GArray *moments; /* Moment, in the file's order */
  double last_clock_s, midnights_s; /* of a clock without a date */
  double first_day, first_clock_s;  /* NaN = unknown */
};

LwLogTimes *
lw_log_times_new (const char *name, const LwLogMapping *mapping)
{
  LwLogTimes *self = g_new0 (LwLogTimes, 1);

  self->name = name;
  self->m = mapping;
  self->moments = g_array_new (FALSE, FALSE, sizeof (Moment));
  self->last_clock_s = self->first_day = self->first_clock_s = NAN;
  return self;
}

void
lw_log_times_free (LwLogTimes *self)
{
  g_array_unref (self->moments);
  g_free (self);
}

/* Half a day back is the next day; less is a fault. */
static double
past_midnight (LwLogTimes *self, double clock_s)
{
  if (clock_s < self->last_clock_s - DAY_S / 2.0)
    self->midnights_s += DAY_S;
  self->last_clock_s = clock_s;
  return clock_s + self->midnights_s;
}

static double
number_s (LwLogTimes *self, double number)
{
  static const double scales[LW_LOG_N_SCALES] = { 1.0, 1e-3, 60.0, 3600.0, DAY_S };
  double t = number * scales[self->m->scale];

  if (self->moments->len == 0 && isnan (self->first_day) && t > 1e9 && t < 4e9 && self->m->scale <= LW_LOG_MILLISECONDS)
    {
      self->first_day = 719163.0 + floor (t / DAY_S); /* 1970-01-01 counted from the year 1 */
      self->first_clock_s = fmod (t, DAY_S);
    }
  return t;
}

static gboolean
read_time (LwLogTimes *self, const LwCell *time, const LwCell *date, double *t_s)
{
  double day = NAN, clock_s = NAN;
  gboolean has_day = (time->kind == LW_CELL_DATE_CLOCK && lw_cell_day (time, self->m->date_order, &day))
                     || ((date->kind == LW_CELL_DATE || date->kind == LW_CELL_DATE_CLOCK)
                         && lw_cell_day (date, self->m->date_order, &day));

  if (has_day && self->moments->len == 0)
    self->first_day = day;
  if (time->kind == LW_CELL_NUMBER)
    {
      *t_s = number_s (self, time->number);
      return isfinite (*t_s);
    }
  if (time->kind != LW_CELL_CLOCK && time->kind != LW_CELL_DATE_CLOCK)
    return FALSE;
  clock_s = lw_cell_clock_s (time, self->m->clock_is_m_s);
  if (self->moments->len == 0 && has_day)
    self->first_clock_s = clock_s;
  *t_s = has_day ? day * DAY_S + clock_s : past_midnight (self, clock_s);
  return time->kind == LW_CELL_CLOCK || has_day;
}

gboolean
lw_log_times_add (LwLogTimes *self, const char *time, const char *date, guint line)
{
  Moment moment = { 0, line };
  LwCell time_cell, date_cell;

  if (time[0] == '\0' && self->m->interval_s > 0.0)
    moment.t_s = self->moments->len * self->m->interval_s;
  else
    {
      lw_cell_read (time, self->m->decimal_comma, &time_cell);
      lw_cell_read (date, self->m->decimal_comma, &date_cell);
      if (!read_time (self, &time_cell, &date_cell, &moment.t_s))
        return FALSE;
    }
  g_array_append_val (self->moments, moment);
  return TRUE;
}

/* ---- times that go back ---- */

static Moment *
at (const LwLogTimes *self, guint i)
{
  return &g_array_index (self->moments, Moment, i);
}

#define AHEAD 5u /* moments after a step back that tell a slip from a new start */

static gboolean
comes_back (const LwLogTimes *self, guint i, double last_s)
{
  for (guint k = i + 1; k < MIN (i + 1 + AHEAD, self->moments->len); k++)
    if (at (self, k)->t_s >= last_s)
      return TRUE;
  return FALSE;
}

/* Which moments stay: slips go, and a second recording in the same file. */
static gboolean
choose (const LwLogTimes *self, GArray *keep, GPtrArray *notes, GError **error)
{
  guint slips = 0, first_slip = 0;
  double last = -INFINITY;

  for (guint i = 0; i < self->moments->len; i++)
    {
      const Moment *moment = at (self, i);

      if (moment->t_s >= last)
        {
          last = moment->t_s;
          g_array_append_val (keep, i);
          continue;
        }
      if (!comes_back (self, i, last))
        {
          lw_notes_add (notes, self->name, moment->line,
                        _("the time goes back from %.3f s to %.3f s: the %u lines from here on are another recording and were left out"),
                        last - at (self, 0)->t_s, moment->t_s - at (self, 0)->t_s, self->moments->len - i);
          break;
        }
      first_slip = slips == 0 ? moment->line : first_slip;
      slips++;
      lw_notes_add (notes, self->name, moment->line, _("left out: the time goes back from %.3f s to %.3f s"), last - at (self, 0)->t_s,
                    moment->t_s - at (self, 0)->t_s);
    }
  if (slips <= 1 || 10 * slips <= self->moments->len)
    return TRUE;
  return lw_notes_fail (error, LW_IMPORT_ERROR_SYNTAX, self->name, first_slip,
                        _("the time goes back here and on %u other lines: is this the column of times?"), slips - 1);
}

/* ---- times that stand still ---- */

/* Lines that share a time, as a clock without fractions gives them, are spread evenly up to the next one. */
static guint
spread (GArray *t_s)
{
  guint spread = 0;
  double step = NAN;

  for (guint i = 0, j; i < t_s->len; i = j)
    {
      double here = g_array_index (t_s, double, i);

      for (j = i + 1; j < t_s->len && g_array_index (t_s, double, j) == here;)
        j++;
      if (j < t_s->len)
        step = (g_array_index (t_s, double, j) - here) / (j - i);
      for (guint k = i + 1; k < j; k++)
        g_array_index (t_s, double, k) = here + step * (k - i);
      spread += j - i - 1;
    }
  return spread;
}

/* Milliseconds, and rising by one at least. */
static void
round_times (GArray *t_s)
{
  for (guint i = 0; i < t_s->len; i++)
    {
      double *t = &g_array_index (t_s, double, i);

      *t = round (*t * 1000.0) / 1000.0;
      if (i > 0 && !(*t > g_array_index (t_s, double, i - 1)))
        *t = round (g_array_index (t_s, double, i - 1) * 1000.0 + 1.0) / 1000.0;
    }
}

GArray *
lw_log_times_settle (LwLogTimes *self, GArray *t_s, GPtrArray *notes, GError **error)
{
  g_autoptr (GArray) keep = g_array_new (FALSE, FALSE, sizeof (guint));
  guint n_spread;

  if (!choose (self, keep, notes, error))
    return NULL;
  for (guint i = 0; i < keep->len; i++)
    {
      double t = at (self, g_array_index (keep, guint, i))->t_s - at (self, g_array_index (keep, guint, 0))->t_s;

      g_array_append_val (t_s, t);
    }
  if (keep->len < 2 || !(g_array_index (t_s, double, keep->len - 1) > 0.0))
    {
      lw_notes_fail (error, LW_IMPORT_ERROR_SYNTAX, self->name, keep->len > 0 ? at (self, 0)->line : 0,
                     keep->len < 2 ? _("fewer than two lines read as readings: are the columns right?") : _("all lines have the same time"));
      return NULL;
    }
  if (g_array_index (t_s, double, keep->len - 1) > 1e6)
    {
      lw_notes_fail (error, LW_IMPORT_ERROR_UNSUPPORTED, self->name, 0, _("it lasts %.0f hours: is the unit of time right?"),
                     g_array_index (t_s, double, keep->len - 1) / 3600.0);
      return NULL;
    }
  n_spread = spread (t_s);
  if (n_spread > 0)
    lw_notes_add (notes, self->name, 0, _("%u lines have the time of the line before: they were spread evenly up to the next time"), n_spread);
  round_times (t_s);
  return g_steal_pointer (&keep);
}

char *
lw_log_times_date (const LwLogTimes *self)
{
  GDate date;
  int clock = isnan (self->first_clock_s) ? 0 : (int) self->first_clock_s;

  if (isnan (self->first_day) || self->first_day < 1.0)
    return g_strdup ("");
  g_date_clear (&date, 1);
  g_date_set_julian (&date, (guint32) self->first_day);
  if (isnan (self->first_clock_s))
    return g_strdup_printf ("%04u-%02u-%02u", (guint) g_date_get_year (&date), (guint) g_date_get_month (&date), (guint) g_date_get_day (&date));
  return g_strdup_printf ("%04u-%02u-%02uT%02d:%02d:%02d", (guint) g_date_get_year (&date), (guint) g_date_get_month (&date),
                          (guint) g_date_get_day (&date), clock / 3600, clock / 60 % 60, clock % 60);
}
