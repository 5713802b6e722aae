/* The verbs of leeward-cli: one file each. */
#ifndef LW_CLI_VERBS_H
#define LW_CLI_VERBS_H

#include <glib.h>

G_BEGIN_DECLS

enum {
  LW_CLI_DONE = 0,    /* nothing at "stop" */
  LW_CLI_STOP = 1,    /* done, with findings at "stop" */
  LW_CLI_REFUSED = 2  /* input or command line */
};

/* ARGV[0] is the verb. Returns the exit code; messages have been printed. */
typedef int (*LwCliRun) (char **argv);

typedef struct {
  const char *name;
  const char *arguments; /* for the list of verbs; to be translated */
  const char *summary;   /* to be translated */
  LwCliRun run;
} LwCliVerb;

/* Each is an LwCliRun; main.c says what they do, the man page how they are called. */
int lw_cli_inspect (char **argv);
int lw_cli_convert (char **argv);
int lw_cli_predict (char **argv);
int lw_cli_judge (char **argv);
int lw_cli_seek (char **argv);
/* The same: fits, drawings and paper, what was made of a plan. */
int lw_cli_fit (char **argv);
int lw_cli_picture (char **argv);
int lw_cli_sheet (char **argv);
int lw_cli_show (char **argv);
int lw_cli_compare (char **argv);
int lw_cli_history (char **argv);

G_END_DECLS

#endif
