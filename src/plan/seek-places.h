/* Where nozzle, preheat area and shields may stand: the geometries a search tries. Inside plan/. */
#ifndef LW_SEEK_PLACES_H
#define LW_SEEK_PLACES_H

#include "board/job.h"

G_BEGIN_DECLS

typedef struct {
  gboolean keep_nozzle, keep_height, keep_area, keep_shields;
  const GPtrArray *to_shield; /* char *: references of neighbours worth a shield, worst first; or NULL */
} LwSeekFreedom;

/* Jobs (LwJob, element-free function set) that differ from JOB in the plan's nozzle, its height, the preheat area
 * and shields; the first is JOB itself. Only what the station has and the geometry's findings do not stop;
 * at most MOST. */
GPtrArray *lw_seek_places (const LwJob *job, guint plan, const LwSeekFreedom *freedom, guint most);

G_END_DECLS

#endif
