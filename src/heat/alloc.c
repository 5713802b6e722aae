#include "heat/alloc.h"

#include <stdint.h>
#include <stdlib.h>

enum { EDGE = 64 };

typedef struct Block Block;
struct Block {
  Block *next;
};

void *
heat_take (HeatArena *arena, size_t n, size_t size)
{
  if (arena->countdown == 0)
    return NULL;
  if (arena->countdown > 0)
    arena->countdown--;
  if (size && n > (SIZE_MAX - 8 * EDGE) / size)
    return NULL;
  size_t bytes = n * size + sizeof (Block) + 3 * EDGE;
  Block *block = calloc (1, bytes);
  if (!block)
    return NULL;
  block->next = arena->chain;
  arena->chain = block;
  arena->bytes += bytes;
  uintptr_t at = (uintptr_t) (block + 1) + EDGE;
  return (void *) ((at + EDGE - 1) / EDGE * EDGE);
}

void
heat_arena_clear (HeatArena *arena)
{
  Block *block = arena->chain;
  while (block) {
    Block *next = block->next;
    free (block);
    block = next;
  }
  arena->chain = NULL;
  arena->bytes = 0;
}
