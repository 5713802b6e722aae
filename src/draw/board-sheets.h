/* The layers of a board's picture, each on a sheet of its own. */
#ifndef LW_BOARD_SHEETS_H
#define LW_BOARD_SHEETS_H

#include "draw/draw.h"

G_BEGIN_DECLS

#define LW_BOARD_N_LAYERS 4

/* As lw_draw_board_layers(), each layer on a context of its own, from the lowest to the highest; NULL = that one is not
 * painted. What is to be known of the parts is gathered once for all of them. */
void lw_draw_board_sheets (cairo_t *const sheets[LW_BOARD_N_LAYERS], const LwViewport *viewport,
                           const LwBoardPicture *picture);

G_END_DECLS

#endif
