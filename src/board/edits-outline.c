#include "board/edits-outline.h"

#include <glib/gi18n.h>

#include "board/edit-finish.h"
#include "board/loop-edits.h"
#include "board/usual-station.h"

static GPtrArray *
owners (const LwBoard *board, LwLoopOwner owner)
{
  return owner == LW_LOOP_OUTLINE ? board->outline : owner == LW_LOOP_COPPER ? board->copper_regions : board->via_fields;
}

guint
lw_job_n_loops (const LwJob *job, LwLoopOwner owner)
{
  return owners (job->board, owner)->len;
}

const LwLoop *
lw_job_loop (const LwJob *job, LwLoopPlace place)
{
  if (place.owner >= LW_N_LOOP_OWNERS || place.index >= lw_job_n_loops (job, place.owner))
    return NULL;
  gpointer element = g_ptr_array_index (owners (job->board, place.owner), place.index);
  return place.owner == LW_LOOP_OUTLINE  ? element
         : place.owner == LW_LOOP_COPPER ? ((const LwCopperRegion *) element)->loop
                                         : ((const LwViaField *) element)->loop;
}

static gboolean
has_loop (const LwJob *job, LwLoopPlace place, GError **error)
{
  if (lw_job_loop (job, place) != NULL)
    return TRUE;
  g_set_error (error, LW_EDIT_ERROR, LW_EDIT_ERROR_REFERENCE, _("there is no loop %u"), place.index);
  return FALSE;
}

static LwJob *
finish (const LwJob *job, LwJob *after, LwLoopPlace place, GError **error)
{
  static const char *const heads[] = { "board.outline[%u]", "board.copper_regions[%u].loop",
                                       "board.via_fields[%u].loop" };
  g_autofree char *path = g_strdup_printf (heads[place.owner], place.index);

  if (place.owner == LW_LOOP_OUTLINE)
    after->board->outline_assumed = FALSE; /* somebody has drawn it */
  return lw_edit_finish (job, after, path, error);
}

/* ---- a new board ---- */

LwJob *
lw_job_new_rectangle (double length, double width, double radius, double thickness, GError **error)
{
  LwLoop *edge = lw_loop_new_rounded (0.0, 0.0, MAX (length, 0.0), MAX (width, 0.0), radius, error);

  if (edge == NULL)
    return NULL;
  if (!(thickness > 0.0 && thickness <= 100.0))
    {
      g_set_error_literal (error, LW_EDIT_ERROR, LW_EDIT_ERROR_RANGE, _("the thickness must be above 0 and at most 100 mm"));
      lw_loop_unref (edge);
      return NULL;
    }
  g_autoptr (LwJob) bare = lw_job_new ();
  LwJob *job = lw_job_copy (bare);
  LwBoard *board = lw_job_edit_board (job);
  g_ptr_array_add (board->outline, edge);
  board->thickness_mm = thickness;
  board->thickness_known = TRUE;
  lw_job_take_usual_station (job);
  return finish (bare, job, (LwLoopPlace){ LW_LOOP_OUTLINE, 0 }, error);
}

/* ---- one loop ---- */

static void
put_loop (LwBoard *board, LwLoopPlace place, LwLoop *loop)
{
  GPtrArray *all = owners (board, place.owner);
  gpointer old = g_ptr_array_index (all, place.index);

  if (place.owner == LW_LOOP_OUTLINE)
    {
      all->pdata[place.index] = loop;
      lw_loop_unref (old);
    }
  else if (place.owner == LW_LOOP_COPPER)
    {
      LwCopperRegion *region = lw_copper_region_copy (old);
      lw_loop_unref (region->loop);
      region->loop = loop;
      all->pdata[place.index] = region;
      lw_copper_region_unref (old);
    }
  else
    {
      LwViaField *field = lw_via_field_copy (old);
      lw_loop_unref (field->loop);
      field->loop = loop;
      all->pdata[place.index] = field;
      lw_via_field_unref (old);
    }
}

