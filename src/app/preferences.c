#include "app/preferences.h"

#include "app/settings.h"
#include "app/theme.h"
#include "board/library.h"

struct _LwPreferences {
  GtkWindow parent_instance;
  GtkDropDown *theme, *length, *temperature, *station;
  GtkCheckButton *reopen;
  GtkSpinButton *autosave, *stop, *watch;
  gboolean filling;
};

G_DEFINE_FINAL_TYPE (LwPreferences, lw_preferences, GTK_TYPE_WINDOW)

static const char *const themes[] = { "follow", "light", "dark", NULL };
static const char *const lengths[] = { "mm", "inch", NULL };
static const char *const temperatures[] = { "celsius", "fahrenheit", NULL };

static void
on_theme (GtkDropDown *drop_down, GParamSpec *pspec, LwPreferences *self)
{
  guint selected = gtk_drop_down_get_selected (drop_down);

  if (!self->filling && selected < g_strv_length ((char **) themes))
    lw_theme_set (themes[selected]);
}

static void
on_length (GtkDropDown *drop_down, GParamSpec *pspec, LwPreferences *self)
{
  if (!self->filling)
    lw_settings_set_text ("length-unit", lengths[gtk_drop_down_get_selected (drop_down) == 1]);
}

static void
on_temperature (GtkDropDown *drop_down, GParamSpec *pspec, LwPreferences *self)
{
  if (!self->filling)
    lw_settings_set_text ("temperature-unit", temperatures[gtk_drop_down_get_selected (drop_down) == 1]);
}

static void
on_station (GtkDropDown *drop_down, GParamSpec *pspec, LwPreferences *self)
{
  GtkStringObject *item = gtk_drop_down_get_selected_item (drop_down);

  if (!self->filling && item != NULL)
    lw_settings_set_text ("station", gtk_string_object_get_string (item));
}

static void
on_reopen (GtkCheckButton *button, LwPreferences *self)
{
  if (!self->filling)
    lw_settings_set_flag ("reopen", gtk_check_button_get_active (button));
}

static void
on_autosave (GtkSpinButton *spin, LwPreferences *self)
{
  if (!self->filling)
    lw_settings_set_int ("autosave-seconds", gtk_spin_button_get_value_as_int (spin));
}

/* What stops a job is never less likely than what is to be watched. */
static void
on_stop (GtkSpinButton *spin, LwPreferences *self)
{
  int stop = gtk_spin_button_get_value_as_int (spin);

  if (self->filling)
    return;
  lw_settings_set_int ("stop-percent", stop);
  if (gtk_spin_button_get_value_as_int (self->watch) > stop)
    gtk_spin_button_set_value (self->watch, stop);
}

static void
on_watch (GtkSpinButton *spin, LwPreferences *self)
{
  int watch = gtk_spin_button_get_value_as_int (spin);

  if (self->filling)
    return;
  lw_settings_set_int ("watch-percent", watch);
  if (gtk_spin_button_get_value_as_int (self->stop) < watch)
    gtk_spin_button_set_value (self->stop, watch);
}

/* Chooses the remembered one of WORDS. */
static void
choose (GtkDropDown *drop_down, const char *key, const char *const *words)
{
  g_autofree char *word = lw_settings_text (key, words[0]);

  for (guint i = 0; words[i] != NULL; i++)
    if (g_str_equal (word, words[i]))
      gtk_drop_down_set_selected (drop_down, i);
}

static void
fill (LwPreferences *self)
{
  g_autofree const char **stations = lw_library_names ("stations");
  g_autoptr (GtkStringList) list = gtk_string_list_new (stations);

  gtk_drop_down_set_model (self->station, G_LIST_MODEL (list));
  choose (self->theme, "theme", themes);
  choose (self->length, "length-unit", lengths);
  choose (self->temperature, "temperature-unit", temperatures);
  if (stations != NULL && stations[0] != NULL)
    choose (self->station, "station", stations);
  gtk_check_button_set_active (self->reopen, lw_settings_flag ("reopen", TRUE));
  gtk_spin_button_set_value (self->autosave, lw_settings_int ("autosave-seconds", 5));
  gtk_spin_button_set_value (self->stop, lw_settings_int ("stop-percent", 50));
  gtk_spin_button_set_value (self->watch, lw_settings_int ("watch-percent", 5));
}

static void
lw_preferences_dispose (GObject *object)
{
  gtk_widget_dispose_template (GTK_WIDGET (object), LW_TYPE_PREFERENCES);
  G_OBJECT_CLASS (lw_preferences_parent_class)->dispose (object);
}

static void
lw_preferences_class_init (LwPreferencesClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  G_OBJECT_CLASS (class)->dispose = lw_preferences_dispose;
  gtk_widget_class_set_template_from_resource (widget_class, "/org/leeward/Leeward/ui/preferences.ui");
  gtk_widget_class_bind_template_child (widget_class, LwPreferences, theme);
  gtk_widget_class_bind_template_child (widget_class, LwPreferences, length);
  gtk_widget_class_bind_template_child (widget_class, LwPreferences, temperature);
  gtk_widget_class_bind_template_child (widget_class, LwPreferences, station);
  gtk_widget_class_bind_template_child (widget_class, LwPreferences, reopen);
  gtk_widget_class_bind_template_child (widget_class, LwPreferences, autosave);
  gtk_widget_class_bind_template_child (widget_class, LwPreferences, stop);
  gtk_widget_class_bind_template_child (widget_class, LwPreferences, watch);
  gtk_widget_class_bind_template_callback (widget_class, on_theme);
  gtk_widget_class_bind_template_callback (widget_class, on_length);
  gtk_widget_class_bind_template_callback (widget_class, on_temperature);
  gtk_widget_class_bind_template_callback (widget_class, on_station);
  gtk_widget_class_bind_template_callback (widget_class, on_reopen);
  gtk_widget_class_bind_template_callback (widget_class, on_autosave);
  gtk_widget_class_bind_template_callback (widget_class, on_stop);
  gtk_widget_class_bind_template_callback (widget_class, on_watch);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Escape, 0, "window.close", NULL);
}

static void
lw_preferences_init (LwPreferences *self)
{
  self->filling = TRUE;
  gtk_widget_init_template (GTK_WIDGET (self));
  fill (self);
  self->filling = FALSE;
}

GtkWidget *
lw_preferences_new (GtkWindow *parent)
{
  return g_object_new (LW_TYPE_PREFERENCES, "transient-for", parent, NULL);
}
