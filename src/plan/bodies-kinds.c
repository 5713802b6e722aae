#include "plan/bodies.h"

#include <math.h>

/* Each row: cp of the whole J/kgK, rho c of the body box J/m3K, k in plane and through W/mK, emissivity.
 * Sources by row. "Handbook" = material values of the common handbooks for the material named;
 * the filled share of the box is from memory wherever one is stated. */
static const LwKindMatter matter[LW_N_KINDS] = {
  /* Mould compound 1900 kg/m3 x 880 J/kgK (density: package makers' content sheets; cp: handbook). */
  [LW_KIND_OTHER] = { 880, 1.67e6, 0.9, 0.9, 0.92 },
  /* Content sheets of moulded arrays from 13 to 35 mm: 606-720 J/kgK overall; without balls 1.3 to
   * 1.65 MJ/m3K of body box. Conductivities only for the block; see the layers below. */
  [LW_KIND_AREA_ARRAY] = { 640, 1.45e6, 9.1, 1.1, 0.92 },
  /* Mould with a copper frame; a 14 mm quad flat pack of 0.65-0.7 g gives 1.8 MJ/m3K (from memory). */
  [LW_KIND_LEADED] = { 750, 1.7e6, 0.9, 0.9, 0.92 },
  [LW_KIND_LEADLESS] = { 650, 1.7e6, 0.9, 0.9, 0.92 },
  /* Barium titanate 5800 x 500, k 4; tinned ends. From memory. */
  [LW_KIND_CERAMIC_CAPACITOR] = { 500, 2.9e6, 4, 4, 0.8 },
  /* Alumina 3750 x 850, k 22. Handbook. */
  [LW_KIND_RESISTOR] = { 850, 3.19e6, 22, 22, 0.85 },
  /* Wound foil, paper and electrolyte in an aluminium can: about 1650 kg/m3 and 1200 J/kgK; foils run
   * along the axis. From memory. */
  [LW_KIND_ELECTROLYTIC] = { 1200, 1.98e6, 1, 50, 0.4 },
  [LW_KIND_POLYMER_CAPACITOR] = { 1000, 1.8e6, 1, 50, 0.4 },
  /* Porous tantalum (140 J/kgK) in mould: a 7.3 x 4.3 x 2.8 mm part of 0.3 g. From memory. */
  [LW_KIND_TANTALUM] = { 450, 1.7e6, 3, 3, 0.92 },
  /* PP or PET film 1400 x 1200 in a box. Handbook. */
  [LW_KIND_FILM_CAPACITOR] = { 1250, 1.6e6, 0.3, 0.3, 0.92 },
  /* Carbon electrodes soaked in acetonitrile in an aluminium can. From memory. */
  [LW_KIND_SUPERCAPACITOR] = { 1500, 1.95e6, 1, 30, 0.4 },
  /* Ferrite or iron powder 4800 x 700 with copper. Handbook, shares from memory. */
  [LW_KIND_INDUCTOR] = { 650, 3.3e6, 5, 5, 0.9 },
  /* Ceramic tub with a metal lid, 70 % filled. From memory. */
  [LW_KIND_CRYSTAL] = { 700, 1.8e6, 8, 4, 0.5 },
  /* Ceramic or plastic carrier under silicone. From memory. */
  [LW_KIND_LED] = { 900, 2.0e6, 3, 2, 0.9 },
  /* LCP, PA or PBT 1600 x 1200, k 0.3 (handbook), with metal contacts, 70 % filled (from memory). */
  [LW_KIND_CONNECTOR] = { 1100, 1.4e6, 0.4, 0.4, 0.92 },
  [LW_KIND_SWITCH] = { 1000, 1.4e6, 0.5, 0.5, 0.9 },
  /* Copper coil and iron yoke in plastic. From memory. */
  [LW_KIND_RELAY] = { 650, 1.8e6, 2, 2, 0.92 },
  /* A 20 x 3.2 mm cell weighs 3.0 g: steel case, manganese dioxide, lithium, solvent. From memory. */
  [LW_KIND_COIN_CELL] = { 750, 2.2e6, 5, 2, 0.2 },
  /* High-temperature plastic frame and springs with its cell, from memory. */
  [LW_KIND_CELL_HOLDER] = { 850, 1.6e6, 3, 1, 0.6 },
  /* Metal lid over air on a small circuit board. From memory. */
  [LW_KIND_MICROPHONE] = { 600, 1.0e6, 2, 0.3, 0.3 },
  /* Circuit board and parts under a can, half filled. From memory. */
  [LW_KIND_MODULE] = { 800, 1.3e6, 8, 0.5, 0.4 },
  [LW_KIND_FUSE] = { 850, 2.6e6, 5, 5, 0.85 },
  /* Ferrite and copper. Handbook, shares from memory. */
  [LW_KIND_TRANSFORMER] = { 650, 2.8e6, 5, 4, 0.9 },
  [LW_KIND_OPTOCOUPLER] = { 880, 1.67e6, 0.9, 0.9, 0.92 },
  /* 0.2 mm sheet steel or nickel silver, 3.77 MJ/m3K, over air: capacity is replaced by area in
   * shell_capacity(); tinned. From memory. */
  [LW_KIND_SHIELD_CAN] = { 460, 0.4e6, 5, 0.1, 0.2 },
  /* Steel or brass 8000 x 450, 70 % filled. Handbook. */
  [LW_KIND_MECHANICAL] = { 450, 2.5e6, 30, 30, 0.3 },
};

