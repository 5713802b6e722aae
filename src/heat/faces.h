/* The surfaces of a network: every free face of board and bodies, what it sees, and what flows through
 * it.
 *
 * The flux out of a face, W/m2, at surface temperature Ts is
 *   share h (Ts - Tsource)  +  hl Ts - ht  +  wc q_free (Ts)  +  sigma er (Ts^4 - Troom^4)
 *     +  sigma view (Ts^4 - Temitter^4)
 * the first term being the nozzle's or the preheater's film; hl, ht, wc and er depend on which sources
 * are on (environment.h). Between the surface and the node lies the half cell's resistance. q_free is
 * tabulated once per class of faces. */
#ifndef HEAT_FACES_H
#define HEAT_FACES_H

#include "heat/network.h"

enum { HEAT_FACE_CLASSES_MAX = 16 };
typedef enum { HEAT_FACE_UP, HEAT_FACE_DOWN, HEAT_FACE_SIDE } HeatFaceKind;

/* Faces that share a free-convection table. */
typedef struct {
  HeatFaceKind kind;
  size_t from, to;
  double *flux;  /* table of flux over surface temperature, W/m2 */
  double room_h; /* prescribed film to the room */
  bool fixed;    /* the film is prescribed (also when 0) */
} HeatFaceClass;

typedef struct {
  size_t n, n_classes;
  HeatFaceClass *classes;
  uint32_t *node;
  double *area; /* m2 */
  float *half;  /* m2K/W between node and surface */
  /* Shares and films are kept in single precision: a part in 10^7, and half the traffic. */
  float *eps;
  float *in_film, *in_area;   /* share of the nozzle film taken; share inside its outline */
  float *spill, *spill_at;    /* share of the spill taken; place in the spill's table */
  float *pre_film, *pre_area; /* the same of a preheater that has a film */
  float *view, *view_geo;     /* infrared: effective emissivity; geometric view factor */
  float *clamp, *clamp_h;     /* share under clamps; their film x share */
  float *clamp_ht;            /* film x share x metal's temperature */
  float *hl, *ht, *wc, *er;   /* as they are now */
  double *ts, *q, *dq;        /* surface temperature, flux out, its slope in the node's temperature */
  uint32_t *up, *down;        /* face of a board column, UINT32_MAX: none */
  uint32_t **far;             /* per body: faces of its far side per column, or the one face */
  bool fresh, gas_on, pre_on; /* what hl, ht, wc and er were made for */
  double gas_out_c, spill_h;
  uint32_t *inside; /* faces with in_area above zero */
  size_t n_inside;
  double inside_m2;  /* area inside the nozzle's inner outline */
  double preheat_m2; /* downward area inside a preheater's area */
} HeatFaces;

/* Lays and measures the free faces of NETWORK, with their shares of what they see, in ARENA's memory. HEAT_NO_MEMORY or
 * HEAT_OK; FACES is then whole, but for the flows of a moment. */
HeatStatus heat_faces_new (HeatArena *arena, const HeatNetwork *network, HeatFaces *faces);

/* Steps of the above. */
bool heat_faces_shares (const HeatArena *arena, const HeatNetwork *network, HeatFaces *faces);

/* Table of free-convection flux: HEAT_FLUX_N values from HEAT_FLUX_LOW in steps of HEAT_FLUX_STEP. */
enum { HEAT_FLUX_N = 1921 };
#define HEAT_FLUX_LOW (-60.0)
#define HEAT_FLUX_STEP 0.5

/* Distances of the spill's table: HEAT_SPILL_N knots, k-th at HEAT_SPILL_REACH (k / (N - 1))^2, m. */
enum { HEAT_SPILL_N = 65 };
#define HEAT_SPILL_REACH 0.25

#define HEAT_SIGMA 5.670374419e-8 /* W/m2K4, CODATA 2018 */
#define HEAT_KELVIN 273.15

#endif
