#include "plan/ready-tables.h"

#include <glib/gi18n.h>
#include <math.h>

#define DAY 24.0
#define LIFE_READ N_("J-STD-033 floor life at 30 °C and 60 %, as makers’ sheets (Avago) print it")
#define LIFE_MEMORY N_("J-STD-033 floor life at 30 °C and 60 %, from memory")
#define LIFE_DERATED N_("J-STD-033 Table 7-1, 30 °C, body 3.1 mm or more or area array 1 mm or more")
#define LIFE_LABEL N_("the label of the dry pack")
#define LIFE_NONE N_("no figure for this room and body at hand: look into J-STD-033 Table 7-1")
#define BAKE_MEMORY N_("J-STD-033 Table 4-1, from memory: check against the standard")
#define BAKE_NONE N_("no figure at hand: ask the part’s maker")

/* ---- floor life ---- */

static const struct {
  double hours;
  const char *source;
} LIFE[LW_N_MSL] = {
  [LW_MSL_UNKNOWN] = { NAN, LIFE_NONE },
  [LW_MSL_1] = { INFINITY, N_("J-STD-033: level 1 is unlimited up to 30 °C and 85 %") },
  [LW_MSL_2] = { 365 * DAY, LIFE_MEMORY },
  [LW_MSL_2A] = { 28 * DAY, LIFE_READ },
  [LW_MSL_3] = { 168, LIFE_READ },
  [LW_MSL_4] = { 72, LIFE_MEMORY },
  [LW_MSL_5] = { 48, LIFE_MEMORY },
  [LW_MSL_5A] = { 24, LIFE_MEMORY },
  [LW_MSL_6] = { NAN, N_("J-STD-033, from memory: level 6 is baked before use and has the time on its label") },
  [LW_MSL_NONE] = { INFINITY, N_("no moisture sensitive part") },
};

/* Days at 30 °C and 10, 20, ... 90 %; 0 = unlimited. */
static const double DERATED[][9] = {
  [LW_MSL_2A] = { 0, 124, 60, 41, 33, 28, 10, 7, 6 },
  [LW_MSL_3] = { 0, 10, 9, 8, 7, 7, 5, 4, 4 },
  [LW_MSL_4] = { 5, 4, 4, 4, 3, 3, 3, 2, 2 },
  [LW_MSL_5] = { 4, 3, 3, 2, 2, 2, 2, 1, 1 },
  [LW_MSL_5A] = { 2, 1, 1, 1, 1, 1, 1, 1, 1 },
};

static LwReadyFigure
derated (LwMoistureLevel level, double rh_percent)
{
  int column = (int) ceil (fmax (rh_percent, 1) / 10 - 1e-9) - 1;

  if (column > 8)
    return (LwReadyFigure){ NAN, _(LIFE_NONE) };
  double days = DERATED[level][column];
  return (LwReadyFigure){ days > 0 ? days * DAY : INFINITY, _(LIFE_DERATED) };
}

LwReadyFigure
lw_ready_floor_life (LwMoistureLevel level, double room_c, double rh_percent, gboolean thick, double label_h)
{
  LwReadyFigure plain = { LIFE[level].hours, _(LIFE[level].source) };
  gboolean has_row = level >= LW_MSL_2A && level <= LW_MSL_5A;
  double most_rh = level == LW_MSL_1 ? 85 : 60;

  if (!isnan (label_h))
    return (LwReadyFigure){ label_h, _(LIFE_LABEL) };
  if (level == LW_MSL_NONE || level == LW_MSL_UNKNOWN || level == LW_MSL_6)
    return plain;
  if (room_c > 30)
    return (LwReadyFigure){ NAN, _(LIFE_NONE) };
  if (!isnan (rh_percent) && has_row && thick)
    return derated (level, rh_percent);
  return rh_percent > most_rh ? (LwReadyFigure){ NAN, _(LIFE_NONE) } : plain;
}

/* ---- bakes ---- */

static const double BAKE_C[LW_READY_N_BAKES] = { 125, 90, 40 };

double
lw_ready_bake_c (guint row)
{
  g_return_val_if_fail (row < LW_READY_N_BAKES, NAN);
  return BAKE_C[row];
}

