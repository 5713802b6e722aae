/* Other readings of the same data: two names exchanged, a clock that was set otherwise. First by the slopes, then the best
 * of them by fits of their own, so that nothing is said that was not computed. */
#ifndef LW_FIT_GUESS_H
#define LW_FIT_GUESS_H

#include "plan/fit-inside.h"

G_BEGIN_DECLS

typedef struct {
  LwFitGuess guess;
  double by_slopes; /* chi-square that the slopes promise */
  double chi2;      /* of a fit of its own; INFINITY = it does not settle */
} LwFitGuessed;

/* By how much the sum of squares has to fall: for likelihoods of normal errors e^(15/2), 1,800 to 1. Names and clocks are
 * right more often than not, by how much nobody knows: the program's own choice. */
#define LW_FIT_GUESS_FALL 15.0

/* Those of RUN that by the slopes at U of AT (which are there) would bring chi-square below BELOW, each fitted by itself, the least
 * chi-square first (GArray of LwFitGuessed, transfer full); those that would not are left out. NULL with a march's error. */
GArray *lw_fit_guesses (const LwFitSolution *at, guint run, double below, GError **error);

G_END_DECLS

#endif
