/* The board's edge: choosing the outer loop, telling cut-outs from fragments, and a stated substitute
 * when the file's outline cannot be the board's. Exporters leave edges out that belong to a footprint,
 * and the outline falls to pieces; others write a strip that belongs to a fixture. */
#include <glib/gi18n.h>
#include <math.h>

#include "exchange/listed.h"

/* Of the substitute beyond the outermost bodies: common clearance of parts to a board's edge, no
 * source. */
#define MARGIN_MM 2.0
/* How far arcs may be cut short when points are tested. */
#define CHORD_MM 0.05
/* Board sizes beyond which the unit is doubted, mm2. */
#define SMALL_MM2 100.0
#define LARGE_MM2 1e6
#define DEFAULT_THICKNESS_MM 1.6
#define MAX_THICKNESS_MM 100.0 /* more cannot be kept (board/types.c), and is no board */
/* Point-in-polygon steps spent at most; beyond, only every n-th part is tried. */
#define MAX_STEPS 2e8

typedef struct {
  const LwListedBoard *board;
  LwJob *job;
  const char *file;
  GPtrArray *notes;
  GArray *lines;      /* guint, of the loops taken over */
  guint outer;        /* index of the loop with the largest area */
  GArray *polygon;    /* the outer loop, LwPoint */
  guint n_stray;      /* loops not inside the outer one */
  double outside;     /* share of the placed parts not inside the outer loop, NaN without parts */
  LwBox places;       /* box of the parts' positions */
  LwBox bodies;       /* box of their bodies */
  guint n_placed;
} Edge;

static const LwListedLoop *
edge_loop (const Edge *self, guint i)
{
  return self->board->outline->pdata[i];
}

static gboolean
check_crossing (const Edge *self, GError **error)
{
  for (guint i = 0; i < self->board->outline->len; i++)
    {
      const LwListedLoop *loop = edge_loop (self, i);
      guint a = 0, b = 0;

      if (loop->circle || !lw_loop_crosses_itself (loop->loop, &a, &b))
        continue;
      a = a < loop->lines->len ? g_array_index (loop->lines, guint, a) : loop->line;
      b = b < loop->lines->len ? g_array_index (loop->lines, guint, b) : loop->line;
      return lw_notes_fail (error, LW_IMPORT_ERROR_SYNTAX, self->file, MAX (a, b),
                            _("the board outline crosses itself: the edges to lines %u and %u meet"),
                            MIN (a, b), MAX (a, b));
    }
  return TRUE;
}

static void
find_outer (Edge *self)
{
  double best = 0;

  for (guint i = 0; i < self->board->outline->len; i++)
    {
      double area = fabs (lw_loop_area (edge_loop (self, i)->loop));

      if (area > best)
        {
          best = area;
          self->outer = i;
        }
    }
  self->polygon = lw_loop_flatten (edge_loop (self, self->outer)->loop, CHORD_MM);
}

/* A cut-out may touch or cut into the edge (plated half holes), so the half of its corners decides. */
static gboolean
is_inside (const Edge *self, const LwListedLoop *loop)
{
  guint n = loop->loop->corners->len, step = n > 16 ? n / 16 : 1, tried = 0, inside = 0;

  for (guint i = 0; i < n; i += step, tried++)
    {
      const LwVertex *v = &g_array_index (loop->loop->corners, LwVertex, i);

      inside += lw_polygon_contains (self->polygon, v->x_mm, v->y_mm);
    }
  return 2 * inside >= tried;
}

static void
count_stray (Edge *self)
{
  for (guint i = 0; i < self->board->outline->len; i++)
    self->n_stray += i != self->outer && !is_inside (self, edge_loop (self, i));
}

static void
measure_parts (Edge *self)
{
  gboolean first = TRUE;

  for (guint i = 0; i < self->job->parts->len; i++)
    {
      const LwPart *part = self->job->parts->pdata[i];
      LwPoint corners[4];

      if (!part->placed)
        continue;
      lw_part_body_corners (part, lw_job_package_of (self->job, part), corners);
      if (first)
        {
          self->places = (LwBox) { part->x_mm, part->y_mm, part->x_mm, part->y_mm };
          self->bodies = (LwBox) { corners[0].x_mm, corners[0].y_mm, corners[0].x_mm, corners[0].y_mm };
        }
      first = FALSE;
      lw_box_extend (&self->places, part->x_mm, part->y_mm);
      for (int k = 0; k < 4; k++)
        lw_box_extend (&self->bodies, corners[k].x_mm, corners[k].y_mm);
      self->n_placed++;
    }
}

