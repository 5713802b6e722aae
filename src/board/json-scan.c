#include "board/json-scan.h"

#include <string.h>

#include <glib/gi18n.h>

enum { INTEGER_DIGITS_MAX = 18 }; /* more do not fit 64 bits */

static const guint NO_MATCH = G_MAXUINT;

typedef struct {
  const char *p, *end;
  guint line;
  guint depth, weight;
  const char *reason; /* of the first fault */
  GPtrArray *keys;    /* char *: of the objects being read, innermost last */
  const GPtrArray *path; /* sought, or NULL */
  guint best;            /* components of it matched so far */
  guint found;           /* line of the best match */
} Scan;

static gboolean scan_value (Scan *s, guint matched);

static gboolean
fail (Scan *s, const char *reason)
{
  if (s->reason == NULL)
    s->reason = reason;
  return FALSE;
}

static void
skip_space (Scan *s)
{
  for (; s->p < s->end; s->p++)
    if (*s->p == '\n')
      s->line++;
    else if (*s->p == '\r')
      s->line += s->p + 1 == s->end || s->p[1] != '\n';
    else if (*s->p != ' ' && *s->p != '\t')
      return;
}

static gboolean
at (const Scan *s, char c)
{
  return s->p < s->end && *s->p == c;
}

static gboolean
take (Scan *s, char c)
{
  if (!at (s, c))
    return FALSE;
  s->p++;
  return TRUE;
}

/* Four hexadecimal digits, or -1. */
static int
scan_hex (Scan *s)
{
  int value = 0;

  for (int i = 0; i < 4; i++, s->p++)
    {
      if (s->p >= s->end || !g_ascii_isxdigit (*s->p))
        return -1;
      value = value * 16 + g_ascii_xdigit_value (*s->p);
    }
  return value;
}

/* After "\u": no NUL, and surrogates only in pairs. */
static gboolean
scan_unicode (Scan *s)
{
  int unit = scan_hex (s);

  if (unit <= 0)
    return fail (s, unit == 0 ? _("a NUL character stands in a text") : _("\\u needs four hexadecimal digits"));
  if (unit < 0xd800 || unit > 0xdfff)
    return TRUE;
  if (unit < 0xdc00 && s->end - s->p >= 6 && s->p[0] == '\\' && s->p[1] == 'u')
    {
      s->p += 2;
      unit = scan_hex (s);
      if (unit >= 0xdc00 && unit <= 0xdfff)
        return TRUE;
    }
  return fail (s, _("half a surrogate pair stands in a text"));
}

static gboolean
scan_escape (Scan *s)
{
  char c = s->p < s->end ? *s->p++ : '\0';

  if (c == 'u')
    return scan_unicode (s);
  if (c == '\0' || strchr ("\"\\/bfnrt", c) == NULL)
    return fail (s, _("unknown escape in a text"));
  return TRUE;
}

static gboolean
scan_string (Scan *s)
{
  if (!take (s, '"'))
    return fail (s, s->p < s->end ? _("a text in double quotes was expected") : _("the file ends too early"));
  while (s->p < s->end)
    {
      unsigned char c = (unsigned char) *s->p++;

      if (c == '"')
        return TRUE;
      if (c == '\\' && !scan_escape (s))
        return FALSE;
      if (c < 0x20)
        return fail (s, _("a control character or line end stands in a text"));
    }
  return fail (s, _("the file ends inside a text"));
}

static guint
scan_digits (Scan *s)
{
  const char *start = s->p;

  while (s->p < s->end && g_ascii_isdigit (*s->p))
    s->p++;
  return (guint) (s->p - start);
}

static gboolean
scan_number (Scan *s)
{
  gboolean whole = TRUE;

  take (s, '-');
  gboolean zero = at (s, '0');
  guint digits = scan_digits (s);
  if (digits == 0 || (zero && digits > 1))
    return fail (s, _("malformed number"));
  if (take (s, '.'))
    {
      whole = FALSE;
      if (scan_digits (s) == 0)
        return fail (s, _("malformed number"));
    }
  if (take (s, 'e') || take (s, 'E'))
    {
      whole = FALSE;
      if (!take (s, '+'))
        take (s, '-');
      if (scan_digits (s) == 0)
        return fail (s, _("malformed number"));
    }
  if (whole && digits > INTEGER_DIGITS_MAX)
    return fail (s, _("number with too many digits"));
  return TRUE;
}

static gboolean
scan_word (Scan *s)
{
  static const char *const words[] = { "true", "false", "null" };

  for (guint i = 0; i < G_N_ELEMENTS (words); i++)
    {
      gsize length = strlen (words[i]);

      if ((gsize) (s->end - s->p) >= length && memcmp (s->p, words[i], length) == 0)
        {
          s->p += length;
          return TRUE;
        }
    }
  return fail (s, s->p < s->end ? _("a value was expected") : _("the file ends too early"));
}

