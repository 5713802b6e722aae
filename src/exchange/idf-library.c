/* The library file of a pair: a body outline and a height for each geometry and part number. */
#include <glib/gi18n.h>
#include <string.h>

#include "exchange/idf-sections.h"

/* geometry, part number, unit, height */
static gboolean
read_first (LwIdfReading *reading, const LwIdfRecord *record, GError **error)
{
  LwIdfLexer *lexer = reading->lexer;
  LwIdfLibrary *library = reading->target;
  const char *geometry = lw_idf_field (lexer, record, 0, _("geometry name"), error);
  const char *number = geometry ? lw_idf_field (lexer, record, 1, _("part number"), error) : NULL;
  double unit, height;
  LwListedBody *entry;

  if (number == NULL || !lw_idf_unit (lexer, record, 2, reading->header->version, &unit, error)
      || !lw_idf_length (lexer, record, 3, _("height"), unit, &height, error))
    return FALSE;
  if (library->listed.entries->len >= LW_LISTED_MAX_BODIES)
    return lw_notes_fail (error, LW_IMPORT_ERROR_TOO_LARGE, lexer->name, record->line,
                          _("more than %d entries"), LW_LISTED_MAX_BODIES);
  lw_idf_expect_fields (lexer, record, 4);
  entry = lw_listed_body_new (geometry, number, height, record->line);
  g_ptr_array_add (library->listed.entries, entry);
  entry->mechanical = strcmp (reading->section->name, "MECHANICAL") == 0;
  reading->open = entry;
  reading->loops.unit_mm = unit; /* each part has its own */
  return TRUE;
}

static gboolean
read_property (LwIdfReading *reading, const LwIdfRecord *record, GError **error)
{
  LwListedBody *entry = reading->open;
  const char *name = lw_idf_field (reading->lexer, record, 1, _("name of a property"), error);
  const char *value =
    name ? lw_idf_field (reading->lexer, record, 2, _("value of a property"), error) : NULL;
  LwListedProperty property;

  if (value == NULL)
    return FALSE;
  property = (LwListedProperty) { g_strdup (name), g_strdup (value) };
  g_array_append_val (entry->properties, property);
  return TRUE;
}

static gboolean
entry_record (LwIdfReading *reading, const LwIdfRecord *record, GError **error)
{
  if (reading->n_records == 0)
    return read_first (reading, record, error);
  if (g_ascii_strcasecmp (record->field[0], "PROP") == 0)
    return read_property (reading, record, error);
  return lw_idf_loops_add (&reading->loops, record, error);
}

static gboolean
entry_end (LwIdfReading *reading, GError **error)
{
  LwListedBody *entry = reading->open;

  if (entry == NULL)
    return lw_idf_fail (reading->lexer, reading->section_line, error, _("an empty .%s section"),
                        reading->section->name);
  entry->loops = lw_idf_loops_end (&reading->loops);
  return TRUE;
}

/* A section is one body: a part of its edge is none. */
static void
entry_drop (LwIdfReading *reading)
{
  LwIdfLibrary *library = reading->target;

  if (reading->open != NULL)
    g_ptr_array_set_size (library->listed.entries, (int) library->listed.entries->len - 1);
  reading->open = NULL;
}

static const LwIdfSection library_sections[] = {
  { "ELECTRICAL", NULL, NULL, entry_record, NULL, NULL, entry_end, entry_drop },
  { "MECHANICAL", NULL, NULL, entry_record, NULL, NULL, entry_end, entry_drop },
  { NULL }
};

void
lw_idf_library_free (LwIdfLibrary *self)
{
  if (self == NULL)
    return;
  lw_idf_header_clear (&self->header);
  lw_listed_library_clear (&self->listed);
  g_free (self);
}

LwIdfLibrary *
lw_idf_library_read (LwIdfLexer *lexer, gboolean salvage, GError **error)
{
  g_autoptr (LwIdfLibrary) library = g_new0 (LwIdfLibrary, 1);
  LwIdfReading reading = { .lexer = lexer, .header = &library->header, .target = library, .salvage = salvage };
  gboolean fine;

  lw_listed_library_init (&library->listed, lexer->name);
  library->header.unit_mm = 1; /* libraries have none; each entry states its own */
  fine = lw_idf_header_read (lexer, FALSE, &library->header, error)
         && lw_idf_sections_read (&reading, library_sections, error);
  g_clear_error (&reading.damage); /* told among the notes */
  if (!fine)
    return NULL;
  lw_listed_library_index (&library->listed, lexer->notes);
  return g_steal_pointer (&library);
}
