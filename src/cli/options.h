/* Command lines of the verbs, and the job they name. */
#ifndef LW_CLI_OPTIONS_H
#define LW_CLI_OPTIONS_H

#include "exchange/import.h"

G_BEGIN_DECLS

/* Options of every verb that reads a job; zero them before use. */
typedef struct {
  char *library; /* --library: the second file of an IDF pair */
  gboolean json;
  gboolean salvage; /* what a damaged file still gives is taken; only some verbs have the option */
} LwCliInput;

/* Options of the verbs that need a plan. */
typedef struct {
  char *plan; /* --plan: reference designator of a plan in the job */
  char *part; /* --part: the same, made with defaults when the job has none for it */
  char *operation; /* --operation: which of that part's, by its word in the file; NULL = the first */
} LwCliTarget;

/* Free what the options hold. */
void lw_cli_input_clear (LwCliInput *input);
void lw_cli_target_clear (LwCliTarget *target);
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (LwCliInput, lw_cli_input_clear)
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (LwCliTarget, lw_cli_target_clear)

/* As N_FILES: one or more. */
#define LW_CLI_SOME G_MAXUINT

/* Parses ARGV (ARGV[0] is the verb) with ENTRIES and those of INPUT and TARGET (each may be NULL);
 * --help prints and ends the program. Exactly N_FILES must remain: *FILES (NULL-terminated). FALSE: said
 * why. */
gboolean lw_cli_parse (char **argv, const char *arguments, const char *summary,
                       const GOptionEntry *entries, LwCliInput *input, LwCliTarget *target,
                       guint n_files, char ***files);

/* Prints to standard error. Always LW_CLI_REFUSED. */
int lw_cli_refuse (const char *format, ...) G_GNUC_PRINTF (1, 2);
int lw_cli_refuse_error (const GError *error);
/* That PATH was not written; ERROR may begin with its base name. */
int lw_cli_refuse_out (const char *path, const GError *error);
/* Whether PATH can be written as far as can be told, before anything is computed. FALSE: said why. NULL is none: TRUE. */
gboolean lw_cli_may_write (const char *path);

/* --salvage, for the verbs that take a board without judging it. */
#define LW_CLI_SALVAGE_ENTRY(input)                                                                          \
  { "salvage", 0, 0, G_OPTION_ARG_NONE, &(input).salvage,                                                    \
    N_("Take what a damaged file holds up to its fault"), NULL }

/* NULL: said why. */
LwImport *lw_cli_open (const char *path, const LwCliInput *input);
/* N files, folders or archives of one board. NULL: said why. */
LwImport *lw_cli_open_some (char **paths, guint n, const LwCliInput *input);
/* Warnings to standard error, as "FILE:LINE: warning: TEXT". */
void lw_cli_warn (const LwImport *import);

/* The plan TARGET asks for; *JOB may be replaced by one that has it. FALSE: said why, PATH being the
 * job's file. */
gboolean lw_cli_choose_plan (LwJob **job, const char *path, const LwCliTarget *target, guint *plan);

G_END_DECLS

#endif
