/* Readiness in numbers: the published tables of floor life, bakes and reflow cycles, as pure functions. Each says where its
 * figures come from; "from memory" where nobody here has the page. What the part's maker says comes before all of them. */
#ifndef LW_READY_TABLES_H
#define LW_READY_TABLES_H

#include "board/past.h"

G_BEGIN_DECLS

/* J-STD-033, section on rework: bodies that stay at or below this need no bake for moisture's sake. */
#define LW_READY_DRY_C 200.0

typedef struct {
  double hours;       /* INFINITY = unlimited, NaN = the tables here do not say */
  const char *source; /* translated, static */
} LwReadyFigure;

/* Floor life of a level in a room. ROOM_C and RH_PERCENT NaN = the standard's 30 °C and 60 %. THICK: the body is 3.1 mm
 * or more, or an area array of 1 mm or more; only for those are derated figures at hand. A humidity between two columns
 * counts as the more humid one; cooler rooms count as 30 °C. LABEL_H: what the label says instead, NaN = nothing. */
LwReadyFigure lw_ready_floor_life (LwMoistureLevel level, double room_c, double rh_percent, gboolean thick, double label_h);

/* The temperatures of the bake table, hottest first. */
enum { LW_READY_N_BAKES = 3 };
double lw_ready_bake_c (guint row);
/* Row of the hottest bake at or below a temperature; -1 = none. */
int lw_ready_bake_row (double most_c);

/* Hours at a row's temperature that dry a body. LATE: its floor life is passed by more than 72 h, or nobody knows by how
 * much. LARGE: an area array above 17 x 17 mm. NaN above 4.5 mm, for level 1, and for what is no moisture sensitive part. */
LwReadyFigure lw_ready_bake (LwMoistureLevel level, double thickness_mm, gboolean large, gboolean late, guint row);

/* The bare board: temperature and hours, from and to. */
typedef struct {
  double low_c, high_c, low_h, high_h;
  const char *source;
} LwReadyBoardBake;
LwReadyBoardBake lw_ready_board_bake (void);

/* Reflows allowed where nobody says, of a body and of lands. */
LwReadyFigure lw_ready_part_cycles (void);
LwReadyFigure lw_ready_site_cycles (void);
/* Hours a sealed dry pack keeps. */
LwReadyFigure lw_ready_shelf_life (void);

G_END_DECLS

#endif
