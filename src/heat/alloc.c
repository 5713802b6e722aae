#if defined(__gnu_linux__) && !defined(_GNU_SOURCE)
#define _GNU_SOURCE
#endif
#include "heat/alloc.h"

#include <stdint.h>
#include <stdlib.h>

/* A large network fills a hundred megabytes while it is built, and getting that page by page from the system costs more
 * than many a computation on it: so an arena cuts what is asked for from chunks, each as large as all before it, and
 * large chunks lie on large pages. Under an address sanitizer every request is a block of its own, so that it sees what
 * goes beyond one. */
#if defined(__gnu_linux__) && !defined(__SANITIZE_ADDRESS__)
#include <sys/mman.h>
#define LARGE_PAGES 1
#else
#define LARGE_PAGES 0
#endif

enum { EDGE = 64, FIRST_CHUNK = 1 << 12, LARGEST_CHUNK = 1 << 24, LARGE_PAGE = 1 << 21 };

/* A chunk, its beginning. */
typedef struct Chunk Chunk;
struct Chunk {
  Chunk *next;
  void *start; /* as the system gave it */
  size_t mapped; /* bytes of it, or 0: from calloc() */
  size_t used, size; /* of the chunk, this included */
};

/* Zeroed memory on large pages; NULL when there is none. */
static Chunk *
map_chunk (size_t bytes)
{
#if LARGE_PAGES
  size_t whole = (bytes + 2 * (size_t) LARGE_PAGE - 1) / LARGE_PAGE * LARGE_PAGE;
  char *start = mmap (NULL, whole, PROT_READ | PROT_WRITE, MAP_PRIVATE | MAP_ANONYMOUS | MAP_NORESERVE, -1, 0);
  if (start == MAP_FAILED)
    return NULL;
  char *at = (char *) (((uintptr_t) start + LARGE_PAGE - 1) / LARGE_PAGE * LARGE_PAGE);
  madvise (at, (size_t) (start + whole - at), MADV_HUGEPAGE); /* if it cannot be, it works as well */
  Chunk *chunk = (Chunk *) at;
  *chunk = (Chunk){ .start = start, .mapped = whole, .used = sizeof (Chunk), .size = (size_t) (start + whole - at) };
  return chunk;
#else
  (void) bytes;
  return NULL;
#endif
}

static Chunk *
new_chunk (size_t bytes)
{
  Chunk *chunk = bytes >= LARGE_PAGE ? map_chunk (bytes) : NULL;
  if (chunk || !(chunk = calloc (1, bytes)))
    return chunk;
  *chunk = (Chunk){ .start = chunk, .used = sizeof (Chunk), .size = bytes };
  return chunk;
}

/* The arena's newest chunk if BYTES fit in, or else a new one. */
static Chunk *
chunk_for (HeatArena *arena, size_t bytes)
{
  Chunk *chunk = arena->chain;
  if (chunk && LARGE_PAGES && chunk->size - chunk->used >= bytes)
    return chunk;
  size_t usual = arena->bytes < FIRST_CHUNK ? FIRST_CHUNK : arena->bytes < LARGEST_CHUNK ? arena->bytes : LARGEST_CHUNK;
  size_t need = bytes + sizeof (Chunk);
  Chunk *fresh = new_chunk (LARGE_PAGES && usual > need ? usual : need);
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
#if LARGE_PAGES
    if (chunk->mapped)
      munmap (chunk->start, chunk->mapped);
    else
#endif
      free (chunk->start);
    chunk = next;
  }
  arena->chain = NULL;
  arena->bytes = 0;
}
