/* What an arena promises, for requests from a byte to several of the system's large pages: aligned, zeroed, with zeroed
 * edges, apart from each other, and again after it was cleared. Compared with nothing but the promise in heat/alloc.h. */
#include <glib.h>
#include <stdint.h>
#include <string.h>

#include "heat/alloc.h"
#include "heat/pages.h"

enum { REQUESTS = 60, EDGE = 64 };

typedef struct {
  unsigned char *at;
  size_t n;
} Piece;

static gboolean
all_are (const unsigned char *at, size_t n, unsigned char value)
{
  for (size_t i = 0; i < n; i++)
    if (at[i] != value)
      return FALSE;
  return TRUE;
}

/* Small ones mostly, and one in five of 0.1 to 5 MB. */
static size_t
some_size (GRand *random)
{
  return g_rand_int_range (random, 0, 5) ? (size_t) g_rand_int_range (random, 0, 40000)
                                         : (size_t) g_rand_int_range (random, 100000, 5000000);
}

static void
take_all (HeatArena *arena, GRand *random, Piece *pieces)
{
  for (int i = 0; i < REQUESTS; i++) {
    pieces[i].n = some_size (random);
    pieces[i].at = heat_take (arena, pieces[i].n, 1);
    g_assert_nonnull (pieces[i].at);
    g_assert_cmpuint ((uintptr_t) pieces[i].at % EDGE, ==, 0);
    g_assert_true (all_are (pieces[i].at - EDGE, pieces[i].n + 2 * EDGE, 0));
    memset (pieces[i].at, i + 1, pieces[i].n);
  }
}

static void
check_all (const Piece *pieces)
{
  for (int i = 0; i < REQUESTS; i++) {
    g_assert_true (all_are (pieces[i].at, pieces[i].n, (unsigned char) (i + 1)));
    g_assert_true (all_are (pieces[i].at - EDGE, EDGE, 0));
    g_assert_true (all_are (pieces[i].at + pieces[i].n, EDGE, 0));
  }
}

static void
check_arena (HeatWorkspace *workspace, bool large)
{
  g_autoptr (GRand) random = g_rand_new_with_seed (5);
  HeatArena arena = HEAT_ARENA_INIT;
  arena.workspace = workspace;
  arena.large = large;
  Piece pieces[REQUESTS];
  for (int round = 0; round < 3; round++) {
    take_all (&arena, random, pieces);
    check_all (pieces);
    heat_arena_clear (&arena);
    g_assert_cmpuint (arena.bytes, ==, 0);
  }
}

static void
test_arena (void)
{
  check_arena (NULL, false);
  check_arena (NULL, true);
}

static void
test_arena_of_workspace (void)
{
  HeatWorkspace *workspace = heat_workspace_new (0);
  check_arena (workspace, false);
  check_arena (workspace, true);
  if (!HEAT_BLOCKS_WATCHED)
    g_assert_cmpuint (heat_workspace_idle (workspace), >, 0);
  heat_workspace_free (workspace);
}

/* More than there can be is refused, and what was taken before is untouched. */
static void
test_too_much (void)
{
  const size_t sizes[] = { SIZE_MAX, SIZE_MAX / 2, SIZE_MAX - 4 * HEAT_PAGE_BYTES, (size_t) 1 << 62 };
  HeatWorkspace *workspace = heat_workspace_new (0);
  HeatArena arena = HEAT_ARENA_INIT;
  for (int with = 0; with < 2; with++) {
    arena.workspace = with ? workspace : NULL;
    unsigned char *before = heat_take (&arena, 100, 1);
    for (size_t i = 0; i < G_N_ELEMENTS (sizes); i++)
      g_assert_null (heat_take (&arena, sizes[i], 1));
    g_assert_null (heat_take (&arena, SIZE_MAX / 4, 8));
    g_assert_true (all_are (before - EDGE, 100 + 2 * EDGE, 0));
    heat_arena_clear (&arena);
  }
  heat_workspace_free (workspace);
}

static void
test_pages (void)
{
  if (HEAT_BLOCKS_WATCHED) {
    g_assert_false (heat_pages_serve (HEAT_PAGE_BYTES));
    return;
  }
  g_assert_true (heat_pages_serve (HEAT_PAGE_BYTES)); /* a Linux program, as all that run this */
  g_assert_false (heat_pages_serve (HEAT_PAGE_BYTES - 1));
  g_assert_false (heat_pages_serve (SIZE_MAX));
  for (size_t pages = 1; pages < 6; pages++) {
    unsigned char *piece = heat_pages_new (pages * HEAT_PAGE_BYTES);
    g_assert_nonnull (piece);
    g_assert_cmpuint ((uintptr_t) piece % HEAT_PAGE_BYTES, ==, 0);
    g_assert_true (all_are (piece, pages * HEAT_PAGE_BYTES, 0));
    memset (piece, 1, pages * HEAT_PAGE_BYTES);
    heat_pages_free (piece, pages * HEAT_PAGE_BYTES);
  }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/memory/arena", test_arena);
  g_test_add_func ("/memory/arena-of-workspace", test_arena_of_workspace);
  if (!HEAT_BLOCKS_WATCHED) /* a sanitizer ends the program there */
    g_test_add_func ("/memory/too-much", test_too_much);
  g_test_add_func ("/memory/pages", test_pages);
  return g_test_run ();
}
