/* Tables on a terminal: cells stand under each other whatever they are written with. Widths by the Unicode standard's
 * annex 11: ideographs are wide, so two columns of a terminal each. */
#include <locale.h>

#include "cli/output.h"

static void
check (const char *text, int width, const char *expected)
{
  g_autofree char *padded = lw_cli_padded (text, width);

  g_assert_cmpstr (padded, ==, expected);
}

static void
test_padded (void)
{
  check ("Part", -8, "Part    ");
  check ("Part", 8, "    Part");
  check ("元件", -8, "元件    ");
  check ("面", 5, "   面");
  check ("Grieß", -6, "Grieß ");
  check ("turn °", 8, "  turn °");
  check ("e\u0301", -3, "e\u0301  "); /* an accent that combines */
  check ("too long", -3, "too long");
  check ("贴装元件", 3, "贴装元件");
  check ("", 2, "  ");
  check ("x", 0, "x");
}

static void
test_row (void)
{
  static const int widths[] = { -6, 5, 0 };

  if (g_test_subprocess ())
    {
      lw_cli_print_row (widths, "元件", "侧", "封装", NULL);
      lw_cli_print_row (widths, "U1", "top", "BGA", NULL);
      return;
    }
  g_test_trap_subprocess (NULL, 0, 0);
  g_test_trap_assert_passed ();
  g_test_trap_assert_stdout ("*元件      侧 封装\nU1       top BGA\n*");
}

int
main (int argc, char **argv)
{
  setlocale (LC_ALL, "");
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/cli/table/padded", test_padded);
  g_test_add_func ("/cli/table/row", test_row);
  return g_test_run ();
}
