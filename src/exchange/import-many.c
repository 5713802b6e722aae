/* Several files of one board taken together. */
#include <glib/gi18n.h>
#include <string.h>

#include "exchange/centroid.h"
#include "exchange/d356.h"
#include "exchange/gather.h"
#include "exchange/import.h"
#include "exchange/merge.h"
#include "exchange/plot-set.h"
#include "exchange/read-file.h"
#include "exchange/unknowns.h"

#define SNIFF_BYTES 4096
#define MAX_PLOT_BYTES (64u * 1024u * 1024u)
#define MAX_SET_BYTES (256u * 1024u * 1024u)

typedef enum
{
  KIND_OTHER, /* lw_import() looks at it */
  KIND_PLOT,  /* Gerber, Excellon, job file */
  KIND_JOB,   /* the last of these */
  KIND_IDF_LIBRARY,
  KIND_IDF_BOARD,
  KIND_PERHAPS, /* a list or a web page looks like one */
  KIND_DOCUMENT
} Kind;

typedef struct {
  GFile *file;
  char *name;
  Kind kind;
  gboolean used;
} Item;

typedef struct {
  GArray *items; /* Item */
  GPtrArray *notes, *sources, *pieces;
  GError *first; /* why the first file that could not be read could not */
  LwImportProgress progress;
  gpointer user_data;
  GCancellable *cancellable;
  GFile *only; /* when one was given: a file, a folder, an archive */
  guint at; /* number of the file that is read */
  gboolean salvage;
} Many;

static void
item_clear (gpointer data)
{
  Item *item = data;

  g_clear_object (&item->file);
  g_free (item->name);
}

static Item *
item_at (const Many *self, guint i)
{
  return &g_array_index (self->items, Item, i);
}

/* ---- what a file is ---- */

static gsize
read_start (GFile *file, char *start, GCancellable *cancellable)
{
  g_autoptr (GFileInputStream) stream = g_file_read (file, cancellable, NULL);
  gsize got = 0;

  if (stream != NULL)
    g_input_stream_read_all (G_INPUT_STREAM (stream), start, SNIFF_BYTES, &got, cancellable, NULL);
  start[got] = '\0';
  return got;
}

static gboolean
has_word (const char *text, const char *word)
{
  g_autofree char *upper = g_ascii_strup (text, -1);

  return strstr (upper, word) != NULL;
}

static Kind
kind_of (GFile *file, GCancellable *cancellable)
{
  char start[SNIFF_BYTES + 1];
  gsize n = read_start (file, start, cancellable);
  const char *p = start;

  while (g_ascii_isspace (*p) || (guchar) *p >= 0xbb)
    p++;
  if (lw_gerber_job_sniff (start, n))
    return KIND_JOB;
  if (*p == '{')
    return KIND_DOCUMENT;
  if (lw_plots_sniff (start, n))
    return KIND_PLOT;
  if (has_word (start, ".HEADER"))
    return has_word (start, "LIBRARY_FILE") && !has_word (start, "BOARD_FILE") ? KIND_IDF_LIBRARY : KIND_IDF_BOARD;
  if (*p == '<')
    return has_word (start, "IPC-2581") ? KIND_OTHER : KIND_PERHAPS;
  return !lw_d356_sniff (start, n) && lw_centroid_sniff (start, n) ? KIND_PERHAPS : KIND_OTHER;
}

static void
add_item (Many *self, GFile *file)
{
  g_autofree char *base = g_file_get_basename (file);
  Item item = { g_object_ref (file), g_filename_display_name (base != NULL ? base : ""), kind_of (file, self->cancellable),
                FALSE };

  g_array_append_val (self->items, item);
}

/* ---- reading ---- */

