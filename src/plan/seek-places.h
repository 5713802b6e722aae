/* Where nozzle, preheat area and shields may stand: the geometries a search tries. Inside plan/. */
#ifndef LW_SEEK_PLACES_H
#define LW_SEEK_PLACES_H

#include "board/job.h"

G_BEGIN_DECLS

typedef struct {
  gboolean keep_nozzle, keep_height, keep_area, keep_shields;
  const GPtrArray *to_shield; /* char *: references of neighbours worth a shield, worst first; or NULL */
} LwSeekFreedom;

/* One of each kind of choice; 0 is the plan's own. */
enum { LW_SEEK_NOZZLE, LW_SEEK_HEIGHT, LW_SEEK_AREA, LW_SEEK_SHIELDING, LW_SEEK_N_KINDS };
typedef struct {
  guint pick[LW_SEEK_N_KINDS];
} LwSeekPick;

typedef struct LwSeekPlaces LwSeekPlaces;

/* JOB must outlive it; FREEDOM is read during the call alone. */
LwSeekPlaces *lw_seek_places_new (const LwJob *job, guint plan, const LwSeekFreedom *freedom);
void lw_seek_places_free (LwSeekPlaces *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwSeekPlaces, lw_seek_places_free)

/* How many choices there are of a kind, the plan's own among them. */
guint lw_seek_places_n (const LwSeekPlaces *self, guint kind);
/* The job with that place in its plan (transfer full); NULL when the station does not have it or the geometry's
 * findings stop it. */
LwJob *lw_seek_places_make (const LwSeekPlaces *self, LwSeekPick pick);
/* The plan's own place, and every one that differs from it in one kind of choice (GArray of LwSeekPick). */
GArray *lw_seek_places_singles (const LwSeekPlaces *self);

G_END_DECLS

#endif