LwJob *
lw_edit_set_loop (const LwJob *job, LwLoopPlace place, LwLoop *loop, GError **error)
{
  if (!has_loop (job, place, error))
    {
      lw_loop_unref (loop);
      return NULL;
    }
  LwJob *after = lw_job_copy (job);
  put_loop (lw_job_edit_board (after), place, loop);
  return finish (job, after, place, error);
}

LwJob *
lw_edit_add_cut_out (const LwJob *job, LwLoop *loop, GError **error)
{
  LwJob *after = lw_job_copy (job);

  g_ptr_array_add (lw_job_edit_board (after)->outline, loop);
  return finish (job, after, (LwLoopPlace){ LW_LOOP_OUTLINE, job->board->outline->len }, error);
}

static gboolean
is_copper (const LwBoard *board, const char *name)
{
  for (guint i = 0; i < board->layers->len; i++)
    {
      const LwLayer *layer = g_ptr_array_index (board->layers, i);

      if (layer->kind == LW_LAYER_COPPER && g_strcmp0 (layer->name, name) == 0)
        return TRUE;
    }
  return FALSE;
}

LwJob *
lw_edit_add_copper (const LwJob *job, const char *layer, double cover, LwLoop *loop, GError **error)
{
  gboolean known = is_copper (job->board, layer), fits = cover >= 0.0 && cover <= 1.0;

  if (!known)
    g_set_error (error, LW_EDIT_ERROR, LW_EDIT_ERROR_REFERENCE, _("“%s” is no copper layer of this board"), layer);
  else if (!fits)
    g_set_error_literal (error, LW_EDIT_ERROR, LW_EDIT_ERROR_RANGE, _("the cover must be between 0 and 1"));
  if (!known || !fits)
    {
      lw_loop_unref (loop);
      return NULL;
    }
  LwJob *after = lw_job_copy (job);
  LwCopperRegion *region = lw_copper_region_new ();
  g_free (region->layer);
  region->layer = g_strdup (layer);
  region->cover = cover;
  g_clear_pointer (&region->loop, lw_loop_unref);
  region->loop = loop;
  g_ptr_array_add (lw_job_edit_board (after)->copper_regions, region);
  return finish (job, after, (LwLoopPlace){ LW_LOOP_COPPER, job->board->copper_regions->len }, error);
}

LwJob *
lw_edit_add_vias (const LwJob *job, double pitch, double drill, double plating, LwLoop *loop, GError **error)
{
  if (!(pitch > 0.0 && drill > 0.0 && plating > 0.0))
    {
      g_set_error_literal (error, LW_EDIT_ERROR, LW_EDIT_ERROR_RANGE, _("pitch, hole and plating must be above 0"));
      lw_loop_unref (loop);
      return NULL;
    }
  LwJob *after = lw_job_copy (job);
  LwViaField *field = lw_via_field_new ();
  field->pitch_mm = pitch;
  field->drill_mm = drill;
  field->plating_um = plating;
  g_clear_pointer (&field->loop, lw_loop_unref);
  field->loop = loop;
  g_ptr_array_add (lw_job_edit_board (after)->via_fields, field);
  return finish (job, after, (LwLoopPlace){ LW_LOOP_VIAS, job->board->via_fields->len }, error);
}

LwJob *
lw_edit_remove_loop (const LwJob *job, LwLoopPlace place, GError **error)
{
  if (!has_loop (job, place, error))
    return NULL;
  if (place.owner == LW_LOOP_OUTLINE && place.index == 0)
    {
      g_set_error_literal (error, LW_EDIT_ERROR, LW_EDIT_ERROR_REFERENCE, _("a board needs its edge"));
      return NULL;
    }
  LwJob *after = lw_job_copy (job);
  g_ptr_array_remove_index (owners (lw_job_edit_board (after), place.owner), place.index);
  return finish (job, after, place, error);
}
