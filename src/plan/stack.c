#include "plan/stack.h"

#include <math.h>

#include "board/library.h"

/* Solder mask: filled epoxy, from memory. */
#define MASK_K_W_MK 0.25
#define MASK_RHO_C_J_M3K 1.7e6
/* Standard FR-4 when a laminate is not in the library: 1910 kg/m3, 920 J/kgK, 0.38 through, Tg 140, Td
 * 315 (a laminate maker's table); in plane 0.8 without copper (FR-4 summary pages give 0.81-1.06). */
static const LwLaminate plain_laminate = { .density_kg_per_m3 = 1910,
                                           .cp_j_per_kgk = 920,
                                           .k_in_plane_w_per_mk = 0.8,
                                           .k_through_w_per_mk = 0.38,
                                           .tg_c = 140,
                                           .td_c = 315 };

static const LwLaminate *
laminate_named (const char *name)
{
  const LwLaminate *found = name != NULL && *name != '\0' ? lw_library_laminate (name) : NULL;

  if (found == NULL)
    found = lw_library_laminate ("FR-4");
  return found != NULL ? found : &plain_laminate;
}

static void
use_laminate (LwStack *self, LwSheet *sheet, const LwLaminate *laminate)
{
  sheet->k_in_w_mk = laminate->k_in_plane_w_per_mk;
  sheet->k_thr_w_mk = laminate->k_through_w_per_mk;
  sheet->rho_c_j_m3k = laminate->density_kg_per_m3 * laminate->cp_j_per_kgk;
  self->tg_c = fmin (self->tg_c, laminate->tg_c); /* fmin leaves NaN out */
  self->td_c = fmin (self->td_c, laminate->td_c);
}

/* The laminate whose resin fills a copper layer's gaps: the next one below, else above. */
static const LwLaminate *
resin_beside (const LwBoard *board, guint at)
{
  for (guint i = at + 1; i < board->layers->len; i++) {
    const LwLayer *layer = g_ptr_array_index (board->layers, i);
    if (layer->kind == LW_LAYER_LAMINATE)
      return laminate_named (layer->material);
  }
  for (guint i = at; i-- > 0;) {
    const LwLayer *layer = g_ptr_array_index (board->layers, i);
    if (layer->kind == LW_LAYER_LAMINATE)
      return laminate_named (layer->material);
  }
  return laminate_named (NULL);
}

static double
layer_thickness_m (const LwLayer *layer)
{
  double mm = layer->thickness_mm;

  if (layer->kind == LW_LAYER_COPPER && !(mm > 0))
    mm = layer->copper_weight_oz * LW_COPPER_OZ_MM;
  return mm > 0 ? mm * 1e-3 : 0;
}

static void
add_layer (LwStack *self, const LwBoard *board, guint at)
{
  const LwLayer *layer = g_ptr_array_index (board->layers, at);
  LwSheet sheet = { .name = layer->name, .thickness_m = layer_thickness_m (layer) };

  if (sheet.thickness_m <= 0)
    return;
  switch (layer->kind) {
  case LW_LAYER_COPPER:
    use_laminate (self, &sheet, resin_beside (board, at));
    sheet.cover = CLAMP (layer->cover, 0, 1);
    self->copper_layers++;
    break;
  case LW_LAYER_MASK:
    sheet.k_in_w_mk = sheet.k_thr_w_mk = MASK_K_W_MK;
    sheet.rho_c_j_m3k = MASK_RHO_C_J_M3K;
    break;
  case LW_LAYER_LAMINATE:
  default:
    use_laminate (self, &sheet, laminate_named (layer->material));
  }
  g_array_append_val (self->sheets, sheet);
}

static void
add_default (LwStack *self, double thickness_m)
{
  guint n = thickness_m < 0.8e-3 ? 2 : thickness_m <= 2e-3 ? 4 : 8;
  double inner_m = n == 8 ? 17.5e-6 : 35e-6, inner_cover = n == 8 ? 0.85 : 0.9;
  double copper_m = 2 * 35e-6 + (n - 2) * inner_m;
  double gap_m = fmax (thickness_m - copper_m, 0.5 * thickness_m) / (n - 1);
  LwSheet resin = { .name = "", .thickness_m = gap_m };

  use_laminate (self, &resin, laminate_named (NULL));
  for (guint i = 0; i < n; i++) {
    gboolean outer = i == 0 || i == n - 1;
    LwSheet copper = resin;
    copper.thickness_m = outer ? 35e-6 : inner_m;
    copper.cover = outer ? 0.3 : inner_cover;
    g_array_append_val (self->sheets, copper);
    if (i < n - 1)
      g_array_append_val (self->sheets, resin);
  }
  self->copper_layers = n;
  self->assumed = TRUE;
}

