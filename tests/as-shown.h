/* Texts with figures as the locale writes them: tests run where numbers have a decimal comma, too. */
#ifndef AS_SHOWN_H
#define AS_SHOWN_H

#include <glib.h>
#include <locale.h>

/* TEXT with the locale's decimal point between digits. Kept for good. */
static inline const char *
as_shown (const char *text)
{
  g_autoptr (GString) shown = g_string_new (NULL);

  for (const char *at = text; *at != '\0'; at++)
    if (*at == '.' && at > text && g_ascii_isdigit (at[-1]) && g_ascii_isdigit (at[1]))
      g_string_append (shown, localeconv ()->decimal_point);
    else
      g_string_append_c (shown, *at);
  return g_intern_string (shown->str);
}

#endif
