#include "mutate.h"

#include <string.h>

static guint
below (Mutator *self, gsize n)
{
  return n > 0 ? (guint) g_rand_int_range (self->random, 0, (gint) MIN (n, G_MAXINT32)) : 0;
}

static void
add_word (Mutator *self, const char *text, const char *end)
{
  g_autoptr (GByteArray) word = g_byte_array_new ();

  for (const char *p = text; p < end; p++)
    {
      guint8 c = (guint8) *p;

      if (c == '\\' && p + 3 < end && p[1] == 'x')
        {
          c = (guint8) (g_ascii_xdigit_value (p[2]) * 16 + g_ascii_xdigit_value (p[3]));
          p += 3;
        }
      else if (c == '\\' && p + 1 < end)
        c = (guint8) *++p;
      g_byte_array_append (word, &c, 1);
    }
  g_ptr_array_add (self->words, g_byte_array_free_to_bytes (g_steal_pointer (&word)));
}

void
mutator_read_words (Mutator *self, const char *path)
{
  g_autofree char *text = NULL;
  g_autoptr (GError) error = NULL;
  g_auto (GStrv) lines = NULL;

  g_file_get_contents (path, &text, NULL, &error);
  g_assert_no_error (error);
  lines = g_strsplit (text, "\n", -1);
  for (guint i = 0; lines[i] != NULL; i++)
    {
      const char *start = lines[i][0] != '#' ? strchr (lines[i], '"') : NULL, *end = strrchr (lines[i], '"');

      if (start != NULL && end > start)
        add_word (self, start + 1, end);
    }
}

static void
insert (GByteArray *text, guint at, const guint8 *piece, guint n)
{
  guint old = text->len;

  g_byte_array_set_size (text, old + n);
  memmove (text->data + at + n, text->data + at, old - at);
  memcpy (text->data + at, piece, n);
}

static void
insert_copy (GByteArray *text, guint at, const guint8 *piece, guint n)
{
  g_autofree guint8 *copy = g_memdup2 (piece, n);

  if (n > 0)
    insert (text, at, copy, n);
}

/* Numbers at the edge of what types hold, and of what makes sense. */
static void
change_number (Mutator *self, GByteArray *text)
{
  static const char *const numbers[] = { "0", "-1", "1", "4294967295", "2147483648", "-2147483649", "1e308", "-1e308",
                                         "1e-320", "0.1", "99999999999999999999", "nan", "inf", "1e9", "65536", "1000001" };
  const char *number = numbers[below (self, G_N_ELEMENTS (numbers))];
  guint at = below (self, text->len), n = 0;

  while (at < text->len && !g_ascii_isdigit (text->data[at]))
    at++;
  while (at + n < text->len && (g_ascii_isdigit (text->data[at + n]) || text->data[at + n] == '.'))
    n++;
  if (n == 0)
    return;
  g_byte_array_remove_range (text, at, n);
  insert (text, at, (const guint8 *) number, (guint) strlen (number));
}

/* A stretch again and again: what nests goes deep, what counts grows. */
static void
repeat (Mutator *self, GByteArray *text)
{
  guint at = below (self, text->len), n = 1 + below (self, MIN (text->len - at, 40)), times = 1 << below (self, 9);

  for (guint i = 0; i < times && text->len < self->max_length; i++)
    insert_copy (text, at, text->data + at, n);
}

static void
splice (Mutator *self, GByteArray *text)
{
  gsize size;
  const guint8 *other = g_bytes_get_data (self->seeds->pdata[below (self, self->seeds->len)], &size);
  guint from = below (self, size), n = 1 + below (self, MIN (size - from, 400));

  if (size > 0)
    insert (text, below (self, text->len + 1), other + from, MIN (n, (guint) (size - from)));
}

static void
insert_word (Mutator *self, GByteArray *text)
{
  gsize n;
  const guint8 *word;

  if (self->words->len == 0)
    return;
  word = g_bytes_get_data (self->words->pdata[below (self, self->words->len)], &n);
  insert (text, below (self, text->len + 1), word, (guint) n);
}

static void
change (Mutator *self, GByteArray *text)
{
  guint at = below (self, text->len), reach = 1 + below (self, 1 << below (self, 10)), n = MIN (reach, text->len - at);

  switch (below (self, 9))
    {
    case 0:
      text->data[at] ^= (guint8) (1 << below (self, 8));
      break;
    case 1:
      text->data[at] = (guint8) below (self, 256);
      break;
    case 2:
      g_byte_array_remove_range (text, at, n);
      break;
    case 3:
      insert_copy (text, below (self, text->len), text->data + at, n);
      break;
    case 4:
      change_number (self, text);
      break;
    case 5:
      repeat (self, text);
      break;
    case 6:
      splice (self, text);
      break;
    case 7:
      insert_word (self, text);
      break;
    case 8:
      if (below (self, 10) == 0)
        g_byte_array_set_size (text, at);
      break;
    }
}

GByteArray *
mutator_next (Mutator *self)
{
  gsize size;
  const guint8 *seed = g_bytes_get_data (self->seeds->pdata[below (self, self->seeds->len)], &size);
  GByteArray *text = g_byte_array_new ();
  guint changes = 1 + below (self, 8);

  g_byte_array_append (text, seed, (guint) size);
  for (guint i = 0; i < changes; i++)
    if (text->len == 0)
      insert_word (self, text);
    else
      change (self, text);
  if (text->len > self->max_length)
    g_byte_array_set_size (text, (guint) self->max_length);
  return text;
}
