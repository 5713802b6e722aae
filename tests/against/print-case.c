/* Prints the job of against-case.h as JSON, for the solvers that are not written in C. */
#include <stdio.h>

#include "against-case.h"

static void
print_layers (const HeatLayer *layers, size_t n)
{
  for (size_t i = 0; i < n; i++)
    printf ("%s[%.9g,%.9g,%.9g,%.9g]", i ? "," : "", layers[i].thickness_m, layers[i].k_in_w_mk,
            layers[i].k_thr_w_mk, layers[i].rho_c_j_m3k);
}

static void
print_body (const HeatBody *b)
{
  printf ("\"body\":{\"center\":[%.9g,%.9g],\"size\":[%.9g,%.9g],\"standoff\":%.9g,\"joint_h\":%.9g,\n\"layers\":[",
          b->center.x, b->center.y, b->length_m, b->width_m, b->standoff_m, b->prescribed_h_w_m2k);
  print_layers (b->layers, b->n_layers);
  printf ("],\n\"joints\":[");
  for (size_t i = 0; i < b->n_joints; i++)
    printf ("%s[%.9g,%.9g]", i ? "," : "", b->joints[i].x, b->joints[i].y);
  printf ("]},\n");
}

int
main (void)
{
  static BenchJob job;
  against_job (&job, (AgainstCut){ 3, 1 });
  const HeatScene *s = &job.scene;
  printf ("{\"board\":{\"size\":[%.9g,%.9g],\"layers\":[", job.edge[2].x, job.edge[2].y);
  print_layers (s->board.layers, s->board.n_layers);
  printf ("]},\n");
  print_body (&job.bodies[0]);
  printf ("\"nozzle\":{\"size\":[%.9g,%.9g],\"h\":%.9g},\n", s->nozzle.length_m, s->nozzle.width_m,
          s->nozzle.prescribed_h_w_m2k);
  printf ("\"preheat\":{\"h\":%.9g},\n\"room\":{\"h\":%.9g,\"air\":%.9g},\n", s->preheat.prescribed_h_w_m2k,
          s->room.prescribed_up_w_m2k, s->room.air_c);
  printf ("\"gas_c\":[%.9g,%.9g],\"preheat_c\":[%.9g,%.9g],\n", against_gas_c[0], against_gas_c[1],
          against_preheat_c[0], against_preheat_c[1]);
  printf ("\"start\":%.9g,\"gas_on\":%.9g,\"end\":%.9g,\"step\":0.5}\n", s->start_c, job.flow_t[0], s->end_s);
  return 0;
}
