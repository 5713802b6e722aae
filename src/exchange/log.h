/* Temperature logs: text with columns as loggers write it. No standard says which columns, in which unit, with which
 * separator; a mapping says it. lw_log_guess() makes one from the text alone, a person may change it, lw_log_read()
 * reads by it, lw_log_to_run() makes a recorded run of the answer. All are pure: bytes in, answer out, so that a
 * preview can be made anew for each change. */
#ifndef LW_LOG_H
#define LW_LOG_H

#include "exchange/centroid.h"

G_BEGIN_DECLS

#define LW_LOG_MAX_BYTES (64u * 1024u * 1024u)
#define LW_LOG_MAX_LINES 2000000u
#define LW_LOG_MAX_COLUMNS 64

typedef enum {
  LW_LOG_SKIP,
  LW_LOG_TIME,          /* at most one; numbers, a clock, or date and clock */
  LW_LOG_DATE,          /* at most one: the day to a clock */
  LW_LOG_READING,       /* what a thermocouple showed */
  LW_LOG_COLD_JUNCTION, /* at most one, always C; used with millivolts */
  LW_LOG_N_ROLES
} LwLogRole;

/* How numbers in the column of times are meant. What has colons is a clock whatever this says. */
typedef enum {
  LW_LOG_SECONDS,
  LW_LOG_MILLISECONDS,
  LW_LOG_MINUTES,
  LW_LOG_HOURS,
  LW_LOG_DAYS,
  LW_LOG_N_SCALES
} LwLogScale;

typedef enum { LW_LOG_YEAR_FIRST, LW_LOG_DAY_FIRST, LW_LOG_MONTH_FIRST, LW_LOG_N_DATE_ORDERS } LwLogDateOrder;

typedef enum { LW_LOG_C, LW_LOG_F, LW_LOG_K, LW_LOG_TYPE_K_MV, LW_LOG_N_UNITS } LwLogUnit;

/* What the text left open and the guess had to decide. */
typedef enum {
  LW_LOG_OPEN_UNIT = 1 << 0,  /* no unit is stated anywhere */
  LW_LOG_OPEN_TIME = 1 << 1,  /* there is no column of times: an interval is needed */
  LW_LOG_OPEN_SCALE = 1 << 2, /* no unit of times is stated */
  LW_LOG_OPEN_DATE = 1 << 3   /* day or month may come first */
} LwLogOpen;

typedef struct {
  char delimiter; /* ',' ';' '|' a tab, or ' ' = runs of blanks */
  gboolean decimal_comma;
  guint header_line;   /* 1-based line of the column names, 0 = none */
  guint first_line;    /* line of the first readings */
  guint n_columns;
  LwLogRole role[LW_LOG_MAX_COLUMNS];
  LwLogScale scale;
  gboolean clock_is_m_s; /* a clock of two numbers is minutes and seconds, not hours and minutes */
  LwLogDateOrder date_order;
  double interval_s;   /* without a column of times; NaN = not said */
  LwLogUnit unit;
  double cold_c;       /* without a column of cold junctions; NaN = not said */
  guint open;          /* LwLogOpen bits; lw_log_read() does not look at it */
} LwLogMapping;

typedef struct {
  char *name; /* heading, or "Column 3" */
  guint column;
  GArray *c;  /* double, one for each moment; NaN = a gap */
  guint n_open, n_empty, n_odd; /* readings left out: an open thermocouple, nothing there, no number */
} LwLogColumn;

typedef struct {
  char *file;
  char *date;         /* of the first moment, ISO 8601 without a zone; "" where the log does not say */
  GArray *t_s;        /* double, from 0, rising */
  GPtrArray *columns; /* LwLogColumn */
  guint n_lines;      /* that hold readings */
  guint thinned;      /* lines that were put together into one moment; 1 = as they stand */
  GPtrArray *dropped; /* LwImportWarning: what was left out or had to be decided, and why */
} LwLog;

/* NULL allowed. */
void lw_log_free (LwLog *log);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwLog, lw_log_free)

/* TRUE with a whole MAPPING when some lines read as readings by it (also when there is no column of times: `open`
 * says so); else FALSE with what is missing. NAME is the file's, for messages. */
gboolean lw_log_guess (const char *name, const char *data, gsize size, LwLogMapping *mapping, GError **error);
/* The same where a person has chosen the separator. */
gboolean lw_log_guess_with (const char *name, const char *data, gsize size, char delimiter, LwLogMapping *mapping,
                            GError **error);

/* Refused, with the line and the reason: no column of times and no interval, no column of readings, millivolts and no
 * cold junction, times that go backwards again and again, nothing that reads. Single lines that do not read are left
 * out and told. */
LwLog *lw_log_read (const char *name, const char *data, gsize size, const LwLogMapping *mapping, GError **error);

/* The first LIMIT lines that are not empty, split by DELIMITER: GPtrArray of LwCentroidRow (transfer full). NULL with
 * ERROR when the bytes are no text. */
GPtrArray *lw_log_rows (const char *name, const char *data, gsize size, char delimiter, guint limit, GError **error);

/* The thermocouple of PLAN that a heading means: the same name, else the same number ("Ch 2", "TC2"), else none ("").
 * (transfer none) */
const char *lw_log_couple_for (const LwPlan *plan, const char *heading);
/* A run of the plan for REF. COUPLES holds a thermocouple's name ("" = recorded all the same, NULL = left out) for
 * each of LOG's columns; NULL = by lw_log_couple_for(). (transfer full) */
LwRun *lw_log_to_run (const LwLog *log, const LwPlan *plan, const char *const *couples);

/* Words for choices, translated. */
const char *lw_log_role_name (LwLogRole role);
const char *lw_log_scale_name (LwLogScale scale);
const char *lw_log_unit_name (LwLogUnit unit);
const char *lw_log_date_order_name (LwLogDateOrder order);

G_END_DECLS

#endif
