/* The station a job starts with, until the person chooses another. */
#ifndef LW_USUAL_STATION_H
#define LW_USUAL_STATION_H

#include "board/job.h"

G_BEGIN_DECLS

/* The station of the library with that NAME from now on; NULL, "" or a name that is not there: the library's first. Any
 * thread. */
void lw_usual_station_set (const char *name);
/* Gives a job that nobody else sees yet the usual station, or a bare one where the library has none. */
void lw_job_take_usual_station (LwJob *job);

G_END_DECLS

#endif