/* Of a file that is of a known format beyond doubt, nothing is read for its damage. */
static void
tell_failure (Many *self, const char *name, Kind kind, GError *error)
{
  /* A text, a picture: the folder of a board holds other things too. */
  gboolean known = !g_error_matches (error, LW_IMPORT_ERROR, LW_IMPORT_ERROR_UNSUPPORTED);
  guint line;
  const char *text = lw_notes_reason (name, error, &line);

  if (kind != KIND_PERHAPS && g_error_matches (error, LW_IMPORT_ERROR, LW_IMPORT_ERROR_SYNTAX))
    lw_notes_add_loss (self->notes, name, line, text, _("the file is left out"));
  else if (known)
    lw_notes_add (self->notes, name, line, _("%s; the file is left out"), text);
  lw_sources_add (self->sources, name, NULL, NULL);
  if (self->first == NULL || (known && g_error_matches (self->first, LW_IMPORT_ERROR, LW_IMPORT_ERROR_UNSUPPORTED)))
    {
      g_clear_error (&self->first);
      self->first = error;
    }
  else
    g_error_free (error);
}

/* FALSE only when cancelled. */
static gboolean
add_piece (Many *self, const char *name, Kind kind, LwImport *import, GError *error)
{
  if (import != NULL)
    {
      g_ptr_array_add (self->pieces, lw_merge_piece_new (name, import));
      return TRUE;
    }
  if (g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED))
    {
      g_clear_error (&self->first);
      self->first = error;
      return FALSE;
    }
  tell_failure (self, name, kind, error);
  return TRUE;
}

static gboolean
same_stem (const char *a, const char *b)
{
  const char *dot_a = strrchr (a, '.'), *dot_b = strrchr (b, '.');

  return dot_a != NULL && dot_b != NULL && dot_a - a == dot_b - b && g_ascii_strncasecmp (a, b, dot_a - a) == 0;
}

/* The library of a board: of the same name, else the only one there is. */
static Item *
library_of (const Many *self, const Item *board)
{
  Item *only = NULL;
  guint n = 0, boards = 0;

  for (guint i = 0; i < self->items->len; i++)
    {
      Item *item = item_at (self, i);

      boards += item->kind == KIND_IDF_BOARD;
      if (item->kind != KIND_IDF_LIBRARY)
        continue;
      if (same_stem (board->name, item->name))
        return item;
      only = item;
      n++;
    }
  return n == 1 && boards == 1 ? only : NULL;
}

/* One file's share of the whole. */
static void
on_file_progress (double done, gpointer user_data)
{
  Many *self = user_data;

  if (self->progress != NULL)
    self->progress ((self->at + done) / self->items->len, self->user_data);
}

static gboolean
read_board (Many *self, Item *item)
{
  Item *library = item->kind == KIND_IDF_BOARD ? library_of (self, item) : NULL;
  GError *error = NULL;
  /* What is damaged is told then, and looked for at the end. */
  LwImport *import = lw_import_salvage (item->file, library != NULL ? library->file : NULL, on_file_progress, self,
                                        self->cancellable, &error);

  item->used = TRUE;
  if (library != NULL)
    {
      library->used = TRUE;
      lw_sources_add (self->sources, library->name, "IDF", _("bodies and heights of its board"));
    }
  return add_piece (self, item->name, item->kind, import, error);
}

static gboolean
load_plot (Many *self, const Item *item, LwPlotFile *file, GPtrArray *blocks, gsize *total, GError **error)
{
  g_autoptr (GByteArray) bytes = lw_read_file (item->file, item->name, MAX_PLOT_BYTES, self->cancellable, error);

  if (bytes == NULL)
    return FALSE;
  *total += bytes->len;
  if (*total > MAX_SET_BYTES)
    return lw_notes_fail (error, LW_IMPORT_ERROR_TOO_LARGE, item->name, 0, _("larger than %u MB"),
                          MAX_SET_BYTES / 1024 / 1024);
  *file = (LwPlotFile) { item->name, bytes->len > 0 ? (const char *) bytes->data : "", bytes->len };
  g_ptr_array_add (blocks, g_steal_pointer (&bytes));
  return TRUE;
}

