/* The physical situation a solution is computed for: geometry, materials, surroundings, set points.
 *
 * Plain C, SI units: metres, seconds, watts, joules; temperatures in degrees Celsius (absolute only
 * inside radiation). x right, y up, seen from above; z up. "Up" is the side the gas comes from: the
 * caller mirrors a board that is worked on from its bottom side. Nothing here owns memory: a scene
 * borrows every array for as long as a solver made from it lives. Parts have numbers, never names.
 */
#ifndef HEAT_SCENE_H
#define HEAT_SCENE_H

#include <stdbool.h>
#include <stddef.h>

/* A point of the board plane, m. */
typedef struct {
  double x, y;
} HeatXY;

/* A closed polygon without self-crossings; the closing edge is implied; either winding. */
typedef struct {
  const HeatXY *xy;
  size_t n;
} HeatLoop;

/* One homogenised layer: thickness m (> 0), conductivity in plane and through it W/mK (> 0),
 * volumetric heat capacity J/m3K (> 0). A board's layer has one node, which stands where what conducts along it lies: OFF_MIDDLE is
 * the share of the resistance through the layer from its middle up to the node, -0.5 (at its lower face) to 0.5 (at its
 * upper face); 0 the middle. A body's layers take no notice of it. */
typedef struct {
  double thickness_m;
  double k_in_w_mk;
  double k_thr_w_mk;
  double rho_c_j_m3k;
  double off_middle;
} HeatLayer;

/* Inside AREA, layer LAYER of the board (0 = lowest) has these amounts ADDED to its properties
 * (they may be negative; sums are clamped to a small positive value). */
typedef struct {
  HeatLoop area;
  size_t layer;
  double add_k_in_w_mk;
  double add_k_thr_w_mk;
  double add_rho_c_j_m3k;
} HeatPatch;

/* Values ADDED to the properties of layer LAYER cell by cell, as patches are; nx * ny each, row-major. */
typedef struct {
  size_t layer;
  const float *add_k_in_w_mk, *add_k_thr_w_mk, *add_rho_c_j_m3k;
} HeatSheet;

/* Square cells from ORIGIN (their low corner); what lies outside them has nothing added. A cell's values hold
 * for what the board has of it. */
typedef struct {
  HeatXY origin;
  double cell_m;
  size_t nx, ny;
  const HeatSheet *sheets;
  size_t n_sheets;
} HeatRaster;

typedef struct {
  const HeatLoop *loops; /* [0] the edge, [1..] cut-outs */
  size_t n_loops;
  const HeatLayer *layers; /* lowest first; at least 1, the caller gives 3 or more */
  size_t n_layers;
  const HeatPatch *patches;
  size_t n_patches;
  const HeatRaster *raster; /* NULL: none */
  double emissivity;        /* 0..1, both faces */
} HeatBoard;

enum { HEAT_BODY_LAYERS_MAX = 4 };

/* A part. A meshed body follows the board's cells under it; any other is one node. */
typedef struct {
  bool below;  /* hangs under the board */
  bool meshed; /* false: one node */
  bool round;  /* a disc of diameter length_m */
  HeatXY center;
  double angle_rad; /* counter-clockwise, seen from above */
  double length_m, width_m;
  double standoff_m;                      /* gap between board and underside, >= 0 */
  double height_m;                        /* far face above the board's surface, > standoff */
  HeatLayer layers[HEAT_BODY_LAYERS_MAX]; /* first = next to the joints */
  size_t n_layers;
  double emissivity;

  const HeatXY *joints; /* centres, board frame */
  size_t n_joints;
  double joint_g_w_k;          /* conductance of one joint, W/K */
  double lead_g_w_k;           /* from each joint on into the body (a lead), W/K; 0 = no resistance */
  double joint_c_j_k;          /* sensible heat capacity of one joint, J/K; 0 = none */
  double joint_latent_j;       /* latent heat of one joint, J; 0 = does not melt */
  double solidus_c, liquidus_c; /* melting range; may coincide (then spread over 1 K) */
  double gap_h_w_m2k;          /* air and underfill between the joints, over the whole underside */
  double prescribed_h_w_m2k;   /* > 0: this over the whole underside instead of joints and gap; the
                                * joint layer then has no capacity and no latent heat */
} HeatBody;

