/* Cover of a grid's cells by a scan: lines across the grid, each cut exactly into the pieces that are
 * covered. Between two lines an edge is taken as straight; level edges get lines of their own, so that
 * shapes square to the grid come out exact. */
#include <glib/gi18n.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "exchange/import.h"
#include "exchange/plot-private.h"

#define BANDS_PER_CELL 32
#define MAX_LEVELS 100000  /* level edges that get lines of their own */
#define MAX_WORK 6000000  /* pieces laid down, over all lines: some 1.5 s; a dense layer has a million */
#define MAX_CROSSINGS 3000000 /* of one polygon with the lines */
#define FLUSH_AT 1024      /* pieces a line holds before they are joined */
#define LEVEL_MM 1e-4

typedef struct {
  double x0, x1;
} Piece;

/* A line: pieces joined so far (apart, ascending), and pieces of one polarity waiting. */
typedef struct {
  Piece *set, *wait;
  guint n_set, n_wait, room;
  gboolean wait_dark;
} Row;

typedef struct {
  const LwPlot *plot;
  const double *edge; /* n + 1 band edges; line i runs half-way between i and i + 1 */
  guint n;
  double x0, x1;      /* of the grid */
  guint64 work;
  GArray *crossings;
} Scan;

typedef struct {
  guint row;
  int winding;
  double x;
} Crossing;

/* ---- lines ---- */

static int
compare_pieces (const void *a, const void *b)
{
  const Piece *p = a, *q = b;

  return p->x0 < q->x0 ? -1 : p->x0 > q->x0;
}

/* Sorts pieces and joins those that meet; returns how many are left. */
static guint
join (Piece *pieces, guint n)
{
  guint kept = 0;

  if (n == 0)
    return 0;
  if (n > 1)
    qsort (pieces, n, sizeof (Piece), compare_pieces);
  for (guint i = 1; i < n; i++)
    if (pieces[i].x0 <= pieces[kept].x1)
      pieces[kept].x1 = fmax (pieces[kept].x1, pieces[i].x1);
    else
      pieces[++kept] = pieces[i];
  return kept + 1;
}

/* SET less WAIT, both joined. */
static Piece *
subtract (const Row *row, guint *n)
{
  Piece *left = g_new (Piece, row->n_set + row->n_wait + 1);
  guint k = 0;

  *n = 0;
  for (guint i = 0; i < row->n_set; i++)
    {
      double from = row->set[i].x0, to = row->set[i].x1;

      while (k < row->n_wait && row->wait[k].x1 <= from)
        k++;
      for (guint j = k; j < row->n_wait && row->wait[j].x0 < to; j++)
        {
          if (row->wait[j].x0 > from)
            left[(*n)++] = (Piece) { from, row->wait[j].x0 };
          from = fmax (from, row->wait[j].x1);
        }
      if (from < to)
        left[(*n)++] = (Piece) { from, to };
    }
  return left;
}

static void
flush (Row *row)
{
  Piece *set;
  guint n;

  if (row->n_wait == 0)
    return;
  row->n_wait = join (row->wait, row->n_wait);
  if (row->wait_dark)
    {
      n = row->n_set + row->n_wait;
      set = g_new (Piece, n);
      if (row->n_set > 0)
        memcpy (set, row->set, row->n_set * sizeof (Piece));
      memcpy (set + row->n_set, row->wait, row->n_wait * sizeof (Piece));
      n = join (set, n);
    }
  else
    set = subtract (row, &n);
  g_free (row->set);
  row->set = set;
  row->n_set = n;
  row->n_wait = 0;
}

static void
lay (Scan *self, Row *row, double x0, double x1, gboolean dark)
{
  x0 = fmax (x0, self->x0);
  x1 = fmin (x1, self->x1);
  self->work++;
  if (!(x1 > x0) || (!dark && row->n_set + row->n_wait == 0))
    return;
  if (row->n_wait > 0 && (row->wait_dark != dark || row->n_wait >= FLUSH_AT + row->n_set))
    flush (row);
  if (row->n_wait == row->room)
    {
      row->room = MAX (8, 2 * row->room);
      row->wait = g_renew (Piece, row->wait, row->room);
    }
  row->wait_dark = dark;
  row->wait[row->n_wait++] = (Piece) { x0, x1 };
}

