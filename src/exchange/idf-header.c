#include <glib/gi18n.h>

#include "exchange/idf-file.h"

void
lw_idf_header_clear (LwIdfHeader *header)
{
  g_clear_pointer (&header->source, g_free);
  g_clear_pointer (&header->date, g_free);
  g_clear_pointer (&header->board_name, g_free);
}

gboolean
lw_idf_unit (const LwIdfLexer *lexer, const LwIdfRecord *record, guint index, guint version,
             double *unit_mm, GError **error)
{
  static const char *const words2[] = { "MM", "THOU", "TNM", NULL };
  static const char *const words3[] = { "MM", "THOU", NULL };
  static const double size_mm[] = { 1.0, 0.0254, 0.00001 };
  int unit = lw_idf_word (lexer, record, index, _("unit"), version == 2 ? words2 : words3, error);

  if (unit < 0)
    return FALSE;
  *unit_mm = size_mm[unit];
  return TRUE;
}

/* The next record, which must be there and must not be a section's start or end. */
static gboolean
header_record (LwIdfLexer *lexer, LwIdfRecord *record, const char *what, GError **error)
{
  int got = lw_idf_next (lexer, record, error);

  if (got < 0)
    return FALSE;
  if (got == 0)
    return lw_idf_fail (lexer, lw_idf_lexer_line (lexer), error,
                        _("end of file in the header: %s expected"), what);
  if (record->keyword)
    return lw_idf_fail (lexer, record->line, error, _("the header ends too early: %s expected"), what);
  return TRUE;
}

static gboolean
read_version (const LwIdfLexer *lexer, const LwIdfRecord *record, LwIdfHeader *header, GError **error)
{
  double version;

  if (!lw_idf_number (lexer, record, 1, _("IDF version"), &version, error))
    return FALSE;
  if (version != 2.0 && version != 3.0)
    return lw_notes_fail (error, LW_IMPORT_ERROR_UNSUPPORTED, lexer->name, record->line,
                          _("IDF version %.20s cannot be read, only 2.0 and 3.0"), record->field[1]);
  header->version = (guint) version;
  return TRUE;
}

static gboolean
check_type (const LwIdfLexer *lexer, const LwIdfRecord *record, gboolean is_board, GError **error)
{
  static const char *const words[] = { "BOARD_FILE", "LIBRARY_FILE", "PANEL_FILE", NULL };
  int type = lw_idf_word (lexer, record, 0, _("file type"), words, error);

  if (type < 0)
    return FALSE;
  if (type == 2)
    return lw_notes_fail (error, LW_IMPORT_ERROR_UNSUPPORTED, lexer->name, record->line,
                          _("this is a panel: export the single board instead"));
  if (type == 1 && is_board)
    return lw_notes_fail (error, LW_IMPORT_ERROR_UNSUPPORTED, lexer->name, record->line,
                          _("this is the library of a pair: open the board file (often .emn) instead"));
  if (type == 0 && !is_board)
    return lw_notes_fail (error, LW_IMPORT_ERROR_UNSUPPORTED, lexer->name, record->line,
                          _("a board file was given as the library"));
  return TRUE;
}

static gboolean
read_name_and_unit (LwIdfLexer *lexer, LwIdfRecord *record, LwIdfHeader *header, GError **error)
{
  GString *name;

  if (!header_record (lexer, record, _("board name and unit"), error))
    return FALSE;
  /* An unquoted name may hold blanks: the unit is the last word. */
  if (!lw_idf_unit (lexer, record, record->n_fields > 1 ? record->n_fields - 1 : 1, header->version,
                    &header->unit_mm, error))
    return FALSE;
  name = g_string_new (record->field[0]);
  for (guint i = 1; i + 1 < record->n_fields; i++)
    g_string_append_printf (name, " %s", record->field[i]);
  header->board_name = g_string_free (name, FALSE);
  return TRUE;
}

static gboolean
read_end (LwIdfLexer *lexer, LwIdfRecord *record, GError **error)
{
  int got = lw_idf_next (lexer, record, error);

  if (got < 0)
    return FALSE;
  if (got == 0 || !record->keyword || g_ascii_strcasecmp (record->field[0], "END_HEADER") != 0)
    return lw_idf_fail (lexer, lw_idf_lexer_line (lexer), error,
                        _("the header is not closed: .END_HEADER expected"));
  return TRUE;
}

gboolean
lw_idf_header_read (LwIdfLexer *lexer, gboolean is_board, LwIdfHeader *header, GError **error)
{
  LwIdfRecord record;
  int got = lw_idf_next (lexer, &record, error);

  if (got < 0)
    return FALSE;
  if (got == 0 || !record.keyword || g_ascii_strcasecmp (record.field[0], "HEADER") != 0)
    return lw_idf_fail (lexer, MAX (lw_idf_lexer_line (lexer), 1), error,
                        _("no IDF file: .HEADER expected first"));
  if (!header_record (lexer, &record, _("file type and version"), error)
      || !check_type (lexer, &record, is_board, error) || !read_version (lexer, &record, header, error))
    return FALSE;
  header->source = g_strdup (record.n_fields > 2 ? record.field[2] : "");
  header->date = g_strdup (record.n_fields > 3 ? record.field[3] : "");
  if (is_board && !read_name_and_unit (lexer, &record, header, error))
    return FALSE;
  return read_end (lexer, &record, error);
}
