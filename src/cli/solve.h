/* The prediction a verb works on. */
#ifndef LW_CLI_SOLVE_H
#define LW_CLI_SOLVE_H

#include "cli/options.h"
#include "plan/predict.h"

G_BEGIN_DECLS

typedef struct {
  gboolean full;  /* --full: uniform mesh */
  double cell_mm; /* --cell, 0 = default */
  double step_s;  /* --step, 0 = default */
} LwCliSolve;

/* To be put among a verb's entries. */
#define LW_CLI_SOLVE_ENTRIES(solve)                                                                                 \
  { "full", 0, 0, G_OPTION_ARG_NONE, &(solve).full, N_("Solve on a uniform mesh of 1 mm instead of a graded one"),    \
    NULL },                                                                                                         \
  { "cell", 0, 0, G_OPTION_ARG_DOUBLE, &(solve).cell_mm, N_("Finest cell of the mesh"), N_("MM") },                   \
  { "step", 0, 0, G_OPTION_ARG_DOUBLE, &(solve).step_s, N_("Time step"), N_("S") }

/* Checks the options. FALSE: said why. */
gboolean lw_cli_solve_check (const LwCliSolve *solve);
/* NULL: said why, PATH being the job's file. */
LwPrediction *lw_cli_solve (const LwJob *job, guint plan, const LwCliSolve *solve, const char *path);
/* The same by the reduced model, without doubts; CELL_MM 0 = its default. */
LwPrediction *lw_cli_solve_quickly (LwJob *job, guint plan, double cell_mm, const char *path);

G_END_DECLS

#endif
