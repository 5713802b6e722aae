/* The section of a board's stack-up: every sheet to scale where it can be seen, copper broken up by its cover,
 * with names, thicknesses, and the conductivities that follow. */
#ifndef LW_STACK_PICTURE_H
#define LW_STACK_PICTURE_H

#include "draw/draw.h"

G_BEGIN_DECLS

typedef struct {
  LwLook look;
  LwUnits units; /* of what is written; all FALSE = metric */
  const LwBoard *board;
  int selected; /* layer of the board, -1 = none */
  double width, height;
  double text_size; /* picture units; 0 = as drawn elsewhere */
} LwStackPicture;

/* CR is left as it was. */
void lw_draw_stack (cairo_t *cr, const LwStackPicture *picture);
/* Layer under a picture point, or -1; always -1 for a stack-up that is assumed. */
int lw_stack_hit (const LwStackPicture *picture, double px, double py);

/* Whole-board conductivities (W/mK) and heat capacity (J/m3K) of a stack-up. */
void lw_stack_sum (const LwBoard *board, double *k_in_plane, double *k_through, double *heat_capacity);

G_END_DECLS

#endif
