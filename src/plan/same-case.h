/* Whether two compiled plans pose the same question but for what a drive may vary. Inside plan/. */
#ifndef LW_SAME_CASE_H
#define LW_SAME_CASE_H

#include "plan/compile.h"

G_BEGIN_DECLS

/* Compares what the scenes say, and the parts' names. B may have its gas off where A has it on. Set points,
 * times, flows, the room's temperature and that of the start are left out. */
gboolean lw_case_same (const LwCase *a, const LwCase *b);

G_END_DECLS

#endif
