#include "exchange/import.h"

#include <glib/gi18n.h>
#include <string.h>

#include "board/job-file.h"
#include "exchange/centroid.h"
#include "exchange/d356.h"
#include "exchange/ipc2581.h"
#include "exchange/notes.h"
#include "exchange/plot-set.h"
#include "exchange/read-file.h"
#include "exchange/unknowns.h"

/* An IDF board of 10,000 parts takes one; memory is some five times the file. */
#define MAX_IDF_BYTES (64u * 1024u * 1024u)
#define MAX_TABLE_BYTES (16u * 1024u * 1024u) /* placement tables: 50,000 lines of 300 */
#define MAX_D356_BYTES (32u * 1024u * 1024u)  /* 400,000 lands */
#define SNIFF_BYTES 4096
#define MAX_NEIGHBOURS 20000 /* files looked at for a partner */

void
lw_import_free (LwImport *import)
{
  if (import == NULL)
    return;
  lw_job_unref (import->job);
  g_clear_pointer (&import->warnings, g_ptr_array_unref);
  g_clear_pointer (&import->unknowns, g_ptr_array_unref);
  g_clear_pointer (&import->sources, g_ptr_array_unref);
  g_free (import->format);
  g_free (import);
}

static char *
display_name (GFile *file)
{
  g_autofree char *base = g_file_get_basename (file);

  return base != NULL ? g_filename_display_name (base) : g_strdup (_("file"));
}

/* ---- which format ---- */

typedef enum
{
  FORMAT_UNKNOWN,
  FORMAT_LEEWARD,
  FORMAT_IDF,
  FORMAT_XML,
  FORMAT_GERBER,
  FORMAT_CENTROID,
  FORMAT_D356,
  FORMAT_EMPTY
} Format;

/* By the first character that says something; NUL and byte-order marks fall out, so UTF-16 is told
 * too. */
static Format
sniff (const GByteArray *bytes)
{
  gboolean comment = FALSE;

  for (guint i = 0; i < MIN (bytes->len, SNIFF_BYTES); i++)
    {
      guchar c = bytes->data[i];

      if (c == '\n' || c == '\r')
        comment = FALSE;
      else if (c == '#')
        comment = TRUE;
      if (comment || g_ascii_isspace (c) || c == '\0' || c == 0xef || c == 0xbb || c == 0xbf || c == 0xff
          || c == 0xfe)
        continue;
      switch (c)
        {
        case '{':
        case '[':
          return FORMAT_LEEWARD;
        case '.':
          return FORMAT_IDF;
        case '<':
          return FORMAT_XML;
        case '%':
        case 'G':
          return FORMAT_GERBER;
        default:
          return FORMAT_UNKNOWN;
        }
    }
  return comment || bytes->len > SNIFF_BYTES ? FORMAT_IDF : FORMAT_EMPTY;
}

/* Tables begin with anything, so they are looked at last. */
static Format
sniff_all (const GByteArray *bytes)
{
  Format format = sniff (bytes);

  if (format == FORMAT_UNKNOWN && lw_d356_sniff ((const char *) bytes->data, bytes->len))
    return FORMAT_D356;
  if ((format == FORMAT_UNKNOWN || format == FORMAT_GERBER || format == FORMAT_IDF)
      && (bytes->len == 0 || bytes->data[0] != '.')
      && lw_centroid_sniff ((const char *) bytes->data, bytes->len))
    return FORMAT_CENTROID;
  return format;
}

static void
refuse (Format format, const char *name, GError **error)
{
  const char *text =
    format == FORMAT_EMPTY ? _("the file is empty")
                              : _("neither a Leeward document nor a board in a format known here");

  lw_notes_fail (error, LW_IMPORT_ERROR_UNSUPPORTED, name, format == FORMAT_UNKNOWN ? 1 : 0, "%s", text);
}

/* ---- the partner ---- */

/* Case is free, as the files often come from systems that do not mind it. 0 = no library of that
 * board. */
