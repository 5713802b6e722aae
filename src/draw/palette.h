/* The inks of each look: one table per look, read by every painter. */
#ifndef LW_PALETTE_H
#define LW_PALETTE_H

#include "draw/draw.h"

G_BEGIN_DECLS

#define LW_PALETTE_NEIGHBOURS 6

typedef struct {
  LwColor desk;          /* around the board, behind plots */
  LwColor grid;          /* millimetre grid, plot grid */
  LwColor board;         /* bare board */
  LwColor board_edge;
  LwColor shadow;        /* under the board */
  LwColor ink, ink_soft, ink_faint;
  LwColor halo;          /* behind text and lines that cross others */
  LwColor body_edge;     /* outline of bodies */
  LwColor joint;         /* pads, balls, leads */
  LwColor ghost;         /* the other side */
  LwColor accent;        /* selection, focus */
  LwColor nozzle, preheat, shield, thermocouple;
  LwColor isotherm, liquidus;
  LwColor gas, warmth;   /* set points of gas and preheater */
  LwColor joints, body;  /* the target's curves */
  LwColor neighbour[LW_PALETTE_NEIGHBOURS];
  LwColor limit;
  LwColor stage;         /* tint of every other stage */
} LwPalette;

/* Static. */
const LwPalette *lw_palette (LwLook look);
/* What a strong look is a form of, for fills and marks that both share; the others are themselves. */
LwLook lw_look_plain (LwLook look);
/* Soft fill of a body by its kind's family. */
LwColor lw_palette_body (LwPackageKind kind, LwLook look);

LwColor lw_color_fade (LwColor color, double alpha);                 /* alpha times ALPHA */
LwColor lw_color_mix (LwColor from, LwColor to, double share);       /* 0 = from */
double lw_color_luma (LwColor color);                                /* 0..1, Rec. 709 weights on coded values */
void lw_color_set (cairo_t *cr, LwColor color); /* the source of CR */

G_END_DECLS

#endif
