/* What the writers share. Internal to the room. */
#ifndef LW_EXPORT_TEXT_H
#define LW_EXPORT_TEXT_H

#include "exchange/export.h"

G_BEGIN_DECLS

/* To the nanometre, without needless zeros, in every locale with a point. */
void lw_export_number (GString *out, double value);

/* The name a part's body goes by in a library: its package's, and behind it what this part has otherwise
 * (transfer full). Two parts of one name have one body and one height. */
char *lw_export_geometry (const LwJob *job, const LwPart *part);

G_END_DECLS

#endif
