#include "plan/bodies.h"

#include <math.h>

/* Solder under a lead or terminal: what is left of a 0.12 mm print, from memory. */
static const double solder_film_m = 0.06e-3;
/* A gull-wing lead when its conductance is not given: copper alloy 300 W/mK, 0.15 mm thick, 2.5 mm long,
 * as wide as its joint. From memory. */
static const double lead_k_w_mk = 300, lead_thickness_m = 0.15e-3, lead_length_m = 2.5e-3;
/* Solder under a thermal pad covers 60 % of it; makers ask for voids below 30-50 %. From memory. */
static const double pad_cover = 0.6;
static const guint pad_joints_max = 400;

LwJoint
lw_ball (double pad_m, double height_m, double k_w_mk)
{
  /* A sphere of radius R cut by two planes h apart: integral of dz / (k pi (R^2 - z^2)). */
  double half = height_m / 2, radius = hypot (pad_m / 2, half);
  LwJoint joint = { 0, 0, 0 };

  joint.g_w_k = k_w_mk * G_PI * radius / (2 * atanh (half / radius));
  joint.volume_m3 = G_PI * height_m * (radius * radius - half * half / 3);
  return joint;
}

/* Height of the solder: for leads the film under the foot, else the gap, but never less than a film. */
static double
solder_height (const LwPackage *package, double standoff_m)
{
  if (package->kind == LW_KIND_LEADED || !(standoff_m > 0))
    return solder_film_m;
  if (package->kind == LW_KIND_AREA_ARRAY || package->kind == LW_KIND_LEADLESS)
    return standoff_m;
  return fmin (standoff_m, solder_film_m);
}

LwJoint
lw_joint_of (const LwPackage *package, double standoff_m, double k_w_mk)
{
  const LwJoints *j = &package->joints;
  double length = j->length_mm * 1e-3, width = j->width_mm * 1e-3;
  double height = solder_height (package, standoff_m), lead = j->lead_w_per_k;
  LwJoint joint = { 0, 0, 0 };

  if (!(length > 0))
    length = width > 0 ? width : 0.5 * j->pitch_mm * 1e-3;
  if (!(width > 0))
    width = length;
  if (!(length > 0))
    return joint;
  if (package->kind == LW_KIND_AREA_ARRAY)
    joint = lw_ball (length, height, k_w_mk);
  else
    joint = (LwJoint){ k_w_mk * length * width / height, length * width * height, 0 };
  if (isnan (lead) && package->kind == LW_KIND_LEADED)
    lead = lead_k_w_mk * lead_thickness_m * fmin (length, width) / lead_length_m;
  joint.lead_w_k = lead > 0 ? lead : 0;
  return joint;
}

/* As many joints as carry what the pad carries, on an even grid over it. */
GArray *
lw_pad_joints (const LwPackage *package, double standoff_m, double k_w_mk, const LwJoint *joint)
{
  double length = package->joints.thermal_pad_length_mm, width = package->joints.thermal_pad_width_mm;
  double height = standoff_m > 0 ? fmin (standoff_m, solder_film_m) : solder_film_m;
  double pad_g = pad_cover * k_w_mk * length * width * 1e-6 / height;
  GArray *at;
  guint nx, ny;
  double n;

  if (!(length > 0) || !(width > 0) || !(joint->g_w_k > 0))
    return NULL;
  n = CLAMP (pad_g / joint->g_w_k, 4, pad_joints_max);
  nx = MAX ((guint) lround (sqrt (n * length / width)), 1);
  ny = MAX ((guint) lround (n / nx), 1);
  at = g_array_new (FALSE, FALSE, sizeof (LwPoint));
  for (guint i = 0; i < nx * ny; i++) {
    LwPoint p = { ((i % nx + 0.5) / nx - 0.5) * length, ((i / nx + 0.5) / ny - 0.5) * width };
    g_array_append_val (at, p);
  }
  return at;
}

double
lw_gap_film (double standoff_m, gboolean underfill)
{
  /* Air at 150 C 0.0350 W/mK (Incropera A.4); filled epoxy 0.5, from memory. Below 20 um faces touch. */
  return (underfill ? 0.5 : 0.035) / fmax (standoff_m, 20e-6);
}
