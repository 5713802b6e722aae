#include "app/habits.h"

#include "app/settings.h"
#include "board/usual-station.h"
#include "widgets/shown-units.h"

static void
apply_units (void)
{
  g_autofree char *length = lw_settings_text ("length-unit", "mm");
  g_autofree char *temperature = lw_settings_text ("temperature-unit", "celsius");

  lw_set_shown_units ((LwUnits){ .inches = g_str_equal (length, "inch"),
                                 .fahrenheit = g_str_equal (temperature, "fahrenheit") });
}

static void
apply_station (void)
{
  g_autofree char *name = lw_settings_text ("station", "");

  lw_usual_station_set (name);
}

void
lw_habits_follow (void)
{
  static gboolean following;

  if (!following && lw_settings () != NULL) {
    following = TRUE;
    g_signal_connect (lw_settings (), "changed::length-unit", G_CALLBACK (apply_units), NULL);
    g_signal_connect (lw_settings (), "changed::temperature-unit", G_CALLBACK (apply_units), NULL);
    g_signal_connect (lw_settings (), "changed::station", G_CALLBACK (apply_station), NULL);
  }
  apply_units ();
  apply_station ();
}
