/* Figures that are written beside their limits: as many decimals as asked for, and more where they would read alike. The
 * check values are what rounding to so many places gives, by hand. */
#include "../as-shown.h"

#include <glib.h>
#include <math.h>
#include <string.h>

#include "board/apart.h"

static void
expect (double value, double limit, int decimals, const char *value_text, const char *limit_text)
{
  LwApart told = lw_apart (value, limit, decimals);

  g_assert_cmpstr (told.value, ==, as_shown (value_text));
  g_assert_cmpstr (told.limit, ==, as_shown (limit_text));
}

static void
far (void)
{
  expect (241.2, 235, 0, "241", "235");
  expect (3.1, 3, 1, "3.1", "3.0");
  expect (-2.25, 0, 1, "-2.2", "0.0");
}

static void
near (void)
{
  expect (3.04, 3, 1, "3.04", "3.00");
  expect (2.96, 3, 1, "2.96", "3.00");
  expect (235.4, 235, 0, "235.4", "235.0");
  expect (234.6, 235, 0, "234.6", "235.0");
  expect (235.004, 235, 0, "235.004", "235.000");
  expect (234.6, 235.4, 0, "234.6", "235.4"); /* both would be 235 */
}

/* What is met exactly, or no number, reads as it did; so does what no reader could tell apart. */
static void
alike (void)
{
  expect (85, 85, 0, "85", "85");
  expect (3 + 1e-9, 3, 1, "3.0", "3.0");
  expect (110, NAN, 0, "110", "nan");
  g_assert_cmpint (lw_decimals_apart (NAN, 3, 1), ==, 1);
  g_assert_cmpint (lw_decimals_apart (INFINITY, 3, 1), ==, 1);
}

/* Too long for its place is cut, never written past it. */
static void
huge (void)
{
  LwApart told = lw_apart (1e300, -1e300, 2);

  g_assert_cmpuint (strlen (told.value), <, sizeof told.value);
  g_assert_cmpuint (strlen (told.limit), <, sizeof told.limit);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/apart/far", far);
  g_test_add_func ("/apart/near", near);
  g_test_add_func ("/apart/alike", alike);
  g_test_add_func ("/apart/huge", huge);
  return g_test_run ();
}
