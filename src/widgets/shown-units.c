#include "widgets/shown-units.h"

#include <glib/gi18n.h>

typedef GObject Watch;
typedef GObjectClass WatchClass;
static GType watch_get_type (void);
G_DEFINE_TYPE (Watch, watch, G_TYPE_OBJECT)

static LwUnits shown;

static void
watch_class_init (WatchClass *class)
{
  g_signal_new ("changed", G_TYPE_FROM_CLASS (class), G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void
watch_init (Watch *self)
{
}

GObject *
lw_shown_units_signal (void)
{
  static GObject *watch;

  if (watch == NULL)
    watch = g_object_new (watch_get_type (), NULL);
  return watch;
}

LwUnits
lw_shown_units (void)
{
  return shown;
}

void
lw_set_shown_units (LwUnits units)
{
  if (units.inches == shown.inches && units.fahrenheit == shown.fahrenheit)
    return;
  shown = units;
  g_signal_emit_by_name (lw_shown_units_signal (), "changed");
}

static void
retitle (GtkColumnViewColumn *column)
{
  g_autofree char *title = lw_units_heading (shown, g_object_get_data (G_OBJECT (column), "plain-title"));

  gtk_column_view_column_set_title (column, title);
}

GtkColumnViewColumn *
lw_column_new (const char *title, GtkListItemFactory *factory)
{
  GtkColumnViewColumn *column = gtk_column_view_column_new (NULL, factory);

  g_object_set_data (G_OBJECT (column), "plain-title", (gpointer) g_dpgettext2 (NULL, "column", title));
  retitle (column);
  g_signal_connect_object (lw_shown_units_signal (), "changed", G_CALLBACK (retitle), column, G_CONNECT_SWAPPED);
  return column;
}
