/* The pieces arenas are cut from: of the system, or of a workspace, to which they go back. */
#ifndef HEAT_CHUNK_H
#define HEAT_CHUNK_H

#include <stdbool.h>

#include "heat/workspace.h"

/* A chunk, its beginning. */
typedef struct HeatChunk HeatChunk;
struct HeatChunk {
  HeatChunk *next;
  HeatWorkspace *home; /* NULL: the system's */
  size_t used, size;   /* bytes, this included */
  bool clean;          /* all zero beyond `used` */
  bool paged;          /* a piece of heat/pages.h */
};

/* One of SIZE bytes or more; LARGE: in large pages where SIZE is of one at least. HOME may be NULL. NULL when memory is
 * short. */
HeatChunk *heat_chunk_new (HeatWorkspace *home, size_t size, bool large);
void heat_chunk_free (HeatChunk *chunk);

#endif
