/* The one job that every solver of this benchmark solves: the board and the 25 mm body of
 * tests/heat/bench-job.h, with every film prescribed so that any program can solve the same equations.
 *
 * The joints are an interface conductance over the whole underside: what 289 joints and the gap conduct
 * there in sum. No radiation, no melting, adiabatic sides: the problem is linear, its matrix changes once,
 * when the gas is switched on. Film values are the ones docs/physics.md finds for such a job, rounded. */
#ifndef AGAINST_CASE_H
#define AGAINST_CASE_H

#include <stdlib.h>

#include "bench-job.h"

/* Set points of the first answer and of one further what-if. */
static const double against_gas_c[2] = { 240, 300 }, against_preheat_c[2] = { 150, 170 };

enum { AGAINST_SLICES_MAX = 12 };
static HeatLayer against_slices[AGAINST_SLICES_MAX];

/* How the board is cut: "N", or "N:R" where each slice is R times as thick as the one below. */
typedef struct {
  size_t n; /* 1 to AGAINST_SLICES_MAX; 0: not understood */
  double ratio;
} AgainstCut;

static inline AgainstCut
against_cut (const char *text)
{
  char *end = NULL;
  long n = strtol (text, &end, 10);
  double ratio = *end == ':' ? strtod (end + 1, &end) : 1;
  bool good = n >= 1 && n <= AGAINST_SLICES_MAX && ratio > 0 && *end == '\0';
  return (AgainstCut){ good ? (size_t) n : 0, ratio };
}

/* The board is of one material: any cut is the same board, solved more or less finely. */
static inline void
against_slice (BenchJob *job, AgainstCut cut)
{
  const double board_m = 1.6e-3;
  double sum = 0, lowest;
  for (size_t i = 0; i < cut.n; i++)
    sum += pow (cut.ratio, (double) i);
  lowest = board_m / sum;
  for (size_t i = 0; i < cut.n; i++) {
    against_slices[i] = job->layers[0];
    against_slices[i].thickness_m = lowest * pow (cut.ratio, (double) i);
  }
  job->scene.board.layers = against_slices;
  job->scene.board.n_layers = cut.n;
}

static inline void
against_job (BenchJob *job, AgainstCut cut)
{
  bench_job (job, 0.2, 0.15, false);
  against_slice (job, cut);
  HeatBody *body = &job->bodies[0];
  double joints = body->joint_g_w_k * (double) body->n_joints / (body->length_m * body->width_m);
  body->prescribed_h_w_m2k = round (joints + body->gap_h_w_m2k);
  body->emissivity = job->scene.board.emissivity = 0;
  job->scene.nozzle.prescribed_h_w_m2k = 85;
  job->scene.preheat.prescribed_h_w_m2k = 37;
  job->scene.room = (HeatRoom){ .air_c = 25, .prescribed = true, .prescribed_up_w_m2k = 12 };
}

/* One of the two pairs of set points. */
static inline void
against_set (BenchJob *job, int which)
{
  job->gas_v[0] = against_gas_c[which];
  job->pre_v[0] = against_preheat_c[which];
}

#endif