static int
partner_rank (const char *board, const char *other)
{
  static const struct {
    const char *board, *library;
  } pairs[] = { { "emn", "emp" }, { "brd", "lib" }, { "bdf", "ldf" }, { "idf", "lib" }, { NULL, "emp" },
                { NULL, "lib" },  { NULL, "ldf" },  { NULL, "pro" } };
  const char *dot = strrchr (board, '.'), *other_dot = strrchr (other, '.');

  if (dot == NULL || other_dot == NULL || other_dot - other != dot - board
      || g_ascii_strncasecmp (board, other, dot - board) != 0)
    return 0;
  for (guint i = 0; i < G_N_ELEMENTS (pairs); i++)
    if ((pairs[i].board == NULL || g_ascii_strcasecmp (pairs[i].board, dot + 1) == 0)
        && g_ascii_strcasecmp (pairs[i].library, other_dot + 1) == 0)
      return (int) (G_N_ELEMENTS (pairs) - i) * 2 + (strncmp (board, other, dot - board) == 0);
  return 0;
}

static GFile *
find_partner (GFile *file, GCancellable *cancellable)
{
  g_autoptr (GFile) folder = g_file_get_parent (file);
  g_autofree char *board = g_file_get_basename (file);
  g_autoptr (GFileEnumerator) list = NULL;
  g_autofree char *best = NULL;
  int best_rank = 0;

  if (folder != NULL && board != NULL)
    list = g_file_enumerate_children (folder, G_FILE_ATTRIBUTE_STANDARD_NAME, G_FILE_QUERY_INFO_NONE,
                                      cancellable, NULL);
  for (guint i = 0; list != NULL && i < MAX_NEIGHBOURS; i++)
    {
      GFileInfo *info;
      int rank;

      if (!g_file_enumerator_iterate (list, &info, NULL, cancellable, NULL) || info == NULL)
        break;
      rank = partner_rank (board, g_file_info_get_name (info));
      if (rank <= best_rank)
        continue;
      best_rank = rank;
      g_free (best);
      best = g_strdup (g_file_info_get_name (info));
    }
  return best != NULL ? g_file_get_child (folder, best) : NULL;
}

/* A file that only happens to have the name (a project file, a library of another program) is no
 * partner. */
static GFile *
find_idf_partner (GFile *file, GCancellable *cancellable)
{
  g_autoptr (GFile) found = find_partner (file, cancellable);
  g_autofree char *name = found != NULL ? display_name (found) : NULL;
  g_autoptr (GByteArray) start = NULL;

  if (found == NULL)
    return NULL;
  start = lw_read_start (found, name, SNIFF_BYTES, cancellable, NULL);
  return start != NULL && sniff (start) == FORMAT_IDF ? g_steal_pointer (&found) : NULL;
}

/* ---- the door ---- */

static LwImport *
import_idf (const char *name, const GByteArray *board, GFile *file, GFile *partner, gboolean salvage,
            GCancellable *cancellable, GError **error)
{
  g_autoptr (GFile) found =
    partner != NULL ? g_object_ref (partner) : find_idf_partner (file, cancellable);
  g_autofree char *library_name = found != NULL ? display_name (found) : NULL;
  g_autoptr (GByteArray) library = NULL;

  if (found != NULL)
    {
      library = lw_read_file (found, library_name, MAX_IDF_BYTES, cancellable, error);
      if (library == NULL)
        return NULL;
    }
  return (salvage ? lw_import_idf_salvage : lw_import_idf) (
    name, (const char *) board->data, board->len, library_name,
    library != NULL ? (const char *) library->data : NULL, library != NULL ? library->len : 0, error);
}

/* Streamed: the file never stands in memory as a whole. */
static LwImport *
import_xml (GFile *file, const char *name, gboolean salvage, LwImportProgress progress, gpointer user_data,
            GCancellable *cancellable, GError **error)
{
  g_autoptr (GFileInputStream) stream = g_file_read (file, cancellable, error);
  g_autoptr (GFileInfo) info =
    g_file_query_info (file, G_FILE_ATTRIBUTE_STANDARD_SIZE, G_FILE_QUERY_INFO_NONE, cancellable, NULL);
  goffset size = info != NULL ? g_file_info_get_size (info) : 0;

  if (stream != NULL)
    return (salvage ? lw_import_ipc2581_salvage : lw_import_ipc2581_stream) (
      name, G_INPUT_STREAM (stream), size, progress, user_data, cancellable, error);
  g_prefix_error (error, "%s: ", name);
  return NULL;
}

/* What is odd in a document but no reason to refuse it. */
static void
add_faults (LwImport *import, const char *name)
{
  g_autoptr (GPtrArray) faults = lw_job_check (import->job);

  for (guint i = 0; i < faults->len; i++)
    {
      const LwFault *fault = faults->pdata[i];

      lw_notes_add (import->warnings, name, 0, "%s: %s", fault->path, fault->text);
    }
}