/* All plots, drills and job files are one set. */
static gboolean
read_set (Many *self)
{
  g_autoptr (GPtrArray) blocks = g_ptr_array_new_with_free_func ((GDestroyNotify) g_byte_array_unref);
  g_autoptr (GArray) files = g_array_new (FALSE, FALSE, sizeof (LwPlotFile));
  LwImport *import;
  GError *error = NULL;
  gsize total = 0;

  for (guint i = 0; i < self->items->len; i++)
    {
      Item *item = item_at (self, i);
      LwPlotFile file;

      if (item->kind != KIND_PLOT && item->kind != KIND_JOB)
        continue;
      item->used = TRUE;
      if (load_plot (self, item, &file, blocks, &total, &error))
        g_array_append_val (files, file);
      else if (!add_piece (self, item->name, item->kind, NULL, g_steal_pointer (&error)))
        return FALSE;
    }
  if (files->len == 0)
    return TRUE;
  import = lw_import_plots ((const LwPlotFile *) (const void *) files->data, files->len, self->sources, self->progress,
                            self->user_data, self->cancellable, &error);
  return add_piece (self, files->len > 1 ? _("plots") : g_array_index (files, LwPlotFile, 0).name, KIND_PLOT, import, error);
}

/* A document is the whole of its job: nothing is mixed into it. */
static gboolean
read_each (Many *self)
{
  for (guint i = 0; i < self->items->len; i++)
    {
      Item *item = item_at (self, i);

      self->at = i;
      if (item->used || item->kind == KIND_IDF_LIBRARY)
        continue;
      if (item->kind == KIND_DOCUMENT && self->items->len > 1)
        {
          lw_notes_add (self->notes, item->name, 0, _("a document is not mixed with other files: open it alone"));
          lw_sources_add (self->sources, item->name, NULL, NULL);
        }
      else if (!read_board (self, item))
        return FALSE;
      if (self->progress != NULL)
        self->progress ((double) (i + 1) / self->items->len, self->user_data);
    }
  for (guint i = 0; i < self->items->len; i++)
    if (!item_at (self, i)->used && item_at (self, i)->kind == KIND_IDF_LIBRARY)
      lw_sources_add (self->sources, item_at (self, i)->name, "IDF", NULL);
  return TRUE;
}

/* ---- together ---- */

static void
add_sources (Many *self)
{
  for (guint i = 0; i < self->pieces->len; i++)
    {
      const LwMergePiece *piece = self->pieces->pdata[i];

      lw_sources_add (self->sources, piece->name, piece->import->format, piece->taken->len > 0 ? piece->taken->str : NULL);
    }
}

static char *
joined_formats (const Many *self)
{
  g_autoptr (GPtrArray) words = g_ptr_array_new ();

  for (guint i = 0; i < self->pieces->len; i++)
    {
      char *format = ((LwMergePiece *) self->pieces->pdata[i])->import->format;

      if (!g_ptr_array_find_with_equal_func (words, format, g_str_equal, NULL))
        g_ptr_array_add (words, format);
    }
  g_ptr_array_add (words, NULL);
  return g_strjoinv (" + ", (char **) words->pdata);
}

static LwImport *
merge_pieces (Many *self, GError **error)
{
  LwImport *import = NULL;
  LwJob *job;

  if (self->pieces->len == 1)
    {
      LwMergePiece *only = self->pieces->pdata[0];

      import = g_steal_pointer (&only->import);
      for (guint i = 0; i < self->notes->len; i++)
        lw_notes_add_copy (import->warnings, self->notes->pdata[i]);
      if (!g_str_has_prefix (import->format, "Gerber"))
        lw_sources_add (self->sources, only->name, import->format, _("everything"));
      return import;
    }
  job = lw_merge_jobs (self->pieces, self->notes, error);
  if (job == NULL)
    return NULL;
  import = g_new0 (LwImport, 1);
  import->job = job;
  import->format = joined_formats (self);
  import->warnings = g_ptr_array_ref (self->notes);
  add_sources (self);
  return import;
}

static void
tell_none (const Many *self, GError **error)
{
  g_autofree char *base = self->only != NULL ? g_file_get_basename (self->only) : NULL;
  g_autofree char *name = base != NULL ? g_filename_display_name (base) : NULL;

  if (name != NULL)
    lw_notes_fail (error, LW_IMPORT_ERROR_UNSUPPORTED, name, 0, _("there is no board in it"));
  else
    lw_notes_fail (error, LW_IMPORT_ERROR_UNSUPPORTED, _("files"), 0, _("there is no board in them"));
}

