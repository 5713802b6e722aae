/* What every solver of this benchmark hands over: lines "key value" on standard output, and a file of
 * joint temperatures, one line per run and stored time: run, time in s, one temperature per joint. */
#ifndef AGAINST_REPORT_H
#define AGAINST_REPORT_H

#include <stddef.h>
#include <stdio.h>
#include <time.h>

#include "heat/solve.h"

static inline double
against_cpu_s (void)
{
  struct timespec t;
  clock_gettime (CLOCK_PROCESS_CPUTIME_ID, &t);
  return (double) t.tv_sec + 1e-9 * (double) t.tv_nsec;
}

static inline void
against_row (FILE *out, int run, double t_s, const double *joints, size_t n)
{
  fprintf (out, "%d %.6g", run, t_s);
  for (size_t i = 0; i < n; i++)
    fprintf (out, " %.6f", joints[i]);
  fputc ('\n', out);
}

/* All joints of a result, which is freed. */
static inline void
against_store (FILE *out, int run, HeatResult *r)
{
  for (size_t i = 0; i < r->n_times; i++)
    against_row (out, run, r->t_s[i], r->joints + i * r->n_joints, r->n_joints);
  heat_result_free (r);
}

#endif