/* Laminate is pressed to fit: its sheets are scaled until the whole is the board's thickness. */
static void
fit_thickness (LwStack *self, double thickness_m)
{
  double metal = 0, resin = 0, scale;

  for (guint i = 0; i < self->sheets->len; i++) {
    const LwSheet *sheet = &g_array_index (self->sheets, LwSheet, i);
    *(sheet->cover > 0 ? &metal : &resin) += sheet->thickness_m;
  }
  self->thickness_m = metal + resin;
  if (!(thickness_m > metal) || resin <= 0)
    return;
  scale = (thickness_m - metal) / resin;
  self->stretched = !self->assumed && fabs (thickness_m / self->thickness_m - 1) > 0.02;
  for (guint i = 0; i < self->sheets->len; i++) {
    LwSheet *sheet = &g_array_index (self->sheets, LwSheet, i);
    if (!(sheet->cover > 0))
      sheet->thickness_m *= scale;
  }
  self->thickness_m = thickness_m;
}

LwStack *
lw_stack_new (const LwBoard *board)
{
  LwStack *self = g_new0 (LwStack, 1);
  double thickness_m = board->thickness_mm * 1e-3;

  self->sheets = g_array_new (FALSE, FALSE, sizeof (LwSheet));
  self->tg_c = self->td_c = NAN;
  for (guint i = 0; i < board->layers->len; i++)
    add_layer (self, board, i);
  if (self->sheets->len == 0)
    add_default (self, thickness_m);
  fit_thickness (self, thickness_m);
  return self;
}

void
lw_stack_free (LwStack *self)
{
  if (self == NULL)
    return;
  g_array_unref (self->sheets);
  g_free (self);
}

HeatLayer
lw_stack_slice_covered (const LwStack *self, double z0, double z1, const double *covers)
{
  double top = 0, along = 0, across = 0, heat = 0, whole = 0, moment = 0, weight = 0;

  for (guint i = 0; i < self->sheets->len; i++) {
    const LwSheet *s = &g_array_index (self->sheets, LwSheet, i);
    double f = covers != NULL && !isnan (covers[i]) ? CLAMP (covers[i], 0, 1) : s->cover;
    double t = fmin (z1, top + s->thickness_m) - fmax (z0, top);
    double k_in = f * LW_COPPER_K_W_MK + (1 - f) * s->k_in_w_mk;
    double k_thr = f * LW_COPPER_K_W_MK + (1 - f) * s->k_thr_w_mk;
    top += s->thickness_m;
    if (t <= 0)
      continue;
    double node = t * (s->cover > 0 ? LW_COPPER_K_W_MK : s->k_in_w_mk); /* the same wherever on the board */
    moment += node * (across + t / k_thr / 2);
    weight += node;
    along += t * k_in;
    across += t / k_thr;
    heat += t * (f * LW_COPPER_RHO_C_J_M3K + (1 - f) * s->rho_c_j_m3k);
    whole += t;
  }
  return (HeatLayer){ z1 - z0, along / whole, whole / across, heat / whole, 0.5 - moment / weight / across };
}

HeatLayer
lw_stack_slice (const LwStack *self, double z0, double z1, int sheet, double cover)
{
  g_autofree double *covers = NULL;

  if (sheet < 0)
    return lw_stack_slice_covered (self, z0, z1, NULL);
  covers = g_new (double, self->sheets->len);
  for (guint i = 0; i < self->sheets->len; i++)
    covers[i] = (int) i == sheet ? cover : NAN;
  return lw_stack_slice_covered (self, z0, z1, covers);
}

int
lw_stack_find (const LwStack *self, const char *name)
{
  for (guint i = 0; i < self->sheets->len; i++)
    if (*name != '\0' && g_strcmp0 (g_array_index (self->sheets, LwSheet, i).name, name) == 0)
      return (int) i;
  return -1;
}

double
lw_via_copper_share (double pitch_mm, double drill_mm, double plating_um)
{
  double wall = fmin (plating_um * 1e-3, drill_mm / 2), bore = drill_mm - 2 * wall;

  if (!(pitch_mm > 0) || !(drill_mm > 0) || !(wall > 0))
    return 0;
  return fmin (G_PI_4 * (drill_mm * drill_mm - bore * bore) / (pitch_mm * pitch_mm), 1);
}