int
lw_ready_bake_row (double most_c)
{
  for (int row = 0; row < LW_READY_N_BAKES; row++)
    if (BAKE_C[row] <= most_c)
      return row;
  return -1;
}

#define D(days) ((days) * DAY)
typedef struct {
  double late, soon; /* hours; floor life passed by more than 72 h, or by less */
} Bake;

/* Bodies up to 1.4, 2.0 and 4.5 mm; at 125, 90 and 40 °C (the last at 5 % or less). */
static const double BAKE_UP_TO_MM[3] = { 1.4, 2.0, 4.5 };
static const Bake BAKES[LW_N_MSL][3][LW_READY_N_BAKES] = {
  [LW_MSL_2] = { { { 5, 3 }, { 17, 11 }, { D (8), D (5) } },
                 { { 18, 15 }, { 63, D (2) }, { D (25), D (20) } },
                 { { 48, 48 }, { D (10), D (7) }, { D (79), D (67) } } },
  [LW_MSL_2A] = { { { 7, 5 }, { 23, 13 }, { D (9), D (7) } },
                  { { 21, 16 }, { D (3), D (2) }, { D (29), D (22) } },
                  { { 48, 48 }, { D (10), D (7) }, { D (79), D (67) } } },
  [LW_MSL_3] = { { { 9, 7 }, { 33, 23 }, { D (13), D (9) } },
                 { { 27, 17 }, { D (4), D (2) }, { D (37), D (23) } },
                 { { 48, 48 }, { D (10), D (8) }, { D (79), D (67) } } },
  [LW_MSL_4] = { { { 11, 7 }, { 37, 23 }, { D (15), D (9) } },
                 { { 34, 20 }, { D (5), D (3) }, { D (47), D (28) } },
                 { { 48, 48 }, { D (10), D (10) }, { D (79), D (67) } } },
  [LW_MSL_5] = { { { 12, 7 }, { 41, 24 }, { D (17), D (10) } },
                 { { 40, 25 }, { D (6), D (4) }, { D (57), D (35) } },
                 { { 48, 48 }, { D (10), D (10) }, { D (79), D (67) } } },
  [LW_MSL_5A] = { { { 16, 10 }, { 54, 24 }, { D (22), D (10) } },
                  { { 48, 40 }, { D (8), D (6) }, { D (79), D (56) } },
                  { { 48, 48 }, { D (10), D (10) }, { D (79), D (67) } } },
};
#define LARGE_BAKE_H 96.0 /* at 125 °C */

LwReadyFigure
lw_ready_bake (LwMoistureLevel level, double thickness_mm, gboolean large, gboolean late, guint row)
{
  LwMoistureLevel of = level == LW_MSL_6 ? LW_MSL_5A : level; /* at least as much as the level before it */
  guint band = 0;

  while (band < 3 && !(thickness_mm <= BAKE_UP_TO_MM[band] + 1e-9))
    band++;
  if (of < LW_MSL_2 || of > LW_MSL_5A || band == 3 || row >= LW_READY_N_BAKES)
    return (LwReadyFigure){ NAN, _(BAKE_NONE) };
  if (large && late && row == 0)
    return (LwReadyFigure){ LARGE_BAKE_H, _(BAKE_MEMORY) };
  const Bake *bake = &BAKES[of][band][row];
  return (LwReadyFigure){ late ? bake->late : bake->soon, _(BAKE_MEMORY) };
}

LwReadyBoardBake
lw_ready_board_bake (void)
{
  return (LwReadyBoardBake){ 105, 125, 4, 6, _("IPC-1601, bare boards before soldering, from memory") };
}

/* ---- cycles, shelf life ---- */

LwReadyFigure
lw_ready_part_cycles (void)
{
  return (LwReadyFigure){
    3, _("three reflows, assembly and rework together: J-STD-020 preconditioning; Microchip and KEMET sheets")
  };
}

LwReadyFigure
lw_ready_site_cycles (void)
{
  return (LwReadyFigure){ 6, _("boards are commonly proved with six reflows, from memory") };
}

LwReadyFigure
lw_ready_shelf_life (void)
{
  return (LwReadyFigure){ 365 * DAY, _("J-STD-033: 12 months in the sealed dry pack, from memory") };
}
