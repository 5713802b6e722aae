/* Outline, thickness, stack-up and copper of the merged job, each from the best piece that has it. */
#include <glib/gi18n.h>
#include <math.h>

#include "board/copper-map.h"
#include "exchange/merge-private.h"
#include "exchange/notes.h"

#define SAME_MM 0.05
#define SAME_THICKNESS_MM 0.01

static const LwPieceKind outline_order[LW_N_PIECES] = { LW_PIECE_PLOTS, LW_PIECE_IPC2581, LW_PIECE_IDF,
                                                        LW_PIECE_NETLIST, LW_PIECE_TABLE };
static const LwPieceKind figures_order[LW_N_PIECES] = { LW_PIECE_IPC2581, LW_PIECE_PLOTS, LW_PIECE_IDF,
                                                        LW_PIECE_NETLIST, LW_PIECE_TABLE };

/* ---- shifting ---- */

static LwLoop *
shifted (const LwLoop *loop, const LwMergeView *view)
{
  LwLoop *moved = lw_loop_new ();

  for (guint i = 0; i < loop->corners->len; i++)
    {
      const LwVertex *v = &g_array_index (loop->corners, LwVertex, i);

      lw_loop_add (moved, v->x_mm + view->dx_mm, v->y_mm + view->dy_mm, v->arc_deg);
    }
  return moved;
}

static LwBox
outline_box (const LwMergeView *view)
{
  LwBox box = lw_loop_box (view->job->board->outline->pdata[0]);

  return (LwBox) { box.x0_mm + view->dx_mm, box.y0_mm + view->dy_mm, box.x1_mm + view->dx_mm, box.y1_mm + view->dy_mm };
}

/* ---- outline ---- */

static void
compare_outline (LwMerge *self, const LwMergeView *used, const LwMergeView *other)
{
  LwBox a = outline_box (used), b = outline_box (other);

  if (other->job->board->outline_assumed || used->job->board->outline_assumed
      || (fabs (a.x0_mm - b.x0_mm) <= SAME_MM && fabs (a.y0_mm - b.y0_mm) <= SAME_MM && fabs (a.x1_mm - b.x1_mm) <= SAME_MM
          && fabs (a.y1_mm - b.y1_mm) <= SAME_MM))
    return;
  lw_notes_add_text (
    self->notes, other->piece->name,
    g_strdup_printf (_("its outline, %.3f × %.3f mm at %.3f, %.3f, differs from that of %s, %.3f × %.3f mm at %.3f, %.3f, which is used"),
                     b.x1_mm - b.x0_mm, b.y1_mm - b.y0_mm, b.x0_mm, b.y0_mm, used->piece->name, a.x1_mm - a.x0_mm,
                     a.y1_mm - a.y0_mm, a.x0_mm, a.y0_mm));
}

static void
merge_outline (LwMerge *self, LwBoard *board)
{
  const LwMergeView *best = NULL, *view;

  for (guint i = 0; (view = lw_merge_view (self, outline_order, i)) != NULL; i++)
    if (view->job->board->outline->len > 0
        && (best == NULL || (best->job->board->outline_assumed && !view->job->board->outline_assumed)))
      best = view;
  if (best == NULL)
    return;
  g_ptr_array_set_size (board->outline, 0);
  for (guint i = 0; i < best->job->board->outline->len; i++)
    g_ptr_array_add (board->outline, shifted (best->job->board->outline->pdata[i], best));
  board->outline_assumed = best->job->board->outline_assumed;
  lw_merge_taken (best, board->outline_assumed ? _("a substitute outline") : _("outline"));
  for (guint i = 0; (view = lw_merge_view (self, outline_order, i)) != NULL; i++)
    if (view != best && view->job->board->outline->len > 0)
      compare_outline (self, best, view);
}

/* ---- thickness ---- */

static void
merge_thickness (LwMerge *self, LwBoard *board)
{
  const LwMergeView *best = NULL, *view;

  for (guint i = 0; (view = lw_merge_view (self, figures_order, i)) != NULL; i++)
    {
      const LwBoard *own = view->job->board;

      if (!own->thickness_known)
        continue;
      if (best == NULL)
        best = view;
      else if (fabs (own->thickness_mm - best->job->board->thickness_mm) > SAME_THICKNESS_MM)
        lw_notes_add_text (self->notes, view->piece->name,
                           g_strdup_printf (_("its thickness, %.3f mm, differs from that of %s, %.3f mm, which is used"),
                                            own->thickness_mm, best->piece->name, best->job->board->thickness_mm));
    }
  if (best == NULL)
    return;
  board->thickness_mm = best->job->board->thickness_mm;
  board->thickness_known = TRUE;
  lw_merge_taken (best, _("thickness"));
}

/* ---- stack-up and copper ---- */

