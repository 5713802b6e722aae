/* The doubt of a reduced model's answer by runs of that model itself. */
#ifndef LW_QUICK_DOUBT_H
#define LW_QUICK_DOUBT_H

#include "plan/doubt.h"
#include "plan/quick.h"

G_BEGIN_DECLS

/* Each uncertain input moved alone, as plan/doubt-surface.h says, for QUICK's own plan. The model must have been built
 * with vary_conductance. IN_RANGE: the nozzle works within the published range of its film. CANCELLABLE and ERROR may
 * be NULL. */
LwDoubt *lw_quick_doubt (LwQuick *quick, gboolean in_range, GCancellable *cancellable, GError **error);
/* The answer to QUICK's own plan with its doubt: what the full solution would say, at a fraction of its cost. */
LwPrediction *lw_quick_predict_sure (LwQuick *quick, GCancellable *cancellable, GError **error);

G_END_DECLS

#endif
