/* Pins to joints. A pattern is believed only when the points it makes are the pins, one for one. */
#include <math.h>

#include "exchange/listed.h"
#include "exchange/package-words.h"

#define SAME_MM 0.02 /* twice the last digit of an inch file */
#define NAME_AGREES_MM                                                                                  \
  0.15 /* what a package's name says against its lands: a land's middle is not a lead's */
#define MAX_COMPARED 2500 /* more pins are listed without looking for a pattern */
#define MAX_LISTED 10000  /* a document holds no more (board/types.c) */
#define THERMAL_RATIO 4.0 /* of a land's area to the others' median: common practice, no source */
#define LAND_SHARE 0.5    /* of the pitch, where no land's size is known: common practice, no source */

typedef struct {
  GArray *points;             /* LwPoint: pins but the thermal pad */
  double length_mm, width_mm; /* median of their lands, along the pin's row for leads */
  double pad_length_mm, pad_width_mm;
} Pins;

static int
by_value (gconstpointer a, gconstpointer b)
{
  double x = *(const double *)a, y = *(const double *)b;

  return (x > y) - (x < y);
}

static double
median (GArray *values)
{
  if (values->len == 0)
    return 0;
  g_array_sort (values, by_value);
  return g_array_index (values, double, values->len / 2);
}

static double
area_of (const LwListedPin *pin)
{
  return pin->length_mm * pin->width_mm;
}

/* Under the body's middle and much larger than the others. */
static gboolean
is_thermal (const LwPackage *package, const LwListedPin *pin, double usual)
{
  return usual > 0 && area_of (pin) > THERMAL_RATIO * usual
         && fabs (pin->x_mm - package->center_x_mm) < package->length_mm / 4
         && fabs (pin->y_mm - package->center_y_mm) < package->width_mm / 4
         && pin->length_mm < package->length_mm && pin->width_mm < package->width_mm;
}

static Pins
sort_pins (const LwPackage *package, const LwListedBody *entry)
{
  g_autoptr (GArray) areas = g_array_new (FALSE, FALSE, sizeof (double));
  g_autoptr (GArray) longer = g_array_new (FALSE, FALSE, sizeof (double));
  g_autoptr (GArray) shorter = g_array_new (FALSE, FALSE, sizeof (double));
  Pins self = { .points = g_array_new (FALSE, TRUE, sizeof (LwPoint)) };
  double usual;

  for (guint i = 0; i < entry->pins->len; i++) {
    double area = area_of (&g_array_index (entry->pins, LwListedPin, i));

    g_array_append_val (areas, area);
  }
  usual = median (areas);
  for (guint i = 0; i < entry->pins->len; i++) {
    const LwListedPin *pin = &g_array_index (entry->pins, LwListedPin, i);
    LwPoint at = { pin->x_mm, pin->y_mm };

    if (entry->pins->len > 3 && is_thermal (package, pin, usual)) {
      self.pad_length_mm = MAX (self.pad_length_mm, pin->length_mm);
      self.pad_width_mm = MAX (self.pad_width_mm, pin->width_mm);
      continue;
    }
    g_array_append_val (self.points, at);
    g_array_append_val (longer, pin->length_mm);
    g_array_append_val (shorter, pin->width_mm);
  }
  self.length_mm = median (longer);
  self.width_mm = median (shorter);
  return self;
}

/* ---- do these joints lie on the pins? ---- */

static gboolean
matches (const LwPackage *package, const Pins *pins, double within_mm)
{
  g_autoptr (LwPart) part = lw_part_new ();
  g_autoptr (GArray) joints = lw_part_joints (part, package);
  g_autofree gboolean *taken = g_new0 (gboolean, pins->points->len + 1);

  if (joints->len != pins->points->len || joints->len > MAX_COMPARED)
    return FALSE;
  for (guint i = 0; i < joints->len; i++) {
    const LwPoint *joint = &g_array_index (joints, LwPoint, i);
    guint k = 0;

    for (; k < pins->points->len; k++) {
      const LwPoint *pin = &g_array_index (pins->points, LwPoint, k);

      if (!taken[k] && hypot (joint->x_mm - pin->x_mm, joint->y_mm - pin->y_mm) <= within_mm)
        break;
    }
    if (k == pins->points->len)
      return FALSE;
    taken[k] = TRUE;
  }
  return TRUE;
}

/* ---- patterns ---- */

/* Different values, those nearer than SAME_MM being one. */
static GArray *
lines_of (const Pins *pins, gboolean along_y)
{
  GArray *all = g_array_new (FALSE, FALSE, sizeof (double)),
         *lines = g_array_new (FALSE, FALSE, sizeof (double));

  for (guint i = 0; i < pins->points->len; i++) {
    const LwPoint *at = &g_array_index (pins->points, LwPoint, i);

    g_array_append_val (all, *(along_y ? &at->y_mm : &at->x_mm));
  }
  g_array_sort (all, by_value);
  for (guint i = 0; i < all->len; i++) {
    double value = g_array_index (all, double, i);

    if (lines->len == 0 || value - g_array_index (lines, double, lines->len - 1) > SAME_MM)
      g_array_append_val (lines, value);
  }
  g_array_unref (all);
  return lines;
}

static guint
count_on (const Pins *pins, gboolean along_y, double value)
{
  guint n = 0;

  for (guint i = 0; i < pins->points->len; i++) {
    const LwPoint *at = &g_array_index (pins->points, LwPoint, i);

    n += fabs ((along_y ? at->y_mm : at->x_mm) - value) <= SAME_MM;
  }
  return n;
}

