#include "board/loop-edits.h"

#include <math.h>

#include <glib/gi18n.h>

#include "board/edits.h"

static const LwVertex *
corner_at (const LwLoop *loop, guint i)
{
  return &g_array_index (loop->corners, LwVertex, i % loop->corners->len);
}

static const LwVertex *
corner_before (const LwLoop *loop, guint i)
{
  return corner_at (loop, i + loop->corners->len - 1);
}

static LwVertex *
corner_of (LwLoop *loop, guint i)
{
  return &g_array_index (loop->corners, LwVertex, i % loop->corners->len);
}

static LwLoop *
refuse (GError **error, const char *text)
{
  g_set_error_literal (error, LW_EDIT_ERROR, LW_EDIT_ERROR_RANGE, text);
  return NULL;
}

static gboolean
has_corner (const LwLoop *loop, guint corner, GError **error)
{
  if (corner < loop->corners->len)
    return TRUE;
  g_set_error (error, LW_EDIT_ERROR, LW_EDIT_ERROR_REFERENCE, _("there is no corner %u"), corner);
  return FALSE;
}

/* ---- shapes ---- */

LwLoop *
lw_loop_new_rounded (double x0, double y0, double x1, double y1, double radius, GError **error)
{
  double left = MIN (x0, x1), low = MIN (y0, y1), right = MAX (x0, x1), high = MAX (y0, y1);
  double r = radius;

  if (!(right > left) || !(high > low))
    return refuse (error, _("length and width must be above 0"));
  if (!(r >= 0.0) || 2.0 * r > MIN (right - left, high - low))
    return refuse (error, _("the corner radius must be between 0 and half the shorter side"));
  if (r == 0.0)
    return lw_loop_new_rectangle (left, low, right, high);
  LwLoop *loop = lw_loop_new ();
  const LwVertex way[] = { { left + r, low, 90.0 },  { right - r, low, 0.0 }, { right, low + r, 90.0 },
                           { right, high - r, 0.0 }, { right - r, high, 90.0 }, { left + r, high, 0.0 },
                           { left, high - r, 90.0 }, { left, low + r, 0.0 } };
  for (guint i = 0; i < G_N_ELEMENTS (way); i++)
    {
      const LwVertex *last = loop->corners->len > 0 ? corner_before (loop, 0) : &way[G_N_ELEMENTS (way) - 1];

      /* With the greatest radius a straight piece has no length: it is left out, its arc goes on. */
      if (way[i].arc_deg != 0.0 || hypot (way[i].x_mm - last->x_mm, way[i].y_mm - last->y_mm) > 1e-9)
        lw_loop_add (loop, way[i].x_mm, way[i].y_mm, way[i].arc_deg);
    }
  return loop;
}

LwLoop *
lw_loop_new_slot (double x0, double y0, double x1, double y1, double width, GError **error)
{
  double length = hypot (x1 - x0, y1 - y0), r = 0.5 * width;

  if (!(width > 0.0))
    return refuse (error, _("the width must be above 0"));
  if (!(length > 1e-6))
    return lw_loop_new_circle (x0, y0, r);
  double nx = -(y1 - y0) / length * r, ny = (x1 - x0) / length * r;
  LwLoop *loop = lw_loop_new ();
  lw_loop_add (loop, x0 - nx, y0 - ny, 180.0);
  lw_loop_add (loop, x1 - nx, y1 - ny, 0.0);
  lw_loop_add (loop, x1 + nx, y1 + ny, 180.0);
  lw_loop_add (loop, x0 + nx, y0 + ny, 0.0);
  return loop;
}

/* ---- measures ---- */

double
lw_loop_edge_length (const LwLoop *loop, guint edge)
{
  const LwVertex *a = corner_before (loop, edge), *b = corner_at (loop, edge);
  double chord = hypot (b->x_mm - a->x_mm, b->y_mm - a->y_mm), half = fabs (b->arc_deg) * G_PI / 360.0;

  return half < 1e-9 ? chord : chord * half / sin (half);
}

double
lw_loop_perimeter (const LwLoop *loop)
{
  double sum = 0.0;

  for (guint i = 0; i < loop->corners->len; i++)
    sum += lw_loop_edge_length (loop, i);
  return sum;
}

/* Centre of the circle the edge is a part of. */
static LwPoint
arc_center (const LwVertex *a, const LwVertex *b)
{
  double half_cot = 0.5 / tan (b->arc_deg * G_PI / 360.0);

  return (LwPoint){ 0.5 * (a->x_mm + b->x_mm) - (b->y_mm - a->y_mm) * half_cot,
                    0.5 * (a->y_mm + b->y_mm) + (b->x_mm - a->x_mm) * half_cot };
}

