/* Inside the room: a board's stack-up as sheets, and slices of it with mixed properties.
 *
 * Parallel sum in plane and series sum through, each sheet being copper of some cover in resin:
 *   k_in = sum ti [fi kCu + (1-fi) kd] / sum ti,  k_thr = sum ti / sum (ti / [fi kCu + (1-fi) kd])
 * (the usual bounds for a layered solid; e.g. the derivation of JESD51-7 boards' effective values). */
#ifndef LW_STACK_H
#define LW_STACK_H

#include "board/job.h"
#include "heat/scene.h"

G_BEGIN_DECLS

/* Copper in boards: k as used in JEDEC board figures (foil 391, plated 401, alloyed less); density and
 * cp PMC7340094 Table VI (IEEE Trans. Reliab. 2018): 8858 kg/m3, 385 J/kgK. */
#define LW_COPPER_K_W_MK 385.0
#define LW_COPPER_RHO_C_J_M3K (8858.0 * 385.0)
/* 1 oz/ft2 of copper. */
#define LW_COPPER_OZ_MM 0.0348

/* One sheet; cover is 0 for laminate and mask. k and rho_c are those of the resin (all but copper). */
typedef struct {
  const char *name; /* borrowed from the board, "" for a default stack-up */
  double thickness_m, cover;
  double k_in_w_mk, k_thr_w_mk, rho_c_j_m3k;
} LwSheet;

typedef struct {
  GArray *sheets; /* LwSheet, top to bottom */
  double thickness_m;
  double tg_c, td_c; /* lowest of the laminates used */
  gboolean assumed;  /* a default stack-up */
  guint copper_layers;
  gboolean stretched; /* laminate scaled by more than 2 % to reach the board's thickness */
} LwStack;

/* From the board's layers, or a default by thickness: two copper layers under 0.8 mm, four to 2 mm,
 * eight above (35 um outside at 30 % cover; inside 35 um at 90 %, of eight 17.5 um at 85 %). */
LwStack *lw_stack_new (const LwBoard *board);
void lw_stack_free (LwStack *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwStack, lw_stack_free)

/* Properties of the slice from Z0 to Z1 (m below the top face), with sheet SHEET (or -1) taken to have
 * the cover COVER instead of its own. OFF_MIDDLE, towards the top face, is where copper that covers its
 * layers whole has the centre of its conductance. */
HeatLayer lw_stack_slice (const LwStack *self, double z0, double z1, int sheet, double cover);
/* The same with a cover for every sheet (NaN = its own); NULL: all their own. */
HeatLayer lw_stack_slice_covered (const LwStack *self, double z0, double z1, const double *covers);
/* Index of the sheet of that name, or -1. */
int lw_stack_find (const LwStack *self, const char *name);
/* Cross-section of copper per area of a via field, 0..1. */
double lw_via_copper_share (double pitch_mm, double drill_mm, double plating_um);

G_END_DECLS

#endif