static void
rows_free (Row *rows, guint n)
{
  for (guint i = 0; i < n; i++)
    {
      g_free (rows[i].set);
      g_free (rows[i].wait);
    }
  g_free (rows);
}

/* ---- shapes ---- */

static double
line_y (const Scan *self, guint row)
{
  return (self->edge[row] + self->edge[row + 1]) / 2;
}

/* First line at or above Y. */
static guint
row_above (const Scan *self, double y)
{
  guint low = 0, high = self->n;

  while (low < high)
    {
      guint mid = (low + high) / 2;

      if (line_y (self, mid) < y)
        low = mid + 1;
      else
        high = mid;
    }
  return low;
}

static void
widen (Piece *piece, double x)
{
  piece->x0 = fmin (piece->x0, x);
  piece->x1 = fmax (piece->x1, x);
}

static void
widen_by_disc (Piece *piece, double x, double y, double r, double at)
{
  double half = r * r - (at - y) * (at - y);

  if (half < 0)
    return;
  half = sqrt (half);
  widen (piece, x - half);
  widen (piece, x + half);
}

static void
widen_by_edge (Piece *piece, double x0, double y0, double x1, double y1, double at)
{
  if ((y0 <= at) != (y1 <= at))
    widen (piece, x0 + (x1 - x0) * (at - y0) / (y1 - y0));
}

static void
paint_capsule (Scan *self, Row *rows, const LwShape *s, gboolean dark)
{
  double length = hypot (s->bx - s->ax, s->by - s->ay);
  double nx = length > 0 ? -(s->by - s->ay) / length * s->r : 0;
  double ny = length > 0 ? (s->bx - s->ax) / length * s->r : 0;
  guint end = row_above (self, fmax (s->ay, s->by) + s->r);

  for (guint i = row_above (self, fmin (s->ay, s->by) - s->r); i < end; i++)
    {
      Piece piece = { INFINITY, -INFINITY };
      double y = line_y (self, i);

      widen_by_disc (&piece, s->ax, s->ay, s->r, y);
      if (length > 0)
        {
          widen_by_disc (&piece, s->bx, s->by, s->r, y);
          widen_by_edge (&piece, s->ax + nx, s->ay + ny, s->bx + nx, s->by + ny, y);
          widen_by_edge (&piece, s->ax - nx, s->ay - ny, s->bx - nx, s->by - ny, y);
        }
      lay (self, &rows[i], piece.x0, piece.x1, dark);
    }
}

static int
compare_crossings (const void *a, const void *b)
{
  const Crossing *p = a, *q = b;

  if (p->row != q->row)
    return p->row < q->row ? -1 : 1;
  return p->x < q->x ? -1 : p->x > q->x;
}

static void
cross_edge (Scan *self, LwPoint a, LwPoint b)
{
  int winding = b.y_mm > a.y_mm ? 1 : -1;
  double slope;
  guint end;

  if (a.y_mm == b.y_mm)
    return;
  if (self->crossings->len > MAX_CROSSINGS)
    self->work = MAX_WORK + 1; /* ends the scan at the next shape */
  if (self->work > MAX_WORK)
    return;
  slope = (b.x_mm - a.x_mm) / (b.y_mm - a.y_mm);
  end = row_above (self, fmax (a.y_mm, b.y_mm));
  for (guint i = row_above (self, fmin (a.y_mm, b.y_mm)); i < end; i++)
    {
      Crossing crossing = { i, winding, a.x_mm + slope * (line_y (self, i) - a.y_mm) };

      g_array_append_val (self->crossings, crossing);
    }
}

static void
paint_polygon (Scan *self, Row *rows, const LwShape *s, gboolean dark)
{
  const LwPoint *corner = &g_array_index (self->plot->corners, LwPoint, s->first);
  const Crossing *c;
  int winding = 0;

  g_array_set_size (self->crossings, 0);
  for (guint i = 0; i < s->n; i++)
    cross_edge (self, corner[i], corner[(i + 1) % s->n]);
  self->work += self->crossings->len;
  c = (const Crossing *) (const void *) self->crossings->data;
  if (self->crossings->len == 0)
    return;
  qsort (self->crossings->data, self->crossings->len, sizeof (Crossing), compare_crossings);
  for (guint i = 0; i + 1 < self->crossings->len; i++)
    {
      winding += c[i].winding;
      if (c[i].row != c[i + 1].row)
        winding = 0;
      else if (winding != 0)
        lay (self, &rows[c[i].row], c[i].x, c[i + 1].x, dark);
    }
}

