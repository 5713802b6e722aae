#include "exchange/merge.h"

#include <glib/gi18n.h>
#include <string.h>

#include "exchange/listed.h"
#include "exchange/merge-private.h"
#include "exchange/notes.h"

LwMergePiece *
lw_merge_piece_new (const char *name, LwImport *import)
{
  LwMergePiece *self = g_new0 (LwMergePiece, 1);

  self->name = g_strdup (name);
  self->import = import;
  self->taken = g_string_new (NULL);
  return self;
}

void
lw_merge_piece_free (LwMergePiece *self)
{
  g_free (self->name);
  lw_import_free (self->import);
  g_string_free (self->taken, TRUE);
  g_free (self);
}

static LwPieceKind
kind_of_piece (const LwImport *import)
{
  static const struct {
    const char *start;
    LwPieceKind kind;
  } kinds[] = { { "IPC-2581", LW_PIECE_IPC2581 }, { "Gerber", LW_PIECE_PLOTS }, { "Excellon", LW_PIECE_PLOTS },
                { "IDF", LW_PIECE_IDF },          { "IPC-D-356", LW_PIECE_NETLIST } };

  for (guint i = 0; i < G_N_ELEMENTS (kinds); i++)
    if (g_str_has_prefix (import->format, kinds[i].start))
      return kinds[i].kind;
  return LW_PIECE_TABLE;
}

void
lw_merge_taken (const LwMergeView *view, const char *what)
{
  GString *taken = view->piece->taken;

  g_string_append_printf (taken, "%s%s", taken->len > 0 ? ", " : "", what);
}

const LwMergeView *
lw_merge_view (const LwMerge *self, const LwPieceKind *kinds, guint i)
{
  for (guint k = 0; k < LW_N_PIECES; k++)
    for (guint v = 0; v < self->views->len; v++)
      {
        const LwMergeView *view = &g_array_index (self->views, LwMergeView, v);

        if (view->kind == kinds[k] && i-- == 0)
          return view;
      }
  return NULL;
}

static void
view_clear (gpointer data)
{
  LwMergeView *self = data;

  g_hash_table_unref (self->refs);
  g_hash_table_unref (self->packages);
}

static GHashTable *
own_packages (const LwJob *job)
{
  GHashTable *table = g_hash_table_new (g_str_hash, g_str_equal);

  for (guint i = job->packages->len; i-- > 0;) /* backwards: the first of a name counts */
    {
      LwPackage *package = job->packages->pdata[i];

      g_hash_table_insert (table, package->name, package);
    }
  return table;
}

static void
add_view (LwMerge *self, LwMergePiece *piece)
{
  LwMergeView view = { piece, piece->import->job, kind_of_piece (piece->import), 0, 0,
                       g_hash_table_new (g_str_hash, g_str_equal), own_packages (piece->import->job) };

  for (guint i = 0; i < view.job->parts->len; i++)
    {
      LwPart *part = view.job->parts->pdata[i];

      if (!g_hash_table_contains (view.refs, part->ref))
        g_hash_table_insert (view.refs, part->ref, part);
    }
  g_array_append_val (self->views, view);
}

/* The frame is that of the piece whose outline counts, which therefore comes first. */
static void
add_views (LwMerge *self, GPtrArray *pieces)
{
  static const LwPieceKind order[LW_N_PIECES] = { LW_PIECE_PLOTS, LW_PIECE_IPC2581, LW_PIECE_IDF, LW_PIECE_TABLE,
                                                  LW_PIECE_NETLIST };

  for (guint assumed = 0; assumed < 2; assumed++)
    for (guint k = 0; k < LW_N_PIECES; k++)
      for (guint i = 0; i < pieces->len; i++)
        {
          LwMergePiece *piece = pieces->pdata[i];

          if (kind_of_piece (piece->import) == order[k]
              && (piece->import->job->board->outline_assumed != FALSE) == (assumed == 1))
            add_view (self, piece);
        }
}

static void
gather_notes (LwMerge *self, GPtrArray *pieces)
{
  for (guint i = 0; i < pieces->len; i++)
    {
      const GPtrArray *own = ((LwMergePiece *) pieces->pdata[i])->import->warnings;

      for (guint k = 0; k < own->len; k++)
        lw_notes_add_copy (self->notes, own->pdata[k]);
    }
}

/* Texts and station of the first that has them. */
static void
start_job (LwMerge *self)
{
  const LwMergeView *first = &g_array_index (self->views, LwMergeView, 0);

  self->job = lw_job_new ();
  lw_station_unref (self->job->station);
  self->job->station = lw_station_ref (first->job->station);
  for (guint i = 0; i < self->views->len; i++)
    {
      const LwJob *job = g_array_index (self->views, LwMergeView, i).job;

      if (*self->job->title == '\0')
        {
          g_free (self->job->title);
          self->job->title = g_strdup (job->title);
        }
      if (*self->job->notes == '\0')
        {
          g_free (self->job->notes);
          self->job->notes = g_strdup (job->notes);
        }
    }
  lw_board_unref (self->job->board);
  self->job->board = lw_board_copy (first->job->board);
}

static gboolean
settle (LwMerge *self, GError **error)
{
  LwListedBoard list;
  g_autoptr (GArray) lines = g_array_new (FALSE, TRUE, sizeof (guint));
  gboolean fine;

  lw_listed_board_init (&list);
  for (guint i = 0; i < self->job->parts->len; i++)
    g_ptr_array_add (list.parts, lw_listed_part_new ("", "", "", 0));
  g_array_set_size (lines, self->job->board->outline->len);
  fine = lw_listed_settle (self->job, &list, lines, _("files taken together"), self->notes, error);
  lw_listed_board_clear (&list);
  return fine;
}

LwJob *
lw_merge_jobs (GPtrArray *pieces, GPtrArray *notes, GError **error)
{
  LwMerge self = { g_array_new (FALSE, FALSE, sizeof (LwMergeView)), notes, NULL };
  LwJob *job = NULL;

  g_array_set_clear_func (self.views, view_clear);
  gather_notes (&self, pieces);
  add_views (&self, pieces);
  lw_merge_align (&self);
  start_job (&self);
  lw_merge_board (&self);
  lw_merge_parts (&self);
  if (settle (&self, error))
    job = g_steal_pointer (&self.job);
  lw_job_unref (self.job);
  g_array_unref (self.views);
  return job;
}
