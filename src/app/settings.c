#include "app/settings.h"

static GHashTable *unsaved; /* key -> GVariant: what was set while there is no schema */

/* g_settings_new() ends the program when a schema is missing, as it is in an uninstalled tree. */
static GSettings *
find_settings (void)
{
  GSettingsSchemaSource *source = g_settings_schema_source_get_default ();
  g_autoptr (GSettingsSchema) schema = NULL;

  if (source != NULL)
    schema = g_settings_schema_source_lookup (source, LW_APP_ID, TRUE);
  if (schema != NULL)
    return g_settings_new_full (schema, NULL, NULL);
  g_info ("The settings schema is not installed; nothing will be remembered.");
  return NULL;
}

GSettings *
lw_settings (void)
{
  static GSettings *settings;
  static gboolean looked;

  if (!looked) {
    looked = TRUE;
    settings = find_settings ();
    unsaved = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, (GDestroyNotify) g_variant_unref);
  }
  return settings;
}

/* NULL when the key was never set and cannot be remembered. */
static GVariant *
stored (const char *key)
{
  GVariant *value;

  if (lw_settings () != NULL)
    return g_settings_get_value (lw_settings (), key);
  value = g_hash_table_lookup (unsaved, key);
  return value == NULL ? NULL : g_variant_ref (value);
}

static void
store (const char *key, GVariant *value)
{
  if (lw_settings () != NULL)
    g_settings_set_value (lw_settings (), key, value);
  else
    g_hash_table_replace (unsaved, g_strdup (key), g_variant_ref_sink (value));
}

int
lw_settings_int (const char *key, int fallback)
{
  g_autoptr (GVariant) value = stored (key);

  return value == NULL ? fallback : g_variant_get_int32 (value);
}

gboolean
lw_settings_flag (const char *key, gboolean fallback)
{
  g_autoptr (GVariant) value = stored (key);

  return value == NULL ? fallback : g_variant_get_boolean (value);
}

char *
lw_settings_text (const char *key, const char *fallback)
{
  g_autoptr (GVariant) value = stored (key);

  return value == NULL ? g_strdup (fallback) : g_variant_dup_string (value, NULL);
}

char **
lw_settings_list (const char *key)
{
  g_autoptr (GVariant) value = stored (key);

  return value == NULL ? g_new0 (char *, 1) : g_variant_dup_strv (value, NULL);
}

void
lw_settings_set_int (const char *key, int value)
{
  store (key, g_variant_new_int32 (value));
}

void
lw_settings_set_flag (const char *key, gboolean value)
{
  store (key, g_variant_new_boolean (value));
}

void
lw_settings_set_text (const char *key, const char *value)
{
  store (key, g_variant_new_string (value));
}

void
lw_settings_set_list (const char *key, const char *const *values)
{
  store (key, g_variant_new_strv (values, -1));
}

LwChances
lw_settings_chances (void)
{
  double stop = lw_settings_int ("stop-percent", 50) / 100.0, watch = lw_settings_int ("watch-percent", 5) / 100.0;

  return (LwChances){ stop, MIN (watch, stop) };
}