#define AT(lines, i) g_array_index (lines, double, i)

static double
pitch_of (const GArray *lines)
{
  return lines->len > 1 ? (AT (lines, lines->len - 1) - AT (lines, 0)) / (lines->len - 1) : 0;
}

static gboolean
try_pattern (LwPackage *package, const Pins *pins, LwJoints joints)
{
  LwJoints before = package->joints;

  joints.thermal_pad_length_mm = before.thermal_pad_length_mm;
  joints.thermal_pad_width_mm = before.thermal_pad_width_mm;
  joints.standoff_mm = before.standoff_mm;
  joints.lead_w_per_k = before.lead_w_per_k;
  package->joints = joints;
  if (matches (package, pins, SAME_MM))
    return TRUE;
  package->joints = before;
  return FALSE;
}

static gboolean
find_pattern (LwPackage *package, const Pins *pins)
{
  g_autoptr (GArray) xs = lines_of (pins, FALSE), ys = lines_of (pins, TRUE);
  guint n = pins->points->len, left = count_on (pins, FALSE, AT (xs, 0)),
        low = count_on (pins, TRUE, AT (ys, 0));
  double span_x = AT (xs, xs->len - 1) - AT (xs, 0), span_y = AT (ys, ys->len - 1) - AT (ys, 0);
  LwJoints ends = { .pattern = LW_JOINTS_TWO_ENDS, .span_x_mm = span_x };
  LwJoints sides = {
    .pattern = LW_JOINTS_TWO_SIDES, .rows = n / 2, .pitch_mm = pitch_of (ys), .span_x_mm = span_x
  };
  LwJoints grid
      = { .pattern = LW_JOINTS_GRID, .columns = xs->len, .rows = ys->len, .pitch_mm = pitch_of (xs) };
  LwJoints ring = { .pattern = LW_JOINTS_FOUR_SIDES,
                    .columns = low,
                    .rows = left,
                    .span_x_mm = span_x,
                    .span_y_mm = span_y };

  if (n == 2 && ys->len == 1)
    return try_pattern (package, pins, ends);
  if (xs->len == 2 && n == 2 * ys->len && n > 2)
    return try_pattern (package, pins, sides);
  if (xs->len < 2 || ys->len < 2 || xs->len > 1000 || ys->len > 1000)
    return FALSE;
  if (fabs (pitch_of (xs) - pitch_of (ys)) <= SAME_MM && xs->len * ys->len >= n) {
    grid.hole_columns = xs->len - count_on (pins, TRUE, AT (ys, ys->len / 2));
    grid.hole_rows = ys->len - count_on (pins, FALSE, AT (xs, xs->len / 2));
    if (try_pattern (package, pins, grid))
      return TRUE;
  }
  if (low < 2 || left < 2 || n != 2 * (low + left))
    return FALSE;
  ring.pitch_mm = low > 1 && xs->len > 3 ? (AT (xs, xs->len - 2) - AT (xs, 1)) / (low - 1) : 0;
  return try_pattern (package, pins, ring);
}

/* ---- the joints ---- */

static void
list_joints (LwPackage *package, const Pins *pins)
{
  LwJoints *joints = &package->joints;

  *joints = (LwJoints){ .pattern = LW_JOINTS_LISTED,
                        .standoff_mm = joints->standoff_mm,
                        .thermal_pad_length_mm = joints->thermal_pad_length_mm,
                        .thermal_pad_width_mm = joints->thermal_pad_width_mm,
                        .lead_w_per_k = joints->lead_w_per_k };
  joints->positions = g_array_ref (pins->points);
}

/* The smallest distance of neighbours along x or y; 0 = of one pin. */
static double
least_pitch (const Pins *pins)
{
  g_autoptr (GArray) xs = lines_of (pins, FALSE), ys = lines_of (pins, TRUE);
  double least = HUGE_VAL;

  for (guint i = 1; i < xs->len; i++)
    least = MIN (least, AT (xs, i) - AT (xs, i - 1));
  for (guint i = 1; i < ys->len; i++)
    least = MIN (least, AT (ys, i) - AT (ys, i - 1));
  return isinf (least) ? 0 : least;
}

static void
set_sizes (LwPackage *package, const Pins *pins)
{
  LwJoints *joints = &package->joints;
  double guess = LAND_SHARE * least_pitch (pins);

  joints->length_mm = CLAMP (pins->length_mm > 0 ? pins->length_mm : guess, 0, 500);
  joints->width_mm = CLAMP (pins->width_mm > 0 ? pins->width_mm : guess, 0, 500);
  if (package->kind == LW_KIND_AREA_ARRAY)
    joints->standoff_mm = lw_collapsed_ball_mm (joints->length_mm);
}

void
lw_listed_set_joints (LwPackage *package, const LwListedBody *entry)
{
  Pins pins;

  if (entry->pins->len == 0 || entry->pins->len > MAX_LISTED)
    return;
  pins = sort_pins (package, entry);
  if (pins.points->len > 0 && !matches (package, &pins, NAME_AGREES_MM)) {
    g_clear_pointer (&package->joints.positions, g_array_unref);
    package->joints.thermal_pad_length_mm = MIN (pins.pad_length_mm, 500);
    package->joints.thermal_pad_width_mm = MIN (pins.pad_width_mm, 500);
    if (pins.points->len > MAX_COMPARED || !find_pattern (package, &pins))
      list_joints (package, &pins);
    set_sizes (package, &pins);
  }
  g_array_unref (pins.points);
}
