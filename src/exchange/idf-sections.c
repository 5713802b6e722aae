#include "exchange/idf-sections.h"

#include <glib/gi18n.h>
#include <string.h>

static const LwIdfSection *
find_section (const LwIdfSection *table, const char *name)
{
  for (const LwIdfSection *s = table; s->name != NULL; s++)
    if (g_ascii_strcasecmp (s->name, name) == 0)
      return s;
  return NULL;
}

static const char *
lead_of (const LwIdfReading *reading)
{
  return reading->header->version == 2 ? reading->section->lead2 : reading->section->lead3;
}

/* ---- the line before the points ---- */

static gboolean
read_lead_number (LwIdfReading *reading, const LwIdfRecord *record, guint i, double *number,
                  GError **error)
{
  if (!lw_idf_length (reading->lexer, record, i, _("thickness or height"), reading->header->unit_mm,
                      number, error))
    return FALSE;
  if (*number < 0)
    return lw_idf_fail (reading->lexer, record->line, error,
                        _("field %u: a thickness or height below zero"), i + 1);
  return TRUE;
}

static gboolean
read_lead_field (LwIdfReading *reading, const LwIdfRecord *record, char kind, guint i, double *number,
                 const char **word, GError **error)
{
  static const char *const sides[] = { "TOP", "BOTTOM", NULL };
  static const char *const both_sides[] = { "TOP", "BOTTOM", "BOTH", NULL };
  static const char *const layers[] = { "TOP", "BOTTOM", "BOTH", "INNER", "ALL", NULL };

  switch (kind)
    {
    case 'h':
      return i >= record->n_fields || read_lead_number (reading, record, i, number, error);
    case 'n':
      return read_lead_number (reading, record, i, number, error);
    case 's':
      return lw_idf_word (reading->lexer, record, i, _("side"), sides, error) >= 0;
    case 'S':
      return lw_idf_word (reading->lexer, record, i, _("side"), both_sides, error) >= 0;
    case 'L':
      return lw_idf_word (reading->lexer, record, i, _("layer"), layers, error) >= 0;
    default:
      *word = lw_idf_field (reading->lexer, record, i, _("name"), error);
      return *word != NULL;
    }
}

static gboolean
read_lead (LwIdfReading *reading, const LwIdfRecord *record, GError **error)
{
  const char *kinds = lead_of (reading), *word = "";
  double number = 0;

  for (guint i = 0; kinds[i] != '\0'; i++)
    if (!read_lead_field (reading, record, kinds[i], i, &number, &word, error))
      return FALSE;
  lw_idf_expect_fields (reading->lexer, record, strlen (kinds));
  if (reading->section->lead != NULL)
    reading->section->lead (reading, number, word, record->line);
  return TRUE;
}

/* ---- one section ---- */

static gboolean
read_record (LwIdfReading *reading, const LwIdfRecord *record, GError **error)
{
  const LwIdfSection *section = reading->section;
  const char *lead;

  if (section == NULL)
    return TRUE;
  lead = lead_of (reading);
  if (lead == NULL)
    return section->record (reading, record, error);
  if (reading->n_records == 0 && lead[0] != '\0')
    return read_lead (reading, record, error);
  return lw_idf_loops_add (&reading->loops, record, error);
}

static gboolean
end_section (LwIdfReading *reading, GError **error)
{
  const LwIdfSection *section = reading->section;

  if (section == NULL)
    return TRUE;
  if (lead_of (reading) != NULL)
    {
      g_autoptr (GPtrArray) loops = lw_idf_loops_end (&reading->loops);

      if (section->loops != NULL)
        section->loops (reading, g_steal_pointer (&loops));
    }
  return section->end == NULL || section->end (reading, error);
}

/* An unknown section's keywords are read as text until its own end. */
static gboolean
ends_section (LwIdfReading *reading, const LwIdfRecord *record, const char *name, gboolean *ends,
              GError **error)
{
  const char *word = record->field[0];

  *ends = g_ascii_strncasecmp (word, "END_", 4) == 0 && g_ascii_strcasecmp (word + 4, name) == 0;
  if (*ends)
    return TRUE;
  return lw_idf_fail (
    reading->lexer, record->line, error,
    _("section .%.60s, begun on line %u, is not closed: .END_%.60s expected, not .%.60s"), name,
    reading->section_line, name, word);
}

