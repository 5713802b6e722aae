#include "plan/compile.h"

#include <glib/gi18n.h>
#include <math.h>

#include "plan/slices.h"

static const double default_emissivity = 0.9; /* solder mask 0.85-0.95, handbooks */

/* The cuts above and below the slice that is layer LAYER of the scene. */
static const double *
slice_of (const LwCase *self, const LwSlices *slices, guint layer)
{
  return slices->cut_m + (self->flipped ? layer : slices->n - 1 - layer);
}

static void
prescribe (const LwBoard *board, HeatLayer *layer)
{
  if (!isnan (board->prescribed_k_in_plane_w_per_mk))
    layer->k_in_w_mk = board->prescribed_k_in_plane_w_per_mk;
  if (!isnan (board->prescribed_k_through_w_per_mk))
    layer->k_thr_w_mk = board->prescribed_k_through_w_per_mk;
  if (!isnan (board->prescribed_heat_capacity_j_per_m3k))
    layer->rho_c_j_m3k = board->prescribed_heat_capacity_j_per_m3k;
  if (!isnan (board->prescribed_k_in_plane_w_per_mk) || !isnan (board->prescribed_k_through_w_per_mk))
    layer->off_middle = 0; /* one material */
}

/* What is prescribed stays as prescribed: a patch then adds nothing to it. */
static void
append_patch (GArray *patches, const LwBoard *board, HeatPatch patch)
{
  if (!isnan (board->prescribed_k_in_plane_w_per_mk))
    patch.add_k_in_w_mk = 0;
  if (!isnan (board->prescribed_k_through_w_per_mk))
    patch.add_k_thr_w_mk = 0;
  if (!isnan (board->prescribed_heat_capacity_j_per_m3k))
    patch.add_rho_c_j_m3k = 0;
  if (patch.area.n >= 3
      && (patch.add_k_in_w_mk != 0 || patch.add_k_thr_w_mk != 0 || patch.add_rho_c_j_m3k != 0))
    g_array_append_val (patches, patch);
}

static void
add_region (LwCase *self, const LwStack *stack, const LwCopperRegion *region, const LwSlices *slices, GArray *patches)
{
  int sheet = lw_stack_find (stack, region->layer);
  HeatLoop area = lw_case_loop (self, region->loop);

  if (sheet < 0) {
    lw_case_note (self, g_strdup_printf (_("A copper region names the layer “%s”, which the stack-up "
                                            "does not have; it is left out."),
                                         region->layer));
    return;
  }
  if (lw_case_is_mapped (self, stack, sheet))
    return;
  for (guint layer = 0; layer < slices->n; layer++) {
    const double *cut = slice_of (self, slices, layer);
    HeatLayer was = lw_stack_slice (stack, cut[0], cut[1], -1, 0);
    HeatLayer is = lw_stack_slice (stack, cut[0], cut[1], sheet, region->cover);
    HeatPatch patch = { area, layer, is.k_in_w_mk - was.k_in_w_mk, is.k_thr_w_mk - was.k_thr_w_mk,
                        is.rho_c_j_m3k - was.rho_c_j_m3k };
    append_patch (patches, self->job->board, patch);
  }
}

/* Barrels conduct beside the laminate: their share of copper adds to every layer. The bore holds air. */
static void
add_vias (LwCase *self, const LwViaField *field, guint n, const HeatLayer *layers, GArray *patches)
{
  double share = lw_via_copper_share (field->pitch_mm, field->drill_mm, field->plating_um);
  double hole = G_PI_4 * field->drill_mm * field->drill_mm / (field->pitch_mm * field->pitch_mm);
  HeatLoop area = lw_case_loop (self, field->loop);

  if (!(share > 0))
    return;
  for (guint layer = 0; layer < n; layer++) {
    HeatPatch patch = { area, layer, 0, share * LW_COPPER_K_W_MK,
                        share * LW_COPPER_RHO_C_J_M3K - fmin (hole, 0.5) * layers[layer].rho_c_j_m3k };
    append_patch (patches, self->job->board, patch);
  }
}

