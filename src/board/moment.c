#include "board/moment.h"

#include <string.h>

/* Digits at FORMAT's 0s, the same character elsewhere; a T may be a space. */
static gboolean
has_form (const char *text, const char *format)
{
  if (strlen (text) != strlen (format))
    return FALSE;
  for (; *format != '\0'; format++, text++)
    if (*format == '0' ? !g_ascii_isdigit (*text) : *text != *format && !(*format == 'T' && *text == ' '))
      return FALSE;
  return TRUE;
}

static int
number_at (const char *text, int from, int digits)
{
  int value = 0;

  for (int i = from; i < from + digits; i++)
    value = 10 * value + (text[i] - '0');
  return value;
}

gboolean
lw_moment_parse (const char *text, gint64 *minutes)
{
  gboolean clock = has_form (text, "0000-00-00T00:00");
  g_autoptr (GDateTime) moment = NULL;

  if (!clock && !has_form (text, "0000-00-00"))
    return FALSE;
  int year = number_at (text, 0, 4);
  if (year < 1900 || year > 2200)
    return FALSE;
  moment = g_date_time_new_utc (year, number_at (text, 5, 2), number_at (text, 8, 2),
                                clock ? number_at (text, 11, 2) : 0, clock ? number_at (text, 14, 2) : 0, 0);
  if (moment == NULL)
    return FALSE;
  if (minutes != NULL)
    *minutes = g_date_time_to_unix (moment) / 60;
  return TRUE;
}

char *
lw_moment_text (gint64 minutes)
{
  g_autoptr (GDateTime) moment = g_date_time_new_from_unix_utc (minutes * 60);

  return moment != NULL ? g_date_time_format (moment, "%Y-%m-%dT%H:%M") : g_strdup ("");
}
