/* Moments that are none, and pasts that contradict themselves. */
#include <glib/gi18n.h>

#include "board/job-check.h"
#include "board/moment.h"

static gboolean
check_moment (LwCheck *check, const char *text, char *path, gint64 *minutes)
{
  gboolean fine = text[0] != '\0' && lw_moment_parse (text, minutes);

  if (text[0] != '\0' && !fine)
    lw_check_stop (check, path, _("must be a moment like 2026-03-01T09:30, or a date; is “%s”"), text);
  else
    g_free (path);
  return fine;
}

static void
check_past (LwCheck *check, const LwPast *past, guint part, const char *key)
{
  gint64 sealed = 0, opened = 0;

  if (past->sealed[0] == '\0' && past->opened[0] == '\0')
    return; /* most of a large board's parts */
  gboolean has_seal = check_moment (check, past->sealed, LW_PATH ("parts[%u].%s.sealed", part, key), &sealed);

  if (check_moment (check, past->opened, LW_PATH ("parts[%u].%s.opened", part, key), &opened) && has_seal
      && opened < sealed)
    lw_check_note (check, LW_PATH ("parts[%u].%s.opened", part, key), _("is before the dry pack was sealed"));
}

void
lw_check_pasts (LwCheck *check)
{
  const LwJob *job = check->job;

  for (guint i = 0; i < job->parts->len; i++)
    {
      const LwPart *part = g_ptr_array_index (job->parts, i);

      check_past (check, &part->past, i, "past");
      check_past (check, &part->spare, i, "spare");
    }
  check_moment (check, job->board->past.baked_until, g_strdup ("board.past.baked_until"), NULL);
  check_moment (check, job->schedule.start, g_strdup ("schedule.start"), NULL);
}
