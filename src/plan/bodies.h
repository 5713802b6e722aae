/* Inside the room: from a package and its place to a body of the scene. */
#ifndef LW_BODIES_H
#define LW_BODIES_H

#include "board/job.h"
#include "board/library.h"
#include "heat/scene.h"

G_BEGIN_DECLS

/* Parts whose longer side or height is above this count as large. */
#define LW_MESHED_ABOVE_MM 6.0

/* What a kind of part is made of, as one material for the whole body box (voids counted in). */
typedef struct {
  double cp_j_kgk;    /* whole package, for one whose mass alone is known */
  double rho_c_j_m3k; /* of the body box */
  double k_in_w_mk, k_thr_w_mk;
  double emissivity;
} LwKindMatter;
const LwKindMatter *lw_kind_matter (LwPackageKind kind);

/* Fills layers and n_layers for a body of THICKNESS_M over AREA_M2 whose joints hold JOINTS_J_K: from
 * the package's own layers, else by kind; then scaled so that body and joints together hold the
 * package's heat capacity, where that (or its mass) is known. */
void lw_body_layers (const LwPackage *package, double thickness_m, double area_m2, double joints_j_k,
                     HeatBody *body);
/* Heat capacity of a body's layers over an area, J/K. */
double lw_body_capacity (const HeatBody *body, double area_m2);

/* One solder joint of a package, and the lead that goes on from it into the body (0 = none). */
typedef struct {
  double g_w_k, volume_m3, lead_w_k;
} LwJoint;
/* Between two pads: a ball cut off at both pads for area arrays, a block for others. STANDOFF_M is the gap
 * under the body. */
LwJoint lw_joint_of (const LwPackage *package, double standoff_m, double k_w_mk);
/* Conductance (W/K) and volume (m3) of solder between pads of diameter PAD_M with the shape of a ball
 * cut off at both, HEIGHT_M apart. */
LwJoint lw_ball (double pad_m, double height_m, double k_w_mk);
/* Centres of joints standing for a thermal pad, in the body's frame (mm, LwPoint); NULL without one. */
GArray *lw_pad_joints (const LwPackage *package, double standoff_m, double k_w_mk, const LwJoint *joint);

/* Film across the gap under a body: still air or underfill of the gap's height, W/m2K. */
double lw_gap_film (double standoff_m, gboolean underfill);
/* Film under a part whose joints are not known (pins through holes, clips, glue), W/m2K. */
#define LW_CONTACT_FILM_W_M2K 100.0

G_END_DECLS

#endif
