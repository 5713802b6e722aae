/* From an outline drawing to joints and a package. */
#include <glib/gi18n.h>
#include <math.h>

#include "board/sheet.h"

/* A ball's land on the package over its diameter: common practice, no source. */
static const double LAND_SHARE = 0.8;
/* Middles of opposite J contacts lie this much nearer than the leads' outsides: D to D2 of MS-018, from memory. */
static const double J_INSIDE_MM = 2.0;
/* Terminals of a can reach beyond its base plate on both sides together, as a share: V-chip sheets, from memory. */
static const double CAN_REACH = 1.08;
/* Alumina, 96 %: 3750 kg/m3 x 880 J/kgK, 20 W/mK; handbook values. */
static const double ALUMINA_J_PER_M3K = 3.3e6, ALUMINA_W_PER_MK = 20;

#define VALUE(name) lw_datasheet_value (self, LW_FIGURE_##name)

/* ---- arrays ---- */

static gboolean
centred (guint all, guint hole)
{
  return hole <= all && (all - hole) % 2 == 0;
}

/* The hole in the middle that leaves COUNT joints, or comes nearest to it: a square one before an oblong one. Four or
 * fewer are missing in the corners (common practice) and not made a hole of. */
static void
find_hole (guint columns, guint rows, guint count, guint *hole_columns, guint *hole_rows)
{
  guint missing = columns * rows - count, best = missing;
  double squareness = HUGE_VAL;

  *hole_columns = *hole_rows = 0;
  if (missing <= 4)
    return;
  for (guint x = 1; x <= columns; x++)
    for (guint y = 1; y <= rows && (x < columns || y < rows); y++) {
      guint off = x * y > missing ? x * y - missing : missing - x * y;
      double oblong = fabs (log ((double) x / y));

      if (!centred (columns, x) || !centred (rows, y) || off > best || (off == best && (*hole_rows == 0 || oblong >= squareness)))
        continue;
      best = off;
      squareness = oblong;
      *hole_columns = x;
      *hole_rows = y;
    }
}

static void
add (LwJoints *joints, double x_mm, double y_mm)
{
  LwPoint at = { x_mm, y_mm };

  if (joints->positions == NULL)
    joints->positions = g_array_new (FALSE, TRUE, sizeof (LwPoint));
  g_array_append_val (joints->positions, at);
  joints->pattern = LW_JOINTS_LISTED;
}

static void
list_array (const LwDatasheet *self, LwJoints *joints, guint columns, guint rows)
{
  for (guint y = 0; y < rows; y++)
    for (guint x = 0; x < columns; x++)
      if (!self->staggered || (x + y) % 2 == 0)
        add (joints, (x - (columns - 1) / 2.0) * VALUE (PITCH), (y - (rows - 1) / 2.0) * VALUE (PITCH_Y));
}

static void
array_joints (const LwDatasheet *self, LwJoints *joints)
{
  guint columns = (guint) VALUE (COLUMNS), rows = (guint) VALUE (ROWS), count = (guint) VALUE (COUNT);
  double size = VALUE (JOINT) * (self->family == LW_SHEET_BALLS ? LAND_SHARE : 1);

  joints->length_mm = joints->width_mm = size;
  if (self->staggered || VALUE (PITCH) != VALUE (PITCH_Y)) {
    list_array (self, joints, columns, rows);
    return;
  }
  joints->pattern = LW_JOINTS_GRID;
  joints->columns = columns;
  joints->rows = rows;
  joints->pitch_mm = VALUE (PITCH);
  find_hole (columns, rows, count, &joints->hole_columns, &joints->hole_rows);
}

/* ---- along the sides ---- */

/* Middle to middle of opposite joints. */
static double
span (const LwDatasheet *self, LwFigure over_tips, LwFigure body)
{
  switch (self->family) {
  case LW_SHEET_QUAD_J:
  case LW_SHEET_DUAL_J:
    return lw_datasheet_value (self, over_tips) - J_INSIDE_MM;
  case LW_SHEET_DUAL_PIN:
  case LW_SHEET_RADIAL:
    return lw_datasheet_value (self, over_tips);
  case LW_SHEET_QUAD_FLAT:
  case LW_SHEET_DUAL_FLAT:
  case LW_SHEET_CARRIER:
  case LW_SHEET_CHIP:
  case LW_SHEET_CORNERS:
    return lw_datasheet_value (self, body) - VALUE (JOINT);
  case LW_SHEET_CAN:
    return CAN_REACH * lw_datasheet_value (self, body) - VALUE (JOINT);
  default:
    return lw_datasheet_value (self, over_tips) - VALUE (JOINT);
  }
}

static void
side_joints (const LwDatasheet *self, LwJoints *joints, gboolean four)
{
  joints->pattern = four ? LW_JOINTS_FOUR_SIDES : LW_JOINTS_TWO_SIDES;
  joints->columns = four ? (guint) VALUE (COLUMNS) : 0;
  joints->rows = (guint) VALUE (ROWS);
  joints->pitch_mm = VALUE (PITCH);
  joints->span_x_mm = span (self, LW_FIGURE_SPAN_X, LW_FIGURE_BODY_X);
  joints->span_y_mm = four ? span (self, LW_FIGURE_SPAN_Y, LW_FIGURE_BODY_Y) : 0;
  joints->thermal_pad_length_mm = VALUE (PAD_X);
  joints->thermal_pad_width_mm = VALUE (PAD_Y);
}