static gboolean
read_section (LwIdfReading *reading, const char *name, LwIdfRecord *record, GError **error)
{
  gboolean ends;
  int got;

  while ((got = lw_idf_next (reading->lexer, record, error)) > 0)
    {
      if (record->keyword)
        {
          if (!ends_section (reading, record, name, &ends, error))
            return FALSE;
          return end_section (reading, error);
        }
      if (!read_record (reading, record, error))
        return FALSE;
      reading->n_records++;
    }
  record->keyword = FALSE;
  if (got < 0)
    return FALSE;
  return lw_idf_fail (reading->lexer, lw_idf_lexer_line (reading->lexer), error,
                      _("end of file inside section .%.60s, begun on line %u"), name,
                      reading->section_line);
}

/* Loops that are closed are whole, though their section is not. */
static void
drop_half (LwIdfReading *reading)
{
  const LwIdfSection *section = reading->section;

  if (section == NULL)
    return;
  if (section->loops != NULL && reading->loops.loops != NULL && reading->loops.loops->len > 0)
    section->loops (reading, g_steal_pointer (&reading->loops.loops));
  if (section->drop != NULL)
    section->drop (reading);
}

/* RECORD begins the section; after a fault it is where that was met. */
static gboolean
begin_section (LwIdfReading *reading, const LwIdfSection *table, LwIdfRecord *record, GError **error)
{
  g_autofree char *name = g_strdup (record->field[0]);
  gboolean ok;

  if (g_ascii_strncasecmp (name, "END_", 4) == 0)
    return lw_idf_fail (reading->lexer, record->line, error,
                        _(".%.60s closes a section that is not open"), name);
  reading->section = find_section (table, name);
  reading->section_line = record->line;
  reading->n_records = 0;
  reading->open = NULL;
  if (reading->section == NULL)
    lw_notes_add (reading->lexer->notes, reading->lexer->name, record->line,
                  _("unknown section .%.60s is skipped"), name);
  lw_idf_loops_begin (&reading->loops, reading->lexer, reading->header->unit_mm, &reading->n_points);
  ok = read_section (reading, name, record, error);
  if (!ok && reading->salvage)
    drop_half (reading);
  lw_idf_loops_abort (&reading->loops);
  return ok;
}

static gboolean
read_one (LwIdfReading *reading, const LwIdfSection *table, LwIdfRecord *record, GError **error)
{
  if (record->keyword)
    return begin_section (reading, table, record, error);
  return lw_idf_fail (reading->lexer, record->line, error, _("“%.60s” stands outside any section"),
                      record->field[0]);
}

/* Notes FAULT (transfer full) and goes on to where a section ends or begins. TRUE: it begins, with RECORD.
 * Every step takes a line, so it ends. */
static gboolean
skip_fault (LwIdfReading *reading, GError *fault, LwIdfRecord *record)
{
  int got = 1;

  lw_notes_add_damage (reading->lexer->notes, reading->lexer->name, fault);
  if (reading->damage == NULL)
    reading->damage = fault;
  else
    g_error_free (fault);
  while (got < 0 || (got > 0 && !record->keyword))
    got = lw_idf_next (reading->lexer, record, NULL);
  return got > 0 && g_ascii_strncasecmp (record->field[0], "END_", 4) != 0;
}

gboolean
lw_idf_sections_read (LwIdfReading *reading, const LwIdfSection *table, GError **error)
{
  LwIdfRecord record = { 0 };
  GError *fault = NULL;
  gboolean at_begin = FALSE; /* RECORD was found by skipping */

  while (TRUE)
    {
      int got = at_begin ? 1 : lw_idf_next (reading->lexer, &record, &fault);

      if (got == 0)
        return TRUE;
      if (got < 0)
        record.keyword = FALSE;
      if (got > 0 && read_one (reading, table, &record, &fault))
        at_begin = FALSE;
      else if (reading->salvage)
        at_begin = skip_fault (reading, g_steal_pointer (&fault), &record);
      else
        {
          g_propagate_error (error, fault);
          return FALSE;
        }
    }
}
