/* The insides of the reduced model.
 *
 * Temperatures are T = air + V x (+ what melting joints deviate), V orthonormal in heat capacity. With face
 * laws linear in T about a reference state the network gives
 *   s x' + A x = sources,   A = core + room + [gas on] (...) + [preheat on] (...),
 * projected once. What the true laws differ from the linear ones is added as a force per zone of faces
 * (reduced-zones.c), what melting joints take up as a force per melting node (reduced-melt.c). */
#ifndef HEAT_REDUCED_INTERNAL_H
#define HEAT_REDUCED_INTERNAL_H

#include "heat/march.h"
#include "heat/reduced.h"
#include "heat/reduced-spots.h"

enum { HEAT_VECTORS_MAX = 160 };

/* Projected conductances. Those of faces are slopes of the linear laws:
 * room: gas and preheat off; gas_room, pre_room: what turning one on changes in the exchange with the room. */
typedef enum {
  HEAT_TERM_CORE,
  HEAT_TERM_CONDUCTIVITY, /* derivative of CORE in the conductivity's scale; only when asked for */
  HEAT_TERM_JOINT,        /* derivative in the scale of the target's joints; only when asked for */
  HEAT_TERM_ROOM,
  HEAT_TERM_GAS_ROOM,
  HEAT_TERM_NOZZLE,
  HEAT_TERM_SPILL,
  HEAT_TERM_PRE_ROOM,
  HEAT_TERM_PRE,
  HEAT_N_TERMS
} HeatTerm;
enum { HEAT_FIRST_FACE_TERM = HEAT_TERM_ROOM, HEAT_N_FACE_TERMS = HEAT_N_TERMS - HEAT_TERM_ROOM };

/* Projected sources, per unit of their strength. */
typedef enum {
  HEAT_SOURCE_NOZZLE, /* per K of gas over air */
  HEAT_SOURCE_SPILL,  /* per K of leaving gas over air */
  HEAT_SOURCE_PRE,    /* film: per K over air; infrared: per W/m2 of black exchange with air */
  HEAT_SOURCE_FIXED,  /* clamps warmer than air */
  HEAT_N_SOURCES
} HeatSource;

/* The linear laws of a set of faces: slopes W/m2K by face term, strengths W/m2 by source, per face. */
typedef struct {
  double *slope[HEAT_N_FACE_TERMS];
  double *source[HEAT_N_SOURCES];
  double *temp_c; /* of each face, at which its slopes are taken */
} HeatLaws;

/* What the laws were taken at. */
typedef struct {
  HeatEnvironment on, pre; /* gas at its largest; preheat at its largest */
  double gas_h, spill_h, pre_h;
} HeatReference;

/* Strengths and weights of the linear laws at a moment. */
typedef struct {
  bool gas_on, pre_on;
  double weight[HEAT_N_TERMS];
  double strength[HEAT_N_SOURCES];
} HeatMoment;

/* Faces grouped in zones: each zone is one face of FACES, so that the very code that gives the fluxes of
 * all faces gives those of the zones. */
typedef struct {
  HeatFaces faces;
  HeatLaws laws;
  uint32_t *of;  /* zone of each face of the network */
  float *row;    /* [n * stride]: mean node temperature over air = row . x */
} HeatZones;

/* A melting node and, of a part of one node, the body that hangs on it. */
typedef struct {
  HeatMelt melt;
  double g;                   /* sum of its conductances, W/K */
  double body_c, body_g, tie; /* the body's capacity and conductances; between the two; 0: none */
  size_t body;                /* index of such a body, or SIZE_MAX */
  uint32_t face[2];           /* its faces */
  size_t n_faces;
} HeatCell;

typedef struct {
  HeatCell *items; /* as net.melts */
  size_t n, n_awake; /* n_awake: those solved in every stage */
  float *row;       /* [n * stride] */
  float *body_row;  /* [n * stride], zero where there is no body */
  double solidus;   /* lowest of all */
} HeatCells;

/* Where figures are read: reduced-readers.h. */
typedef struct {
  size_t n_nodes, n_faces, n_columns;
  uint32_t *node, *face; /* whose temperatures are asked for */
  uint32_t *column;      /* of the board, on both sides: where it can be hottest */
  float *row;            /* [n_nodes * stride] */
  double *mean, *board;  /* [n_bodies * stride] of meshed bodies, [stride]: means by capacity */
  double *heat, capacity; /* [stride]: mean of all by capacity; all capacity, J/K */
  uint32_t **hot;        /* per body, [n_hot]: slab * columns + square; the far face is the last slab */
  size_t *n_hot;
} HeatReaders;

/* What a drive's scale changes in the conductances of single nodes, per unit. */
typedef struct {
  float *out_row;      /* [n * stride], NULL: nothing */
  double *gsum, *ties; /* per node, per body */
} HeatLumpChange;

/* Single nodes: reduced-lumps.h. */
typedef struct {
  size_t n, n_faces;
  float *row, *out_row; /* [n * stride]: temperature over air; heat passed on, W */
  uint32_t *face;   /* of the network's faces, theirs; and the same as faces of their own, node: of these */
  HeatFaces faces;
  HeatLumpChange by_conductivity, by_joint;
} HeatLumps;

/* What drives a single node at a moment: heat from the board and by its faces, W, were it at the air's temperature,
 * and how much less it is per kelvin over that; and the temperature it has come to, K over air. */
typedef struct {
  double near, in, slope, over;
} HeatLumpState;

enum { HEAT_SWEEPS_MAX = 2, HEAT_WARMTHS = 3 };

