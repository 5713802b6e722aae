/* What a job read from files still lacks. */
#ifndef LW_UNKNOWNS_H
#define LW_UNKNOWNS_H

#include "exchange/import.h"

G_BEGIN_DECLS

/* Fills in IMPORT's `unknowns` from its job alone, whichever reader made it. */
void lw_import_list_unknowns (LwImport *import);

G_END_DECLS

#endif
