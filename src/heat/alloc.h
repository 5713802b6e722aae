/* All memory of this room: arenas that are freed whole, so that every failure path is one call.
 *
 * An arena belongs to one solver, one run or one result; nothing is shared and nothing is global. A test
 * makes the n-th request fail by setting countdown. */
#ifndef HEAT_ALLOC_H
#define HEAT_ALLOC_H

#include <stdbool.h>

#include "heat/workspace.h"

typedef struct {
  void *chain;    /* blocks taken so far */
  long countdown; /* < 0: never fails; otherwise the request that finds 0 here fails, and all after it */
  size_t bytes;   /* taken so far */
  HeatWorkspace *workspace; /* where blocks come from and go to; NULL: the system */
  bool large; /* in the system's large pages: for what is built once and is large, since one of them costs as much to get
               * as a small answer to compute */
} HeatArena;

#define HEAT_ARENA_INIT                                                                                 \
  {                                                                                                     \
    NULL, -1, 0, NULL, false                                                                            \
  }

/* N items of SIZE bytes, zeroed, aligned to 64, with 64 readable zero bytes before and after. NULL when
 * memory is short or the product overflows. N = 0 gives a valid pointer. */
void *heat_take (HeatArena *arena, size_t n, size_t size);
#define HEAT_TAKE(arena, type, n) ((type *) heat_take ((arena), (n), sizeof (type)))
/* The same, but what is in it is not known, and not zero but for the bytes before and after: for large arrays that are
 * filled before they are read. */
void *heat_take_open (HeatArena *arena, size_t n, size_t size);
#define HEAT_TAKE_OPEN(arena, type, n) ((type *) heat_take_open ((arena), (n), sizeof (type)))

/* An empty one beside another: of the same workspace, and failing when that would. */
static inline HeatArena
heat_arena_beside (const HeatArena *arena)
{
  return (HeatArena){ NULL, arena->countdown, 0, arena->workspace, arena->large };
}

/* Frees everything taken; the arena may be used again. */
void heat_arena_clear (HeatArena *arena);

#endif
