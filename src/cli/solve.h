/* The prediction a verb works on. */
#ifndef LW_CLI_SOLVE_H
#define LW_CLI_SOLVE_H

#include "cli/options.h"
#include "plan/predict.h"

G_BEGIN_DECLS

typedef struct {
  gboolean full;    /* --full: the full solution, which certifies, in place of the reduced model */
  gboolean uniform; /* --uniform: the same on a uniform mesh */
  double cell_mm;   /* --cell, 0 = default */
  double step_s;    /* --step of the full solution, 0 = default */
} LwCliSolve;

/* To be put among a verb's entries. */
#define LW_CLI_SOLVE_ENTRIES(solve)                                                                                 \
  { "full", 0, 0, G_OPTION_ARG_NONE, &(solve).full,                                                                    \
    N_("The full solution, which certifies, instead of the reduced model"), NULL },                                 \
  { "uniform", 0, 0, G_OPTION_ARG_NONE, &(solve).uniform, N_("The full solution on a uniform mesh of 1 mm"), NULL }, \
  { "cell", 0, 0, G_OPTION_ARG_DOUBLE, &(solve).cell_mm, N_("Finest cell of the mesh"), N_("MM") },                   \
  { "step", 0, 0, G_OPTION_ARG_DOUBLE, &(solve).step_s, N_("Time step of the full solution"), N_("S") }

/* Checks the options. FALSE: said why. */
gboolean lw_cli_solve_check (const LwCliSolve *solve);
/* By the reduced model unless SOLVE asks for the full solution. NULL: said why, PATH being the job's file. */
LwPrediction *lw_cli_solve (LwJob *job, guint plan, const LwCliSolve *solve, const char *path);
/* The same by the reduced model, without doubts; CELL_MM 0 = its default. */
LwPrediction *lw_cli_solve_quickly (LwJob *job, guint plan, double cell_mm, const char *path);
/* "reduced model" or "full solution", translated: which of the two answered. */
const char *lw_cli_answered (const LwPrediction *prediction);

G_END_DECLS

#endif
