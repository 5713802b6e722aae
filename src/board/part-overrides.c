/* A package as one part has it: what the part says takes the place of what the package says. */
#include <math.h>

#include "board/package-book.h"

/* Figures that simply take each other's place. */
static const struct {
  gsize instead, package;
} pairs[] = {
#define PAIR(member, place) { offsetof (LwOverrides, member), offsetof (LwPackage, place) }
  PAIR (length_mm, length_mm),
  PAIR (width_mm, width_mm),
  PAIR (center_x_mm, center_x_mm),
  PAIR (center_y_mm, center_y_mm),
  PAIR (mass_g, mass_g),
  PAIR (heat_capacity_j_per_k, heat_capacity_j_per_k),
  PAIR (emissivity, emissivity),
  PAIR (pitch_mm, joints.pitch_mm),
  PAIR (span_x_mm, joints.span_x_mm),
  PAIR (span_y_mm, joints.span_y_mm),
  PAIR (joint_length_mm, joints.length_mm),
  PAIR (joint_width_mm, joints.width_mm),
  PAIR (standoff_mm, joints.standoff_mm),
  PAIR (thermal_pad_length_mm, joints.thermal_pad_length_mm),
  PAIR (thermal_pad_width_mm, joints.thermal_pad_width_mm),
  PAIR (lead_w_per_k, joints.lead_w_per_k),
#undef PAIR
};

static const struct {
  gsize instead, package;
} counts[] = {
#define PAIR(member) { offsetof (LwOverrides, member), offsetof (LwPackage, joints.member) }
  PAIR (columns),
  PAIR (rows),
  PAIR (hole_columns),
  PAIR (hole_rows),
#undef PAIR
};

/* All figures but the kind, one after the other: asked of every part of a board again and again. */
#define FIRST offsetof (LwOverrides, length_mm)
#define N_FIGURES (G_N_ELEMENTS (pairs) + G_N_ELEMENTS (counts))
G_STATIC_ASSERT (sizeof (LwOverrides) == FIRST + N_FIGURES * sizeof (double));

gboolean
lw_part_overrides (const LwPart *part)
{
  const double *own = &part->overrides.length_mm;
  gboolean any = part->overrides.kind != 0;

  for (guint i = 0; i < N_FIGURES; i++)
    any |= !isnan (own[i]);
  return any;
}

/* Another body has another outline: the package's own is moved and stretched with the box. */
static void
stretch_outline (LwPackage *own, const LwPackage *base)
{
  double fx = own->length_mm / base->length_mm, fy = own->width_mm / base->width_mm;

  if (own->outline == NULL
      || (fx == 1 && fy == 1 && own->center_x_mm == base->center_x_mm && own->center_y_mm == base->center_y_mm))
    return;
  /* an arc keeps its bulge only when both sides stretch alike: a box is truer than a wrong arc */
  if (fabs (fx / fy - 1) > 1e-9) {
    g_clear_pointer (&own->outline, lw_loop_unref);
    return;
  }
  LwLoop *loop = lw_loop_copy (own->outline);
  for (guint i = 0; i < loop->corners->len; i++) {
    LwVertex *corner = &g_array_index (loop->corners, LwVertex, i);

    corner->x_mm = own->center_x_mm + fx * (corner->x_mm - base->center_x_mm);
    corner->y_mm = own->center_y_mm + fy * (corner->y_mm - base->center_y_mm);
  }
  lw_loop_unref (own->outline);
  own->outline = loop;
}

/* The same matter of another mass holds heat in proportion. */
static void
follow_mass (LwPackage *own, const LwPackage *base, const LwOverrides *instead)
{
  if (!isnan (instead->mass_g) && isnan (instead->heat_capacity_j_per_k) && base->mass_g > 0)
    own->heat_capacity_j_per_k = base->heat_capacity_j_per_k * instead->mass_g / base->mass_g;
}

LwPackage *
lw_part_own_package (const LwPart *part, const LwPackage *base)
{
  const LwOverrides *instead = &part->overrides;
  LwPackage *own;

  if (!lw_part_overrides (part))
    return NULL;
  own = lw_package_copy (base);
  if (instead->kind != 0)
    own->kind = (LwPackageKind) (instead->kind - 1);
  for (guint i = 0; i < G_N_ELEMENTS (pairs); i++) {
    double value = G_STRUCT_MEMBER (double, instead, pairs[i].instead);

    if (!isnan (value))
      G_STRUCT_MEMBER (double, own, pairs[i].package) = value;
  }
  for (guint i = 0; i < G_N_ELEMENTS (counts); i++) {
    double value = G_STRUCT_MEMBER (double, instead, counts[i].instead);

    if (!isnan (value))
      G_STRUCT_MEMBER (guint, own, counts[i].package) = (guint) value;
  }
  own->joints.hole_columns = MIN (own->joints.hole_columns, own->joints.columns);
  own->joints.hole_rows = MIN (own->joints.hole_rows, own->joints.rows);
  follow_mass (own, base, instead);
  stretch_outline (own, base);
  return own;
}
