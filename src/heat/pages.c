#if defined(__linux__)
#define _DEFAULT_SOURCE
#endif
#include "heat/pages.h"

#include <stdint.h>

#if defined(__linux__) && !HEAT_BLOCKS_WATCHED
#include <sys/mman.h>

bool
heat_pages_serve (size_t bytes)
{
  return bytes >= HEAT_PAGE_BYTES && bytes <= SIZE_MAX - 2 * HEAT_PAGE_BYTES;
}

/* Asks for one page more than wanted and returns what lies before and after the aligned part. */
void *
heat_pages_new (size_t bytes)
{
  char *got = mmap (NULL, bytes + HEAT_PAGE_BYTES, PROT_READ | PROT_WRITE, MAP_PRIVATE | MAP_ANONYMOUS, -1, 0);
  if (got == MAP_FAILED)
    return NULL;
  size_t before = (HEAT_PAGE_BYTES - (uintptr_t) got % HEAT_PAGE_BYTES) % HEAT_PAGE_BYTES;
  if (before)
    munmap (got, before);
  munmap (got + before + bytes, HEAT_PAGE_BYTES - before);
  madvise (got + before, bytes, MADV_HUGEPAGE); /* refused where there are no large pages: small ones do as well */
  return got + before;
}

void
heat_pages_free (void *piece, size_t bytes)
{
  munmap (piece, bytes);
}

#else

bool
heat_pages_serve (size_t bytes)
{
  (void) bytes;
  return false;
}

void *
heat_pages_new (size_t bytes)
{
  (void) bytes;
  return NULL;
}

void
heat_pages_free (void *piece, size_t bytes)
{
  (void) piece;
  (void) bytes;
}

#endif
