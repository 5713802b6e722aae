/* Single fields of a log: numbers, clocks, dates, and what loggers write where nothing is connected. Internal to the
 * room. */
#ifndef LW_LOG_CELLS_H
#define LW_LOG_CELLS_H

#include "exchange/log.h"

G_BEGIN_DECLS

typedef enum {
  LW_CELL_EMPTY,
  LW_CELL_NUMBER,
  LW_CELL_OPEN,  /* an open thermocouple, or beyond the range */
  LW_CELL_CLOCK, /* 10:15:03, 0:05 */
  LW_CELL_DATE,
  LW_CELL_DATE_CLOCK,
  LW_CELL_WORD
} LwCellKind;

typedef struct {
  LwCellKind kind;
  double number;
  int unit;             /* LwLogUnit behind the number, -1 = none */
  guint n_clock;        /* numbers of the clock */
  double clock[4];      /* as they stand: hours, minutes, seconds (with fraction), or minutes, seconds */
  int half;             /* 1 = AM, 2 = PM, 0 = none */
  int date[3];          /* as they stand */
  gboolean year_first;
  char date_mark;       /* between its numbers */
} LwCell;

/* What TEXT (NULL = empty) is; CELL is written whole, what TEXT does not say is NaN, 0 or -1. */
void lw_cell_read (const char *text, gboolean decimal_comma, LwCell *cell);
/* Whether VALUE is what loggers write for an open or broken thermocouple: 9999, -999, 32767, 1372 and above, ... */
gboolean lw_log_is_open_code (double value, LwLogUnit unit);
/* Seconds of a clock within its day. */
double lw_cell_clock_s (const LwCell *cell, gboolean m_s);
/* Days since 0001-01-01 (proleptic Gregorian); FALSE when there is no such day. */
gboolean lw_cell_day (const LwCell *cell, LwLogDateOrder order, double *day);
/* VALUE in UNIT as C; for millivolts with the cold junction at COLD_C. */
double lw_log_to_c (double value, LwLogUnit unit, double cold_c);

G_END_DECLS

#endif
