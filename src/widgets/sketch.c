#include "widgets/sketch.h"

#include <math.h>

#define GRID_MM 0.5       /* parts of today stand on 0.5 mm or finer: common practice, no source */
#define SLOT_WIDTH_MM 2.0 /* a common router bit */

struct _LwSketch {
  GObject parent_instance;

  LwTool tool;
  LwLoopOwner draws;
  LwLoopPlace place;
  int corner, edge;
  double grid_mm, slot_width_mm;
  GArray *guides[2]; /* lying, upright */
  gboolean measured;
  LwPoint from, to;
};

G_DEFINE_FINAL_TYPE (LwSketch, lw_sketch, G_TYPE_OBJECT)

static guint changed_signal;

static void
changed (LwSketch *self)
{
  g_signal_emit (self, changed_signal, 0);
}

void
lw_sketch_reset (LwSketch *self)
{
  g_return_if_fail (LW_IS_SKETCH (self));
  self->tool = LW_TOOL_PLAN;
  self->draws = LW_LOOP_OUTLINE;
  self->place = (LwLoopPlace){ LW_LOOP_OUTLINE, 0 };
  self->corner = self->edge = -1;
  self->measured = FALSE;
  g_array_set_size (self->guides[0], 0);
  g_array_set_size (self->guides[1], 0);
  changed (self);
}

LwTool
lw_sketch_tool (LwSketch *self)
{
  return self->tool;
}

void
lw_sketch_set_tool (LwSketch *self, LwTool tool)
{
  if (self->tool == tool || tool >= LW_N_TOOLS)
    return;
  self->tool = tool;
  self->measured = FALSE;
  changed (self);
}

LwLoopOwner
lw_sketch_draws (LwSketch *self)
{
  return self->draws;
}

void
lw_sketch_set_draws (LwSketch *self, LwLoopOwner owner)
{
  if (self->draws == owner || owner >= LW_N_LOOP_OWNERS)
    return;
  self->draws = owner;
  changed (self);
}

LwLoopPlace
lw_sketch_place (LwSketch *self)
{
  return self->place;
}

int
lw_sketch_corner (LwSketch *self)
{
  return self->corner;
}

int
lw_sketch_edge (LwSketch *self)
{
  return self->edge;
}

void
lw_sketch_choose (LwSketch *self, LwLoopPlace place, int corner, int edge)
{
  if (self->place.owner == place.owner && self->place.index == place.index && self->corner == corner
      && self->edge == edge)
    return;
  self->place = place;
  self->corner = corner;
  self->edge = corner >= 0 ? -1 : edge;
  changed (self);
}

double
lw_sketch_grid_mm (LwSketch *self)
{
  return self->grid_mm;
}

void
lw_sketch_set_grid_mm (LwSketch *self, double grid_mm)
{
  if (!(grid_mm > 0.0) || grid_mm > 100.0 || grid_mm == self->grid_mm)
    return;
  self->grid_mm = grid_mm;
  changed (self);
}

double
lw_sketch_slot_width_mm (LwSketch *self)
{
  return self->slot_width_mm;
}

void
lw_sketch_set_slot_width_mm (LwSketch *self, double width_mm)
{
  if (!(width_mm > 0.0) || !isfinite (width_mm) || width_mm == self->slot_width_mm)
    return;
  self->slot_width_mm = width_mm;
  changed (self);
}

const GArray *
lw_sketch_guides (LwSketch *self, gboolean upright)
{
  return self->guides[upright != FALSE];
}

void
lw_sketch_toggle_guide (LwSketch *self, gboolean upright, double at_mm)
{
  GArray *guides = self->guides[upright != FALSE];

  if (!isfinite (at_mm))
    return;
  for (guint i = 0; i < guides->len; i++)
    if (fabs (g_array_index (guides, double, i) - at_mm) < 1e-6) {
      g_array_remove_index (guides, i);
      changed (self);
      return;
    }
  g_array_append_val (guides, at_mm);
  changed (self);
}

void
lw_sketch_clear_guides (LwSketch *self)
{
  g_array_set_size (self->guides[0], 0);
  g_array_set_size (self->guides[1], 0);
  changed (self);
}

gboolean
lw_sketch_measured (LwSketch *self, LwPoint *from, LwPoint *to)
{
  *from = self->from;
  *to = self->to;
  return self->measured;
}

void
lw_sketch_set_measured (LwSketch *self, LwPoint from, LwPoint to)
{
  self->measured = TRUE;
  self->from = from;
  self->to = to;
  changed (self);
}

static void
lw_sketch_finalize (GObject *object)
{
  LwSketch *self = LW_SKETCH (object);

  g_array_unref (self->guides[0]);
  g_array_unref (self->guides[1]);
  G_OBJECT_CLASS (lw_sketch_parent_class)->finalize (object);
}

static void
lw_sketch_class_init (LwSketchClass *class)
{
  G_OBJECT_CLASS (class)->finalize = lw_sketch_finalize;
  changed_signal = g_signal_new ("changed", G_TYPE_FROM_CLASS (class), G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                 G_TYPE_NONE, 0);
}

static void
lw_sketch_init (LwSketch *self)
{
  self->guides[0] = g_array_new (FALSE, FALSE, sizeof (double));
  self->guides[1] = g_array_new (FALSE, FALSE, sizeof (double));
  self->grid_mm = GRID_MM;
  self->slot_width_mm = SLOT_WIDTH_MM;
  self->corner = self->edge = -1;
}

LwSketch *
lw_sketch_new (void)
{
  return g_object_new (LW_TYPE_SKETCH, NULL);
}