/* N leads at places that are evenly apart, in a row of ROWS places; fewer than places leave the inner ones out. */
static void
add_row (LwJoints *joints, double x_mm, guint n, guint places, double pitch_mm)
{
  double apart = n > 1 ? pitch_mm * (places - 1) / (n - 1) : 0;

  for (guint i = 0; i < n; i++)
    add (joints, x_mm, ((n - 1) / 2.0 - i) * apart);
}

/* Pin 1 at the upper left: the fuller row is on the left; of three leads, two are. */
static void
small_joints (const LwDatasheet *self, LwJoints *joints)
{
  guint count = (guint) VALUE (COUNT), rows = (guint) VALUE (ROWS);
  guint left = count == 3 ? 2 : rows;

  if (count == 2 * rows) {
    side_joints (self, joints, FALSE);
    return;
  }
  double half = span (self, LW_FIGURE_SPAN_X, LW_FIGURE_BODY_X) / 2;
  add_row (joints, -half, left, rows, VALUE (PITCH));
  add_row (joints, half, count - left, rows, VALUE (PITCH));
}

static void
corner_joints (const LwDatasheet *self, LwJoints *joints)
{
  double x = span (self, LW_FIGURE_SPAN_X, LW_FIGURE_BODY_X) / 2;
  double y = (VALUE (BODY_Y) - VALUE (JOINT_WIDTH)) / 2;

  add (joints, -x, -y);
  add (joints, x, -y);
  add (joints, x, y);
  add (joints, -x, y);
}

gboolean
lw_datasheet_joints (const LwDatasheet *self, LwJoints *joints)
{
  if (lw_datasheet_first_fault (self) >= 0)
    return FALSE;
  joints->standoff_mm = VALUE (STANDOFF);
  joints->length_mm = VALUE (JOINT);
  joints->width_mm = VALUE (JOINT_WIDTH);
  switch (self->family) {
  case LW_SHEET_BALLS:
  case LW_SHEET_COLUMNS:
  case LW_SHEET_LANDS:
    array_joints (self, joints);
    break;
  case LW_SHEET_QUAD_GULL:
  case LW_SHEET_QUAD_J:
  case LW_SHEET_QUAD_FLAT:
  case LW_SHEET_CARRIER:
    side_joints (self, joints, TRUE);
    break;
  case LW_SHEET_DUAL_GULL:
  case LW_SHEET_DUAL_J:
  case LW_SHEET_DUAL_FLAT:
  case LW_SHEET_DUAL_PIN:
    side_joints (self, joints, FALSE);
    break;
  case LW_SHEET_SMALL:
    small_joints (self, joints);
    break;
  case LW_SHEET_CORNERS:
    corner_joints (self, joints);
    break;
  default:
    joints->pattern = LW_JOINTS_TWO_ENDS;
    joints->span_x_mm = span (self, LW_FIGURE_SPAN_X, LW_FIGURE_BODY_X);
  }
  return TRUE;
}

/* ---- the package ---- */

static void
set_ceramic (LwPackage *package)
{
  double thickness = package->height_mm - package->joints.standoff_mm;
  LwBodyLayer *layer;

  if (!(thickness > 0))
    return;
  layer = lw_body_layer_new ();
  g_free (layer->name);
  layer->name = g_strdup (_("alumina"));
  layer->thickness_mm = thickness;
  layer->k_in_plane_w_per_mk = layer->k_through_w_per_mk = ALUMINA_W_PER_MK;
  layer->heat_capacity_j_per_m3k = ALUMINA_J_PER_M3K;
  g_ptr_array_add (package->body, layer);
}

static char *
source_of (const LwDatasheet *self, const char *source)
{
  g_autoptr (GString) usual = g_string_new (NULL);

  for (const LwDatasheetRow *row = lw_datasheet_info (self->family)->rows; row->letter != NULL; row++)
    if (isnan (self->figure[row->figure]) && lw_datasheet_value (self, row->figure) > 0)
      g_string_append_printf (usual, "%s%s", usual->len > 0 ? ", " : "", _(row->title));
  if (usual->len == 0)
    return g_strdup (source);
  /* Translators: %1$s is where figures were read, %2$s a list of figures such as "Stand-off, Ball diameter". */
  return g_strdup_printf (_("%1$s; usual values, from memory: %2$s"), source, usual->str);
}

LwPackage *
lw_datasheet_package (const LwDatasheet *self, const char *name, const char *source)
{
  g_autoptr (LwPackage) package = lw_package_new ();

  if (!lw_datasheet_joints (self, &package->joints))
    return NULL;
  g_free (package->name);
  package->name = g_strdup (name);
  package->kind = self->kind;
  package->length_mm = VALUE (BODY_X);
  package->width_mm = VALUE (BODY_Y);
  package->height_mm = VALUE (HEIGHT);
  package->round = self->family == LW_SHEET_CAN
                   || (self->family == LW_SHEET_RADIAL && isnan (self->figure[LW_FIGURE_BODY_Y]));
  if (self->ceramic)
    set_ceramic (package);
  g_free (package->source);
  package->source = source_of (self, source);
  return g_steal_pointer (&package);
}