static guint
copper_number (const LwBoard *board, const char *name)
{
  guint n = 0;

  for (guint i = 0; i < board->layers->len; i++)
    {
      const LwLayer *layer = board->layers->pdata[i];

      n += layer->kind == LW_LAYER_COPPER;
      if (layer->kind == LW_LAYER_COPPER && g_str_equal (layer->name, name))
        return n;
    }
  return 0;
}

static guint
count_copper (const LwBoard *board)
{
  guint n = 0;

  for (guint i = 0; i < board->layers->len; i++)
    n += ((const LwLayer *) board->layers->pdata[i])->kind == LW_LAYER_COPPER;
  return n;
}

/* Copper layer NUMBER of BOARD, made its own. */
static LwLayer *
edit_copper (LwBoard *board, guint number)
{
  for (guint i = 0; i < board->layers->len; i++)
    {
      LwLayer *layer = board->layers->pdata[i];

      if (layer->kind != LW_LAYER_COPPER || --number > 0)
        continue;
      board->layers->pdata[i] = lw_layer_copy (layer);
      lw_layer_unref (layer);
      return board->layers->pdata[i];
    }
  return NULL;
}

/* The same map where the stack-up's layers have other names. */
static LwCopperMap *
renamed_map (const LwMergeView *from, LwBoard *board)
{
  const LwCopperMap *old = from->job->board->copper_map;
  LwCopperMap *map = lw_copper_map_copy (old);

  map->x_mm += from->dx_mm;
  map->y_mm += from->dy_mm;
  g_ptr_array_set_size (map->covers, 0);
  for (guint i = 0; i < old->covers->len; i++)
    {
      const LwLayerCover *cover = old->covers->pdata[i];
      guint number = copper_number (from->job->board, cover->layer);
      LwLayer *layer = number > 0 ? edit_copper (board, number) : NULL;
      LwLayerCover *own = lw_layer_cover_copy (cover);

      if (layer != NULL)
        {
          g_free (own->layer);
          own->layer = g_strdup (layer->name);
          for (guint k = 0; k < from->job->board->layers->len; k++)
            {
              const LwLayer *source = from->job->board->layers->pdata[k];

              if (source->kind == LW_LAYER_COPPER && g_str_equal (source->name, cover->layer))
                layer->cover = source->cover;
            }
        }
      g_ptr_array_add (map->covers, own);
    }
  return map;
}

static const LwMergeView *
find_stack (const LwMerge *self)
{
  const LwMergeView *view;

  for (guint i = 0; (view = lw_merge_view (self, figures_order, i)) != NULL; i++)
    if (view->job->board->layers->len > 0)
      return view;
  return NULL;
}

static const LwMergeView *
find_map (const LwMerge *self)
{
  const LwMergeView *view;

  for (guint i = 0; (view = lw_merge_view (self, outline_order, i)) != NULL; i++)
    if (view->job->board->copper_map != NULL)
      return view;
  return NULL;
}

static void
share (GPtrArray *to, const GPtrArray *from)
{
  g_ptr_array_set_size (to, 0);
  for (guint i = 0; i < from->len; i++)
    g_ptr_array_add (to, g_atomic_rc_box_acquire (from->pdata[i]));
}

static void
take_vias (LwMerge *self, LwBoard *board)
{
  const LwMergeView *view;

  g_ptr_array_set_size (board->via_fields, 0);
  for (guint i = 0; (view = lw_merge_view (self, outline_order, i)) != NULL; i++)
    {
      const GPtrArray *fields = view->job->board->via_fields;

      for (guint k = 0; k < fields->len; k++)
        {
          LwViaField *field = lw_via_field_copy (fields->pdata[k]);
          LwLoop *loop = shifted (field->loop, view);

          lw_loop_unref (field->loop);
          field->loop = loop;
          g_ptr_array_add (board->via_fields, field);
        }
      if (fields->len == 0)
        continue;
      lw_merge_taken (view, _("via fields"));
      return;
    }
}

static void
merge_copper (LwMerge *self, LwBoard *board)
{
  const LwMergeView *stack = find_stack (self), *map = find_map (self);

  if (map != NULL && stack != NULL && count_copper (stack->job->board) != count_copper (map->job->board))
    {
      lw_notes_add_text (self->notes, stack->piece->name,
                         g_strdup_printf (_("has %u copper layers, %s has %u: the latter’s stack-up is used"),
                                          count_copper (stack->job->board), map->piece->name, count_copper (map->job->board)));
      stack = map;
    }
  g_ptr_array_set_size (board->layers, 0);
  g_clear_pointer (&board->copper_map, lw_copper_map_unref);
  if (stack != NULL)
    {
      share (board->layers, stack->job->board->layers);
      lw_merge_taken (stack, _("stack-up"));
    }
  if (map != NULL)
    {
      board->copper_map = renamed_map (map, board);
      lw_merge_taken (map, _("copper"));
    }
  take_vias (self, board);
}

void
lw_merge_board (LwMerge *self)
{
  LwBoard *board = lw_job_edit_board (self->job);

  merge_outline (self, board);
  merge_thickness (self, board);
  merge_copper (self, board);
}
