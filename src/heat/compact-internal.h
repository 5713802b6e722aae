/* The insides of the compact model.
 *
 * Of the reduced state x there is kept y, x = W y, W orthonormal: every projected matrix and every row of the reduced
 * model is projected once more. The zones' true laws are evaluated as they are, once a step, and what they differ by
 * from the linear ones is carried forward in time; so a step needs no iteration. Readings are straight lines in the
 * features of a moment (the state and what the sources do), one set for gas on and one for off, fitted to the
 * lessons. */
#ifndef HEAT_COMPACT_INTERNAL_H
#define HEAT_COMPACT_INTERNAL_H

#include "heat/compact.h"
#include "heat/reduced-internal.h"

/* Vectors; features of a moment: the vectors, then what the sources do. Both fill whole registers. */
enum { HEAT_COMPACT_N = 24, HEAT_COMPACT_EXTRAS = 8, HEAT_COMPACT_FEATURES = HEAT_COMPACT_N + HEAT_COMPACT_EXTRAS };
/* Inverses kept of a span, one per length of step. */
enum { HEAT_COMPACT_INVERSES = 6 };
enum { HEAT_COMPACT_LANES = 8, HEAT_COMPACT_REGIMES = 2 };
/* Joints of the target that are read one by one; groups of them that melt together. */
enum { HEAT_COMPACT_JOINT_ROWS = 24, /* when not all are */
        HEAT_COMPACT_MELTS = 6 };

/* Free convection's table of a class of zones: flux at HEAT_FLUX_LOW + k HEAT_COMPACT_TABLE_K. */
enum { HEAT_COMPACT_TABLE = 241 };
#define HEAT_COMPACT_TABLE_K 4.0f

/* Zones, array by array, PADDED long, empty ones at the end. */
typedef struct {
  size_t n, padded;
  float *read;  /* [HEAT_COMPACT_N * padded]: vector after vector */
  float *force; /* [padded * HEAT_COMPACT_N]: zone after zone, times area */
  float *half, *eps, *in_film, *in_area, *view, *view_geo, *pre_film, *pre_area, *clamp, *clamp_h, *clamp_ht;
  float *upper;  /* 1 for faces the gas can reach */
  float *inside; /* share of the surface inside the nozzle; of that above a preheater */
  float *below;
  float *free, *room_h, *dark; /* 1 where air flows freely; film to the room; 1 where no rays are counted */
  int *table;                  /* where its class's table starts */
  float *slope[HEAT_N_FACE_TERMS], *source[HEAT_N_SOURCES];
  float *tables; /* [n_classes * HEAT_COMPACT_TABLE] */
  size_t n_tables;
} HeatCompactZones;

/* What the gas does, by flow and temperature, at scales of 1. Flows are evenly spaced in their logarithm. */
enum { HEAT_GAS_FLOWS = 17, HEAT_GAS_TEMPS = 9 };
#define HEAT_GAS_LOW_C 0.0
#define HEAT_GAS_STEP_K 75.0
typedef struct {
  bool any, given; /* given: the film is prescribed */
  double log_low, log_step;
  double h[HEAT_GAS_FLOWS][HEAT_GAS_TEMPS];      /* film before the stream's weakening, W/m2K */
  double hold[HEAT_GAS_FLOWS][HEAT_GAS_TEMPS];   /* heat capacity of the stream, W/K */
  double spill0[HEAT_GAS_FLOWS][HEAT_GAS_TEMPS]; /* film of the spill at the wall */
  float *spill; /* [(flow * temps + temp) * 2 * padded]: films of the zones, then their gas's share of the excess */
} HeatCompactGas;

/* A bath's film by the board's and the air's temperature, at a scale of 1. */
enum { HEAT_BATH_N = 25 };
#define HEAT_BATH_LOW_C 0.0
#define HEAT_BATH_STEP_K 25.0
typedef struct {
  bool any;
  double h[HEAT_BATH_N][HEAT_BATH_N]; /* [board][air] */
} HeatCompactBath;

/* Joints that melt together. */
typedef struct {
  float row[HEAT_COMPACT_N];
  double latent, solidus, liquidus;
} HeatCompactMelt;

/* Readings. Lane I of block B is row B * HEAT_COMPACT_LANES + I. */
typedef struct {
  size_t n, blocks, ramp_blocks; /* the first blocks hold the rows of which ramps are asked */
  float *coef[HEAT_COMPACT_REGIMES]; /* [(block * FEATURES + feature) * LANES + lane] */
  uint32_t *of;                      /* [n_bodies * HEAT_N_SERIES]: row, UINT32_MAX: none */
  uint32_t board, board_mean;
  uint32_t *joint; /* of the target */
  size_t n_joints;
} HeatCompactRows;

struct HeatCompact {
  HeatArena arena;
  const HeatReduced *of;
  HeatCompactOptions options;
  bool whole;
  HeatCompactReport report;
  double *w; /* [HEAT_COMPACT_N * of->stride], vector after vector; beyond report.n_vectors zero */
  float term[HEAT_N_TERMS][HEAT_COMPACT_N * HEAT_COMPACT_N];
  float source[HEAT_N_SOURCES][HEAT_COMPACT_N];
  float uniform[HEAT_COMPACT_N];
  HeatCompactZones zones;
  HeatCompactGas gas;
  HeatCompactBath bath;
  HeatCompactMelt melt[HEAT_COMPACT_MELTS];
  float melt_cross[HEAT_COMPACT_MELTS][HEAT_COMPACT_MELTS];
  size_t n_melts;
  HeatCompactRows rows;
};

