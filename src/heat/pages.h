/* Large pieces of memory in the system's large pages, where it has them. A model of ninety thousand nodes fills a hundred
 * megabytes; asked for in pages of 4 kB, the system takes a quarter of the whole build to hand them out.
 *
 * Under an address sanitizer there are no such pieces, so that it sees every block. */
#ifndef HEAT_PAGES_H
#define HEAT_PAGES_H

#include <stdbool.h>
#include <stddef.h>

/* Pieces are of whole multiples of this, bytes. */
#define HEAT_PAGE_BYTES ((size_t) 2 << 20)

#if defined(__SANITIZE_ADDRESS__)
#define HEAT_BLOCKS_WATCHED 1
#elif defined(__has_feature)
#if __has_feature(address_sanitizer)
#define HEAT_BLOCKS_WATCHED 1
#endif
#endif
#ifndef HEAT_BLOCKS_WATCHED
#define HEAT_BLOCKS_WATCHED 0
#endif

/* Whether a request of BYTES is served by a piece. */
bool heat_pages_serve (size_t bytes);
/* BYTES, a multiple of HEAT_PAGE_BYTES, zeroed and aligned to it. NULL when memory is short. */
void *heat_pages_new (size_t bytes);
/* Gives back a piece of BYTES. */
void heat_pages_free (void *piece, size_t bytes);

#endif
