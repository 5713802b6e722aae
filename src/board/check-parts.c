/* Contradictions of packages and parts. */
#include <math.h>

#include <glib/gi18n.h>

#include "board/inside.h"
#include "board/job-check.h"

static void
check_limits (LwCheck *check, const GArray *limits, const char *owner, guint index)
{
  gboolean seen[LW_N_LIMITS] = { FALSE };

  for (guint i = 0; i < limits->len; i++)
    {
      const LwLimit *limit = &g_array_index (limits, LwLimit, i);

      if (limit->kind == LW_LIMIT_BODY_TIME_ABOVE_S && isnan (limit->at_c))
        lw_check_stop (check, LW_PATH ("%s[%u].limits[%u].at_c", owner, index, i),
                       _("a time above needs the temperature it counts from"));
      if (seen[limit->kind] && limit->kind != LW_LIMIT_BODY_TIME_ABOVE_S)
        lw_check_stop (check, LW_PATH ("%s[%u].limits[%u].kind", owner, index, i), _("“%s” is given twice"),
                       lw_limit_word (limit->kind));
      seen[limit->kind] = TRUE;
    }
}

/* TAKEN: the first struct of each name. PATH is that of element INDEX's name, to be filled in. */
static void
check_unique (LwCheck *check, GHashTable *taken, const char *name, gconstpointer self, const char *path, guint index)
{
  if (g_hash_table_contains (taken, name))
    lw_check_stop (check, g_strdup_printf (path, index), _("“%s” is given twice"), name);
  else
    g_hash_table_insert (taken, (gpointer) name, (gpointer) self);
}

/* ---- packages ---- */

enum { JOINTS_MAX = 10000 };

static void
check_joints (LwCheck *check, const LwJoints *j, guint index)
{
  gboolean columns = j->pattern == LW_JOINTS_GRID || j->pattern == LW_JOINTS_FOUR_SIDES;
  gboolean rows = columns || j->pattern == LW_JOINTS_TWO_SIDES;

  if ((columns && j->columns == 0) || (rows && j->rows == 0))
    lw_check_stop (check, LW_PATH ("packages[%u].joints", index), _("this pattern needs columns and rows"));
  if (((columns && j->columns > 1) || (rows && j->rows > 1)) && j->pitch_mm <= 0.0)
    lw_check_stop (check, LW_PATH ("packages[%u].joints.pitch_mm", index), _("must be above 0 for this pattern"));
  if (j->pattern == LW_JOINTS_GRID && j->columns * j->rows > JOINTS_MAX)
    lw_check_stop (check, LW_PATH ("packages[%u].joints", index), _("has more than %d joints"), JOINTS_MAX);
  if (j->hole_columns > j->columns || j->hole_rows > j->rows)
    lw_check_stop (check, LW_PATH ("packages[%u].joints", index), _("the hole is larger than the grid"));
  if (j->pattern == LW_JOINTS_LISTED && (j->positions == NULL || j->positions->len == 0))
    lw_check_stop (check, LW_PATH ("packages[%u].joints.positions", index), _("this pattern needs positions"));
}

static void
check_body (LwCheck *check, const LwPackage *package, guint index)
{
  double sum = 0.0;
  LwNumberText is, height;

  for (guint i = 0; i < package->body->len; i++)
    sum += ((const LwBodyLayer *) g_ptr_array_index (package->body, i))->thickness_mm;
  if (sum > package->height_mm * 1.001)
    lw_check_note (check, LW_PATH ("packages[%u].body", index), _("its layers make %s mm, the package is %s mm high"),
                   lw_number_text (&is, sum), lw_number_text (&height, package->height_mm));
  if (package->outline != NULL && lw_loop_crosses_itself (package->outline, NULL, NULL))
    lw_check_note (check, LW_PATH ("packages[%u].outline", index),
                   _("crosses or touches itself; what it covers is drawn and kept clear by odd and even"));
}

void
lw_check_packages (LwCheck *check)
{
  for (guint i = 0; i < check->job->packages->len; i++)
    {
      const LwPackage *package = g_ptr_array_index (check->job->packages, i);

      check_unique (check, check->packages, package->name, package, "packages[%u].name", i);
      if (check->same_packages)
        continue;
      check_joints (check, &package->joints, i);
      check_body (check, package, i);
      check_limits (check, package->limits, "packages", i);
    }
}