/* A heater with a lag, followed along its table. */
typedef struct {
  const HeatTable *table;
  double lag, t_s, value;
} HeatFollowed;

/* What the sources do at a moment. */
typedef struct {
  bool gas_on, pre_on;
  double gas_c, gas_h, gas_out_c, pre_c, pre_h, pre_scale, spill0;
  HeatMoment moment;
} HeatCompactNow;

struct HeatCompactRun {
  HeatArena arena;
  const HeatCompact *model;
  HeatDrive drive;
  HeatScene scene; /* the model's, in the drive's room */
  bool linear;
  double t_s, capacity; /* scale of capacity over the model's own */
  HeatFollowed gas, pre;
  HeatCompactNow now;
  double flow; /* the tables below are of */
  double film_t[HEAT_GAS_TEMPS], hold_t[HEAT_GAS_TEMPS], spill0_t[HEAT_GAS_TEMPS];
  float *spill_t; /* [temps * 2 * padded] */
  double inside_c, inside0_c, inside_t0_s, inside_t_s, below_c;

  double weight[HEAT_N_TERMS]; /* of the matrix, and of the linear laws that the zones' laws are held against */
  float *inverses, *inverse;   /* of capacity / gdt + A; the one in use */
  double inverse_gdt[HEAT_COMPACT_INVERSES], gdt;
  size_t n_inverses;
  float *y, *y0, *rhs, *force, *force0;
  double force_t_s, force0_t_s;
  bool has_past;
  double liquid[HEAT_COMPACT_MELTS];

  /* zones: as the drive has them, as the regime has them, now */
  float *eps, *view, *clamp_ht, *room_h, *tables;
  float *open, *per_open, *rays, *base, *base_in, *film_up, *film_low, *slope;
  float *t, *ts, *lin, *in, *still, *rad, *rad_in, *free_q, *free_d, *excess;

  size_t n_times, max_times;
  double *times;
  float *features; /* [max_times * FEATURES] */
  unsigned char *regime;
  /* of a whole model, at each moment: what the zones' fluxes are beyond the linear laws, and what the sources do */
  float *excesses; /* [max_times * padded] */
  HeatCompactNow *nows;
  bool solved, read;
  float *values; /* readings: of a whole model [blocks * max_times * LANES], else of one block */
  size_t block;  /* that one */
  float *peaks;  /* [blocks * LANES] */
  float *up, *down; /* ramps of the first blocks */
  double *series[HEAT_N_SERIES]; /* of one body */
};

/* compact-basis.c: directions from states; everything of the reduced model along them. */
typedef struct {
  const double *states; /* [n * of->stride] */
  size_t n;
} HeatCompactStates;
bool heat_compact_basis (HeatCompact *compact, const HeatCompactStates *states);
bool heat_compact_project (HeatCompact *compact);

/* compact-zones.c */
bool heat_compact_zones_new (HeatCompact *compact);
bool heat_compact_zones_take (HeatCompactRun *run);
void heat_compact_zones_drive (HeatCompactRun *run);  /* as the drive has them */
void heat_compact_zones_regime (HeatCompactRun *run); /* as RUN->now has what is on */
/* The zones' true fluxes at RUN->y under RUN->now, in ROUNDS of Newton's steps, and what they differ by from the linear
 * laws as a force. */
void heat_compact_zones_force (HeatCompactRun *run, int rounds, float *force);

/* compact-sources.c */
bool heat_compact_sources_new (HeatCompact *compact, const HeatDrive *drives, size_t n_drives);
void heat_compact_sources_start (HeatCompactRun *run);
/* RUN->now at T, on one SIDE of a jump, with the surface inside the nozzle at INSIDE_C. */
void heat_compact_sources_at (HeatCompactRun *run, double t_s, HeatSide side, double inside_c);
/* Film and share of the spill for all zones at the leaving gas's temperature: the two knots and the weight. */
void heat_compact_spill (const HeatCompactRun *run, const float **low, const float **high, float *share);

/* compact-march.c */
HeatStatus heat_compact_march (HeatCompactRun *run);

/* compact-rows.c: which readings there are. compact-fit.c: their coefficients. */
typedef struct {
  size_t n;          /* moments */
  double *t_s;
  double *states;    /* [n * of->stride] */
  float *value;      /* [row * n + moment], over air */
  double air_c;
  bool solved;
} HeatLesson;

/* Numbers the rows a run can be asked for: each body's series it has, the ramps, the board. Sets ROWS.of and ROWS.n;
 * false without memory. */
bool heat_compact_rows_list (HeatCompact *compact);
/* Marches a drive in the reduced model, with RUN, and keeps what is needed of it. */
HeatStatus heat_compact_learn (const HeatCompact *compact, HeatReducedRun *run, const HeatDrive *drive, HeatArena *arena,
                               HeatLesson *lesson);
bool heat_compact_fit (HeatCompact *compact, const HeatDrive *drives, const HeatLesson *lessons, size_t n);

/* compact-read.c */
void heat_compact_read (HeatCompactRun *run);
/* Readings of LANES rows at all moments, [moment * LANES + row]; good until another block is asked for. */
const float *heat_compact_block (HeatCompactRun *run, size_t block);
bool heat_compact_grow (HeatCompactRun *run);

/* As heat_compact_new() and heat_compact_run_new(), with the COUNTDOWN-th request for memory failing. */
HeatStatus heat_compact_new_counted (const HeatReduced *model, const HeatDrive *drives, size_t n_drives,
                                     const HeatCompactOptions *options, long countdown, HeatCompact **compact);
HeatCompactRun *heat_compact_run_new_counted (const HeatCompact *compact, long countdown);

#endif
