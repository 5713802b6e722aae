/* Prints loops drawn and changed by the edits, as corners, with their exact areas and perimeters, for a check by an
 * independent library. Random but the same every time. */
#include <stdio.h>

#include "board/loop-edits.h"

static void
print_loop (const LwLoop *loop, gboolean first)
{
  char x[G_ASCII_DTOSTR_BUF_SIZE], y[G_ASCII_DTOSTR_BUF_SIZE], arc[G_ASCII_DTOSTR_BUF_SIZE];

  printf ("%s{\"corners\": [", first ? "" : ",\n");
  for (guint i = 0; i < loop->corners->len; i++)
    {
      const LwVertex *v = &g_array_index (loop->corners, LwVertex, i);

      printf ("%s[%s, %s, %s]", i > 0 ? ", " : "", g_ascii_dtostr (x, sizeof x, v->x_mm),
              g_ascii_dtostr (y, sizeof y, v->y_mm), g_ascii_dtostr (arc, sizeof arc, v->arc_deg));
    }
  printf ("], \"area\": %s, \"perimeter\": %s, \"crosses\": %s, \"distance\": %s}",
          g_ascii_dtostr (x, sizeof x, lw_loop_area (loop)), g_ascii_dtostr (y, sizeof y, lw_loop_perimeter (loop)),
          lw_loop_crosses_itself (loop, NULL, NULL) ? "true" : "false",
          g_ascii_dtostr (arc, sizeof arc, lw_loop_nearest (loop, 31.0, 17.0, NULL, NULL, NULL)));
}

static LwLoop *
changed (GRand *rand, const LwLoop *loop)
{
  guint k = (guint) g_rand_int_range (rand, 0, (gint) loop->corners->len);
  const LwVertex *v = &g_array_index (loop->corners, LwVertex, k);

  switch (g_rand_int_range (rand, 0, 6))
    {
    case 0: return lw_loop_round_corner (loop, k, g_rand_double_range (rand, 1, 12), NULL);
    case 1: return lw_loop_chamfer_corner (loop, k, g_rand_double_range (rand, 1, 12), NULL);
    case 2: return lw_loop_insert_corner (loop, k, g_rand_double_range (rand, 0.2, 0.8), NULL);
    case 3: return lw_loop_set_arc (loop, k, g_rand_double_range (rand, -120, 120), NULL);
    case 4: return lw_loop_set_edge_length (loop, k, g_rand_double_range (rand, 10, 70), NULL);
    default:
      return lw_loop_move_corner (loop, k, v->x_mm + g_rand_double_range (rand, -9, 9),
                                  v->y_mm + g_rand_double_range (rand, -9, 9), NULL);
    }
}

int
main (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (7);

  printf ("[");
  for (int n = 0; n < 200; n++)
    {
      g_autoptr (LwLoop) loop = lw_loop_new_rounded (0, 0, 100, 80, n % 2 == 0 ? 0 : 5, NULL);

      for (int k = 0; k < 6; k++)
        {
          LwLoop *next = changed (rand, loop);

          if (next == NULL)
            continue;
          lw_loop_unref (loop);
          loop = next;
        }
      print_loop (loop, n == 0);
    }
  printf ("]\n");
  return 0;
}
