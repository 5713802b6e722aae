#include "board/names.h"

#include <glib/gi18n.h>
#include <string.h>

const char *
lw_side_label (LwSide side)
{
  return side == LW_SIDE_TOP ? C_ ("side of a board", "Top") : C_ ("side of a board", "Bottom");
}

gboolean
lw_side_from_text (const char *text, LwSide *side)
{
  g_autofree char *typed = g_utf8_casefold (text, -1);

  for (LwSide s = LW_SIDE_TOP; typed[0] != '\0' && s <= LW_SIDE_BOTTOM; s++)
    {
      g_autofree char *name = g_utf8_casefold (lw_side_label (s), -1);

      if (strcmp (typed, name) != 0 && !g_str_has_prefix (lw_side_word (s), typed))
        continue;
      *side = s;
      return TRUE;
    }
  return FALSE;
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
