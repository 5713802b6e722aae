/* Component layers (X3) as listed parts and bodies.
 *
 * The format's own rule of turning: a point (u, v) of the part's drawing lies at P + R(f)(u, v) on the top
 * and at P + R(f)(-u, v) on the bottom, f being the figure in the file. A part of a job turns the other way
 * round on the bottom, so its rotation is -f there. */
#include <math.h>

#include "exchange/package-words.h"
#include "exchange/plot-set.h"
#include "exchange/profile.h"

/* A point of the board in the part's own drawing. */
static LwPoint
in_drawing (const LwGerberPart *part, LwSide side, LwPoint p)
{
  double turn = part->rotation_deg * G_PI / 180, c = cos (turn), s = sin (turn);
  double dx = p.x_mm - part->x_mm, dy = p.y_mm - part->y_mm;
  double u = c * dx + s * dy, v = -s * dx + c * dy;

  /* To a nanometre, as files are written: what turning leaves behind it is no length. */
  return (LwPoint) { round ((side == LW_SIDE_BOTTOM ? -u : u) * 1e6) / 1e6, round (v * 1e6) / 1e6 };
}

static GArray *
strokes_in_drawing (const LwGerberPart *part, LwSide side)
{
  GArray *strokes = g_array_new (FALSE, FALSE, sizeof (LwStroke));

  for (guint i = 0; i < part->strokes->len; i++)
    {
      LwStroke s = g_array_index (part->strokes, LwStroke, i);

      s.from = in_drawing (part, side, s.from);
      s.to = in_drawing (part, side, s.to);
      s.center = in_drawing (part, side, s.center);
      s.sweep_deg = side == LW_SIDE_BOTTOM ? -s.sweep_deg : s.sweep_deg;
      g_array_append_val (strokes, s);
    }
  return strokes;
}

static const char *
geometry_of (const LwGerberPart *part)
{
  return *part->footprint != '\0' ? part->footprint : part->package;
}

static void
add_property (LwListedBody *body, const char *name, const char *value)
{
  LwListedProperty property = { g_strdup (name), g_strdup (value) };

  g_array_append_val (body->properties, property);
}

/* Body that the name states, for a part that is drawn LENGTH by WIDTH; a chip's size code does not say which
 * way the chip lies. */
static LwPoint
named_body (const LwPackageWords *words, double length, double width)
{
  if (words->body_x_mm > 0 && words->body_y_mm > 0)
    return (LwPoint) { words->body_x_mm, words->body_y_mm };
  if (length >= width)
    return (LwPoint) { words->chip_length_mm, words->chip_width_mm };
  return (LwPoint) { words->chip_width_mm, words->chip_length_mm };
}

/* A courtyard is larger than what stands in it; where the name states the body, the body is taken. */
static void
use_named_body (LwListedBody *body, const LwGerberPart *part)
{
  LwPackageWords words = lw_package_words_read (geometry_of (part), part->value, part->ref);
  LwListedLoop *loop;
  LwPoint named;
  LwBox box;

  if (part->outline < LW_GERBER_FOOTPRINT)
    return;
  loop = body->loops->pdata[0];
  box = lw_loop_box (loop->loop);
  named = named_body (&words, box.x1_mm - box.x0_mm, box.y1_mm - box.y0_mm);
  if (!(named.x_mm > 0) || !(named.y_mm > 0) || named.x_mm > box.x1_mm - box.x0_mm + 0.01
      || named.y_mm > box.y1_mm - box.y0_mm + 0.01)
    {
      add_property (body, "body_from", part->outline == LW_GERBER_COURTYARD ? "courtyard" : "footprint");
      return;
    }
  lw_loop_unref (loop->loop);
  loop->circle = FALSE;
  g_array_set_size (loop->lines, 0);
  loop->loop = lw_loop_new_rectangle ((box.x0_mm + box.x1_mm - named.x_mm) / 2, (box.y0_mm + box.y1_mm - named.y_mm) / 2,
                                      (box.x0_mm + box.x1_mm + named.x_mm) / 2, (box.y0_mm + box.y1_mm + named.y_mm) / 2);
  g_ptr_array_set_size (body->loops, 1);
}

static void
add_body (const LwGerberPart *part, LwSide side, LwListedLibrary *library)
{
  g_autoptr (GArray) strokes = strokes_in_drawing (part, side);
  g_autoptr (GPtrArray) quiet = lw_notes_new (); /* a courtyard with a gap is no news */
  g_autoptr (GPtrArray) loops = lw_listed_loops_new ();
  LwListedBody *body;

  lw_profile_loops (strokes, library->name, loops, quiet);
  if (loops->len == 0)
    return;
  body = lw_listed_body_new (geometry_of (part), "", NAN, part->line);
  body->loops = g_steal_pointer (&loops);
  use_named_body (body, part);
  for (guint i = 0; i < part->pins->len; i++)
    {
      const LwGerberPin *pin = &g_array_index (part->pins, LwGerberPin, i);
      LwPoint at = in_drawing (part, side, (LwPoint) { pin->x_mm, pin->y_mm });
      LwListedPin own = { at.x_mm, at.y_mm, 0, 0 };

      g_array_append_val (body->pins, own);
    }
  g_ptr_array_add (library->entries, body);
}

static gboolean
has_body (const LwListedLibrary *library, const char *geometry)
{
  for (guint i = 0; i < library->entries->len; i++)
    if (g_str_equal (((const LwListedBody *) library->entries->pdata[i])->geometry, geometry))
      return TRUE;
  return FALSE;
}

void
lw_plot_parts_list (const LwGerber *gerber, LwSide side, LwListedBoard *board, LwListedLibrary *library)
{
  g_autoptr (GHashTable) seen = g_hash_table_new (g_str_hash, g_str_equal);

  for (guint i = 0; i < gerber->parts->len; i++)
    {
      const LwGerberPart *part = gerber->parts->pdata[i];
      const char *number = *part->value != '\0' ? part->value : part->number;
      LwListedPart *own = lw_listed_part_new (geometry_of (part), number, part->ref, part->line);

      own->x_mm = part->x_mm;
      own->y_mm = part->y_mm;
      own->rotation_deg = lw_angle_normalise (side == LW_SIDE_BOTTOM ? -part->rotation_deg : part->rotation_deg);
      own->side = side;
      own->placed = TRUE;
      own->height_mm = part->height_mm > 0 ? part->height_mm : NAN;
      g_ptr_array_add (board->parts, own);
      if (*geometry_of (part) != '\0' && g_hash_table_add (seen, (gpointer) geometry_of (part))
          && !has_body (library, geometry_of (part)))
        add_body (part, side, library);
    }
}
