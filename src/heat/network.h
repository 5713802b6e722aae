/* A scene turned into nodes: conductances, capacities, melting joints, and where to read figures. */
#ifndef HEAT_NETWORK_H
#define HEAT_NETWORK_H

#include "heat/enthalpy.h"
#include "heat/mesh.h"
#include "heat/stencil.h"

/* A temperature read between nodes: the weighted mean of four. */
typedef struct {
  uint32_t node[4];
  double w[4];
} HeatReader;

/* A square of HEAT_HOT_SQUARE_M round every covered column of a block, drawn inside the body's outline: the
 * columns under it, [first[i], first[i + 1]), and their shares. */
#define HEAT_HOT_SQUARE_M 2e-3
typedef struct {
  size_t n, *first;
  uint32_t *column;
  float *w;
} HeatWindows;

/* What a body's joints come down to, whatever the temperatures: those of which one is the hottest and one the coldest, the same
 * of the joints farthest from the centre, and the mean of all as a sum over nodes. */
typedef struct {
  HeatReader *end, *corner;
  size_t n, n_corners, n_nodes; /* n = 0: not looked for, all are to be read */
  uint32_t *node;
  double *w;
} HeatEnds;

enum { HEAT_NO_BLOCK = 0 };

/* What the network keeps of a body. A meshed one has a block, and a node for each joint of a lead that
 * lies outside it or on its rim; another has a node of its own and, with joints that hold heat, a node for
 * them. */
typedef struct {
  size_t block;        /* HEAT_NO_BLOCK: one node */
  uint32_t node;       /* the one node; meshed: the first of n_leads */
  uint32_t joint_node; /* its joints, or UINT32_MAX */
  double *cover;       /* meshed: covered area per column of the block, m2; else over the whole board */
  double *contact;     /* the part of it with board behind it */
  double *rim;         /* meshed: length of outline in each column, m */
  double *slab_m, *slab_r; /* thickness and half resistance m2K/W of each slab, [0] unused */
  double *slab_k;          /* in-plane conductivity of each slab, W/mK */
  double foot_m2, rim_m;
  HeatReader *joints; /* n_joints; meshed: in the joint layer; else on the board's surface layer */
  HeatReader center;  /* same, under the body's centre */
  HeatReader top;     /* meshed: outermost slab under the centre of the far face */
  bool *corner;       /* joints farthest from the centre */
  HeatEnds ends;      /* of many joints */
  HeatWindows windows; /* meshed */
  bool *apart;        /* meshed: joints with a node of their own, n_leads of them */
  size_t n_leads;
  size_t first_melt, n_melts;
} HeatPlaced;

typedef struct {
  const HeatScene *scene;
  HeatMesh mesh;
  HeatStencil stencil;
  double *capacity; /* sensible, J/K, per node */
  HeatMelts melts;
  HeatPlaced *bodies;
  HeatCover board;                   /* of the columns */
  double *rim;                       /* length of board edge in each column */
  double *half_up, *half_down;       /* half resistance of the outer layers, m2K/W, per column */
  double *kin;                       /* in-plane conductivity per board node, W/mK */
  double *covered_up, *covered_down; /* board area under bodies, per column, m2 */
} HeatNetwork;

/* Arena memory; the scene must outlive the network. */
HeatStatus heat_network_new (HeatArena *arena, const HeatScene *scene, const HeatMeshSize *size,
                             size_t max_nodes, HeatNetwork *network);

/* Steps of heat_network_new(), in their own files. */
bool heat_board_assemble (HeatArena *arena, HeatNetwork *network);
bool heat_bodies_lay (HeatArena *arena, HeatNetwork *network); /* sizes of blocks, single nodes */
bool heat_bodies_assemble (HeatArena *arena, HeatNetwork *network);
bool heat_lumps_assemble (HeatArena *arena, HeatNetwork *network);
bool heat_links_take (HeatArena *arena, HeatNetwork *network); /* room for all links */
bool heat_ends_new (HeatArena *arena, HeatNetwork *network); /* after these, ends.c */
/* The joints of one meshed body that have nodes of their own. */
bool heat_leads_assemble (HeatArena *arena, HeatNetwork *network, size_t body);
/* Number of such joints; with APART [n_joints], which. */
size_t heat_leads_mark (const HeatBody *body, bool *apart);
/* AT, moved by the shortest way (in the body's frame) so that a square round it, along the board's axes, lies
 * inside the outline; and SIDE, or less so that such a square fits in. */
HeatXY heat_drawn_in (const HeatBody *body, HeatXY at, double side);
double heat_square_within (const HeatBody *body, double side);
bool heat_windows_new (HeatArena *arena, const HeatMesh *mesh, const HeatBlock *block,
                       const HeatBody *body, const double *cover, HeatWindows *windows);
/* Highest mean over any of the squares of temperatures given per column. */
double heat_windows_hottest (const HeatWindows *windows, const double *t);
/* Side of the square inside the body over which such a joint's heat enters it, m. */
double heat_lead_inner_side (const HeatBody *body);

/* Columns [x0, x1) of the rows [y0, y1). */
typedef struct {
  size_t x0, x1, y0, y1;
} HeatRange;
#define HEAT_RANGE_EMPTY ((HeatRange){ SIZE_MAX, 0, SIZE_MAX, 0 })

/* Shares of a square of side SIDE_M round AT among the cells of a block's columns for which OPEN > 0;
 * falls back on the nearest open cell. Adds AMOUNT in total to OUT[ny * nx]; false when no cell is open. TOUCHED (NULL:
 * not asked for) grows until it holds every column that was added to. CENTERED: so that the centre of what the cells get, each at its
 * middle, is the square's own, as suits a joint that stands alone; squares that touch share the cells by area. */
bool heat_spread (const HeatMesh *mesh, const HeatBlock *columns, const double *open, HeatXY at,
                  double side_m, bool centered, double amount, double *out, HeatRange *touched);
/* Bilinear reader in slab IZ of a block, over cells for which OPEN > 0. */
HeatReader heat_reader (const HeatMesh *mesh, const HeatBlock *block, size_t iz, const double *open,
                        HeatXY at);
double heat_read (const HeatReader *reader, const double *temperature);
/* What the cells of the outer layer leave out of the resistance that a joint's heat meets along it, K/W, for a joint that is shared out
 * CENTERED from a square of SIDE_M; above 0. Squares that touch miss nothing. Asked for once the board is assembled. */
double heat_joint_strait (const HeatNetwork *net, bool below, size_t column, double side_m);
/* Side of the square a joint's heat spreads over: the distance to its nearest neighbour, at most HEAT_JOINT_SIDE_MOST_M when it
 * has one; joints farther apart leave room between their squares. */
#define HEAT_JOINT_SIDE_MOST_M 3e-3
double heat_joint_side (const HeatBody *body);

#endif
