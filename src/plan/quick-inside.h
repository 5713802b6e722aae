/* Inside of the quick answers, for their own files. */
#ifndef LW_QUICK_INSIDE_H
#define LW_QUICK_INSIDE_H

#include "plan/quick.h"

G_BEGIN_DECLS

/* The workspace behind a run; NULL never. */
HeatReducedRun *lw_quick_run_heat (LwQuickRun *run);

G_END_DECLS

#endif
