#include "large-board.h"

#include <math.h>

#include "board/edits.h"
#include "board/library.h"

#define WIDTH_MM 600.0
#define HEIGHT_MM 500.0
#define CELL_MM 25.0 /* a large part with twenty small ones round and under it */
#define STATION "Harbour bench 1"

static void
add_part (LwJob *job, const char *package, double x, double y, LwSide side)
{
  LwPart *part = lw_part_new ();

  g_free (part->ref);
  g_free (part->package);
  part->ref = g_strdup_printf ("%c%u", *package == 'B' ? 'U' : *package, job->parts->len + 1);
  part->package = g_strdup (package);
  part->x_mm = x;
  part->y_mm = y;
  part->side = side;
  part->placed = TRUE;
  g_ptr_array_add (job->parts, part);
}

/* Twelve round an area array, the others under it. */
static void
add_cell (LwJob *job, double cx, double cy)
{
  static const char *const small[] = { "C0402", "R0402", "C0603", "R0603", "C0805", "R1206" };

  add_part (job, "BGA-324-19x19-1.00", cx, cy, LW_SIDE_TOP);
  for (guint k = 0; k < 20 && job->parts->len < LARGE_PARTS; k++) {
    double turn = 2 * G_PI * k / 12, edge = 11.2 / MAX (fabs (cos (turn)), fabs (sin (turn)));
    gboolean round = k < 12;

    add_part (job, small[(job->parts->len * 7 + k) % G_N_ELEMENTS (small)],
              cx + (round ? edge * cos (turn) : 6.0 * ((k - 12) % 4) - 9.0),
              cy + (round ? edge * sin (turn) : 8.0 * ((k - 12) / 4) - 4.0), round ? LW_SIDE_TOP : LW_SIDE_BOTTOM);
  }
}

LwJob *
large_board (void)
{
  LwJob *job = lw_job_new ();
  LwLoop *edge = lw_loop_new ();

  lw_loop_add (edge, 0, 0, 0);
  lw_loop_add (edge, WIDTH_MM, 0, 0);
  lw_loop_add (edge, WIDTH_MM, HEIGHT_MM, 0);
  lw_loop_add (edge, 0, HEIGHT_MM, 0);
  g_ptr_array_add (job->board->outline, edge);
  lw_station_unref (job->station);
  job->station = lw_station_ref (lw_library_station (STATION));
  for (double y = 0.5 * CELL_MM; y < HEIGHT_MM; y += CELL_MM)
    for (double x = 0.5 * CELL_MM; x < WIDTH_MM && job->parts->len < LARGE_PARTS; x += CELL_MM)
      add_cell (job, x, y);
  while (job->parts->len < LARGE_PARTS)
    add_part (job, "R0402", 3.0 + (double) (job->parts->len * 37 % 590), 1.5, LW_SIDE_BOTTOM);
  return job;
}

LwJob *
large_job (void)
{
  g_autoptr (LwJob) bare = large_board ();

  return lw_edit_choose_target (bare, LARGE_TARGET, NULL);
}
