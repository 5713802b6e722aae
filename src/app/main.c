#include <locale.h>

#include <glib/gi18n.h>

#include "app/application.h"

int
main (int argc, char **argv)
{
  g_autoptr (LwApplication) application = NULL;

  setlocale (LC_ALL, "");
  bindtextdomain (GETTEXT_PACKAGE, LEEWARD_LOCALEDIR);
  bind_textdomain_codeset (GETTEXT_PACKAGE, "UTF-8");
  textdomain (GETTEXT_PACKAGE);
  application = lw_application_new ();
  return g_application_run (G_APPLICATION (application), argc, argv);
}
