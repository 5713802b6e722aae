/* The parts of lw_job_check(). Internal to the room. */
#ifndef LW_JOB_CHECK_H
#define LW_JOB_CHECK_H

#include "board/job-file.h"

G_BEGIN_DECLS

typedef struct {
  const LwJob *job;
  const LwJob *since;           /* what both share is left out; NULL = nothing is known to be sound */
  gboolean same_packages;       /* as SINCE */
  GPtrArray *faults;
  GHashTable *parts, *packages; /* by name, filled as they are checked: documents may hold many */
} LwCheck;

/* As lw_job_check(), but for what JOB shares with SINCE, the job it was made from: faults there are SINCE's too. */
GPtrArray *lw_job_check_since (const LwJob *job, const LwJob *since);

/* Both take over PATH; TEXT is a translated format. A stop is fatal, a note is not. */
void lw_check_stop (LwCheck *check, char *path, const char *text, ...) G_GNUC_PRINTF (3, 4);
void lw_check_note (LwCheck *check, char *path, const char *text, ...) G_GNUC_PRINTF (3, 4);

/* Each looks at one subject and adds what it finds: outline and stack-up, packages, parts. */
void lw_check_board (LwCheck *check);
void lw_check_packages (LwCheck *check);
void lw_check_parts (LwCheck *check);
/* The station with its nozzles, plans, kept runs and fits, what happened to board and parts before. */
void lw_check_station (LwCheck *check);
void lw_check_plans (LwCheck *check);
void lw_check_history (LwCheck *check);
void lw_check_pasts (LwCheck *check);

#define LW_PATH(...) g_strdup_printf (__VA_ARGS__)

/* A number for a message, 10 digits, in a buffer of the caller. */
typedef struct {
  char text[G_ASCII_DTOSTR_BUF_SIZE];
} LwNumberText;
const char *lw_number_text (LwNumberText *buffer, double value);

G_END_DECLS

#endif
