#include "board/names.h"

#include <glib/gi18n.h>

const char *
lw_side_label (LwSide side)
{
  return side == LW_SIDE_TOP ? C_ ("side of a board", "Top") : C_ ("side of a board", "Bottom");
}

const char *
lw_operation_label (LwOperation operation)
{
  switch (operation) {
  case LW_OP_REMOVE:
    return C_ ("operation", "Remove");
  case LW_OP_CLEAN:
    return C_ ("operation", "Clean site");
  case LW_OP_PRINT:
    return C_ ("operation", "Print");
  case LW_OP_DISPENSE:
    return C_ ("operation", "Dispense");
  case LW_OP_REFLOW:
    return C_ ("operation", "Reflow");
  default:
    return C_ ("operation", "Place");
  }
}

const char *
lw_shape_label (LwStageShape shape)
{
  return shape == LW_SHAPE_RAMP ? _("ramp") : _("at once");
}
