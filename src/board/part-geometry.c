/* Where a part's body and joints lie on the board, and how tall it is. */
#include <math.h>

#include "board/job.h"

/* A part whose package nobody knows is drawn and computed as a box of this size: a stated default, no
 * source. */
static const double UNKNOWN_SIZE_MM = 2.0;
static const double UNKNOWN_HEIGHT_MM = 2.0;

/* ---- heights ---- */

typedef struct {
  LwPackageKind kind;
  double up_to_mm; /* of the body's longer side */
  double height_mm;
} DefaultHeight;

/* Used only where neither part nor package states a height, and said so. Rows of one kind run from small
 * to large. Chips, tantalums and area arrays: sizes of the usual case codes and outlines (JEDEC MS-034,
 * MO-220, MS-012), from memory; electrolytics: can sizes of the Cornell Dubilier SMT guide; microphones,
 * connectors, cells and the rest: common practice, no source. */
static const DefaultHeight default_heights[] = {
  { LW_KIND_AREA_ARRAY, 12.5, 1.1 },
  { LW_KIND_AREA_ARRAY, 18.0, 1.6 },
  { LW_KIND_AREA_ARRAY, HUGE_VAL, 2.3 },
  { LW_KIND_LEADED, 3.2, 1.1 },
  { LW_KIND_LEADED, 11.0, 1.75 },
  { LW_KIND_LEADED, HUGE_VAL, 1.6 },
  { LW_KIND_LEADLESS, HUGE_VAL, 1.0 },
  { LW_KIND_CERAMIC_CAPACITOR, 1.1, 0.5 },
  { LW_KIND_CERAMIC_CAPACITOR, 1.7, 0.8 },
  { LW_KIND_CERAMIC_CAPACITOR, 2.1, 1.25 },
  { LW_KIND_CERAMIC_CAPACITOR, 3.3, 1.6 },
  { LW_KIND_CERAMIC_CAPACITOR, HUGE_VAL, 2.5 },
  { LW_KIND_RESISTOR, 1.1, 0.35 },
  { LW_KIND_RESISTOR, 1.7, 0.45 },
  { LW_KIND_RESISTOR, HUGE_VAL, 0.55 },
  { LW_KIND_ELECTROLYTIC, 6.4, 5.4 },
  { LW_KIND_ELECTROLYTIC, 10.5, 10.2 },
  { LW_KIND_ELECTROLYTIC, 13.5, 13.5 },
  { LW_KIND_ELECTROLYTIC, HUGE_VAL, 16.5 },
  { LW_KIND_POLYMER_CAPACITOR, 4.0, 1.9 },
  { LW_KIND_POLYMER_CAPACITOR, HUGE_VAL, 2.8 },
  { LW_KIND_TANTALUM, 3.3, 1.6 },
  { LW_KIND_TANTALUM, 3.6, 1.9 },
  { LW_KIND_TANTALUM, 6.1, 2.5 },
  { LW_KIND_TANTALUM, HUGE_VAL, 2.8 },
  { LW_KIND_FILM_CAPACITOR, HUGE_VAL, 10.0 },
  { LW_KIND_SUPERCAPACITOR, HUGE_VAL, 12.0 },
  { LW_KIND_INDUCTOR, 3.0, 1.2 },
  { LW_KIND_INDUCTOR, HUGE_VAL, 4.0 },
  { LW_KIND_CRYSTAL, 5.5, 1.0 },
  { LW_KIND_CRYSTAL, HUGE_VAL, 4.0 },
  { LW_KIND_LED, HUGE_VAL, 1.0 },
  { LW_KIND_CONNECTOR, 10.0, 3.2 },
  { LW_KIND_CONNECTOR, HUGE_VAL, 8.5 },
  { LW_KIND_SWITCH, HUGE_VAL, 3.5 },
  { LW_KIND_RELAY, HUGE_VAL, 10.0 },
  { LW_KIND_COIN_CELL, HUGE_VAL, 3.2 },
  { LW_KIND_CELL_HOLDER, HUGE_VAL, 4.5 },
  { LW_KIND_MICROPHONE, HUGE_VAL, 1.1 },
  { LW_KIND_MODULE, HUGE_VAL, 3.0 },
  { LW_KIND_FUSE, HUGE_VAL, 2.5 },
  { LW_KIND_TRANSFORMER, HUGE_VAL, 10.0 },
  { LW_KIND_OPTOCOUPLER, HUGE_VAL, 2.2 },
  { LW_KIND_SHIELD_CAN, HUGE_VAL, 2.5 },
  { LW_KIND_MECHANICAL, HUGE_VAL, 3.0 },
};

