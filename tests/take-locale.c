/* Loaded before a test program: takes the environment's locale at once, which most test programs leave alone. */
#include <locale.h>

__attribute__ ((constructor)) static void
take_locale (void)
{
  setlocale (LC_ALL, "");
}
