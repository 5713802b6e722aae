#include "board/usual-station.h"

#include "board/library.h"

static GMutex lock;
static char *usual; /* guarded by lock */

void
lw_usual_station_set (const char *name)
{
  g_mutex_lock (&lock);
  g_free (usual);
  usual = g_strdup (name);
  g_mutex_unlock (&lock);
}

static LwStation *
usual_station (void)
{
  g_autofree const char **names = lw_library_names ("stations");
  g_autofree char *name = NULL;
  LwStation *station;

  g_mutex_lock (&lock);
  name = g_strdup (usual);
  g_mutex_unlock (&lock);
  station = name == NULL || *name == '\0' ? NULL : lw_library_station (name);
  if (station == NULL && names != NULL && names[0] != NULL)
    station = lw_library_station (names[0]);
  return station;
}

void
lw_job_take_usual_station (LwJob *job)
{
  LwStation *station = usual_station ();

  lw_station_unref (job->station);
  job->station = station != NULL ? lw_station_ref (station) : lw_station_new ();
}