double
lw_default_height_mm (const LwPackage *package)
{
  if (package == NULL)
    return UNKNOWN_HEIGHT_MM;
  double size = package->round ? package->length_mm : MAX (package->length_mm, package->width_mm);

  for (guint i = 0; i < G_N_ELEMENTS (default_heights); i++)
    if (default_heights[i].kind == package->kind && size <= default_heights[i].up_to_mm)
      return default_heights[i].height_mm;
  return UNKNOWN_HEIGHT_MM;
}

double
lw_part_height_mm (const LwPart *part, const LwPackage *package, gboolean *known)
{
  double height = part->height_mm;

  if (isnan (height) && package != NULL)
    height = package->height_mm;
  if (known != NULL)
    *known = !isnan (height);
  if (isnan (height))
    height = lw_default_height_mm (package);
  return height + part->offset_mm;
}

/* ---- places ---- */

/* Sine and cosine, exact at quarter turns so that axis-parallel bodies stay so to the digit. */
static void
turn (double deg, double *cosine, double *sine)
{
  static const double quarter_cosine[4] = { 1, 0, -1, 0 }, quarter_sine[4] = { 0, 1, 0, -1 };
  double normal = lw_angle_normalise (deg);

  if (fmod (normal, 90.0) == 0.0)
    {
      int quarter = (int) (normal / 90.0);

      *cosine = quarter_cosine[quarter];
      *sine = quarter_sine[quarter];
      return;
    }
  *cosine = cos (normal * G_PI / 180.0);
  *sine = sin (normal * G_PI / 180.0);
}

double
lw_part_turn_deg (const LwPart *part)
{
  return lw_angle_normalise (part->side == LW_SIDE_BOTTOM ? -part->rotation_deg : part->rotation_deg);
}

LwPoint
lw_part_to_board (const LwPart *part, double u_mm, double v_mm)
{
  double cosine, sine;

  if (part->side == LW_SIDE_BOTTOM)
    u_mm = -u_mm;
  turn (lw_part_turn_deg (part), &cosine, &sine);
  return (LwPoint){ part->x_mm + cosine * u_mm - sine * v_mm, part->y_mm + sine * u_mm + cosine * v_mm };
}

LwPoint
lw_part_body_center (const LwPart *part, const LwPackage *package)
{
  if (package == NULL)
    return (LwPoint){ part->x_mm, part->y_mm };
  return lw_part_to_board (part, package->center_x_mm, package->center_y_mm);
}

void
lw_part_body_corners (const LwPart *part, const LwPackage *package, LwPoint corners[4])
{
  static const double along[4] = { -0.5, 0.5, 0.5, -0.5 }, across[4] = { -0.5, -0.5, 0.5, 0.5 };
  double length = package != NULL ? package->length_mm : UNKNOWN_SIZE_MM;
  double width = package == NULL ? UNKNOWN_SIZE_MM : package->round ? length : package->width_mm;
  double x = package != NULL ? package->center_x_mm : 0.0, y = package != NULL ? package->center_y_mm : 0.0;

  for (int i = 0; i < 4; i++)
    {
      int k = part->side == LW_SIDE_BOTTOM ? 3 - i : i; /* mirroring turns the order round */

      corners[i] = lw_part_to_board (part, x + along[k] * length, y + across[k] * width);
    }
}

/* The package's own outline, turned, mirrored and moved. */
static LwLoop *
placed_outline (const LwPart *part, const LwLoop *outline)
{
  LwLoop *loop = lw_loop_new ();

  for (guint i = 0; i < outline->corners->len; i++)
    {
      const LwVertex *v = &g_array_index (outline->corners, LwVertex, i);
      LwPoint p = lw_part_to_board (part, v->x_mm, v->y_mm);

      lw_loop_add (loop, p.x_mm, p.y_mm, part->side == LW_SIDE_BOTTOM ? -v->arc_deg : v->arc_deg);
    }
  return loop;
}