static void
add_patches (LwCase *self, const LwStack *stack, const LwSlices *slices)
{
  const LwBoard *board = self->job->board;
  g_autoptr (GArray) patches = g_array_new (FALSE, FALSE, sizeof (HeatPatch));
  HeatPatch *kept;

  for (guint i = 0; i < board->copper_regions->len; i++)
    add_region (self, stack, g_ptr_array_index (board->copper_regions, i), slices, patches);
  for (guint i = 0; i < board->via_fields->len; i++)
    add_vias (self, g_ptr_array_index (board->via_fields, i), slices->n, self->scene.board.layers, patches);
  kept = lw_case_alloc (self, patches->len, sizeof (HeatPatch));
  if (patches->len > 0)
    memcpy (kept, patches->data, patches->len * sizeof (HeatPatch));
  self->scene.board.patches = kept;
  self->scene.board.n_patches = patches->len;
}

static void
note_stack (LwCase *self, const LwStack *stack)
{
  const LwBoard *board = self->job->board;
  gboolean all_prescribed = !isnan (board->prescribed_k_in_plane_w_per_mk)
                            && !isnan (board->prescribed_k_through_w_per_mk)
                            && !isnan (board->prescribed_heat_capacity_j_per_m3k);

  if (stack->assumed && !all_prescribed)
    lw_case_note (
        self,
        g_strdup_printf (
            _("No stack-up is given: %u copper layers are assumed, 35 µm outside with 30 %% cover and "
               "nearly full planes inside."),
            stack->copper_layers));
  if (stack->stretched)
    lw_case_note (
        self,
        g_strdup_printf (
            _("The stack-up does not add up to the board’s %.2f mm; its laminate is scaled to fit."),
            board->thickness_mm));
  if (!board->thickness_known)
    lw_case_note (self, g_strdup_printf (_("The board’s thickness is not known; %.2f mm is assumed."),
                                         board->thickness_mm));
  if (board->outline_assumed)
    lw_case_note (self, g_strdup (_("The outline is a substitute for a missing or broken one.")));
}

static void
add_outline (LwCase *self)
{
  const GPtrArray *outline = self->job->board->outline;
  HeatLoop *loops = lw_case_alloc (self, outline->len, sizeof (HeatLoop));

  for (guint i = 0; i < outline->len; i++)
    loops[i] = lw_case_loop (self, g_ptr_array_index (outline, i));
  self->scene.board.loops = loops;
  self->scene.board.n_loops = outline->len;
}

void
lw_case_add_board (LwCase *self)
{
  const LwBoard *board = self->job->board;
  const LwPrescribedFilms *films = &self->job->station->films;
  g_autoptr (LwStack) stack = lw_stack_new (board);
  LwSlices slices = lw_slices_of (stack, !isnan (board->prescribed_k_in_plane_w_per_mk));
  HeatLayer *layers = lw_case_alloc (self, slices.n, sizeof (HeatLayer));
  const double *cuts[LW_SLICES_MAX];

  for (guint layer = 0; layer < slices.n; layer++) {
    const double *cut = cuts[layer] = slice_of (self, &slices, layer);
    layers[layer] = lw_stack_slice (stack, cut[0], cut[1], -1, 0);
    prescribe (board, &layers[layer]);
    if (self->flipped)
      layers[layer].off_middle = -layers[layer].off_middle;
  }
  self->scene.board.layers = layers;
  self->scene.board.n_layers = slices.n;
  self->tg_c = stack->tg_c;
  self->td_c = stack->td_c;
  add_outline (self);
  add_patches (self, stack, &slices);
  lw_case_add_copper (self, stack, cuts, slices.n);
  self->scene.board.emissivity = isnan (board->emissivity) ? default_emissivity : board->emissivity;
  if (films->given && !isnan (films->board_emissivity))
    self->scene.board.emissivity = films->board_emissivity;
  note_stack (self, stack);
}
