/* All memory of this room: arenas that are freed whole, so that every failure path is one call.
 *
 * An arena belongs to one solver, one run or one result; nothing is shared and nothing is global. A test
 * makes the n-th request fail by setting countdown. */
#ifndef HEAT_ALLOC_H
#define HEAT_ALLOC_H

#include <stddef.h>

typedef struct {
  void *chain;    /* blocks taken so far */
  long countdown; /* < 0: never fails; otherwise the request that finds 0 here fails, and all after it */
  size_t bytes;   /* taken so far */
} HeatArena;

#define HEAT_ARENA_INIT                                                                                 \
  {                                                                                                     \
    NULL, -1, 0                                                                                         \
  }

/* N items of SIZE bytes, zeroed, aligned to 64, with 64 readable zero bytes before and after. NULL when
 * memory is short or the product overflows. N = 0 gives a valid pointer. */
void *heat_take (HeatArena *arena, size_t n, size_t size);
#define HEAT_TAKE(arena, type, n) ((type *) heat_take ((arena), (n), sizeof (type)))

/* Frees everything taken; the arena may be used again. */
void heat_arena_clear (HeatArena *arena);

#endif
