#include "exchange/idf-loops.h"

#include <glib/gi18n.h>
#include <math.h>

/* Points nearer than this are the same: a tenth of the coarsest last digit seen (0.1 thou). */
#define SAME_MM 0.0003
#define FULL_CIRCLE_DEG 360.0
#define ANGLE_STEP_DEG 1e-6

typedef struct {
  double label, x_mm, y_mm, angle_deg;
  guint line;
} Point;

void
lw_idf_loops_begin (LwIdfLoops *self, LwIdfLexer *lexer, double unit_mm, guint *n_points)
{
  *self = (LwIdfLoops) { .lexer = lexer, .unit_mm = unit_mm, .n_points = n_points };
  self->loops = lw_listed_loops_new ();
}

static LwVertex *
corner (const LwListedLoop *loop, guint i)
{
  return &g_array_index (loop->loop->corners, LwVertex, i);
}

static gboolean
same_point (const LwVertex *a, const Point *b)
{
  return hypot (a->x_mm - b->x_mm, a->y_mm - b->y_mm) <= SAME_MM;
}

/* Takes the open loop over, or drops it when it encloses nothing. */
static void
complete (LwIdfLoops *self)
{
  LwListedLoop *loop = self->open;

  self->open = NULL;
  if (lw_listed_loop_encloses (loop))
    {
      g_ptr_array_add (self->loops, loop);
      return;
    }
  lw_notes_add (self->lexer->notes, self->lexer->name, loop->line,
                _("an outline loop that encloses nothing is left out"));
  lw_listed_loop_free (loop);
}

static void
close_gap (LwIdfLoops *self)
{
  if (self->open == NULL)
    return;
  if (self->open->loop->corners->len > 2)
    lw_notes_add (self->lexer->notes, self->lexer->name, self->open->line,
                  _("the outline loop that starts here is not closed: closed with a straight line"));
  complete (self);
}

static gboolean
read_point (LwIdfLoops *self, const LwIdfRecord *record, Point *point, GError **error)
{
  const LwIdfLexer *lexer = self->lexer;

  point->line = record->line;
  if (!lw_idf_number (lexer, record, 0, _("loop label"), &point->label, error)
      || !lw_idf_length (lexer, record, 1, _("x"), self->unit_mm, &point->x_mm, error)
      || !lw_idf_length (lexer, record, 2, _("y"), self->unit_mm, &point->y_mm, error)
      || !lw_idf_number (lexer, record, 3, _("angle"), &point->angle_deg, error))
    return FALSE;
  if (point->label < 0 || point->label > 1e9 || point->label != floor (point->label))
    return lw_idf_fail (lexer, record->line, error,
                        _("field 1: a loop label is a whole number from 0 up"));
  if (fabs (point->angle_deg) > FULL_CIRCLE_DEG + ANGLE_STEP_DEG)
    return lw_idf_fail (lexer, record->line, error, _("field 4: an arc of more than 360 degrees"));
  if (++*self->n_points > LW_IDF_MAX_POINTS)
    return lw_notes_fail (error, LW_IMPORT_ERROR_TOO_LARGE, lexer->name, record->line,
                          _("more than %d outline points"), LW_IDF_MAX_POINTS);
  lw_idf_expect_fields (lexer, record, 4);
  return TRUE;
}

static gboolean
start_loop (LwIdfLoops *self, const Point *point, GError **error)
{
  if (fabs (point->angle_deg) > ANGLE_STEP_DEG)
    return lw_idf_fail (self->lexer, point->line, error,
                        _("field 4: the first point of a loop cannot end an arc; 0 expected"));
  if (self->loops->len >= LW_IDF_MAX_LOOPS)
    return lw_notes_fail (error, LW_IMPORT_ERROR_TOO_LARGE, self->lexer->name, point->line,
                          _("more than %d loops in one section"), LW_IDF_MAX_LOOPS);
  self->open = lw_listed_loop_new ((guint) point->label, point->line);
  lw_loop_add (self->open->loop, point->x_mm, point->y_mm, 0);
  g_array_append_val (self->open->lines, point->line);
  return TRUE;
}

/* The only point so far is the centre, this one is on the rim. */
static gboolean
add_circle (LwIdfLoops *self, const Point *rim, GError **error)
{
  const LwVertex center = *corner (self->open, 0);
  LwListedLoop *loop = self->open;

  if (loop->loop->corners->len != 1)
    return lw_idf_fail (
      self->lexer, rim->line, error,
      _("field 4: a full circle is a centre and one point on its rim, nothing before"));
  loop->circle = TRUE;
  loop->radius_mm = hypot (rim->x_mm - center.x_mm, rim->y_mm - center.y_mm);
  lw_loop_unref (loop->loop);
  loop->loop = loop->radius_mm > 0 ? lw_loop_new_circle (center.x_mm, center.y_mm, loop->radius_mm)
                                   : lw_loop_new ();
  g_array_set_size (loop->lines, 0);
  complete (self);
  return TRUE;
}

static gboolean
continue_loop (LwIdfLoops *self, const Point *point, GError **error)
{
  LwListedLoop *loop = self->open;
  guint n = loop->loop->corners->len;

  if (fabs (point->angle_deg) >= FULL_CIRCLE_DEG - ANGLE_STEP_DEG)
    return add_circle (self, point, error);
  if (same_point (corner (loop, n - 1), point))
    {
      if (fabs (point->angle_deg) > ANGLE_STEP_DEG)
        lw_notes_add (self->lexer->notes, self->lexer->name, point->line,
                      _("an arc of no length is left out"));
      return TRUE;
    }
  if (n >= 2 && same_point (corner (loop, 0), point))
    {
      corner (loop, 0)->arc_deg = point->angle_deg;
      complete (self);
      return TRUE;
    }
  if (n >= LW_IDF_MAX_LOOP_POINTS)
    return lw_notes_fail (error, LW_IMPORT_ERROR_TOO_LARGE, self->lexer->name, point->line,
                          _("more than %d points in one loop"), LW_IDF_MAX_LOOP_POINTS);
  lw_loop_add (loop->loop, point->x_mm, point->y_mm, point->angle_deg);
  g_array_append_val (loop->lines, point->line);
  return TRUE;
}

gboolean
lw_idf_loops_add (LwIdfLoops *self, const LwIdfRecord *record, GError **error)
{
  Point point;

  if (!read_point (self, record, &point, error))
    return FALSE;
  if (self->open != NULL && (double) self->open->label != point.label)
    close_gap (self);
  if (self->open == NULL)
    return start_loop (self, &point, error);
  return continue_loop (self, &point, error);
}

GPtrArray *
lw_idf_loops_end (LwIdfLoops *self)
{
  close_gap (self);
  return g_steal_pointer (&self->loops);
}

void
lw_idf_loops_abort (LwIdfLoops *self)
{
  if (self->open != NULL)
    lw_listed_loop_free (self->open);
  self->open = NULL;
  g_clear_pointer (&self->loops, g_ptr_array_unref);
}
