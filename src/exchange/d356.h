/* IPC-D-356 and 356A: the netlist of a bare-board test. It knows lands and holes, not parts; lands that
 * name one designator make a part whose joints are known and whose body is not. */
#ifndef LW_D356_H
#define LW_D356_H

#include "exchange/import.h"

G_BEGIN_DECLS

/* Parts lie at the middle of their lands' box, unturned; their bodies are those boxes, and said to be.
 * Designators have at most six characters there. The outline comes from BOARD_EDGE records, else it is
 * assumed. */
LwImport *lw_import_d356 (const char *name, const char *data, gsize size, GError **error);
/* Do the first bytes look like it? */
gboolean lw_d356_sniff (const char *data, gsize size);

G_END_DECLS

#endif