static void
paint_shape (Scan *self, Row *rows, const LwShape *shape, gboolean dark)
{
  if (shape->kind == LW_SHAPE_CAPSULE)
    paint_capsule (self, rows, shape, dark);
  else
    paint_polygon (self, rows, shape, dark);
}

/* A stamp is painted on lines of its own, and what comes out is laid on the layer's. */
static void
paint_stamp (Scan *self, Row *rows, guint at)
{
  const LwShape *shapes = (const LwShape *) (const void *) self->plot->shapes->data;
  Row *own = g_new0 (Row, self->n);
  double low = INFINITY, high = -INFINITY;
  guint end;

  for (guint i = 1; i <= shapes[at].n; i++)
    {
      const LwShape *s = &shapes[at + i];

      low = fmin (low, fmin (s->ay, s->by) - s->r);
      high = fmax (high, fmax (s->ay, s->by) + s->r);
      paint_shape (self, own, s, s->dark);
    }
  end = row_above (self, high);
  for (guint i = row_above (self, low); i < end; i++)
    {
      flush (&own[i]);
      for (guint k = 0; k < own[i].n_set; k++)
        lay (self, &rows[i], own[i].set[k].x0, own[i].set[k].x1, shapes[at].dark);
    }
  rows_free (own, self->n);
}

static gboolean
go_on (const Scan *self, GCancellable *cancellable, GError **error)
{
  if (g_cancellable_set_error_if_cancelled (cancellable, error))
    return FALSE;
  if (self->work <= MAX_WORK)
    return TRUE;
  g_set_error (error, LW_IMPORT_ERROR, LW_IMPORT_ERROR_TOO_LARGE,
               _("more is drawn than a board’s layer can hold"));
  return FALSE;
}

static gboolean
paint (Scan *self, Row *rows, const LwPlot *plot, GCancellable *cancellable, GError **error)
{
  self->plot = plot;
  for (guint i = 0; i < plot->shapes->len; i++)
    {
      const LwShape *shape = &g_array_index (plot->shapes, LwShape, i);

      if (i % 256 == 0 && !go_on (self, cancellable, error))
        return FALSE;
      if (shape->kind != LW_SHAPE_STAMP)
        {
          paint_shape (self, rows, shape, shape->dark);
          continue;
        }
      self->work += self->n;
      paint_stamp (self, rows, i);
      i += shape->n;
    }
  for (guint i = 0; i < self->n; i++)
    flush (&rows[i]);
  return go_on (self, cancellable, error);
}

/* ---- bands ---- */

static void
add_level (GArray *levels, const LwPlotGrid *grid, double y)
{
  double low = grid->y_mm, high = grid->y_mm + grid->rows * grid->cell_mm;

  if (y > low && y < high && levels->len < MAX_LEVELS)
    g_array_append_val (levels, y);
}

static void
collect_levels (GArray *levels, const LwPlotGrid *grid, const LwPlot *plot)
{
  const LwPoint *corner = (const LwPoint *) (const void *) plot->corners->data;

  for (guint i = 0; i < plot->shapes->len; i++)
    {
      const LwShape *s = &g_array_index (plot->shapes, LwShape, i);

      if (s->kind == LW_SHAPE_CAPSULE && fabs (s->ay - s->by) < LEVEL_MM && s->ax != s->bx)
        {
          add_level (levels, grid, s->ay - s->r);
          add_level (levels, grid, s->ay + s->r);
        }
      for (guint k = 0; s->kind == LW_SHAPE_POLYGON && k < s->n; k++)
        if (fabs (corner[s->first + k].y_mm - corner[s->first + (k + 1) % s->n].y_mm) < LEVEL_MM)
          add_level (levels, grid, corner[s->first + k].y_mm);
    }
}

static int
compare_doubles (const void *a, const void *b)
{
  const double *p = a, *q = b;

  return *p < *q ? -1 : *p > *q;
}