/* Keys of one object: compared one by one while few, by a table when many. */
static gboolean
note_key (Scan *s, guint first, GHashTable **table, char *key)
{
  enum { FEW = 32 };
  gboolean repeated = FALSE;

  if (s->keys->len - first < FEW)
    for (guint i = first; i < s->keys->len && !repeated; i++)
      repeated = strcmp (g_ptr_array_index (s->keys, i), key) == 0;
  else
    {
      if (*table == NULL)
        {
          *table = g_hash_table_new (g_str_hash, g_str_equal);
          for (guint i = first; i < s->keys->len; i++)
            g_hash_table_add (*table, g_ptr_array_index (s->keys, i));
        }
      repeated = !g_hash_table_add (*table, key);
    }
  g_ptr_array_add (s->keys, key);
  return repeated ? fail (s, _("a member is given twice")) : TRUE;
}

static guint
child_match (const Scan *s, guint matched, const char *component)
{
  if (matched == NO_MATCH || matched >= s->path->len)
    return NO_MATCH;
  return strcmp (g_ptr_array_index (s->path, matched), component) == 0 ? matched + 1 : NO_MATCH;
}

static gboolean
scan_member (Scan *s, guint matched, guint first_key, GHashTable **table)
{
  const char *start;

  skip_space (s);
  start = s->p;
  if (!scan_string (s))
    return FALSE;
  char *key = g_strndup (start + 1, (gsize) (s->p - start) - 2);
  guint child = s->path != NULL ? child_match (s, matched, key) : NO_MATCH;
  s->weight += LW_JSON_WEIGHT_NAME;
  if (!note_key (s, first_key, table, key))
    return FALSE;
  skip_space (s);
  if (!take (s, ':'))
    return fail (s, s->p < s->end ? _("a colon was expected") : _("the file ends too early"));
  return scan_value (s, child);
}

static gboolean
scan_members (Scan *s, guint matched, guint first_key, GHashTable **table)
{
  skip_space (s);
  if (take (s, '}'))
    return TRUE;
  do
    {
      if (!scan_member (s, matched, first_key, table))
        return FALSE;
      skip_space (s);
    }
  while (take (s, ','));
  return take (s, '}')
         || fail (s, s->p < s->end ? _("a comma or closing brace was expected") : _("the file ends too early"));
}

static gboolean
scan_object (Scan *s, guint matched)
{
  g_autoptr (GHashTable) table = NULL;
  guint first_key = s->keys->len;

  s->p++;
  gboolean fine = scan_members (s, matched, first_key, &table);
  g_ptr_array_set_size (s->keys, (gint) first_key);
  return fine;
}

static gboolean
scan_array (Scan *s, guint matched)
{
  s->p++;
  skip_space (s);
  if (take (s, ']'))
    return TRUE;
  guint index = 0;
  do
    {
      guint child = NO_MATCH;

      if (matched != NO_MATCH)
        {
          char component[16];

          g_snprintf (component, sizeof component, "[%u]", index);
          child = child_match (s, matched, component);
        }
      if (!scan_value (s, child))
        return FALSE;
      skip_space (s);
      index++;
    }
  while (take (s, ','));
  return take (s, ']')
         || fail (s, s->p < s->end ? _("a comma or closing bracket was expected") : _("the file ends too early"));
}

static gboolean
scan_value (Scan *s, guint matched)
{
  gboolean fine;

  skip_space (s);
  if (matched != NO_MATCH && (s->found == 0 || matched > s->best))
    {
      s->best = matched;
      s->found = s->line;
    }
  if (s->p >= s->end)
    return fail (s, _("the file ends too early"));
  if (s->depth >= LW_JSON_DEPTH_MAX)
    return fail (s, _("nested too deeply"));
  s->weight += 1 + (*s->p == '{' || *s->p == '[' ? LW_JSON_WEIGHT_CONTAINER : 0);
  if (s->weight > LW_JSON_WEIGHT_MAX)
    return fail (s, _("holds too many values"));
  s->depth++;
  if (*s->p == '{')
    fine = scan_object (s, matched);
  else if (*s->p == '[')
    fine = scan_array (s, matched);
  else if (*s->p == '"')
    fine = scan_string (s);
  else if (*s->p == '-' || g_ascii_isdigit (*s->p))
    fine = scan_number (s);
  else
    fine = scan_word (s);
  s->depth--;
  return fine;
}

char *
lw_json_scan (const char *text, gsize length, guint *line)
{
  g_autoptr (GPtrArray) keys = g_ptr_array_new_with_free_func (g_free);
  Scan s = { text, text + length, 1, 0, 0, NULL, keys, NULL, 0, 0 };

  if (scan_value (&s, NO_MATCH))
    {
      skip_space (&s);
      if (s.p == s.end)
        return NULL;
      fail (&s, _("something follows the end of the document"));
    }
  *line = s.line;
  return g_strdup (s.reason);
}

guint
lw_json_line_of (const char *text, gsize length, const GPtrArray *path)
{
  g_autoptr (GPtrArray) keys = g_ptr_array_new_with_free_func (g_free);
  Scan s = { text, text + length, 1, 0, 0, NULL, keys, path, 0, 0 };

  scan_value (&s, 0);
  return s.found;
}