LwPoint
lw_loop_edge_point (const LwLoop *loop, guint edge, double share)
{
  const LwVertex *a = corner_before (loop, edge), *b = corner_at (loop, edge);

  if (b->arc_deg == 0.0)
    return (LwPoint){ a->x_mm + share * (b->x_mm - a->x_mm), a->y_mm + share * (b->y_mm - a->y_mm) };
  LwPoint c = arc_center (a, b);
  double turn = share * b->arc_deg * G_PI / 180.0, dx = a->x_mm - c.x_mm, dy = a->y_mm - c.y_mm;
  return (LwPoint){ c.x_mm + dx * cos (turn) - dy * sin (turn), c.y_mm + dx * sin (turn) + dy * cos (turn) };
}

/* Share of the edge's point nearest to (x, y). */
static double
nearest_share (const LwVertex *a, const LwVertex *b, double x, double y)
{
  double dx = b->x_mm - a->x_mm, dy = b->y_mm - a->y_mm, chord2 = dx * dx + dy * dy;

  if (b->arc_deg == 0.0)
    return chord2 > 0.0 ? CLAMP (((x - a->x_mm) * dx + (y - a->y_mm) * dy) / chord2, 0.0, 1.0) : 0.0;
  LwPoint c = arc_center (a, b);
  double from = atan2 (a->y_mm - c.y_mm, a->x_mm - c.x_mm), to = atan2 (y - c.y_mm, x - c.x_mm);
  double turned = lw_angle_normalise ((to - from) * 180.0 / G_PI), sweep = b->arc_deg;
  if (sweep < 0.0)
    {
      turned = lw_angle_normalise (-turned);
      sweep = -sweep;
    }
  if (turned <= sweep)
    return turned / sweep;
  return turned - sweep < 360.0 - turned ? 1.0 : 0.0; /* past the end it is nearer to, along the circle */
}

double
lw_loop_nearest (const LwLoop *loop, double x, double y, guint *edge, double *share, LwPoint *at)
{
  double best = INFINITY;

  for (guint i = 0; i < loop->corners->len; i++)
    {
      double s = nearest_share (corner_before (loop, i), corner_at (loop, i), x, y);
      LwPoint p = lw_loop_edge_point (loop, i, s);
      double distance = hypot (x - p.x_mm, y - p.y_mm);

      if (distance >= best)
        continue;
      best = distance;
      if (edge != NULL)
        *edge = i;
      if (share != NULL)
        *share = s;
      if (at != NULL)
        *at = p;
    }
  return best;
}

double
lw_arc_by_bulge (LwPoint a, LwPoint b, LwPoint p)
{
  double dx = b.x_mm - a.x_mm, dy = b.y_mm - a.y_mm, chord = hypot (dx, dy);

  if (chord == 0.0)
    return 0.0;
  /* sagitta / half chord = tan (angle / 4) */
  double rise = ((p.x_mm - a.x_mm) * dy - (p.y_mm - a.y_mm) * dx) / chord;
  return CLAMP (4.0 * atan (2.0 * rise / chord) * 180.0 / G_PI, -350.0, 350.0);
}

/* ---- changes ---- */

LwLoop *
lw_loop_moved (const LwLoop *loop, double dx, double dy)
{
  LwLoop *moved = lw_loop_copy (loop);

  for (guint i = 0; i < moved->corners->len; i++)
    {
      corner_of (moved, i)->x_mm += dx;
      corner_of (moved, i)->y_mm += dy;
    }
  return moved;
}

LwLoop *
lw_loop_move_corner (const LwLoop *loop, guint corner, double x, double y, GError **error)
{
  if (!has_corner (loop, corner, error))
    return NULL;
  LwLoop *moved = lw_loop_copy (loop);
  corner_of (moved, corner)->x_mm = x;
  corner_of (moved, corner)->y_mm = y;
  return moved;
}

LwLoop *
lw_loop_move_edge (const LwLoop *loop, guint edge, double dx, double dy, GError **error)
{
  if (!has_corner (loop, edge, error))
    return NULL;
  LwLoop *moved = lw_loop_copy (loop);
  LwVertex *ends[] = { corner_of (moved, edge + loop->corners->len - 1), corner_of (moved, edge) };
  for (guint i = 0; i < 2; i++)
    {
      ends[i]->x_mm += dx;
      ends[i]->y_mm += dy;
    }
  return moved;
}

LwLoop *
lw_loop_insert_corner (const LwLoop *loop, guint edge, double share, GError **error)
{
  if (!has_corner (loop, edge, error))
    return NULL;
  if (!(share > 0.0 && share < 1.0))
    return refuse (error, _("there is a corner already"));
  LwPoint at = lw_loop_edge_point (loop, edge, share);
  double arc = corner_at (loop, edge)->arc_deg;
  LwLoop *longer = lw_loop_copy (loop);
  LwVertex added = { at.x_mm, at.y_mm, arc * share };
  corner_of (longer, edge)->arc_deg = arc * (1.0 - share);
  g_array_insert_val (longer->corners, edge, added);
  return longer;
}

LwLoop *
lw_loop_remove_corner (const LwLoop *loop, guint corner, GError **error)
{
  if (!has_corner (loop, corner, error))
    return NULL;
  if (loop->corners->len <= 2)
    return refuse (error, _("an outline needs at least two corners"));
  LwLoop *shorter = lw_loop_copy (loop);
  corner_of (shorter, corner + 1)->arc_deg = 0.0;
  g_array_remove_index (shorter->corners, corner);
  return shorter;
}

