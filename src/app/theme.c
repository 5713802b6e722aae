#include "app/theme.h"

#include "app/settings.h"

#define DESKTOP_SCHEMA "org.gnome.desktop.interface"
#define DESKTOP_KEY "color-scheme"

static GSettings *desktop; /* NULL where there is no such desktop */

/* GTK 4.8 does not read the desktop's wish for dark windows by itself. */
static GSettings *
find_desktop (void)
{
  GSettingsSchemaSource *source = g_settings_schema_source_get_default ();
  g_autoptr (GSettingsSchema) schema = NULL;

  if (source != NULL)
    schema = g_settings_schema_source_lookup (source, DESKTOP_SCHEMA, TRUE);
  if (schema == NULL || !g_settings_schema_has_key (schema, DESKTOP_KEY))
    return NULL;
  return g_settings_new_full (schema, NULL, NULL);
}

static gboolean
desktop_is_dark (void)
{
  g_autofree char *scheme = desktop == NULL ? NULL : g_settings_get_string (desktop, DESKTOP_KEY);

  return g_strcmp0 (scheme, "prefer-dark") == 0;
}

static void
apply (void)
{
  g_autofree char *choice = lw_settings_text ("theme", "follow");
  GtkSettings *settings = gtk_settings_get_default ();

  if (settings == NULL)
    return;
  if (g_strcmp0 (choice, "follow") == 0 && !desktop_is_dark ())
    gtk_settings_reset_property (settings, "gtk-application-prefer-dark-theme");
  else
    g_object_set (settings, "gtk-application-prefer-dark-theme", g_strcmp0 (choice, "light") != 0, NULL);
}

void
lw_theme_set (const char *choice)
{
  lw_settings_set_text ("theme", choice);
  apply ();
}

void
lw_theme_follow (void)
{
  static gboolean following;

  if (!following) {
    following = TRUE;
    desktop = find_desktop ();
    if (desktop != NULL)
      g_signal_connect (desktop, "changed::" DESKTOP_KEY, G_CALLBACK (apply), NULL);
    if (lw_settings () != NULL)
      g_signal_connect (lw_settings (), "changed::theme", G_CALLBACK (apply), NULL);
  }
  apply ();
}