const LwKindMatter *
lw_kind_matter (LwPackageKind kind)
{
  return &matter[kind < LW_N_KINDS ? kind : LW_KIND_OTHER];
}

/* ---- layers ---- */

static void
append (HeatBody *body, double thickness_m, double k_in, double k_thr, double rho_c)
{
  if (body->n_layers < HEAT_BODY_LAYERS_MAX && thickness_m > 0)
    body->layers[body->n_layers++] = (HeatLayer){ thickness_m, k_in, k_thr, rho_c };
}

/* Equal layers of one material, about 1 mm each. */
static void
append_block (HeatBody *body, double thickness_m, double k_in, double k_thr, double rho_c)
{
  guint n = CLAMP ((guint) ceil (thickness_m / 1e-3 - 1e-9), 1, HEAT_BODY_LAYERS_MAX - body->n_layers);

  for (guint i = 0; i < n; i++)
    append (body, thickness_m / n, k_in, k_thr, rho_c);
}

/* Substrate with two 27 um copper layers at 70 % in 0.56 mm of BT and its vias, mould 0.9 W/mK above it
 * (package outlines MS-034, handbook values). */
static void
area_array (HeatBody *body, double thickness_m, double rho_c)
{
  double substrate_m = fmin (0.56e-3, 0.35 * thickness_m), mould_m = thickness_m - substrate_m;

  append (body, substrate_m, 26.3, 2.0, rho_c);
  append (body, mould_m / 2, 0.9, 0.9, rho_c);
  append (body, mould_m / 2, 0.9, 0.9, rho_c);
}

/* A copper frame of half cover (leads and die pad) within or under mould; rows of frame_at: share of the
 * mould below it. */
static void
framed (HeatBody *body, double thickness_m, double frame_m, double frame_at, const LwKindMatter *m)
{
  double mould_m = thickness_m - frame_m;

  if (mould_m < frame_m) {
    append_block (body, thickness_m, m->k_in_w_mk, m->k_thr_w_mk, m->rho_c_j_m3k);
    return;
  }
  append (body, frame_at * mould_m, m->k_in_w_mk, m->k_thr_w_mk, m->rho_c_j_m3k);
  append (body, frame_m, 0.5 * 385, 100, 0.5 * 3.41e6 + 0.5 * m->rho_c_j_m3k);
  append (body, (1 - frame_at) * mould_m, m->k_in_w_mk, m->k_thr_w_mk, m->rho_c_j_m3k);
}