/* ---- parts ---- */

typedef enum { ON_BOARD, OVERHANGS, OFF_BOARD } Lie;

/* Corners, middles of sides and the centre of the body, and its joints, against the outline. */
static Lie
lie_of (const LwPart *part, const LwPackage *package, const LwInside *inside)
{
  LwPoint c[4];
  guint in = 0, n = 0;

  lw_part_body_corners (part, package, c);
  for (int i = 0; i < 4; i++)
    {
      const LwPoint *next = &c[(i + 1) % 4];

      in += lw_inside_holds (inside, c[i].x_mm, c[i].y_mm);
      in += lw_inside_holds (inside, (c[i].x_mm + next->x_mm) / 2.0, (c[i].y_mm + next->y_mm) / 2.0);
      n += 2;
    }
  in += lw_inside_holds (inside, (c[0].x_mm + c[2].x_mm) / 2.0, (c[0].y_mm + c[2].y_mm) / 2.0);
  n++;
  if (in == n)
    return ON_BOARD;
  if (in > 0)
    return OVERHANGS;
  g_autoptr (GArray) joints = lw_part_joints (part, package);
  for (guint i = 0; i < joints->len; i++)
    if (lw_inside_holds (inside, g_array_index (joints, LwPoint, i).x_mm, g_array_index (joints, LwPoint, i).y_mm))
      return OVERHANGS;
  return OFF_BOARD;
}

/* A part larger than the board, or as large as it, has no body point inside. */
static gboolean
covers_board (const LwPart *part, const LwPackage *package, const LwBoard *board)
{
  g_autoptr (LwLoop) body = lw_part_outline (part, package);
  LwBox a = lw_loop_box (body), b = lw_loop_box (g_ptr_array_index (board->outline, 0));

  return a.x0_mm <= b.x0_mm && a.y0_mm <= b.y0_mm && a.x1_mm >= b.x1_mm && a.y1_mm >= b.y1_mm;
}

static void
check_place (LwCheck *check, const LwPart *part, guint index, const LwInside *inside)
{
  const LwPackage *package = lw_job_package_of (check->job, part);
  const LwBoard *board = check->job->board;

  if (part->package[0] == '\0')
    lw_check_note (check, LW_PATH ("parts[%u].package", index), _("%s has no package; a stated default is used"),
                   part->ref);
  else if (package == NULL)
    lw_check_note (check, LW_PATH ("parts[%u].package", index),
                   _("package “%s” of %s is neither in the document nor in the library; a stated default is used"),
                   part->package, part->ref);
  if (!part->placed || board->outline->len == 0)
    return;
  Lie lie = lie_of (part, package, inside);
  if (lie == OFF_BOARD && covers_board (part, package, board))
    lie = OVERHANGS;
  if (lie == OVERHANGS)
    lw_check_note (check, LW_PATH ("parts[%u]", index), _("%s reaches beyond the board’s edge or over a cut-out"),
                   part->ref);
  else if (lie == OFF_BOARD && board->outline_assumed)
    lw_check_note (check, LW_PATH ("parts[%u]", index), _("%s lies outside the assumed outline"), part->ref);
  else if (lie == OFF_BOARD)
    lw_check_stop (check, LW_PATH ("parts[%u]", index), _("%s lies outside the board"), part->ref);
}

/* The same part on the same board with the same packages to choose from. */
static gboolean
stays (const LwCheck *check, guint index)
{
  const LwJob *since = check->since;

  return since != NULL && check->same_packages && check->job->board == since->board && index < since->parts->len
         && g_ptr_array_index (since->parts, index) == g_ptr_array_index (check->job->parts, index);
}

void
lw_check_parts (LwCheck *check)
{
  g_autoptr (LwInside) inside = lw_inside_new (check->job->board->outline);

  for (guint i = 0; i < check->job->parts->len; i++)
    {
      const LwPart *part = g_ptr_array_index (check->job->parts, i);

      check_unique (check, check->parts, part->ref, part, "parts[%u].ref", i);
      if (stays (check, i))
        continue;
      check_limits (check, part->limits, "parts", i);
      check_place (check, part, i, inside);
    }
}
