#include "heat/alloc.h"

#include <stdint.h>
#include <string.h>

#include "heat/chunk.h"
#include "heat/pages.h"

/* A large network asks for hundreds of arrays and fills a hundred megabytes while it is built. An arena cuts them from
 * chunks, each as large as all before it. Under an address sanitizer every request is a block of its own, so that it sees
 * what goes beyond one. */
#define CHUNKS (!HEAT_BLOCKS_WATCHED)

/* Of a large arena, a chunk of LARGE_CHUNK and more is of the system's large pages. */
enum { EDGE = 64, FIRST_CHUNK = 1 << 12, LARGE_CHUNK = 1 << 17, LARGEST_CHUNK = 1 << 23 };

/* Of the next chunk of an arena, for a request of NEED bytes. */
static size_t
chunk_size (const HeatArena *arena, size_t need)
{
  if (!CHUNKS)
    return need;
  size_t usual = arena->bytes < FIRST_CHUNK ? FIRST_CHUNK : arena->bytes < LARGEST_CHUNK ? arena->bytes : LARGEST_CHUNK;
  size_t size = usual > need ? usual : need;
  return arena->large && size >= LARGE_CHUNK && size < HEAT_PAGE_BYTES ? HEAT_PAGE_BYTES : size;
}

/* The arena's newest chunk if BYTES fit in, or else a new one. */
static HeatChunk *
chunk_for (HeatArena *arena, size_t bytes)
{
  HeatChunk *chunk = arena->chain;
  if (chunk && CHUNKS && chunk->size - chunk->used >= bytes)
    return chunk;
  HeatChunk *fresh = heat_chunk_new (CHUNKS ? arena->workspace : NULL, chunk_size (arena, bytes + sizeof (HeatChunk)), arena->large);
  if (!fresh)
    return NULL;
  if (chunk && chunk->size - chunk->used > fresh->size - fresh->used - bytes) { /* the older has more room left */
    fresh->next = chunk->next;
    chunk->next = fresh;
  } else {
    fresh->next = chunk;
    arena->chain = fresh;
  }
  return fresh;
}

/* Zeroes what is taken, or with OPEN only the edges. */
static void *
take (HeatArena *arena, size_t n, size_t size, int open)
{
  if (arena->countdown == 0)
    return NULL;
  if (arena->countdown > 0)
    arena->countdown--;
  if (size && n > (SIZE_MAX - 8 * EDGE - LARGEST_CHUNK) / size)
    return NULL;
  size_t bytes = n * size + 3 * EDGE;
  HeatChunk *chunk = chunk_for (arena, bytes);
  if (!chunk)
    return NULL;
  char *from = (char *) chunk + chunk->used;
  char *at = (char *) (((uintptr_t) from + 2 * EDGE - 1) / EDGE * EDGE);
  chunk->used += bytes;
  arena->bytes += bytes;
  if (!chunk->clean) {
    memset (at - EDGE, 0, EDGE + (open ? 0 : n * size));
    memset (at + n * size, 0, EDGE);
  }
  return at;
}

void *
heat_take (HeatArena *arena, size_t n, size_t size)
{
  return take (arena, n, size, 0);
}

void *
heat_take_open (HeatArena *arena, size_t n, size_t size)
{
  return take (arena, n, size, 1);
}

void
heat_arena_clear (HeatArena *arena)
{
  HeatChunk *chunk = arena->chain;
  while (chunk) {
    HeatChunk *next = chunk->next;
    heat_chunk_free (chunk);
    chunk = next;
  }
  arena->chain = NULL;
  arena->bytes = 0;
}
