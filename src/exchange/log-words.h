/* What headings and preambles of logs say. Internal to the room. */
#ifndef LW_LOG_WORDS_H
#define LW_LOG_WORDS_H

#include "exchange/log.h"

G_BEGIN_DECLS

typedef enum {
  LW_HEADING_UNKNOWN,
  LW_HEADING_TIME,
  LW_HEADING_DATE,
  LW_HEADING_INDEX, /* numbers of lines */
  LW_HEADING_COLD,
  LW_HEADING_OTHER  /* no temperature, or none of a thermocouple: humidity, set points, alarms */
} LwHeadingKind;

typedef struct {
  LwHeadingKind kind;
  int unit;     /* LwLogUnit, -1 = none is named */
  int scale;    /* LwLogScale, -1 = none is named */
  gboolean m_s; /* says mm:ss */
  gboolean channel; /* names a thermocouple or a temperature: "T1", "Ch 2", "3" */
} LwHeading;

/* What TEXT, in any of the languages loggers write, says of its column; HEADING is written whole. */
void lw_heading_read (const char *text, LwHeading *heading);
/* An interval between lines that a line of the preamble states, s; NaN = none. */
double lw_log_stated_interval (const LwCentroidRow *row);
/* A unit that a line of the preamble states, or -1. */
int lw_log_stated_unit (const LwCentroidRow *row);

G_END_DECLS

#endif
