/* A reduced model's answer with its doubt. */
#ifndef LW_QUICK_DOUBT_H
#define LW_QUICK_DOUBT_H

#include "plan/quick.h"

G_BEGIN_DECLS

/* The answer to QUICK's own plan with its doubt, so that findings are graded as the full solution's are. CANCELLABLE
 * and ERROR may be NULL. */
LwPrediction *lw_quick_predict_sure (LwQuick *quick, GCancellable *cancellable, GError **error);

G_END_DECLS

#endif
