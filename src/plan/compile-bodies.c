#include "plan/bodies.h"
#include "plan/compile.h"

#include <glib/gi18n.h>
#include <math.h>

#include "plan/part-limits.h"

/* SAC305, when an alloy is not in the library: 217-220 C, 7380 kg/m3, 58 W/mK (solder makers' sheets);
 * 230 J/kgK, 60 J/g (calorimetry papers). */
static const LwAlloy plain_alloy = { .solidus_c = 217,
                                     .liquidus_c = 220,
                                     .density_kg_per_m3 = 7380,
                                     .k_w_per_mk = 58,
                                     .cp_j_per_kgk = 230,
                                     .latent_j_per_kg = 60e3 };

/* A part whose package nobody knows: a cube of plastic, no source. */
#define UNKNOWN_SIZE_MM 2.0

/* Bodies nearer the target's outline than this are meshed when large; as are those whose inner resistance
 * times a film of 20 W/m2K (free convection and radiation at 100 C) is above 0.15: one node does for
 * smaller Biot numbers. */
static const double near_m = 20e-3, biot_film_w_m2k = 20, biot_most = 0.15;

typedef struct {
  guint unknown_heights, unknown_joints, unknown_packages;
} Tally;

static const LwAlloy *
alloy_of (LwCase *self, const LwPart *part, gboolean target)
{
  const char *name = target ? lw_limits_plan_alloy (self->job, lw_case_plan (self), part) : lw_limits_alloy (self->job, part);
  const LwAlloy *alloy = lw_library_alloy (name);

  if (alloy != NULL)
    return alloy;
  lw_case_note (self, *name == '\0'
                          ? g_strdup (_("No alloy is named; SAC305 is assumed."))
                          : g_strdup_printf (
                              _("The alloy “%s” is not in the library; SAC305 is assumed."), name));
  alloy = lw_library_alloy ("SAC305");
  return alloy != NULL ? alloy : &plain_alloy;
}

static gboolean
is_prescribed (const LwPart *part)
{
  return part->prescribed_body_thickness_mm > 0 || part->prescribed_body_k_w_per_mk > 0
         || part->prescribed_body_heat_capacity_j_per_m3k > 0 || part->prescribed_joint_h_w_per_m2k > 0;
}

static double
emissivity_of (const LwCase *self, const LwPackage *package)
{
  const LwPrescribedFilms *films = &self->job->station->films;

  if (films->given && !isnan (films->part_emissivity))
    return films->part_emissivity;
  return isnan (package->emissivity) ? lw_kind_matter (package->kind)->emissivity : package->emissivity;
}

static void
place (LwCase *self, const LwPart *part, const LwPackage *package, double height_mm, HeatBody *body)
{
  LwPoint center = lw_part_body_center (part, package);

  body->below = lw_case_below (self, part->side);
  body->round = package->round;
  body->center = lw_case_point (self, center.x_mm, center.y_mm);
  body->angle_rad = lw_case_angle (self, lw_part_turn_deg (part));
  body->length_m = package->length_mm * 1e-3;
  body->width_m = (package->round ? package->length_mm : package->width_mm) * 1e-3;
  body->emissivity = emissivity_of (self, package);
  body->standoff_m = fmax (package->joints.standoff_mm, 0) * 1e-3;
  if (!isnan (part->offset_mm))
    body->standoff_m += fmax (part->offset_mm, 0) * 1e-3;
  body->height_m = height_mm * 1e-3;
  if (part->prescribed_body_thickness_mm > 0) {
    body->standoff_m = 0;
    body->height_m = part->prescribed_body_thickness_mm * 1e-3;
  }
  /* A body is at least a tenth of a millimetre thick, and mostly body. */
  body->standoff_m = fmin (body->standoff_m, 0.5 * body->height_m);
}

static double
area_m2 (const HeatBody *body)
{
  return body->round ? G_PI_4 * body->length_m * body->length_m : body->length_m * body->width_m;
}

/* Joints of the pattern, then those that stand for a thermal pad. */
static void
add_joints (LwCase *self, const LwPart *part, const LwPackage *package, const LwAlloy *alloy,
            HeatBody *body)
{
  g_autoptr (GArray) joints = lw_part_joints (part, package);
  LwJoint joint = lw_joint_of (package, body->standoff_m, alloy->k_w_per_mk);
  g_autoptr (GArray) pad = NULL;
  double mass;
  HeatXY *xy;

  if (joints->len == 0)
    joint = (LwJoint){ alloy->k_w_per_mk * 1e-6 / 60e-6,
                       60e-6 * 1e-6, 0 }; /* 1 mm2 of pad, 60 um of solder */
  pad = lw_pad_joints (package, body->standoff_m, alloy->k_w_per_mk, &joint);
  for (guint i = 0; pad != NULL && i < pad->len; i++) {
    const LwPoint *p = &g_array_index (pad, LwPoint, i);
    LwPoint at = lw_part_to_board (part, package->center_x_mm + p->x_mm, package->center_y_mm + p->y_mm);
    g_array_append_val (joints, at);
  }
  xy = lw_case_alloc (self, joints->len, sizeof (HeatXY));
  for (guint i = 0; i < joints->len; i++) {
    const LwPoint *p = &g_array_index (joints, LwPoint, i);
    xy[i] = lw_case_point (self, p->x_mm, p->y_mm);
  }
  mass = joint.volume_m3 * alloy->density_kg_per_m3;
  body->joints = xy;
  body->n_joints = joint.g_w_k > 0 ? joints->len : 0;
  body->joint_g_w_k = joint.g_w_k;
  body->lead_g_w_k = joint.lead_w_k;
  body->joint_c_j_k = mass * alloy->cp_j_per_kgk;
  body->joint_latent_j = mass * alloy->latent_j_per_kg;
  body->solidus_c = alloy->solidus_c;
  body->liquidus_c = alloy->liquidus_c;
}

