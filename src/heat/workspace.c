#include "heat/workspace.h"

#include <stdatomic.h>
#include <stdint.h>
#include <stdlib.h>

#include "heat/chunk.h"
#include "heat/pages.h"

static const size_t USUAL_MOST = (size_t) 256 << 20;
/* A chunk serves a request for at least this part of it. */
enum { WASTE = 4 };

struct HeatWorkspace {
  atomic_flag lock; /* guards the rest; held for a walk over some dozens of chunks */
  HeatChunk *idle;  /* freed last first */
  size_t idle_bytes, most_bytes;
  size_t out;  /* chunks in use */
  bool closed; /* by its owner: goes with the last chunk */
};

static void
take_lock (HeatWorkspace *w)
{
  while (atomic_flag_test_and_set_explicit (&w->lock, memory_order_acquire))
    ;
}

static void
let_go (HeatWorkspace *w)
{
  atomic_flag_clear_explicit (&w->lock, memory_order_release);
}

static void
to_system (HeatChunk *chunk)
{
  if (chunk->paged)
    heat_pages_free (chunk, chunk->size);
  else
    free (chunk);
}

static void
free_all (HeatChunk *chunk)
{
  while (chunk) {
    HeatChunk *next = chunk->next;
    to_system (chunk);
    chunk = next;
  }
}

HeatWorkspace *
heat_workspace_new (size_t most_bytes)
{
  HeatWorkspace *w = calloc (1, sizeof *w);
  if (!w)
    return NULL;
  atomic_flag_clear (&w->lock);
  w->most_bytes = most_bytes ? most_bytes : USUAL_MOST;
  return w;
}

void
heat_workspace_free (HeatWorkspace *w)
{
  if (!w)
    return;
  take_lock (w);
  HeatChunk *idle = w->idle;
  bool last = w->out == 0;
  w->idle = NULL;
  w->idle_bytes = 0;
  w->closed = true;
  let_go (w);
  free_all (idle);
  if (last)
    free (w);
}

size_t
heat_workspace_idle (HeatWorkspace *w)
{
  take_lock (w);
  size_t bytes = w->idle_bytes;
  let_go (w);
  return bytes;
}

/* The smallest idle chunk that holds SIZE without wasting much, out of the list; NULL: there is none. */
static HeatChunk *
take_idle (HeatWorkspace *w, size_t size)
{
  HeatChunk **best = NULL;
  for (HeatChunk **at = &w->idle; *at; at = &(*at)->next)
    if ((*at)->size >= size && (*at)->size / WASTE <= size && (!best || (*at)->size < (*best)->size))
      best = at;
  HeatChunk *chunk = best ? *best : NULL;
  if (chunk) {
    *best = chunk->next;
    w->idle_bytes -= chunk->size;
  }
  return chunk;
}

/* In whole PAGES. For a workspace in steps of an eighth at most, so that a mesh of a few more nodes finds its
 * like. What is not used is never touched. */
static size_t
rounded (size_t size, bool kept, bool pages)
{
  if (pages)
    size = (size + HEAT_PAGE_BYTES - 1) / HEAT_PAGE_BYTES * HEAT_PAGE_BYTES;
  if (!kept || size > SIZE_MAX / 2)
    return size;
  size_t step = 1;
  while (size / step > 8)
    step *= 2;
  return (size + step - 1) / step * step;
}

HeatChunk *
heat_chunk_new (HeatWorkspace *home, size_t size, bool large)
{
  HeatChunk *chunk = NULL;
  if (home) {
    take_lock (home);
    chunk = take_idle (home, size);
    home->out++;
    let_go (home);
  }
  bool clean = !chunk, paged = chunk ? chunk->paged : large && heat_pages_serve (size);
  size = chunk ? chunk->size : rounded (size, home, paged);
  if (!chunk)
    chunk = paged ? heat_pages_new (size) : calloc (1, size);
  if (chunk) {
    *chunk = (HeatChunk){ .home = home, .used = sizeof *chunk, .size = size, .clean = clean, .paged = paged };
    return chunk;
  }
  if (home) {
    take_lock (home);
    bool last = --home->out == 0 && home->closed;
    let_go (home);
    if (last)
      free (home);
  }
  return NULL;
}

void
heat_chunk_free (HeatChunk *chunk)
{
  HeatWorkspace *w = chunk->home;
  if (!w) {
    to_system (chunk);
    return;
  }
  take_lock (w);
  bool last = --w->out == 0 && w->closed, keep = !w->closed && w->idle_bytes + chunk->size <= w->most_bytes;
  if (keep) {
    chunk->next = w->idle;
    w->idle = chunk;
    w->idle_bytes += chunk->size;
  }
  let_go (w);
  if (!keep)
    to_system (chunk);
  if (last)
    free (w);
}