struct HeatReduced {
  HeatArena arena;
  HeatArena small; /* what hangs on the basis and is made anew with it: zones, rows */
  HeatArena kept;  /* what grows with it: projections */
  const HeatScene *scene;
  HeatReducedOptions options; /* defaults filled in */
  HeatReducedReport report;
  HeatNetwork net;
  HeatFaces faces;
  HeatLaws laws;
  HeatReference reference;
  HeatZones zones;
  HeatCells cells;
  HeatLumps lumps;
  HeatReaders readers;
  float *warmth[HEAT_WARMTHS]; /* of all nodes at moments of a first march, C; NULL: there was none yet */
  double *ties; /* conductance between a body of one node and its joints' node, W/K */
  bool *apart;  /* bodies of one node that melt, or nearly do, in the scene's own job: cells with a body */
  bool *hot;   /* of these, which come so warm in this very job: the others were taken over from an earlier model */
  bool laws_moved; /* since they were projected */
  size_t n, r, stride; /* nodes, basis vectors, length of a reduced row (a multiple of 8) */
  float *v;            /* [r * n], vector after vector */
  double *term[HEAT_N_TERMS];     /* [stride * stride], NULL: none */
  double *source[HEAT_N_SOURCES]; /* [stride] */
  double *uniform;                /* of 1 K everywhere */
  float *seeds;   /* [n_seeds * n]: responses to the sources, for a model built near this one; NULL: not kept */
  size_t n_seeds;
  float *room; /* while it is built: [n_room * n], free between the steps */
  size_t n_room;
};

/* A run: its own copy of what the march writes to, and the states it went through. */
struct HeatReducedRun {
  HeatArena arena;
  const HeatReduced *model;
  size_t stride; /* the model's; while it is built, that of when the run was made */
  HeatDrive drive;
  HeatReducedWants wants;
  bool rough;          /* long steps: while a model is built */
  HeatScene scene;     /* the model's, with what the drive says */
  HeatFaces faces;     /* the zones, with arrays of their own */
  HeatEnvironment env; /* of the last stage */
  HeatMoment moment;   /* its laws */
  double inside_c;     /* mean surface temperature inside the nozzle */

  /* the matrix in use */
  double *factor, *slopes, gdt; /* slopes: of the cells' forces, in the factor; see heat_cells_slopes() */
  bool with_slopes;
  HeatMoment matrix_moment;

  double t_s, t0_s;
  double *x, *x0, *x1, *base, *force, *zone_t, *zone_guess, *zone_far, *excess, *zone_out;
  double contraction;  /* of a stage's iteration, as last seen */
  double *past[HEAT_PAST], *past_zone[HEAT_PAST], past_t[HEAT_PAST], past_inside[HEAT_PAST];
  size_t n_past;

  /* melting nodes: deviations from row . x of node and body, K; liquid shares */
  double *dev, *dev0, *dev1, *dev_base, *body_dev, *body_dev0, *body_dev1, *body_dev_base;
  double *liquid, *liquid0, *liquid1, *liquid_base, *tau, *tau_base, *tau_next, *over, *over_base; /* the last: bodies, over air */
  bool melting; /* some deviate or change */
  bool wet;     /* some are liquid */

  /* the past: n_times moments */
  size_t n_times, max_times;
  double *times, *states; /* [max_times], [max_times * stride] */
  double *rates;          /* x', the same */
  bool *breaks;           /* [max_times]: sources may have jumped as the step that ends here began */
  double *devs, *body_devs; /* [max_times * n cells] */
  double *excesses;       /* [max_times * zones]: true less linear flux, W/m2 */
  HeatEnvironment *envs;
  HeatMoment *moments;
  double *lump_out, *lump_hold; /* scratch, per single node */
  HeatLumpState *lump_was, *lump_now; /* as the past is read, moment after moment */
  double (*flows_dt)[5];  /* J out since the moment before */
  size_t n_stages;
  bool solved;

  /* the series last read from the past, in memory that is used again */
  struct HeatReplay *replay;
  HeatResult series;
  size_t series_room;
  bool read;
  HeatFaces lump_faces;
  double *lump_c; /* their nodes' temperatures where laws are taken, C */
  double *tables[HEAT_FACE_CLASSES_MAX];
  char detail[256];
};

/* As heat_reduced_new() and heat_reduced_run_new(), with the COUNTDOWN-th request for memory failing. */
HeatStatus heat_reduced_new_counted (const HeatScene *scene, const HeatReducedOptions *options,
                                     long countdown, HeatReduced **model);
/* Room for the series of as many moments as the run has. False: memory is short. */
bool heat_reduced_make_room (HeatReducedRun *run);
HeatReducedRun *heat_reduced_run_new_counted (const HeatReduced *model, long countdown);
HeatStatus heat_reduced_result_counted (const HeatReduced *model, HeatReducedRun *run, long countdown,
                                        HeatResult **result);
HeatReducedPast *heat_reduced_past_new_counted (const HeatReduced *model, const HeatReducedRun *run,
                                                long countdown);

/* What thousands of bodies are answered with, a hundred megabytes, is of large pages; a small answer costs no more than one
 * such page. */
static inline bool
heat_answers_large (const HeatReduced *m)
{
  return m->scene->n_bodies > 2000;
}

/* An arena for what a model answers: of its workspace if it has one, and then of large pages, which come back. */
static inline HeatArena
heat_answer_arena (const HeatReduced *m)
{
  bool large = m->options.workspace != NULL || heat_answers_large (m);
  return (HeatArena){ NULL, -1, 0, m->options.workspace, large };
}

#endif
