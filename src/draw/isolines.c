/* Marching squares after Lorensen & Cline's cubes (1987), in the plane. Each crossing of a grid edge is one
 * node shared by the two squares beside the edge, so segments join exactly, without a search by distance. */
#include "draw/isolines.h"

#include <math.h>

typedef struct {
  const double *xs, *ys;
  const float *values;
  guint nx, ny;
  double level;
  int *next[2];   /* per edge: up to two neighbouring edges, -1 = none */
  guint8 *used;
  guint n_edges;
} March;

/* Edges: the horizontal ones first (row by row), then the vertical ones. */
static int
edge_across (const March *m, guint i, guint j)
{
  return (int) (j * (m->nx - 1) + i);
}

static int
edge_up (const March *m, guint i, guint j)
{
  return (int) (m->ny * (m->nx - 1) + j * m->nx + i);
}

static double
value_at (const March *m, guint i, guint j)
{
  return m->values[(gsize) j * m->nx + i];
}

static LwPoint
crossing (const March *m, int edge)
{
  int n_across = (int) (m->ny * (m->nx - 1));
  gboolean across = edge < n_across;
  guint i = across ? edge % (m->nx - 1) : (edge - n_across) % m->nx;
  guint j = across ? edge / (m->nx - 1) : (edge - n_across) / m->nx;
  double a = value_at (m, i, j), b = across ? value_at (m, i + 1, j) : value_at (m, i, j + 1);
  double f = a == b ? 0.5 : (m->level - a) / (b - a);

  if (across)
    return (LwPoint){ m->xs[i] + f * (m->xs[i + 1] - m->xs[i]), m->ys[j] };
  return (LwPoint){ m->xs[i], m->ys[j] + f * (m->ys[j + 1] - m->ys[j]) };
}

static void
join (March *m, int a, int b)
{
  m->next[m->next[0][a] < 0 ? 0 : 1][a] = b;
  m->next[m->next[0][b] < 0 ? 0 : 1][b] = a;
}

/* Corners 0..3 counter-clockwise from low x, low y; edges 0 low, 1 right, 2 high, 3 left. */
static void
march_square (March *m, guint i, guint j)
{
  double v[4] = { value_at (m, i, j), value_at (m, i + 1, j), value_at (m, i + 1, j + 1),
                  value_at (m, i, j + 1) };
  int edge[4] = { edge_across (m, i, j), edge_up (m, i + 1, j), edge_across (m, i, j + 1),
                  edge_up (m, i, j) };
  int crossed[4], n = 0;

  for (int k = 0; k < 4; k++) {
    if (isnan (v[k]))
      return;
  }
  for (int k = 0; k < 4; k++) {
    if ((v[k] > m->level) != (v[(k + 1) % 4] > m->level))
      crossed[n++] = edge[k];
  }
  if (n == 2) {
    join (m, crossed[0], crossed[1]);
  } else if (n == 4) {
    gboolean middle = 0.25 * (v[0] + v[1] + v[2] + v[3]) > m->level;

    /* Cut off the two corners that differ from the middle. */
    if ((v[0] > m->level) == middle) {
      join (m, edge[0], edge[1]);
      join (m, edge[2], edge[3]);
    } else {
      join (m, edge[3], edge[0]);
      join (m, edge[1], edge[2]);
    }
  }
}

static LwIsoline *
follow (March *m, int start)
{
  LwIsoline *line = g_new0 (LwIsoline, 1);
  int edge = start;

  line->points = g_array_new (FALSE, FALSE, sizeof (LwPoint));
  for (;;) {
    LwPoint point = crossing (m, edge);
    int to = m->next[0][edge];

    m->used[edge] = TRUE;
    g_array_append_val (line->points, point);
    if (to < 0 || m->used[to])
      to = m->next[1][edge];
    if (to < 0 || m->used[to]) {
      line->closed = line->points->len > 2 && (m->next[0][edge] == start || m->next[1][edge] == start);
      break;
    }
    edge = to;
  }
  return line;
}

static gboolean
is_crossed (const March *m, guint edge, gboolean at_end)
{
  gboolean first = m->next[0][edge] >= 0, second = m->next[1][edge] >= 0;

  return !m->used[edge] && first && (!at_end || !second);
}

GPtrArray *
lw_isolines (const double *xs, guint nx, const double *ys, guint ny, const float *values, double level)
{
  GPtrArray *lines = g_ptr_array_new_with_free_func ((GDestroyNotify) lw_isoline_free);
  March m = { xs, ys, values, nx, ny, level };

  if (nx < 2 || ny < 2 || !isfinite (level))
    return lines;
  m.n_edges = ny * (nx - 1) + (ny - 1) * nx;
  m.used = g_new0 (guint8, m.n_edges);
  for (int k = 0; k < 2; k++) {
    m.next[k] = g_new (int, m.n_edges);
    for (guint e = 0; e < m.n_edges; e++)
      m.next[k][e] = -1;
  }
  for (guint j = 0; j + 1 < ny; j++) {
    for (guint i = 0; i + 1 < nx; i++)
      march_square (&m, i, j);
  }
  /* Open lines from their ends first, then the rings that are left. */
  for (int pass = 0; pass < 2; pass++) {
    for (guint e = 0; e < m.n_edges; e++) {
      if (is_crossed (&m, e, pass == 0))
        g_ptr_array_add (lines, follow (&m, (int) e));
    }
  }
  g_free (m.next[0]);
  g_free (m.next[1]);
  g_free (m.used);
  return lines;
}

void
lw_isoline_free (LwIsoline *line)
{
  if (!line)
    return;
  g_array_unref (line->points);
  g_free (line);
}
