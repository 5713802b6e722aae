/* Drawing by hand in one window: the tool in hand, the grid, guides, what is measured, and which loop, corner
 * and edge are looked at. Board view and outline panel share it through the desk. */
#ifndef LW_SKETCH_H
#define LW_SKETCH_H

#include "board/edits-outline.h"
#include "board/snap.h"

#include <gio/gio.h>

G_BEGIN_DECLS

typedef enum {
  LW_TOOL_PLAN,      /* parts and the plan's objects, as ever */
  LW_TOOL_SHAPE,     /* corners and edges of loops */
  LW_TOOL_RECTANGLE, /* new loops */
  LW_TOOL_CIRCLE,
  LW_TOOL_SLOT,
  LW_TOOL_POLYGON,
  LW_TOOL_MEASURE,
  LW_N_TOOLS
} LwTool;

#define LW_TYPE_SKETCH (lw_sketch_get_type ())
G_DECLARE_FINAL_TYPE (LwSketch, lw_sketch, LW, SKETCH, GObject)

/* Signal "changed": something of what follows is different. */
LwSketch *lw_sketch_new (void);
/* For another document: tool, guides and choices as at the beginning. */
void lw_sketch_reset (LwSketch *self);

/* The tool in hand; another one forgets what was measured. */
LwTool lw_sketch_tool (LwSketch *self);
void lw_sketch_set_tool (LwSketch *self, LwTool tool);
/* What new loops become. */
LwLoopOwner lw_sketch_draws (LwSketch *self);
void lw_sketch_set_draws (LwSketch *self, LwLoopOwner owner);

/* The loop looked at; CORNER and EDGE are -1 when none is chosen, at most one of them is. */
LwLoopPlace lw_sketch_place (LwSketch *self);
int lw_sketch_corner (LwSketch *self);
int lw_sketch_edge (LwSketch *self);
void lw_sketch_choose (LwSketch *self, LwLoopPlace place, int corner, int edge);

double lw_sketch_grid_mm (LwSketch *self); /* > 0 */
/* Above 0 and up to 100; anything else changes nothing. */
void lw_sketch_set_grid_mm (LwSketch *self, double grid_mm);
/* Width of slots to come, > 0; setting anything else changes nothing. */
double lw_sketch_slot_width_mm (LwSketch *self);
void lw_sketch_set_slot_width_mm (LwSketch *self, double width_mm);

/* Guides: of double, mm (transfer none). Adding one that is there takes it away. */
const GArray *lw_sketch_guides (LwSketch *self, gboolean upright);
void lw_sketch_toggle_guide (LwSketch *self, gboolean upright, double at_mm);
void lw_sketch_clear_guides (LwSketch *self);

/* What is measured; FALSE when nothing is. */
gboolean lw_sketch_measured (LwSketch *self, LwPoint *from, LwPoint *to);
void lw_sketch_set_measured (LwSketch *self, LwPoint from, LwPoint to);

G_END_DECLS

#endif
