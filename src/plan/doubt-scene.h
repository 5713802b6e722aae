/* Inside the room: a case's scene with the uncertain inputs moved, for the full solution. */
#ifndef LW_DOUBT_SCENE_H
#define LW_DOUBT_SCENE_H

#include "heat/reduced.h"
#include "plan/compile.h"

G_BEGIN_DECLS

/* Borrows from the case; what was changed is its own. */
typedef struct {
  HeatScene scene;
  HeatBody *bodies;
  double *gas_c, *preheat_c;
} LwMovedScene;

/* The scene of OF as DRIVE (heat_drive_of() its scene, then moved) has it. */
LwMovedScene *lw_moved_scene_new (const LwCase *of, const HeatDrive *drive);
void lw_moved_scene_free (LwMovedScene *self); /* NULL allowed */
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwMovedScene, lw_moved_scene_free)

G_END_DECLS

#endif
