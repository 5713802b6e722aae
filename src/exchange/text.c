#include "exchange/text.h"

#include <glib/gi18n.h>
#include <string.h>

#include "exchange/notes.h"

/* UTF-16 without a mark: Latin text has a NUL in nearly every pair, always on the same side. */
static const char *
guess_utf16 (const char *data, gsize size)
{
  gsize n = MIN (size, 512) / 2, even = 0, odd = 0;

  for (gsize i = 0; i < n; i++)
    {
      even += data[2 * i] == 0;
      odd += data[2 * i + 1] == 0;
    }
  if (n < 4 || size % 2 != 0)
    return NULL;
  if (odd * 10 > n * 6 && even * 10 < n)
    return "UTF-16LE";
  if (even * 10 > n * 6 && odd * 10 < n)
    return "UTF-16BE";
  return NULL;
}

static const char *
encoding_of (const char *data, gsize size, gsize *skip)
{
  const guchar *b = (const guchar *) data;

  *skip = 0;
  if (size >= 3 && b[0] == 0xef && b[1] == 0xbb && b[2] == 0xbf)
    {
      *skip = 3;
      return NULL;
    }
  if (size >= 2 && ((b[0] == 0xff && b[1] == 0xfe) || (b[0] == 0xfe && b[1] == 0xff)))
    {
      *skip = 2;
      return b[0] == 0xff ? "UTF-16LE" : "UTF-16BE";
    }
  return guess_utf16 (data, size);
}

static guint
line_of (const char *data, const char *at)
{
  guint line = 1;

  for (const char *p = data; p < at; p++)
    line += *p == '\n' || (*p == '\r' && p[1] != '\n');
  return line;
}

/* Text up to the first byte that is none, which DAMAGE tells of. */
static char *
decode (const char *name, const char *data, gsize size, gsize *length, GError **damage)
{
  gsize skip, read = size;
  const char *encoding = encoding_of (data, size, &skip), *nul;
  char *text = encoding != NULL
                 ? g_convert (data + skip, size - skip, "UTF-8", encoding, &read, length, NULL)
                 : NULL;

  if (encoding != NULL && text == NULL && read < size - skip)
    text = g_convert (data + skip, read, "UTF-8", encoding, NULL, length, NULL);
  if (encoding == NULL || text == NULL)
    {
      *length = encoding == NULL ? size - skip : 0;
      text = g_malloc (*length + 1);
      memcpy (text, data + skip, *length);
      text[*length] = '\0';
    }
  nul = memchr (text, '\0', *length);
  if (nul != NULL)
    {
      *length = (gsize) (nul - text);
      lw_notes_fail (damage, LW_IMPORT_ERROR_SYNTAX, name, line_of (text, nul),
                     _("a NUL byte: this is not a text file"));
    }
  else if (encoding != NULL && read < size - skip)
    lw_notes_fail (damage, LW_IMPORT_ERROR_SYNTAX, name, *length > 0 ? line_of (text, text + *length) : 0,
                   _("UTF-16 text that is damaged or cut off"));
  return text;
}

char *
lw_text_decode (const char *name, const char *data, gsize size, gsize *length, GError **error)
{
  g_autoptr (GError) damage = NULL;
  g_autofree char *text = decode (name, data, size, length, &damage);

  if (damage == NULL)
    return g_steal_pointer (&text);
  g_propagate_error (error, g_steal_pointer (&damage));
  return NULL;
}

char *
lw_text_decode_start (const char *name, const char *data, gsize size, gsize *length, GError **damage)
{
  g_autoptr (GError) own = NULL;
  g_autofree char *text = decode (name, data, size, length, &own);
  gboolean lost = own != NULL;

  if (lost)
    g_propagate_error (damage, g_steal_pointer (&own));
  return lost && *length == 0 ? NULL : g_steal_pointer (&text);
}

gboolean
lw_text_line_to_utf8 (GString *line)
{
  g_autoptr (GString) wide = NULL;

  if (g_utf8_validate (line->str, line->len, NULL))
    return FALSE;
  wide = g_string_sized_new (line->len * 2);
  for (gsize i = 0; i < line->len; i++)
    g_string_append_unichar (wide, (guchar) line->str[i]);
  g_string_assign (line, wide->str);
  return TRUE;
}

gboolean
lw_text_next_line (const char **cursor, const char *end, gsize limit, GString *line)
{
  const char *start = *cursor, *p = start;

  if (start >= end)
    return FALSE;
  while (p < end && *p != '\n' && *p != '\r')
    p++;
  g_string_truncate (line, 0);
  g_string_append_len (line, start, MIN ((gsize) (p - start), limit + 1));
  if (p < end)
    p += p[0] == '\r' && p + 1 < end && p[1] == '\n' ? 2 : 1;
  *cursor = p;
  return TRUE;
}
