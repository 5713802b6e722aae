/* Loaded before a test program: takes the environment's locale at once, which most test programs leave alone, and has the
 * program's own words looked up in the folder LW_CATALOGUES, when there is one, as if it were installed there. */
#include <dlfcn.h>
#include <locale.h>
#include <stdlib.h>
#include <string.h>

char *bindtextdomain (const char *domain, const char *folder);

char *
bindtextdomain (const char *domain, const char *folder)
{
  char *(*next) (const char *, const char *) = (char *(*) (const char *, const char *)) dlsym (RTLD_NEXT, "bindtextdomain");
  const char *own = getenv ("LW_CATALOGUES");

  return next (domain, folder != NULL && own != NULL && strcmp (domain, GETTEXT_PACKAGE) == 0 ? own : folder);
}

__attribute__ ((constructor)) static void
take_locale (void)
{
  setlocale (LC_ALL, "");
}