/* Edges of the bands, ascending: the even ones and the levels; none nearer than LEVEL_MM. */
static GArray *
make_bands (const LwPlotGrid *grid, const LwPlot *plot, const LwPlot *board)
{
  GArray *edges = g_array_new (FALSE, FALSE, sizeof (double));
  guint n = grid->rows * BANDS_PER_CELL, kept = 0;
  double *e;

  collect_levels (edges, grid, plot);
  if (board != NULL)
    collect_levels (edges, grid, board);
  for (guint i = 0; i <= n; i++)
    {
      double y = grid->y_mm + grid->cell_mm * i / BANDS_PER_CELL;

      g_array_append_val (edges, y);
    }
  e = (double *) (void *) edges->data;
  qsort (e, edges->len, sizeof (double), compare_doubles);
  for (guint i = 1; i < edges->len; i++)
    if (e[i] - e[kept] > LEVEL_MM)
      e[++kept] = e[i];
  g_array_set_size (edges, kept + 1);
  return edges;
}

/* ---- cells ---- */

/* What of PIECES lies in each cell of the row of cells, times the band's height. */
static void
add_pieces (const LwPlotGrid *grid, double *cells, const Piece *pieces, guint n, double height)
{
  double area = grid->cell_mm * height;

  for (guint i = 0; i < n; i++)
    {
      double from = (pieces[i].x0 - grid->x_mm) / grid->cell_mm, to = (pieces[i].x1 - grid->x_mm) / grid->cell_mm;
      guint first = MIN ((guint) MAX (from, 0), grid->columns - 1), last = MIN ((guint) MAX (to, 0), grid->columns - 1);

      if (first == last)
        {
          cells[first] += (to - from) * area;
          continue;
        }
      cells[first] += (first + 1 - from) * area;
      for (guint c = first + 1; c < last; c++)
        cells[c] += area;
      cells[last] += (to - last) * area;
    }
}

static void
clip (Row *row, const Row *board)
{
  Row outside = *row;
  double from = -INFINITY;

  outside.wait = g_new (Piece, board->n_set + 1);
  outside.n_wait = 0;
  for (guint i = 0; i < board->n_set; i++)
    {
      outside.wait[outside.n_wait++] = (Piece) { from, board->set[i].x0 };
      from = board->set[i].x1;
    }
  outside.wait[outside.n_wait++] = (Piece) { from, INFINITY };
  outside.wait_dark = FALSE;
  row->set = subtract (&outside, &row->n_set);
  g_free (outside.set);
  g_free (outside.wait);
}

static double *
measure (const Scan *self, const LwPlotGrid *grid, Row *rows, const Row *board, double *total)
{
  gsize n = (gsize) grid->columns * grid->rows;
  g_autofree double *whole = g_new0 (double, n);
  double *cover = g_new0 (double, n), sum = 0;

  for (guint i = 0; i < self->n; i++)
    {
      double height = self->edge[i + 1] - self->edge[i];
      guint at = (guint) CLAMP ((line_y (self, i) - grid->y_mm) / grid->cell_mm, 0, grid->rows - 1);
      gsize first = (gsize) at * grid->columns;

      if (board != NULL)
        {
          clip (&rows[i], &board[i]);
          add_pieces (grid, whole + first, board[i].set, board[i].n_set, height);
        }
      add_pieces (grid, cover + first, rows[i].set, rows[i].n_set, height);
    }
  for (gsize i = 0; i < n; i++)
    {
      double of = board != NULL ? whole[i] : grid->cell_mm * grid->cell_mm;

      sum += cover[i];
      cover[i] = of > 1e-9 ? fmin (cover[i] / of, 1) : 0;
    }
  if (total != NULL)
    *total = sum;
  return cover;
}

double *
lw_plot_cover (const LwPlot *self, const LwPlot *board, const LwPlotGrid *grid, double *total,
               GCancellable *cancellable, GError **error)
{
  g_autoptr (GArray) edges = make_bands (grid, self, board);
  g_autoptr (GArray) crossings = g_array_new (FALSE, FALSE, sizeof (Crossing));
  Scan scan = { self, (const double *) (const void *) edges->data, edges->len - 1, grid->x_mm,
                grid->x_mm + grid->columns * grid->cell_mm, 0, crossings };
  Row *rows = g_new0 (Row, scan.n), *board_rows = board != NULL ? g_new0 (Row, scan.n) : NULL;
  double *cover = NULL;

  if (paint (&scan, rows, self, cancellable, error)
      && (board == NULL || paint (&scan, board_rows, board, cancellable, error)))
    cover = measure (&scan, grid, rows, board_rows, total);
  rows_free (rows, scan.n);
  if (board_rows != NULL)
    rows_free (board_rows, scan.n);
  return cover;
}
