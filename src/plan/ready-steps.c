/* The steps of each operation, with its cautions, in our own words. Common practice; the shop's procedure, the maker's data
 * and the paste's own sheet come first. */
#include <glib/gi18n.h>

#include "plan/ready.h"

static const char *const REMOVE[] = {
  N_("Flux the joints; check that nothing on the other side can drop off when it softens."),
  N_("Run the plan, and lift straight up only when every joint is liquid: a part that still holds takes its lands with it."),
  N_("Let the board cool in the holder; do not move it while solder is soft."),
  NULL
};
static const char *const CLEAN[] = {
  N_("Preheat the board, so that the tool only has to melt the solder."),
  N_("Wick or draw off the old solder with fresh flux; move the tool across the lands, never press or drag."),
  N_("Each melting is a reflow for the lands: be done in one pass where it goes."),
  N_("Take the flux off with the cleaner its maker names (fumes, flames: ventilate), and look at every land under the microscope."),
  NULL
};
static const char *const PRINT[] = {
  N_("Bring the paste to room temperature closed, look at its date, and stir it as its sheet says."),
  N_("Lay the stencil flat on the lands, print in one stroke, lift it straight off."),
  N_("Look at every deposit: whole, even, no bridges. Else wipe all of it off and print again."),
  N_("Solder it within the time the paste’s sheet allows. Gloves: paste is poison, and may hold lead."),
  NULL
};
static const char *const DISPENSE[] = {
  N_("Bring the material to room temperature closed and look at its date."),
  N_("Put the same small amount on every land, or a thin even film of flux where the part brings its own solder."),
  N_("Look at it under the microscope: nothing beside the lands, none without."),
  N_("Gloves and ventilation; nothing of it near food."),
  NULL
};
static const char *const PLACE[] = {
  N_("Look at the part: right number, right way round, balls or leads whole and even, floor life not passed."),
  N_("Align it over the lands and set it down without pressing the paste away."),
  N_("Do not move the board from here until it is soldered."),
  NULL
};
static const char *const REFLOW[] = {
  N_("Run the plan; look for the part to sink and settle when its joints are liquid."),
  N_("Do not touch part or board until all joints are solid; let it cool in the holder."),
  N_("Inspect: joints, bridges, the neighbours, the other side; X-ray what hides under the body."),
  NULL
};

const char *
lw_ready_step (LwOperation operation, guint index)
{
  static const char *const *const all[LW_N_OPS] = { [LW_OP_REMOVE] = REMOVE,     [LW_OP_CLEAN] = CLEAN,
                                                    [LW_OP_PRINT] = PRINT,       [LW_OP_DISPENSE] = DISPENSE,
                                                    [LW_OP_PLACE] = PLACE,       [LW_OP_REFLOW] = REFLOW };
  const char *const *steps = operation < LW_N_OPS ? all[operation] : NULL;

  for (guint i = 0; steps != NULL && steps[i] != NULL; i++)
    if (i == index)
      return _(steps[i]);
  return NULL;
}