LwLoop *
lw_part_outline (const LwPart *part, const LwPackage *package)
{
  LwPoint corners[4];
  LwLoop *loop;

  if (package != NULL && package->outline != NULL && package->outline->corners->len > 0)
    return placed_outline (part, package->outline);
  if (package != NULL && package->round)
    {
      LwPoint center = lw_part_body_center (part, package);

      return lw_loop_new_circle (center.x_mm, center.y_mm, package->length_mm / 2.0);
    }
  lw_part_body_corners (part, package, corners);
  loop = lw_loop_new ();
  for (int i = 0; i < 4; i++)
    lw_loop_add (loop, corners[i].x_mm, corners[i].y_mm, 0.0);
  return loop;
}

/* ---- joints ---- */

typedef struct {
  GArray *points;
  const LwPart *part;
  double x, y; /* the pattern's middle: the body's centre */
} JointSink;

static void
add_joint (JointSink *sink, double u, double v)
{
  LwPoint p = lw_part_to_board (sink->part, sink->x + u, sink->y + v);

  g_array_append_val (sink->points, p);
}

/* Place of the i-th of n at a pitch, about 0. */
static double
place (guint i, guint n, double pitch)
{
  return (i - (n - 1) / 2.0) * pitch;
}

static gboolean
in_hole (guint i, guint n, guint hole)
{
  guint first = n > hole ? (n - hole) / 2 : 0;

  return hole > 0 && i >= first && i < first + hole;
}

static void
add_grid (JointSink *sink, const LwJoints *j)
{
  for (guint r = 0; r < j->rows; r++)
    for (guint c = 0; c < j->columns; c++)
      if (!in_hole (c, j->columns, j->hole_columns) || !in_hole (r, j->rows, j->hole_rows))
        add_joint (sink, place (c, j->columns, j->pitch_mm), place (r, j->rows, j->pitch_mm));
}

static void
add_left_and_right (JointSink *sink, const LwJoints *j)
{
  for (guint r = 0; r < j->rows; r++)
    {
      add_joint (sink, -j->span_x_mm / 2.0, place (r, j->rows, j->pitch_mm));
      add_joint (sink, j->span_x_mm / 2.0, place (r, j->rows, j->pitch_mm));
    }
}

static void
add_above_and_below (JointSink *sink, const LwJoints *j)
{
  for (guint c = 0; c < j->columns; c++)
    {
      add_joint (sink, place (c, j->columns, j->pitch_mm), -j->span_y_mm / 2.0);
      add_joint (sink, place (c, j->columns, j->pitch_mm), j->span_y_mm / 2.0);
    }
}

/* Listed positions are about the placement point. */
static void
add_listed (JointSink *sink, const LwJoints *j)
{
  for (guint i = 0; j->positions != NULL && i < j->positions->len; i++)
    {
      const LwPoint *at = &g_array_index (j->positions, LwPoint, i);
      LwPoint p = lw_part_to_board (sink->part, at->x_mm, at->y_mm);

      g_array_append_val (sink->points, p);
    }
}

GArray *
lw_part_joints (const LwPart *part, const LwPackage *package)
{
  JointSink sink = { g_array_new (FALSE, FALSE, sizeof (LwPoint)), part };

  if (package == NULL)
    return sink.points;
  const LwJoints *j = &package->joints;
  sink.x = package->center_x_mm;
  sink.y = package->center_y_mm;
  switch (j->pattern)
    {
    case LW_JOINTS_NONE:
      break;
    case LW_JOINTS_GRID:
      add_grid (&sink, j);
      break;
    case LW_JOINTS_FOUR_SIDES:
      add_above_and_below (&sink, j);
      add_left_and_right (&sink, j);
      break;
    case LW_JOINTS_TWO_SIDES:
      add_left_and_right (&sink, j);
      break;
    case LW_JOINTS_TWO_ENDS:
      add_joint (&sink, -j->span_x_mm / 2.0, 0.0);
      add_joint (&sink, j->span_x_mm / 2.0, 0.0);
      break;
    case LW_JOINTS_LISTED:
      add_listed (&sink, j);
      break;
    }
  return sink.points;
}