/* Sheet metal over air: top and walls, spread over the box. */
static double
shell_capacity (double thickness_m, double area_m2)
{
  const double sheet_m = 0.2e-3, rho_c = 3.77e6;
  double walls_m2 = 4 * sqrt (area_m2) * thickness_m;

  return sheet_m * rho_c * (area_m2 + walls_m2) / (area_m2 * thickness_m);
}

static void
layers_by_kind (LwPackageKind kind, double thickness_m, double area_m2, HeatBody *body)
{
  const LwKindMatter *m = lw_kind_matter (kind);

  switch (kind) {
  case LW_KIND_AREA_ARRAY:
    area_array (body, thickness_m, m->rho_c_j_m3k);
    break;
  case LW_KIND_LEADED:
    framed (body, thickness_m, 0.15e-3, 0.5, m);
    break;
  case LW_KIND_LEADLESS:
    framed (body, thickness_m, 0.2e-3, 0, m);
    break;
  case LW_KIND_SHIELD_CAN:
    append_block (body, thickness_m, m->k_in_w_mk, m->k_thr_w_mk, shell_capacity (thickness_m, area_m2));
    break;
  default:
    append_block (body, thickness_m, m->k_in_w_mk, m->k_thr_w_mk, m->rho_c_j_m3k);
  }
}

/* The package's own layers, stretched to the body's thickness; those beyond the scene's number are laid
 * together with the last. */
static void
layers_given (const LwPackage *package, double thickness_m, HeatBody *body)
{
  double total = 0;

  for (guint i = 0; i < package->body->len; i++)
    total += ((const LwBodyLayer *) g_ptr_array_index (package->body, i))->thickness_mm * 1e-3;
  for (guint i = 0; i < package->body->len; i++) {
    const LwBodyLayer *given = g_ptr_array_index (package->body, i);
    double t = given->thickness_mm * 1e-3 * thickness_m / total;
    HeatLayer *last = &body->layers[HEAT_BODY_LAYERS_MAX - 1];
    if (i < HEAT_BODY_LAYERS_MAX) {
      append (body, t, given->k_in_plane_w_per_mk, given->k_through_w_per_mk,
              given->heat_capacity_j_per_m3k);
      continue;
    }
    double sum = last->thickness_m + t;
    last->k_in_w_mk = (last->k_in_w_mk * last->thickness_m + given->k_in_plane_w_per_mk * t) / sum;
    last->k_thr_w_mk = sum / (last->thickness_m / last->k_thr_w_mk + t / given->k_through_w_per_mk);
    last->rho_c_j_m3k
        = (last->rho_c_j_m3k * last->thickness_m + given->heat_capacity_j_per_m3k * t) / sum;
    last->thickness_m = sum;
  }
}

double
lw_body_capacity (const HeatBody *body, double area_m2)
{
  double sum = 0;

  for (size_t i = 0; i < body->n_layers; i++)
    sum += body->layers[i].thickness_m * body->layers[i].rho_c_j_m3k * area_m2;
  return sum;
}

/* Heat capacity of the whole package where something about it is known, else NaN. */
static double
known_capacity (const LwPackage *package)
{
  if (package->heat_capacity_j_per_k > 0)
    return package->heat_capacity_j_per_k;
  if (package->mass_g > 0 && package->body->len == 0)
    return package->mass_g * 1e-3 * lw_kind_matter (package->kind)->cp_j_kgk;
  return NAN;
}

void
lw_body_layers (const LwPackage *package, double thickness_m, double area_m2, double joints_j_k,
                HeatBody *body)
{
  double known = known_capacity (package), scale;

  body->n_layers = 0;
  if (package->body->len > 0)
    layers_given (package, thickness_m, body);
  else
    layers_by_kind (package->kind, thickness_m, area_m2, body);
  if (isnan (known))
    return;
  scale = fmax (known - joints_j_k, 0.5 * known) / lw_body_capacity (body, area_m2);
  for (size_t i = 0; i < body->n_layers; i++)
    body->layers[i].rho_c_j_m3k *= scale;
}