static LwImport *
import_document (GFile *file, const char *name, GCancellable *cancellable, GError **error)
{
  g_autoptr (LwJob) job = lw_job_load (file, cancellable, error);
  LwImport *import;

  if (job == NULL)
    return NULL;
  import = g_new0 (LwImport, 1);
  import->job = g_steal_pointer (&job);
  import->warnings = lw_notes_new ();
  import->format = g_strdup_printf ("Leeward %d", LW_JOB_FORMAT);
  add_faults (import, name);
  return import;
}

/* A plot, a drill file, or the job file of a set, which brings its set along. */
static gboolean
is_plot_set (const GByteArray *bytes)
{
  const char *start = (const char *) bytes->data;

  return bytes->len > 0 && (lw_gerber_job_sniff (start, bytes->len) || lw_plots_sniff (start, bytes->len));
}

/* Formats of single lines: each that cannot be read is damage. */
static LwImport *
import_lines (Format format, const char *name, const GByteArray *bytes, gboolean salvage, GError **error)
{
  LwImport *import = (format == FORMAT_D356 ? lw_import_d356 : lw_import_centroid_guessed) (
    name, (const char *) bytes->data, bytes->len, error);

  if (import == NULL || salvage || lw_notes_refuse_damage (import->warnings, error))
    return import;
  lw_import_free (import);
  return NULL;
}

static LwImport *
import_by_content (GFile *file, GFile *partner, gboolean salvage, LwImportProgress progress,
                   gpointer user_data, GCancellable *cancellable, GError **error)
{
  g_autofree char *name = display_name (file);
  g_autoptr (GByteArray) bytes = NULL;
  Format format;

  bytes = lw_read_start (file, name, SNIFF_BYTES, cancellable, error);
  if (bytes == NULL)
    return NULL;
  if (is_plot_set (bytes))
    return (salvage ? lw_import_salvage_many : lw_import_many) (&file, 1, progress, user_data, cancellable, error);
  format = sniff_all (bytes);
  if (format == FORMAT_LEEWARD)
    return import_document (file, name, cancellable, error);
  if (format == FORMAT_XML)
    return import_xml (file, name, salvage, progress, user_data, cancellable, error);
  if (format != FORMAT_IDF && format != FORMAT_CENTROID && format != FORMAT_D356)
    {
      refuse (format, name, error);
      return NULL;
    }
  g_clear_pointer (&bytes, g_byte_array_unref);
  bytes = lw_read_file (file, name,
                    format == FORMAT_CENTROID ? MAX_TABLE_BYTES : format == FORMAT_D356 ? MAX_D356_BYTES : MAX_IDF_BYTES,
                    cancellable, error);
  if (bytes == NULL)
    return NULL;
  if (format == FORMAT_D356 || format == FORMAT_CENTROID)
    return import_lines (format, name, bytes, salvage, error);
  return import_idf (name, bytes, file, partner, salvage, cancellable, error);
}

LwImport *
lw_import (GFile *file, GFile *partner, GCancellable *cancellable, GError **error)
{
  return lw_import_told (file, partner, NULL, NULL, cancellable, error);
}

static LwImport *
import_file (GFile *file, GFile *partner, gboolean salvage, LwImportProgress progress, gpointer user_data,
             GCancellable *cancellable, GError **error)
{
  g_autoptr (LwImport) import = import_by_content (file, partner, salvage, progress, user_data, cancellable, error);

  if (import != NULL && !lw_job_fits (import->job))
    {
      g_autofree char *name = display_name (file);

      lw_notes_fail (error, LW_IMPORT_ERROR_TOO_LARGE, name, 0, _("holds more than a document of ours could keep"));
      return NULL;
    }

  if (import != NULL && import->unknowns == NULL)
    lw_import_list_unknowns (import);
  return g_steal_pointer (&import);
}

LwImport *
lw_import_told (GFile *file, GFile *partner, LwImportProgress progress, gpointer user_data, GCancellable *cancellable,
                GError **error)
{
  return import_file (file, partner, FALSE, progress, user_data, cancellable, error);
}

LwImport *
lw_import_salvage (GFile *file, GFile *partner, LwImportProgress progress, gpointer user_data,
                   GCancellable *cancellable, GError **error)
{
  return import_file (file, partner, TRUE, progress, user_data, cancellable, error);
}
