#include "exchange/centroid-rows.h"

#include "exchange/text.h"

#define MAX_QUOTED_LINES 20 /* a quote that is not closed by then was no quote */

void
lw_centroid_row_free (LwCentroidRow *row)
{
  g_strfreev (row->fields);
  g_free (row);
}

void
lw_centroid_reader_init (LwCentroidReader *self, const char *text, gsize length, char delimiter)
{
  *self = (LwCentroidReader){ .cursor = text, .end = text + length, .line = 1, .delimiter = delimiter };
}

static gboolean
at_line_end (const LwCentroidReader *self, const char *p)
{
  return p >= self->end || *p == '\n' || *p == '\r';
}

static gboolean
is_delimiter (const LwCentroidReader *self, char c)
{
  return self->delimiter == ' ' ? c == ' ' || c == '\t' : c == self->delimiter;
}

static const char *
skip_blanks (const LwCentroidReader *self, const char *p)
{
  while (p < self->end && (*p == ' ' || (*p == '\t' && self->delimiter != '\t')))
    p++;
  return p;
}

/* The quote that closes the one before P, NULL when there is none near. */
static const char *
closing_quote (const LwCentroidReader *self, const char *p)
{
  guint lines = 0;

  for (const char *q = p;
       q < self->end && q - p <= LW_CENTROID_MAX_FIELD_BYTES && lines < MAX_QUOTED_LINES; q++) {
    lines += *q == '\n';
    if (*q != '"')
      continue;
    if (q + 1 >= self->end || q[1] != '"')
      return q;
    q++;
  }
  return NULL;
}

static void
append_unquoted (GString *field, const char *p, const char *end)
{
  for (; p < end; p++) {
    g_string_append_c (field, *p == '\n' || *p == '\r' ? ' ' : *p);
    p += *p == '"';
  }
}

/* One field from *CURSOR to the delimiter or the line's end, where *CURSOR is left. */
static char *
take_field (LwCentroidReader *self, const char **cursor)
{
  g_autoptr (GString) field = g_string_new (NULL);
  const char *p = skip_blanks (self, *cursor);
  const char *close = p < self->end && *p == '"' ? closing_quote (self, p + 1) : NULL;
  const char *start;

  if (close != NULL) {
    append_unquoted (field, p + 1, close);
    for (const char *q = p; q < close; q++)
      self->line += *q == '\n' || (*q == '\r' && q[1] != '\n');
    p = close + 1;
  }
  start = p;
  while (!at_line_end (self, p) && !is_delimiter (self, *p))
    p++;
  g_string_append_len (field, start, MIN (p - start, LW_CENTROID_MAX_FIELD_BYTES));
  *cursor = p;
  self->latin1 |= lw_text_line_to_utf8 (field);
  return g_strstrip (g_string_free (g_steal_pointer (&field), FALSE));
}

static GPtrArray *
take_fields (LwCentroidReader *self, const char **cursor)
{
  GPtrArray *fields = g_ptr_array_new ();
  const char *p = *cursor;

  while (fields->len < LW_CENTROID_MAX_FIELDS) {
    if (self->delimiter == ' ') {
      p = skip_blanks (self, p);
      if (at_line_end (self, p))
        break;
    }
    g_ptr_array_add (fields, take_field (self, &p));
    if (at_line_end (self, p))
      break;
    p++;
  }
  while (!at_line_end (self, p))
    p++;
  g_ptr_array_add (fields, NULL);
  *cursor = p;
  return fields;
}

static gboolean
is_comment_mark (const LwCentroidReader *self, char c)
{
  return c == '#' || c == '*' || (c == ';' && self->delimiter != ';');
}

LwCentroidRow *
lw_centroid_reader_next (LwCentroidReader *self)
{
  while (self->cursor < self->end) {
    const char *p = skip_blanks (self, self->cursor);
    LwCentroidRow *row = NULL;

    if (!at_line_end (self, p)) {
      row = g_new0 (LwCentroidRow, 1);
      row->line = self->line;
      row->comment = is_comment_mark (self, *p);
      while (row->comment && !at_line_end (self, p) && is_comment_mark (self, *p))
        p++;
      GPtrArray *fields = take_fields (self, &p);
      row->n_fields = fields->len - 1;
      row->fields = (char **)g_ptr_array_free (fields, FALSE);
    }
    if (p < self->end) {
      p += p[0] == '\r' && p + 1 < self->end && p[1] == '\n' ? 2 : 1;
      self->line++;
    }
    self->cursor = p;
    if (row != NULL)
      return row;
  }
  return NULL;
}
