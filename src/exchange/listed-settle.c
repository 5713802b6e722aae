/* A job from a file must hold what any document must hold, or it could not be saved and opened again.
 * What is wrong with a cut-out or a part is put right with a warning; anything else ends the import. */
#include <glib/gi18n.h>
#include <stdio.h>

#include "board/job-file.h"
#include "exchange/listed.h"

/* A crossing is found one at a time; a file with more of them loses all its cut-outs. */
#define MAX_ROUNDS 40

typedef struct {
  LwJob *job;
  const LwListedBoard *board;
  GArray *outline_lines; /* guint, of each loop of the job's outline */
  const char *file;
  GPtrArray *notes;
} Settle;

static void
drop_cut_out (Settle *self, guint i, const char *why)
{
  lw_notes_add (self->notes, self->file, g_array_index (self->outline_lines, guint, i),
                _("a cut-out is left out: %s"), why);
  g_ptr_array_remove_index (self->job->board->outline, i);
  g_array_remove_index (self->outline_lines, i);
}

static void
take_off_board (Settle *self, guint i, const char *why)
{
  const LwListedPart *from = self->board->parts->pdata[i];
  LwPart *part = self->job->parts->pdata[i];

  part->placed = FALSE;
  lw_notes_add (self->notes, self->file, from->line, _("%s: kept in the list as not placed"), why);
}

/* TRUE when the fault has been dealt with. Later faults may have been counted with the loop that went,
 * so a cut-out ends the round. */
static gboolean
settle_fault (Settle *self, const LwFault *fault, gboolean *again)
{
  guint i;
  int end = 0;

  if (sscanf (fault->path, "board.outline[%u]%n", &i, &end) == 1 && fault->path[end] == '\0' && i > 0
      && i < self->job->board->outline->len)
    {
      drop_cut_out (self, i, fault->text);
      *again = TRUE;
      return TRUE;
    }
  if (sscanf (fault->path, "parts[%u]%n", &i, &end) == 1 && fault->path[end] == '\0'
      && i < self->job->parts->len)
    {
      take_off_board (self, i, fault->text);
      return TRUE;
    }
  return FALSE;
}

static gboolean
settle_round (Settle *self, gboolean *again, GError **error)
{
  g_autoptr (GPtrArray) faults = lw_job_check (self->job);

  *again = FALSE;
  for (guint i = 0; i < faults->len && !*again; i++)
    {
      const LwFault *fault = faults->pdata[i];

      if (fault->fatal && !settle_fault (self, fault, again))
        return lw_notes_fail (error, LW_IMPORT_ERROR_SYNTAX, self->file, 0, "%s: %s", fault->path,
                              fault->text);
    }
  return TRUE;
}

static void
drop_all_cut_outs (Settle *self)
{
  lw_notes_add (self->notes, self->file, self->board->outline_line,
                _("too many cut-outs cross each other or the edge: all are left out"));
  g_ptr_array_set_size (self->job->board->outline, 1);
}

gboolean
lw_listed_settle (LwJob *job, const LwListedBoard *board, GArray *outline_lines, const char *file,
               GPtrArray *notes, GError **error)
{
  Settle self = { job, board, outline_lines, file, notes };
  gboolean again = TRUE;

  for (guint round = 0; again; round++)
    {
      if (round == MAX_ROUNDS)
        drop_all_cut_outs (&self);
      if (!settle_round (&self, &again, error))
        return FALSE;
    }
  return TRUE;
}
