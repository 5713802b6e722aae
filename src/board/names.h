/* What people call the words of a file: translated, static. */
#ifndef LW_NAMES_H
#define LW_NAMES_H

#include "board/job.h"

G_BEGIN_DECLS

/* "Top", "Bottom". */
const char *lw_side_label (LwSide side);
/* The side that TEXT names: as people call it, or as a file does or begins to, whatever the capitals. FALSE for none. */
gboolean lw_side_from_text (const char *text, LwSide *side);
const char *lw_operation_label (LwOperation operation);
/* How a stage reaches its temperature. */
const char *lw_shape_label (LwStageShape shape);

G_END_DECLS

#endif
