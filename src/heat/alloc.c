#include "heat/alloc.h"

#include <stdint.h>
#include <stdlib.h>

/* A large network asks for hundreds of arrays and fills a hundred megabytes while it is built. An arena cuts them from
 * chunks, each as large as all before it, which the system's allocator gives again to the next network instead of getting
 * every page anew. Under an address sanitizer every request is a block of its own, so that it sees what goes beyond one. */
#if defined(__SANITIZE_ADDRESS__)
#define CHUNKS 0
#else
#define CHUNKS 1
#endif

enum { EDGE = 64, FIRST_CHUNK = 1 << 12, LARGEST_CHUNK = 1 << 23 };

/* A chunk, its beginning. */
typedef struct Chunk Chunk;
struct Chunk {
  Chunk *next;
  size_t used, size; /* bytes, this included */
};

/* The arena's newest chunk if BYTES fit in, or else a new one. */
static Chunk *
chunk_for (HeatArena *arena, size_t bytes)
{
  Chunk *chunk = arena->chain;
  if (chunk && CHUNKS && chunk->size - chunk->used >= bytes)
    return chunk;
  size_t usual = arena->bytes < FIRST_CHUNK ? FIRST_CHUNK : arena->bytes < LARGEST_CHUNK ? arena->bytes : LARGEST_CHUNK;
  size_t need = bytes + sizeof (Chunk);
  size_t size = CHUNKS && usual > need ? usual : need;
  Chunk *fresh = calloc (1, size);
  if (!fresh)
    return NULL;
  *fresh = (Chunk){ .used = sizeof (Chunk), .size = size };
  if (chunk && chunk->size - chunk->used > fresh->size - fresh->used - bytes) { /* the older has more room left */
    fresh->next = chunk->next;
    chunk->next = fresh;
  } else {
    fresh->next = chunk;
    arena->chain = fresh;
  }
  return fresh;
}

void *
heat_take (HeatArena *arena, size_t n, size_t size)
{
  if (arena->countdown == 0)
    return NULL;
  if (arena->countdown > 0)
    arena->countdown--;
  if (size && n > (SIZE_MAX - 8 * EDGE - LARGEST_CHUNK) / size)
    return NULL;
  size_t bytes = n * size + 3 * EDGE;
  Chunk *chunk = chunk_for (arena, bytes);
  if (!chunk)
    return NULL;
  uintptr_t at = (uintptr_t) chunk + chunk->used + EDGE;
  chunk->used += bytes;
  arena->bytes += bytes;
  return (void *) ((at + EDGE - 1) / EDGE * EDGE);
}

void
heat_arena_clear (HeatArena *arena)
{
  Chunk *chunk = arena->chain;
  while (chunk) {
    Chunk *next = chunk->next;
    free (chunk);
    chunk = next;
  }
  arena->chain = NULL;
  arena->bytes = 0;
}