/* A quantity over time: straight lines between knots, a jump where two knots share a time, constant
 * before the first and after the last. n == 0 means "never on". */
typedef struct {
  const double *t_s;
  const double *v;
  size_t n;
} HeatTable;

typedef struct {
  bool present;
  bool round;       /* inner outline: disc of diameter length_m */
  HeatXY center;
  double angle_rad;
  double length_m, width_m; /* inner outline */
  double wall_m;
  double height_m;       /* outlet above the target body's far face, > 0 */
  double skirt_gap_m;    /* skirt above the board's surface where gas leaves, > 0 */
  HeatTable set_c;       /* gas set point */
  HeatTable flow_m3_s;   /* at 20 C and 1 atm (1.2041 kg/m3); 0 = off */
  double lag_s;          /* first-order lag between set point and delivered gas, 0 = none */
  double add_k;          /* delivered minus asked for */
  double prescribed_h_w_m2k; /* > 0: replaces the correlation and the finite stream */
  double spill_h_w_m2k;      /* with prescribed_h: film of the spill just outside the wall, may be 0 */
  double spill_reach_m;      /* with prescribed_h: e-folding distance of the spill film */
} HeatNozzle;

typedef enum { HEAT_PREHEAT_NONE, HEAT_PREHEAT_AIR, HEAT_PREHEAT_INFRARED } HeatPreheatKind;

typedef struct {
  HeatPreheatKind kind;
  HeatXY center;
  double length_m, width_m; /* along x and y */
  double gap_m;             /* emitter or outlet plane below the board's lower face, > 0 */
  double emissivity;        /* of the emitter */
  double speed_m_s;         /* AIR: approach speed of the warm air, for its film; 0 = still */
  HeatTable set_c;
  double lag_s;
  double add_k;             /* delivered minus asked for */
  double prescribed_h_w_m2k; /* > 0: a film to the set point on downward faces inside the area */
} HeatPreheat;

typedef struct {
  double air_c;                /* room, and the walls radiated to */
  double prescribed_up_w_m2k;  /* > 0: film of upward faces in place of free convection */
  double prescribed_down_w_m2k; /* same, downward faces */
  double prescribed_side_w_m2k; /* same, part sides and board edges; see prescribed */
  bool prescribed;              /* true: the three above are taken even if 0 (0 = adiabatic) */
} HeatRoom;

/* A clamp along the board: cells inside AREA exchange H_W_M2K (lower face) with metal at AIR + RISE. */
typedef struct {
  HeatLoop area;
  double h_w_m2k;
  double rise_k;
} HeatClamp;

/* A shield: upward faces inside AREA see the spill and the nozzle through SHARE (0..1) of their film. */
typedef struct {
  HeatLoop area;
  double share;
} HeatShield;

typedef struct {
  HeatBoard board;
  const HeatBody *bodies;
  size_t n_bodies;
  size_t target; /* index of the body under the nozzle, or SIZE_MAX */
  HeatNozzle nozzle;
  HeatPreheat preheat;
  HeatRoom room;
  const HeatClamp *clamps;
  size_t n_clamps;
  const HeatShield *shields;
  size_t n_shields;
  double start_c;
  double end_s; /* length of the job, > 0 */
  /* Scales for doubt and fitting; 1 = as computed. */
  double scale_nozzle_film, scale_preheat_film, scale_room_film;
  double scale_conductivity, scale_capacity;
  double scale_spill; /* of the spill's film, beside scale_nozzle_film; 0 = 1 */
} HeatScene;

#endif
