/* The library file of a pair: a body outline and a height for each geometry and part number. */
#include <glib/gi18n.h>
#include <string.h>

#include "exchange/idf-sections.h"

static void
property_clear (gpointer data)
{
  LwIdfProperty *property = data;

  g_free (property->name);
  g_free (property->value);
}

static void
entry_free (gpointer data)
{
  LwIdfEntry *self = data;

  g_free (self->geometry);
  g_free (self->number);
  g_clear_pointer (&self->loops, g_ptr_array_unref);
  g_array_unref (self->properties);
  g_free (self);
}

static LwIdfEntry *
entry_new (const char *geometry, const char *number, double height_mm, guint line)
{
  LwIdfEntry *self = g_new0 (LwIdfEntry, 1);

  self->geometry = g_strdup (geometry);
  self->number = g_strdup (number);
  self->height_mm = height_mm;
  self->line = line;
  self->properties = g_array_new (FALSE, FALSE, sizeof (LwIdfProperty));
  g_array_set_clear_func (self->properties, property_clear);
  return self;
}

/* geometry, part number, unit, height */
static gboolean
read_first (LwIdfReading *reading, const LwIdfRecord *record, GError **error)
{
  LwIdfLexer *lexer = reading->lexer;
  LwIdfLibrary *library = reading->target;
  const char *geometry = lw_idf_field (lexer, record, 0, _("geometry name"), error);
  const char *number = geometry ? lw_idf_field (lexer, record, 1, _("part number"), error) : NULL;
  double unit, height;
  LwIdfEntry *entry;

  if (number == NULL || !lw_idf_unit (lexer, record, 2, reading->header->version, &unit, error)
      || !lw_idf_length (lexer, record, 3, _("height"), unit, &height, error))
    return FALSE;
  if (library->entries->len >= LW_IDF_MAX_ENTRIES)
    return lw_notes_fail (error, LW_IMPORT_ERROR_TOO_LARGE, lexer->name, record->line,
                          _("more than %d entries"), LW_IDF_MAX_ENTRIES);
  lw_idf_expect_fields (lexer, record, 4);
  entry = entry_new (geometry, number, height, record->line);
  g_ptr_array_add (library->entries, entry);
  entry->mechanical = strcmp (reading->section->name, "MECHANICAL") == 0;
  reading->open = entry;
  reading->loops.unit_mm = unit; /* each part has its own */
  return TRUE;
}

static gboolean
read_property (LwIdfReading *reading, const LwIdfRecord *record, GError **error)
{
  LwIdfEntry *entry = reading->open;
  const char *name = lw_idf_field (reading->lexer, record, 1, _("name of a property"), error);
  const char *value =
    name ? lw_idf_field (reading->lexer, record, 2, _("value of a property"), error) : NULL;
  LwIdfProperty property;

  if (value == NULL)
    return FALSE;
  property = (LwIdfProperty) { g_strdup (name), g_strdup (value) };
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
  LwIdfEntry *entry = reading->open;

  if (entry == NULL)
    return lw_idf_fail (reading->lexer, reading->section_line, error, _("an empty .%s section"),
                        reading->section->name);
  entry->loops = lw_idf_loops_end (&reading->loops);
  return TRUE;
}

static const LwIdfSection library_sections[] = {
  { "ELECTRICAL", NULL, NULL, entry_record, NULL, NULL, entry_end },
  { "MECHANICAL", NULL, NULL, entry_record, NULL, NULL, entry_end },
  { NULL }
};

void
lw_idf_library_free (LwIdfLibrary *self)
{
  if (self == NULL)
    return;
  g_free (self->name);
  lw_idf_header_clear (&self->header);
  g_hash_table_unref (self->by_key);
  g_hash_table_unref (self->by_geometry);
  g_ptr_array_unref (self->entries);
  g_free (self);
}

/* No name holds a line end, so it can part the two. */
static char *
key_of (const char *geometry, const char *number)
{
  return g_strconcat (geometry, "\n", number, NULL);
}

/* The first of several entries with one key counts. */
static void
index_entries (LwIdfLibrary *self, LwIdfLexer *lexer)
{
  for (guint i = 0; i < self->entries->len; i++)
    {
      LwIdfEntry *entry = self->entries->pdata[i];
      char *key = key_of (entry->geometry, entry->number);

      if (!g_hash_table_contains (self->by_geometry, entry->geometry))
        g_hash_table_insert (self->by_geometry, entry->geometry, entry);
      if (!g_hash_table_contains (self->by_key, key))
        g_hash_table_insert (self->by_key, key, entry);
      else
        {
          lw_notes_add (lexer->notes, lexer->name, entry->line,
                        _("a second entry for %.60s, %.60s is ignored"), entry->geometry,
                        entry->number);
          g_free (key);
        }
    }
}

LwIdfLibrary *
lw_idf_library_read (LwIdfLexer *lexer, GError **error)
{
  g_autoptr (LwIdfLibrary) library = g_new0 (LwIdfLibrary, 1);
  LwIdfReading reading = { .lexer = lexer, .header = &library->header, .target = library };

  library->name = g_strdup (lexer->name);
  library->entries = g_ptr_array_new_with_free_func (entry_free);
  library->by_key = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  library->by_geometry = g_hash_table_new (g_str_hash, g_str_equal);
  library->header.unit_mm = 1; /* libraries have none; each entry states its own */
  if (!lw_idf_header_read (lexer, FALSE, &library->header, error)
      || !lw_idf_sections_read (&reading, library_sections, error))
    return NULL;
  index_entries (library, lexer);
  return g_steal_pointer (&library);
}

const LwIdfEntry *
lw_idf_library_find (const LwIdfLibrary *self, const char *geometry, const char *number)
{
  g_autofree char *key = key_of (geometry, number);
  const LwIdfEntry *entry = g_hash_table_lookup (self->by_key, key);

  return entry != NULL ? entry : g_hash_table_lookup (self->by_geometry, geometry);
}
