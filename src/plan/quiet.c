#include "plan/quiet.h"

#include <glib.h>
#include <gsl/gsl_errno.h>

static gpointer
quiet (gpointer data)
{
  gsl_set_error_handler_off ();
  return NULL;
}

void
lw_quiet_gsl (void)
{
  static GOnce once = G_ONCE_INIT;

  g_once (&once, quiet, NULL);
}
