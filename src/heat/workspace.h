/* Memory that one build leaves to the next: a model is edited and built again and again, and most of what getting a
 * hundred megabytes costs is the system handing them out page by page.
 *
 *   HeatWorkspace *workspace = heat_workspace_new (0);
 *   HeatReducedOptions options = { .workspace = workspace };   for each build, and for the runs of its models
 *   heat_workspace_free (workspace);                           at any time: what is in use stays until it is freed
 *
 * Any number of threads may build with, and free into, one workspace. It holds what was freed last, up to a limit,
 * and nothing of what it holds can be read again: it is cleared before it is handed out. Under an address sanitizer
 * it holds nothing. */
#ifndef HEAT_WORKSPACE_H
#define HEAT_WORKSPACE_H

#include <stddef.h>

typedef struct HeatWorkspace HeatWorkspace;

/* Holds at most MOST_BYTES (0: 256 MB) that nobody uses. NULL when memory is short. */
HeatWorkspace *heat_workspace_new (size_t most_bytes);
void heat_workspace_free (HeatWorkspace *workspace); /* NULL allowed */
/* Bytes that nobody uses now. */
size_t heat_workspace_idle (HeatWorkspace *workspace);

#endif
