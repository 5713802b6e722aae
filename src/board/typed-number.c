#include "board/typed-number.h"

#include <langinfo.h>
#include <math.h>
#include <string.h>

/* "1.600" or "-12,345": as well a number of thousands as one with three decimals. */
static gboolean
may_be_thousands (const char *text, char sign)
{
  const char *mark = strchr (text, sign);
  const char *first = text + (*text == '+' || *text == '-');

  return mark != NULL && mark > first && mark - first <= 3 && *first != '0' && strspn (mark + 1, "0123456789") == 3
         && mark[4] == '\0';
}

/* TEXT with its decimal sign made a point, or NULL when that would be a guess (transfer full). */
static char *
with_point (const char *text, gboolean point)
{
  const char *radix = nl_langinfo (RADIXCHAR);
  gboolean comma = strcmp (radix, ",") == 0, has_point = strchr (text, '.') != NULL;
  g_autoptr (GString) out = g_string_new (text);

  if (!comma && strcmp (radix, ".") != 0)
    g_string_replace (out, radix, ".", 0); /* a sign of other scripts */
  if (has_point && comma && !point && may_be_thousands (text, '.'))
    return NULL;
  if (!has_point && !comma && may_be_thousands (text, ','))
    return NULL;
  if (!has_point)
    g_string_replace (out, ",", ".", 0);
  return g_string_free (g_steal_pointer (&out), FALSE);
}

gboolean
lw_typed_number (const char *text, gboolean point, double *value)
{
  g_autofree char *bare = g_strstrip (g_strdup (text)), *copy = NULL;
  char *end = NULL;
  double read;

  if (*bare == '\0' || strpbrk (bare, "xXnNiI") != NULL) /* no hexadecimal, no words */
    return FALSE;
  copy = with_point (bare, point);
  if (copy == NULL)
    return FALSE;
  read = g_ascii_strtod (copy, &end);
  if (end == copy || *end != '\0' || !isfinite (read))
    return FALSE;
  *value = read;
  return TRUE;
}