/* Share of the placed parts outside the outer loop, seen with y times Y_SIGN; NaN without parts. */
static double
share_outside (const Edge *self, double y_sign)
{
  double steps = (double) self->job->parts->len * self->polygon->len;
  guint stride = 1 + (guint) (steps / MAX_STEPS), tried = 0, outside = 0;

  for (guint i = 0; i < self->job->parts->len; i += stride)
    {
      const LwPart *part = self->job->parts->pdata[i];

      if (!part->placed)
        continue;
      tried++;
      outside += !lw_polygon_contains (self->polygon, part->x_mm, y_sign * part->y_mm);
    }
  return tried > 0 ? (double) outside / tried : NAN;
}

/* ---- the substitute ---- */

static gboolean
boxes_meet (const LwBox *a, const LwBox *b)
{
  return a->x0_mm <= b->x1_mm && b->x0_mm <= a->x1_mm && a->y0_mm <= b->y1_mm && b->y0_mm <= a->y1_mm;
}

/* Fragments lie among the parts and show how far the board reaches; other loops have nothing to do with
 * it. */
static guint
add_fragments (const Edge *self, LwBox *box)
{
  guint n = 0;

  for (guint i = 0; i < self->board->outline->len; i++)
    {
      LwBox loop = lw_loop_box (edge_loop (self, i)->loop);

      if (self->n_placed > 0 && !boxes_meet (&loop, &self->places))
        continue;
      if (n++ == 0 && self->n_placed == 0)
        *box = loop;
      lw_box_extend (box, loop.x0_mm, loop.y0_mm);
      lw_box_extend (box, loop.x1_mm, loop.y1_mm);
    }
  return n;
}

static void
take_loop (const Edge *self, LwBoard *board, LwLoop *loop, guint line)
{
  g_ptr_array_add (board->outline, loop);
  g_array_append_val (self->lines, line);
}

static void
set_substitute (const Edge *self, LwBoard *board, const char *why, guint line)
{
  LwBox box = self->places;
  guint n_fragments = add_fragments (self, &box);
  const char *how = _("the box of the outline’s pieces and the parts");

  if (n_fragments == 0)
    {
      how = _("the box of the parts and 2 mm around it");
      box = (LwBox){ self->bodies.x0_mm - MARGIN_MM, self->bodies.y0_mm - MARGIN_MM,
                     self->bodies.x1_mm + MARGIN_MM, self->bodies.y1_mm + MARGIN_MM };
    }
  take_loop (self, board, lw_loop_new_rectangle (box.x0_mm, box.y0_mm, box.x1_mm, box.y1_mm), line);
  board->outline_assumed = TRUE;
  lw_notes_add (self->notes, self->file, line, _("%s: %s is used instead, %.5g × %.5g mm"), why, how,
                box.x1_mm - box.x0_mm, box.y1_mm - box.y0_mm);
}

/* What the file said, one warning for each loop, so that nothing is lost without a word. */
static void
tell_loops (const Edge *self)
{
  for (guint i = 0; i < self->board->outline->len; i++)
    {
      const LwListedLoop *loop = edge_loop (self, i);
      LwBox box = lw_loop_box (loop->loop);

      lw_notes_add (self->notes, self->file, loop->line,
                    _("left out: loop %u, %.5g × %.5g mm at %.3f, %.3f"), loop->label,
                    box.x1_mm - box.x0_mm, box.y1_mm - box.y0_mm, box.x0_mm, box.y0_mm);
    }
}

static LwLoop *
mirrored_in_y (const LwLoop *loop)
{
  LwLoop *mirrored = lw_loop_new ();

  for (guint i = 0; i < loop->corners->len; i++)
    {
      const LwVertex *v = &g_array_index (loop->corners, LwVertex, i);

      lw_loop_add (mirrored, v->x_mm, -v->y_mm, v->arc_deg != 0 ? -v->arc_deg : 0);
    }
  return mirrored;
}

/* A known exporter keeps the sign of y in plain rectangles but not in the parts: when mirroring brings
 * nearly all of them inside, that is what happened. */
static gboolean
mirror_back (const Edge *self, LwBoard *board)
{
  if (self->n_stray > 0 || !(self->outside > 0.5) || !(share_outside (self, -1) <= 0.05))
    return FALSE;
  for (guint i = 0; i < self->board->outline->len; i++)
    {
      guint k = i == 0 ? self->outer : i <= self->outer ? i - 1 : i; /* the outer loop first */
      const LwListedLoop *loop = edge_loop (self, k);
      g_autoptr (LwLoop) as_wanted = lw_listed_loop_wound (loop, i > 0); /* mirroring turns it round */

      take_loop (self, board, mirrored_in_y (as_wanted), loop->line);
    }
  board->outline_assumed = TRUE;
  lw_notes_add (self->notes, self->file, self->board->outline_line,
                _("%.0f %% of the parts lie outside the board outline, none or few when it is mirrored "
                   "in y: it is mirrored"),
                100 * self->outside);
  return TRUE;
}

