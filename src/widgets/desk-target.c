/* Which part is to be reworked. */
#include <glib/gi18n.h>

#include "board/assume.h"
#include "board/edits.h"
#include "widgets/desk.h"

gboolean
lw_desk_choose_target (LwDesk *self, const char *ref, const char *label)
{
  LwJob *job = lw_desk_job (self), *after;
  guint before = lw_job_count_assumed (job), now;
  g_autofree char *text = NULL;
  GError *error = NULL;

  after = lw_edit_choose_target (job, ref, &error);
  now = after != NULL ? lw_job_count_assumed (after) : before;
  if (!lw_desk_edit (self, after, label, NULL, error))
    return FALSE;
  if (now == before)
    return TRUE;
  text = g_strdup_printf (ngettext ("The package of %u part is assumed from its reference designator: check it on the page Parts",
                                    "The packages of %u parts are assumed from their reference designators: check them on the page Parts",
                                    now - before),
                          now - before);
  lw_desk_tell (self, text, TRUE);
  return TRUE;
}
