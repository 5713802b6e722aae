#include "exchange/ipc2581.h"

#include <glib/gi18n.h>
#include <math.h>
#include <string.h>

#include "exchange/ipc2581-file.h"

#define TICK_BYTES (1 << 20)

typedef struct {
  goffset size, told;
  LwImportProgress progress;
  gpointer user_data;
} Ticker;

static gboolean
on_tick (gpointer user_data, goffset bytes, GError **error)
{
  Ticker *self = user_data;

  if (self->progress == NULL || self->size <= 0 || bytes - self->told < TICK_BYTES)
    return TRUE;
  self->told = bytes;
  self->progress (MIN ((double)bytes / (double)self->size, 1), self->user_data);
  return TRUE;
}

static void
set_name (LwIpcFile *file, const LwIpcStep *step, LwListedBoard *board)
{
  g_free (board->name);
  board->name = g_strdup (step->name != NULL ? step->name : "");
  board->outline_line = step->profile_line > 0 ? step->profile_line : step->line;
  board->thickness_mm = file->overall_mm > 0 ? file->overall_mm : 0;
}

static void
tell_missing (LwIpcFile *file, const LwIpcStep *step)
{
  const char *mode = file->mode != NULL ? file->mode : "?";

  if (step->components->len == 0)
    lw_notes_add (file->notes, file->name, step->line,
                  _ ("there are no parts; the file was written for %.30s"), mode);
  if (isnan (file->overall_mm))
    lw_notes_add (file->notes, file->name, 0,
                  _ ("the board’s thickness is not in the file, which was written for %.30s"), mode);
  if (file->n_slots > 0)
    lw_notes_add (file->notes, file->name, 0,
                  _ ("%u slots of plated or milled holes are not cut out of the board"), file->n_slots);
}

static gboolean
make_job (LwIpcFile *file, LwImport *import, GCancellable *cancellable, GError **error)
{
  LwIpcStep *step = lw_ipc_choose_step (file);
  LwListedBoard board;
  LwListedLibrary library;
  gboolean ok;

  if (step == NULL)
    return lw_notes_fail (error, LW_IMPORT_ERROR_SYNTAX, file->name, 0,
                          _ ("there is no board (Step) in this file, which was written for %.30s"),
                          file->mode != NULL ? file->mode : "?");
  lw_listed_board_init (&board);
  lw_listed_library_init (&library, file->name);
  lw_ipc_set_stack (file, import->job);
  set_name (file, step, &board);
  tell_missing (file, step);
  lw_ipc_list_packages (file, step, &library);
  lw_ipc_list_parts (file, step, &board);
  g_ptr_array_extend_and_steal (board.outline, g_steal_pointer (&step->outline));
  step->outline = lw_listed_loops_new ();
  g_free (import->job->title);
  import->job->title = g_strdup (board.name);
  ok = lw_listed_to_job (import->job, &board, &library, file->name, file->notes, error)
       && lw_ipc_set_copper (file, step, import->job->board, cancellable, error);
  lw_listed_board_clear (&board);
  lw_listed_library_clear (&library);
  return ok;
}

static gboolean
has_parts (const LwIpcFile *file)
{
  for (guint i = 0; i < file->steps->len; i++)
    if (((const LwIpcStep *)file->steps->pdata[i])->components->len > 0)
      return TRUE;
  return FALSE;
}

/* Damage is what the file itself is to blame for: cancelling and errors of the disk are not. */
static gboolean
read_or_salvage (LwIpcFile *file, GInputStream *stream, Ticker *ticker, gboolean salvage,
                 GCancellable *cancellable, GError **error)
{
  g_autoptr (GError) damage = NULL;

  if (lw_ipc_file_read (file, stream, on_tick, ticker, cancellable, &damage))
    return TRUE;
  if (salvage && damage->domain == LW_IMPORT_ERROR && has_parts (file)) {
    lw_notes_add_damage (file->notes, file->name, damage);
    return TRUE;
  }
  g_propagate_error (error, g_steal_pointer (&damage));
  return FALSE;
}

static LwImport *
import_stream (const char *name, GInputStream *stream, Ticker ticker, gboolean salvage,
               GCancellable *cancellable, GError **error)
{
  g_autoptr (LwImport) import = g_new0 (LwImport, 1);
  g_autoptr (LwIpcFile) file = NULL;

  import->warnings = lw_notes_new ();
  import->job = lw_job_new ();
  file = lw_ipc_file_new (name, import->warnings);
  if (!read_or_salvage (file, stream, &ticker, salvage, cancellable, error)
      || !make_job (file, import, cancellable, error))
    return NULL;
  import->format = g_strdup_printf ("IPC-2581 %.8s", file->revision != NULL ? file->revision : "?");
  return g_steal_pointer (&import);
}

LwImport *
lw_import_ipc2581_stream (const char *name, GInputStream *stream, goffset size,
                          LwImportProgress progress, gpointer user_data, GCancellable *cancellable,
                          GError **error)
{
  return import_stream (name, stream, (Ticker){ size, 0, progress, user_data }, FALSE, cancellable,
                        error);
}

LwImport *
lw_import_ipc2581_salvage (const char *name, GInputStream *stream, goffset size,
                           LwImportProgress progress, gpointer user_data, GCancellable *cancellable,
                           GError **error)
{
  return import_stream (name, stream, (Ticker){ size, 0, progress, user_data }, TRUE, cancellable,
                        error);
}

LwImport *
lw_import_ipc2581 (const char *name, const char *data, gsize size, GError **error)
{
  g_autoptr (GInputStream) stream = g_memory_input_stream_new_from_data (data, (gssize)size, NULL);

  return lw_import_ipc2581_stream (name, stream, 0, NULL, NULL, NULL, error);
}