static gboolean
replace_broken (const Edge *self, LwBoard *board)
{
  g_autofree char *why = NULL;

  if (mirror_back (self, board))
    return TRUE;
  if (self->outside > 0.5)
    why = g_strdup_printf (_("the board outline is broken, %.0f %% of the parts lie outside it"),
                           100 * self->outside);
  else if (self->n_stray >= 2 || (self->n_stray == 1 && self->outside > 0.1))
    why = g_strdup_printf (_("the board outline is in pieces, %u loops lie outside the largest"),
                           self->n_stray);
  else
    return FALSE;
  set_substitute (self, board, why, self->board->outline_line);
  tell_loops (self);
  return TRUE;
}

/* ---- the outline as the file has it ---- */

static void
set_as_written (const Edge *self, LwBoard *board)
{
  const LwListedLoop *outer = edge_loop (self, self->outer);

  take_loop (self, board, lw_listed_loop_wound (outer, TRUE), outer->line);
  if (self->outer != 0 || outer->label != 0)
    lw_notes_add (self->notes, self->file, outer->line,
                  _("loop %u, not the first loop 0, is the largest: it is taken as the board’s edge"),
                  outer->label);
  for (guint i = 0; i < self->board->outline->len; i++)
    {
      const LwListedLoop *loop = edge_loop (self, i);

      if (i == self->outer)
        continue;
      if (is_inside (self, loop))
        take_loop (self, board, lw_listed_loop_wound (loop, FALSE), loop->line);
      else
        lw_notes_add (self->notes, self->file, loop->line,
                      _("loop %u lies outside the board’s edge and is left out"), loop->label);
    }
  if (self->outside > 0.1)
    lw_notes_add (self->notes, self->file, self->board->outline_line,
                  _("%.0f %% of the parts lie outside the outline: check origin and unit"),
                  100 * self->outside);
}

static void
check_area (const Edge *self, const LwBoard *board)
{
  double area = fabs (lw_loop_area (board->outline->pdata[0]));

  if (area < SMALL_MM2 || area > LARGE_MM2)
    lw_notes_add (self->notes, self->file, self->board->outline_line,
                  _("a board of %.4g square centimetres is unusual: is the unit right?"), area / 100);
}

/* A body larger than its board is a slip of the unit. */
static void
check_bodies (const Edge *self, const LwBoard *board)
{
  LwBox box = lw_loop_box (board->outline->pdata[0]);
  double longest = hypot (box.x1_mm - box.x0_mm, box.y1_mm - box.y0_mm);

  if (board->outline_assumed)
    return;
  for (guint i = 0; i < self->job->packages->len; i++)
    {
      const LwPackage *package = self->job->packages->pdata[i];

      if (MAX (package->length_mm, package->width_mm) > longest)
        lw_notes_add (self->notes, self->file, 0,
                      _("%.60s, %.1f × %.1f mm, is larger than the board: is its unit right?"),
                      package->name, package->length_mm, package->width_mm);
    }
}

static gboolean
set_outline (Edge *self, LwBoard *board, GError **error)
{
  measure_parts (self);
  if (self->board->outline->len == 0)
    {
      if (self->n_placed == 0)
        return lw_notes_fail (error, LW_IMPORT_ERROR_SYNTAX, self->file, self->board->outline_line,
                              _("neither an outline nor a placed part: there is no board in this file"));
      set_substitute (self, board, _("there is no board outline"), self->board->outline_line);
      return TRUE;
    }
  if (!check_crossing (self, error))
    return FALSE;
  find_outer (self);
  count_stray (self);
  self->outside = share_outside (self, 1);
  if (!replace_broken (self, board))
    set_as_written (self, board);
  g_array_unref (self->polygon);
  return TRUE;
}

gboolean
lw_listed_set_board (LwJob *job, const LwListedBoard *from, GArray *outline_lines, const char *file,
                  GPtrArray *notes, GError **error)
{
  Edge edge = { .board = from, .job = job, .file = file, .notes = notes, .lines = outline_lines };
  LwBoard *board = job->board;

  g_free (board->name);
  board->name = g_strdup (from->name);
  board->thickness_known = from->thickness_mm > 0 && from->thickness_mm <= MAX_THICKNESS_MM;
  board->thickness_mm = board->thickness_known ? from->thickness_mm : DEFAULT_THICKNESS_MM;
  if (!set_outline (&edge, board, error))
    return FALSE;
  check_area (&edge, board);
  check_bodies (&edge, board);
  return TRUE;
}