static void
add_gap (const LwPart *part, Tally *tally, HeatBody *body)
{
  if (part->prescribed_joint_h_w_per_m2k > 0) {
    body->prescribed_h_w_m2k = part->prescribed_joint_h_w_per_m2k;
    body->joint_c_j_k = body->joint_latent_j = 0;
  } else if (body->n_joints == 0) {
    body->gap_h_w_m2k = LW_CONTACT_FILM_W_M2K;
    tally->unknown_joints++;
  } else
    body->gap_h_w_m2k = lw_gap_film (body->standoff_m, *part->underfill != '\0');
}

/* Prescribed figures take the place of generated ones; with a prescribed thickness the body is one
 * material in equal layers. */
static void
prescribe (const LwPart *part, HeatBody *body)
{
  double thickness = part->prescribed_body_thickness_mm * 1e-3;

  if (thickness > 0) {
    HeatLayer whole = { thickness, 0, 0, 0 };
    size_t n = CLAMP ((size_t) ceil (thickness / 0.4e-3 - 1e-9), 1, HEAT_BODY_LAYERS_MAX);
    for (size_t i = 0; i < body->n_layers; i++) {
      whole.k_in_w_mk += body->layers[i].k_in_w_mk / (double) body->n_layers;
      whole.k_thr_w_mk += body->layers[i].k_thr_w_mk / (double) body->n_layers;
      whole.rho_c_j_m3k += body->layers[i].rho_c_j_m3k / (double) body->n_layers;
    }
    whole.thickness_m = thickness / (double) n;
    body->n_layers = n;
    for (size_t i = 0; i < n; i++)
      body->layers[i] = whole;
  }
  for (size_t i = 0; i < body->n_layers; i++) {
    if (part->prescribed_body_k_w_per_mk > 0)
      body->layers[i].k_in_w_mk = body->layers[i].k_thr_w_mk = part->prescribed_body_k_w_per_mk;
    if (part->prescribed_body_heat_capacity_j_per_m3k > 0)
      body->layers[i].rho_c_j_m3k = part->prescribed_body_heat_capacity_j_per_m3k;
  }
}

static double
half_diagonal (const HeatBody *body)
{
  return body->round ? 0.5 * body->length_m : 0.5 * hypot (body->length_m, body->width_m);
}

static double
inner_resistance (const HeatBody *body)
{
  double r = 0;

  for (size_t i = 0; i < body->n_layers; i++)
    r += body->layers[i].thickness_m / body->layers[i].k_thr_w_mk;
  return r;
}

/* Large parts that stand near the target, where temperatures are steep, and large parts of poor conductors
 * anywhere, which are far from being of one temperature. */
static gboolean
deserves_mesh (const LwCase *self, const HeatBody *body)
{
  double across = 1e3 * fmax (body->length_m, body->width_m), biot = biot_film_w_m2k * inner_resistance (body);
  double gap = hypot (body->center.x - self->target_at.x, body->center.y - self->target_at.y)
               - half_diagonal (body) - self->target_radius_m;

  if (across <= LW_MESHED_ABOVE_MM && body->height_m * 1e3 <= LW_MESHED_ABOVE_MM)
    return FALSE;
  return gap < near_m || biot > biot_most;
}

/* A body of one node stands at its mean, which lags behind its underside through a third of its thickness
 * (the mean of a parabola): on the way to the joints as a lead, in the gap as a film. */
static void
add_inner_resistance (HeatBody *body)
{
  double r = inner_resistance (body) / 3, per_joint = (double) body->n_joints / area_m2 (body);

  if (body->gap_h_w_m2k > 0)
    body->gap_h_w_m2k = 1 / (1 / body->gap_h_w_m2k + r);
  if (body->n_joints > 0)
    body->lead_g_w_k = 1 / ((body->lead_g_w_k > 0 ? 1 / body->lead_g_w_k : 0) + r * per_joint);
}

/* While a site is cleaned its part is away: a skin of flux and old solder stands for it. The thickness is the program's own
 * choice; its heat capacity hardly matters beside the board's. */
#define SKIN_MM 0.2

