#include "plan/background.h"

#include <sys/resource.h>

/* Enough for a window on a busy machine, small enough not to be starved by other programs. */
#define NICENESS 5

/* Linux keeps a nice value for each thread, and 0 means the calling one. Elsewhere it is the whole program's, where
 * it would do no good, but no harm either. */
void
lw_background_thread (void)
{
  static _Thread_local int done;

  if (!done)
    setpriority (PRIO_PROCESS, 0, NICENESS);
  done = 1;
}
