#include "board/edits-stack.h"

#include <math.h>
#include <string.h>

#include <glib/gi18n.h>

#include "board/edit-finish.h"

#define OZ_MM 0.0348 /* 1 oz/ft2 of copper */

static LwLayer *
layer_new (const char *name, LwLayerKind kind, double thickness_mm, double cover)
{
  LwLayer *layer = lw_layer_new ();

  g_free (layer->name);
  layer->name = g_strdup (name);
  layer->kind = kind;
  layer->thickness_mm = thickness_mm;
  layer->copper_weight_oz = 1.0;
  layer->cover = cover;
  return layer;
}

static gboolean
has_layer (const LwJob *job, guint at, GError **error)
{
  if (at < job->board->layers->len)
    return TRUE;
  g_set_error (error, LW_EDIT_ERROR, LW_EDIT_ERROR_REFERENCE, _("there is no layer %u"), at + 1);
  return FALSE;
}

LwJob *
lw_edit_start_stack (const LwJob *job, guint n_copper, GError **error)
{
  double resin = job->board->thickness_mm - n_copper * OZ_MM;
  const char *wrong = job->board->layers->len > 0        ? _("the board has a stack-up already")
                      : n_copper < 1 || n_copper > 64    ? _("a board has 1 to 64 copper layers")
                      : !(resin > 0.01 * MAX (n_copper, 2)) ? _("the board is too thin for that many layers")
                                                         : NULL;

  if (wrong != NULL)
    {
      g_set_error_literal (error, LW_EDIT_ERROR, LW_EDIT_ERROR_RANGE, wrong);
      return NULL;
    }
  LwJob *after = lw_job_copy (job);
  GPtrArray *layers = lw_job_edit_board (after)->layers;
  for (guint i = 0; i < n_copper; i++)
    {
      g_autofree char *copper = g_strdup_printf ("L%u", i + 1), *between = g_strdup_printf ("D%u", i + 1);
      gboolean outer = i == 0 || i + 1 == n_copper;

      g_ptr_array_add (layers, layer_new (copper, LW_LAYER_COPPER, NAN, outer ? 0.3 : 0.9));
      if (i + 1 < n_copper || n_copper == 1)
        g_ptr_array_add (layers, layer_new (between, LW_LAYER_LAMINATE, resin / MAX (n_copper - 1, 1), 1.0));
    }
  return lw_edit_finish (job, after, NULL, error);
}

static gboolean
name_taken (const GPtrArray *layers, const char *name)
{
  for (guint i = 0; i < layers->len; i++)
    if (strcmp (((const LwLayer *) g_ptr_array_index (layers, i))->name, name) == 0)
      return TRUE;
  return FALSE;
}

LwJob *
lw_edit_add_layer (const LwJob *job, guint at, LwLayerKind kind, GError **error)
{
  static const char *const letters[] = { "L", "D", "M" };
  g_autofree char *name = NULL;
  guint number = 1;

  if (at > job->board->layers->len && !has_layer (job, at, error))
    return NULL;
  if (job->board->layers->len >= 200)
    {
      g_set_error_literal (error, LW_EDIT_ERROR, LW_EDIT_ERROR_RANGE, _("a stack-up holds at most 200 layers"));
      return NULL;
    }
  do
    {
      g_free (name);
      name = g_strdup_printf ("%s%u", letters[kind], number++);
    }
  while (name_taken (job->board->layers, name));
  LwJob *after = lw_job_copy (job);
  /* A mask is about 25 um thick, a sheet of prepreg 0.2 mm: common practice, no source. */
  g_ptr_array_insert (lw_job_edit_board (after)->layers, (gint) at,
                      layer_new (name, kind, kind == LW_LAYER_COPPER ? NAN : kind == LW_LAYER_MASK ? 0.025 : 0.2,
                                 kind == LW_LAYER_COPPER ? 0.5 : 1.0));
  return lw_edit_finish (job, after, NULL, error);
}

LwJob *
lw_edit_remove_layer (const LwJob *job, guint at, GError **error)
{
  if (!has_layer (job, at, error))
    return NULL;
  LwJob *after = lw_job_copy (job);
  LwBoard *board = lw_job_edit_board (after);
  g_autofree char *name = g_strdup (((const LwLayer *) g_ptr_array_index (board->layers, at))->name);
  g_ptr_array_remove_index (board->layers, at);
  for (guint i = board->copper_regions->len; i-- > 0 && !name_taken (board->layers, name);)
    if (strcmp (((const LwCopperRegion *) g_ptr_array_index (board->copper_regions, i))->layer, name) == 0)
      g_ptr_array_remove_index (board->copper_regions, i);
  return lw_edit_finish (job, after, NULL, error);
}

LwJob *
lw_edit_move_layer (const LwJob *job, guint from, guint to, GError **error)
{
  if (!has_layer (job, from, error) || !has_layer (job, to, error))
    return NULL;
  LwJob *after = lw_job_copy (job);
  GPtrArray *layers = lw_job_edit_board (after)->layers;
  gpointer layer = g_ptr_array_steal_index (layers, from);
  g_ptr_array_insert (layers, (gint) to, layer);
  return lw_edit_finish (job, after, NULL, error);
}

LwJob *
lw_edit_thickness_from_layers (const LwJob *job, GError **error)
{
  double sum = 0.0;

  for (guint i = 0; i < job->board->layers->len; i++)
    {
      const LwLayer *layer = g_ptr_array_index (job->board->layers, i);

      sum += isnan (layer->thickness_mm) ? layer->copper_weight_oz * OZ_MM : layer->thickness_mm;
    }
  if (!(sum > 0.0))
    {
      g_set_error_literal (error, LW_EDIT_ERROR, LW_EDIT_ERROR_RANGE, _("the board has no stack-up yet"));
      return NULL;
    }
  LwJob *after = lw_job_copy (job);
  LwBoard *board = lw_job_edit_board (after);
  board->thickness_mm = sum;
  board->thickness_known = TRUE;
  return lw_edit_finish (job, after, NULL, error);
}
