/* An IDF pair in memory to a job. */
#include <glib/gi18n.h>

#include "exchange/idf-file.h"
#include "exchange/text.h"

/* Of a salvaged file what stands before the first byte that is no text, which LOST tells of; else that refuses
 * it. */
static char *
decode (const char *name, const char *data, gsize size, gboolean salvage, gsize *length, GError **lost)
{
  return salvage ? lw_text_decode_start (name, data, size, length, lost) : lw_text_decode (name, data, size, length, lost);
}

/* When nothing was READ the lost bytes are the reason, and not what came of them. */
static void
blame_lost (gboolean read, GError *lost, GError **error)
{
  if (lost == NULL)
    return;
  if (read)
    {
      g_error_free (lost);
      return;
    }
  g_clear_error (error);
  g_propagate_error (error, lost);
}

static LwIdfBoard *
read_board (const char *name, const char *data, gsize size, gboolean salvage, GPtrArray *notes, GError **error)
{
  gsize length;
  GError *lost = NULL;
  g_autofree char *text = decode (name, data, size, salvage, &length, &lost);
  LwIdfLexer lexer;
  LwIdfBoard *board = NULL;

  if (text != NULL && lost != NULL)
    lw_notes_add_damage (notes, name, lost);
  if (text != NULL)
    {
      lw_idf_lexer_init (&lexer, name, text, length, notes);
      board = lw_idf_board_read (&lexer, salvage, error);
      lw_idf_lexer_clear (&lexer);
    }
  blame_lost (board != NULL, lost, error);
  return board;
}

static LwIdfLibrary *
read_library (const char *name, const char *data, gsize size, gboolean salvage, GPtrArray *notes, GError **error)
{
  gsize length;
  GError *lost = NULL;
  g_autofree char *text = decode (name, data, size, salvage, &length, &lost);
  LwIdfLexer lexer;
  LwIdfLibrary *library = NULL;

  if (text != NULL && lost != NULL)
    lw_notes_add_damage (notes, name, lost);
  if (text != NULL)
    {
      lw_idf_lexer_init (&lexer, name, text, length, notes);
      library = lw_idf_library_read (&lexer, salvage, error);
      lw_idf_lexer_clear (&lexer);
    }
  blame_lost (library != NULL, lost, error);
  return library;
}

static void
set_texts (LwJob *job, const LwIdfBoard *board)
{
  g_free (job->title);
  job->title = g_strdup (board->header.board_name);
  g_free (job->notes);
  job->notes = g_strchomp (g_strdup (board->notes->str));
}

/* A library of which nothing can be read is no reason to lose its board, when that is salvaged. FALSE:
 * refused. */
static gboolean
read_partner (LwIdfLibrary **library, const char *name, const char *data, gsize length, gboolean salvage,
              GPtrArray *notes, GError **error)
{
  g_autoptr (GError) fault = NULL;

  *library = data != NULL ? read_library (name, data, length, salvage, notes, &fault) : NULL;
  if (fault == NULL)
    return TRUE;
  if (salvage)
    {
      lw_notes_add_damage (notes, name, fault);
      return TRUE;
    }
  g_propagate_error (error, g_steal_pointer (&fault));
  return FALSE;
}

static LwImport *
import_pair (const char *board_name, const char *board_data, gsize board_length, const char *library_name,
             const char *library_data, gsize library_length, gboolean salvage, GError **error)
{
  g_autoptr (LwImport) import = g_new0 (LwImport, 1);
  g_autoptr (LwIdfBoard) board = NULL;
  g_autoptr (LwIdfLibrary) library = NULL;

  import->warnings = lw_notes_new ();
  board = read_board (board_name, board_data, board_length, salvage, import->warnings, error);
  if (board == NULL
      || !read_partner (&library, library_name, library_data, library_length, salvage, import->warnings, error))
    return NULL;
  if (library_data == NULL && board->listed.parts->len > 0)
    lw_notes_add (import->warnings, board_name, 0,
                  _("there is no library file: bodies and heights of all %u parts are not known"),
                  board->listed.parts->len);
  import->format = g_strdup_printf ("IDF %u.0", board->header.version);
  import->job = lw_job_new ();
  if (!lw_listed_to_job (import->job, &board->listed, library != NULL ? &library->listed : NULL,
                         board_name, import->warnings, error))
    return NULL;
  set_texts (import->job, board);
  return g_steal_pointer (&import);
}

LwImport *
lw_import_idf (const char *board_name, const char *board, gsize board_length, const char *library_name,
               const char *library, gsize library_length, GError **error)
{
  return import_pair (board_name, board, board_length, library_name, library, library_length, FALSE, error);
}

LwImport *
lw_import_idf_salvage (const char *board_name, const char *board, gsize board_length,
                       const char *library_name, const char *library, gsize library_length, GError **error)
{
  return import_pair (board_name, board, board_length, library_name, library, library_length, TRUE, error);
}