static LwPackage *
bare_site (LwCase *self, const LwPackage *package)
{
  LwPackage *bare = lw_package_copy (package);

  bare->kind = LW_KIND_OTHER;
  g_ptr_array_set_size (bare->body, 0);
  bare->mass_g = bare->heat_capacity_j_per_k = NAN;
  bare->height_mm = bare->joints.standoff_mm + SKIN_MM;
  lw_case_note (self, g_strdup_printf (_("The part is off the board while its site is cleaned: a skin of %.1f mm stands for it."),
                                       SKIN_MM));
  return bare;
}

static void
add_body (LwCase *self, guint index, const LwPackage *package, gboolean target, Tally *tally)
{
  const LwPart *part = g_ptr_array_index (self->job->parts, index);
  const LwAlloy *alloy = alloy_of (self, part, target);
  HeatBody *body = &self->bodies[self->n_bodies];
  LwCaseBody *of = &self->body_of[self->n_bodies];
  gboolean known = TRUE, away = target && lw_case_plan (self)->operation == LW_OP_CLEAN;
  g_autoptr (LwPackage) bare = away ? bare_site (self, package) : NULL;
  double height = away ? part->offset_mm + bare->height_mm : lw_part_height_mm (part, package, &known);

  package = away ? bare : package;
  *of = (LwCaseBody){ index, part->side, TRUE, alloy->liquidus_c };
  place (self, part, package, height, body);
  of->height_known = known || part->prescribed_body_thickness_mm > 0;
  tally->unknown_heights += !of->height_known;
  add_joints (self, part, package, alloy, body);
  lw_body_layers (package, body->height_m - body->standoff_m, area_m2 (body),
                  (double) body->n_joints * body->joint_c_j_k, body);
  add_gap (part, tally, body);
  prescribe (part, body);
  body->meshed = target || is_prescribed (part) || deserves_mesh (self, body);
  if (!body->meshed)
    add_inner_resistance (body);
  self->n_bodies++;
}

static void
note_tally (LwCase *self, const Tally *tally)
{
  if (tally->unknown_heights > 0)
    lw_case_note (
        self,
        g_strdup_printf (
            ngettext (
                "The height of %u part is not known; a default for its kind and size is used.",
                "The heights of %u parts are not known; defaults for their kind and size are used.",
                tally->unknown_heights),
            tally->unknown_heights));
  if (tally->unknown_joints > 0)
    lw_case_note (
        self,
        g_strdup_printf (
            ngettext (
                "The joints of %u part are not known; a contact of %.0f W/m²K under its body is "
                "assumed.",
                "The joints of %u parts are not known; a contact of %.0f W/m²K under their bodies is "
                "assumed.",
                tally->unknown_joints),
            tally->unknown_joints, LW_CONTACT_FILM_W_M2K));
  if (tally->unknown_packages > 0)
    lw_case_note (
        self,
        g_strdup_printf (
            ngettext (
                "The package of %u part is not known; a box of %.0f mm is computed in its place.",
                "The packages of %u parts are not known; boxes of %.0f mm are computed in their place.",
                tally->unknown_packages),
            tally->unknown_packages, UNKNOWN_SIZE_MM));
}

static LwPackage *
unknown_package (void)
{
  LwPackage *package = lw_package_new ();

  package->length_mm = package->width_mm = package->height_mm = UNKNOWN_SIZE_MM;
  return package;
}

static gboolean
usable (const LwPackage *package)
{
  return package != NULL && package->length_mm > 0 && (package->round || package->width_mm > 0);
}

static void
note_target (LwCase *self, guint target_part)
{
  const LwPart *part = g_ptr_array_index (self->job->parts, target_part);
  const LwPackage *package = lw_job_package_of (self->job, part);
  LwPoint center = lw_part_body_center (part, package);

  self->target_at = lw_case_point (self, center.x_mm, center.y_mm);
  if (package != NULL)
    self->target_radius_m
        = 0.5e-3 * (package->round ? package->length_mm : hypot (package->length_mm, package->width_mm));
}

gboolean
lw_case_add_bodies (LwCase *self, guint target_part, GError **error)
{
  guint n = self->job->parts->len;
  Tally tally = { 0, 0, 0 };

  self->unknown = unknown_package ();
  note_target (self, target_part);
  self->bodies = lw_case_alloc (self, n, sizeof (HeatBody));
  self->body_of = lw_case_alloc (self, n, sizeof (LwCaseBody));
  for (guint i = 0; i < n; i++) {
    const LwPart *part = g_ptr_array_index (self->job->parts, i);
    const LwPackage *package = lw_job_package_of (self->job, part);
    if (!part->placed)
      continue;
    if (!usable (package)) {
      if (i == target_part) {
        g_set_error (error, LW_PREDICT_ERROR, LW_PREDICT_ERROR_JOB,
                     _("The package of %s (“%s”) is not known."), part->ref, part->package);
        return FALSE;
      }
      tally.unknown_packages++;
      package = self->unknown;
    }
    if (i == target_part)
      self->scene.target = self->n_bodies;
    add_body (self, i, package, i == target_part, &tally);
  }
  self->scene.bodies = self->bodies;
  self->scene.n_bodies = self->n_bodies;
  note_tally (self, &tally);
  return TRUE;
}