LwLoop *
lw_loop_set_arc (const LwLoop *loop, guint edge, double arc_deg, GError **error)
{
  if (!has_corner (loop, edge, error))
    return NULL;
  if (!(fabs (arc_deg) < 360.0))
    return refuse (error, _("an arc must be between -360° and 360°"));
  LwLoop *bent = lw_loop_copy (loop);
  corner_of (bent, edge)->arc_deg = fabs (arc_deg) < 1e-6 ? 0.0 : arc_deg;
  return bent;
}

LwLoop *
lw_loop_set_edge_length (const LwLoop *loop, guint edge, double length, GError **error)
{
  if (!has_corner (loop, edge, error))
    return NULL;
  double now = lw_loop_edge_length (loop, edge);
  if (!(length > 0.0) || !isfinite (length) || !(now > 0.0))
    return refuse (error, _("a length must be above 0"));
  const LwVertex *a = corner_before (loop, edge), *b = corner_at (loop, edge);
  return lw_loop_move_corner (loop, edge, a->x_mm + (b->x_mm - a->x_mm) * length / now,
                              a->y_mm + (b->y_mm - a->y_mm) * length / now, error);
}

/* ---- corners ---- */

/* What a cut of corner I is made from: unit vectors of the ways in and out, and how far either reaches. */
typedef struct {
  LwPoint in, out;
  double in_length, out_length;
  double turn; /* radians, > 0 to the left */
} Bend;

static gboolean
find_bend (const LwLoop *loop, guint i, Bend *bend, GError **error)
{
  if (!has_corner (loop, i, error))
    return FALSE;
  const LwVertex *a = corner_before (loop, i), *p = corner_at (loop, i), *b = corner_at (loop, i + 1);
  if (loop->corners->len < 3 || p->arc_deg != 0.0 || b->arc_deg != 0.0)
    {
      refuse (error, _("only a corner between two straight edges can be rounded or cut off"));
      return FALSE;
    }
  bend->in_length = hypot (p->x_mm - a->x_mm, p->y_mm - a->y_mm);
  bend->out_length = hypot (b->x_mm - p->x_mm, b->y_mm - p->y_mm);
  bend->in = (LwPoint){ (p->x_mm - a->x_mm) / bend->in_length, (p->y_mm - a->y_mm) / bend->in_length };
  bend->out = (LwPoint){ (b->x_mm - p->x_mm) / bend->out_length, (b->y_mm - p->y_mm) / bend->out_length };
  bend->turn = atan2 (bend->in.x_mm * bend->out.y_mm - bend->in.y_mm * bend->out.x_mm,
                      bend->in.x_mm * bend->out.x_mm + bend->in.y_mm * bend->out.y_mm);
  if (fabs (bend->turn) < 1e-6)
    {
      refuse (error, _("the edges run straight on here: there is no corner to cut"));
      return FALSE;
    }
  return TRUE;
}

/* Replaces the corner by two, LEG before and after it, joined by an arc of ARC degrees. A leg as long as its
 * edge ends on the next corner, which then is not needed twice. */
static LwLoop *
cut_corner (const LwLoop *loop, guint i, const Bend *bend, double leg, double arc, GError **error)
{
  if (!(leg > 0.0))
    return refuse (error, _("must be above 0"));
  if (leg > bend->in_length + 1e-9 || leg > bend->out_length + 1e-9)
    return refuse (error, _("the edges beside the corner are too short for that"));
  const LwVertex *p = corner_at (loop, i);
  LwVertex start = { p->x_mm - leg * bend->in.x_mm, p->y_mm - leg * bend->in.y_mm, 0.0 };
  LwVertex end = { p->x_mm + leg * bend->out.x_mm, p->y_mm + leg * bend->out.y_mm, arc };
  gboolean to_start = leg > bend->in_length - 1e-9, to_end = leg > bend->out_length - 1e-9;
  LwLoop *cut = lw_loop_copy (loop);
  guint next = (i + 1) % loop->corners->len;

  if (to_end)
    {
      corner_of (cut, next)->arc_deg = arc;
      *corner_of (cut, i) = start;
      if (to_start)
        g_array_remove_index (cut->corners, i);
      return cut;
    }
  *corner_of (cut, i) = end;
  if (!to_start)
    g_array_insert_val (cut->corners, i, start);
  return cut;
}

LwLoop *
lw_loop_round_corner (const LwLoop *loop, guint corner, double radius, GError **error)
{
  Bend bend;

  if (!find_bend (loop, corner, &bend, error))
    return NULL;
  return cut_corner (loop, corner, &bend, radius * fabs (tan (bend.turn / 2.0)), bend.turn * 180.0 / G_PI, error);
}

LwLoop *
lw_loop_chamfer_corner (const LwLoop *loop, guint corner, double leg, GError **error)
{
  Bend bend;

  return find_bend (loop, corner, &bend, error) ? cut_corner (loop, corner, &bend, leg, 0.0, error) : NULL;
}
