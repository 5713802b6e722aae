#include "exchange/idf-lexer.h"

#include <glib/gi18n.h>
#include <math.h>
#include <string.h>

#include "exchange/text.h"

void
lw_idf_lexer_init (LwIdfLexer *self, const char *name, const char *text, gsize length, GPtrArray *notes)
{
  *self = (LwIdfLexer) { .name = name, .notes = notes, .cursor = text, .end = text + length };
  self->text = g_string_sized_new (256);
}

void
lw_idf_lexer_clear (LwIdfLexer *self)
{
  if (self->text != NULL)
    g_string_free (self->text, TRUE);
  self->text = NULL;
}

guint
lw_idf_lexer_line (const LwIdfLexer *self)
{
  return self->line;
}

gboolean
lw_idf_fail (const LwIdfLexer *self, guint line, GError **error, const char *format, ...)
{
  g_autofree char *text = NULL;
  va_list args;

  va_start (args, format);
  text = g_strdup_vprintf (format, args);
  va_end (args);
  return lw_notes_fail (error, LW_IMPORT_ERROR_SYNTAX, self->name, line, "%s", text);
}

static gboolean
is_blank (char c)
{
  return c == ' ' || c == '\t' || c == '\f' || c == '\v';
}

/* Ends the field that starts at P and returns what follows it. */
static char *
cut_field (LwIdfLexer *self, char *p, char **field)
{
  char *end;

  if (*p != '"')
    {
      *field = p;
      while (*p != '\0' && !is_blank (*p))
        p++;
    }
  else
    {
      *field = p + 1;
      end = strchr (p + 1, '"');
      if (end == NULL)
        {
          lw_notes_add (self->notes, self->name, self->line,
                        _("a quoted text without its closing quote"));
          return p + strlen (p);
        }
      p = end;
    }
  if (*p != '\0')
    *p++ = '\0';
  return p;
}

static void
split (LwIdfLexer *self, LwIdfRecord *record)
{
  char *p = self->text->str;

  record->n_fields = 0;
  record->line = self->line;
  record->keyword = FALSE;
  for (;;)
    {
      while (is_blank (*p))
        p++;
      if (*p == '\0' || record->n_fields == LW_IDF_MAX_FIELDS)
        return;
      if (record->n_fields == 0 && *p == '#')
        return;
      if (record->n_fields == 0 && *p == '.' && g_ascii_isalpha (p[1]))
        {
          record->keyword = TRUE;
          p++;
        }
      p = cut_field (self, p, &record->field[record->n_fields++]);
    }
}

int
lw_idf_next (LwIdfLexer *self, LwIdfRecord *record, GError **error)
{
  while (lw_text_next_line (&self->cursor, self->end, LW_IDF_MAX_LINE, self->text))
    {
      self->line++;
      if (self->text->len > LW_IDF_MAX_LINE)
        {
          lw_notes_fail (error, LW_IMPORT_ERROR_TOO_LARGE, self->name, self->line,
                         _("a line longer than %d characters"), LW_IDF_MAX_LINE);
          return -1;
        }
      if (lw_text_line_to_utf8 (self->text) && !self->told_latin1)
        {
          self->told_latin1 = TRUE;
          lw_notes_add (self->notes, self->name, self->line, _("not UTF-8: read as Latin-1"));
        }
      split (self, record);
      if (record->n_fields > 0)
        return 1;
    }
  return 0;
}

const char *
lw_idf_field (const LwIdfLexer *self, const LwIdfRecord *record, guint index, const char *what,
              GError **error)
{
  if (index < record->n_fields)
    return record->field[index];
  lw_idf_fail (self, record->line, error, _("field %u is missing: %s expected"), index + 1, what);
  return NULL;
}

static gboolean
parse_number (const char *text, double *value)
{
  char *end;

  /* Keeps out what strtod would take besides: nan, inf, hexadecimal. */
  if (text[0] == '\0' || strspn (text, "0123456789+-.eE") != strlen (text))
    return FALSE;
  *value = g_ascii_strtod (text, &end);
  return end != text && *end == '\0' && isfinite (*value);
}

gboolean
lw_idf_number (const LwIdfLexer *self, const LwIdfRecord *record, guint index, const char *what,
               double *value, GError **error)
{
  const char *text = lw_idf_field (self, record, index, what, error);

  if (text == NULL)
    return FALSE;
  if (parse_number (text, value))
    return TRUE;
  if (strchr (text, ',') != NULL)
    return lw_idf_fail (self, record->line, error,
                        _("field %u: “%.80s” has a comma; %s expected, with a point"), index + 1,
                        text, what);
  return lw_idf_fail (self, record->line, error, _("field %u: “%.80s” is not a number; %s expected"),
                      index + 1, text, what);
}

gboolean
lw_idf_length (const LwIdfLexer *self, const LwIdfRecord *record, guint index, const char *what,
               double unit_mm, double *value_mm, GError **error)
{
  double value;

  if (!lw_idf_number (self, record, index, what, &value, error))
    return FALSE;
  *value_mm = value * unit_mm;
  if (fabs (*value_mm) <= LW_IDF_MAX_COORDINATE_MM)
    return TRUE;
  return lw_idf_fail (self, record->line, error, _("field %u: %s of “%.80s” is beyond any board"),
                      index + 1, what, record->field[index]);
}

int
lw_idf_word (const LwIdfLexer *self, const LwIdfRecord *record, guint index, const char *what,
             const char *const *words, GError **error)
{
  const char *text = lw_idf_field (self, record, index, what, error);
  g_autofree char *list = NULL;

  if (text == NULL)
    return -1;
  for (int i = 0; words[i] != NULL; i++)
    if (g_ascii_strcasecmp (text, words[i]) == 0)
      return i;
  list = g_strjoinv (", ", (char **) words);
  lw_idf_fail (self, record->line, error, _("field %u: “%.80s” is no %s; one of %s expected"),
               index + 1, text, what, list);
  return -1;
}

void
lw_idf_expect_fields (const LwIdfLexer *self, const LwIdfRecord *record, guint most)
{
  if (record->n_fields > most)
    lw_notes_add (self->notes, self->name, record->line, _("%u fields more than expected are ignored"),
                  record->n_fields - most);
}