static LwImport *
finish (Many *self, GError **error)
{
  LwImport *import;

  if (self->pieces->len == 0)
    {
      if (self->first != NULL)
        g_propagate_error (error, g_steal_pointer (&self->first));
      else
        tell_none (self, error);
      return NULL;
    }
  import = merge_pieces (self, error);
  if (import == NULL)
    return NULL;
  if (!self->salvage && !lw_notes_refuse_damage (import->warnings, error))
    {
      lw_import_free (import);
      return NULL;
    }
  import->sources = g_ptr_array_ref (self->sources);
  lw_import_list_unknowns (import);
  if (self->progress != NULL)
    self->progress (1, self->user_data);
  return import;
}

/* A job file names the files of its set: those beside it are opened with it. */
static void
add_listed (Many *self, guint i)
{
  g_autoptr (GFile) folder = g_file_get_parent (item_at (self, i)->file);
  g_autoptr (GPtrArray) quiet = lw_notes_new ();
  const Item *item = item_at (self, i);
  g_autoptr (GByteArray) text = NULL;
  g_autoptr (LwGerberJob) job = NULL;

  if (folder != NULL)
    text = lw_read_file (item->file, item->name, MAX_PLOT_BYTES, self->cancellable, NULL);
  if (text == NULL || text->len == 0)
    return;
  job = lw_gerber_job_read (item->name, (const char *) text->data, text->len, quiet, NULL);
  for (guint k = 0; job != NULL && k < job->files->len; k++)
    {
      const char *name = ((LwGerberJobFile *) job->files->pdata[k])->path;
      g_autoptr (GFile) file = g_file_get_child (folder, name);
      gboolean there = FALSE;

      for (guint j = 0; j < self->items->len; j++)
        there |= g_str_equal (item_at (self, j)->name, name);
      if (!there && *name != '\0' && *name != '.' && g_file_query_file_type (file, G_FILE_QUERY_INFO_NONE, NULL) == G_FILE_TYPE_REGULAR)
        add_item (self, file);
    }
}

static void
many_clear (Many *self)
{
  g_array_unref (self->items);
  g_ptr_array_unref (self->notes);
  g_ptr_array_unref (self->sources);
  g_ptr_array_unref (self->pieces);
  g_clear_error (&self->first);
}

static LwImport *
import_many (GFile *const *files, guint n_files, gboolean salvage, LwImportProgress progress, gpointer user_data,
             GCancellable *cancellable, GError **error)
{
  Many self = { g_array_new (FALSE, FALSE, sizeof (Item)), lw_notes_new (), lw_sources_new (),
                g_ptr_array_new_with_free_func ((GDestroyNotify) lw_merge_piece_free), NULL, progress, user_data, cancellable };
  g_autoptr (LwGathered) gathered = lw_gather (files, n_files, self.notes, cancellable, error);
  LwImport *import = NULL;

  self.salvage = salvage;
  self.only = n_files == 1 ? files[0] : NULL;
  g_array_set_clear_func (self.items, item_clear);
  for (guint i = 0; gathered != NULL && i < gathered->files->len; i++)
    add_item (&self, gathered->files->pdata[i]);
  for (guint i = 0, n = self.items->len; i < n; i++)
    if (item_at (&self, i)->kind == KIND_JOB)
      add_listed (&self, i);
  if (gathered != NULL && read_set (&self) && read_each (&self))
    import = finish (&self, error);
  else if (self.first != NULL)
    g_propagate_error (error, g_steal_pointer (&self.first));
  many_clear (&self);
  return import;
}

LwImport *
lw_import_many (GFile *const *files, guint n_files, LwImportProgress progress, gpointer user_data,
                GCancellable *cancellable, GError **error)
{
  return import_many (files, n_files, FALSE, progress, user_data, cancellable, error);
}

LwImport *
lw_import_salvage_many (GFile *const *files, guint n_files, LwImportProgress progress, gpointer user_data,
                        GCancellable *cancellable, GError **error)
{
  return import_many (files, n_files, TRUE, progress, user_data, cancellable, error);
}
