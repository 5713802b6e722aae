/* The inspector's rows for what a part says in place of its package: every figure the package has. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <glib/gi18n.h>

#include "widgets/choice-row.h"
#include "widgets/inspector-private.h"
#include "widgets/words.h"

typedef enum { GROUP_BODY, GROUP_JOINTS, GROUP_PAD, N_GROUPS } Group;

/* One figure; columns to holes count joints of a grid or of rows, and a pattern that has none lacks them. */
static const struct {
  const char *member, *title, *unit;
  int digits;
  double step;
  Group group;
  gsize instead, package;
  guint patterns; /* bits of LwJointPattern it means something for; 0 = all */
} figures[] = {
#define BODY(member, title, unit, digits, step) \
  { #member, title, unit, digits, step, GROUP_BODY, offsetof (LwOverrides, member), offsetof (LwPackage, member), 0 }
#define JOINT(member, place, title, unit, digits, step, group, patterns) \
  { #member, title, unit, digits, step, group, offsetof (LwOverrides, member), offsetof (LwPackage, joints.place), patterns }
#define IN_ROWS (1u << LW_JOINTS_GRID | 1u << LW_JOINTS_FOUR_SIDES | 1u << LW_JOINTS_TWO_SIDES)
#define BESIDE (1u << LW_JOINTS_FOUR_SIDES | 1u << LW_JOINTS_TWO_SIDES | 1u << LW_JOINTS_TWO_ENDS)
  BODY (length_mm, N_("Body length"), "mm", 3, 0.1),
  BODY (width_mm, N_("Body width"), "mm", 3, 0.1),
  BODY (center_x_mm, N_("Body’s middle, x"), "mm", 3, 0.1),
  BODY (center_y_mm, N_("Body’s middle, y"), "mm", 3, 0.1),
  BODY (mass_g, N_("Mass"), "g", 4, 0.1),
  BODY (heat_capacity_j_per_k, N_("Heat capacity"), "J/K", 4, 0.1),
  BODY (emissivity, N_("Emissivity"), "", 2, 0.05),
  JOINT (columns, columns, N_("Joints along x"), "", 0, 1, GROUP_JOINTS, IN_ROWS),
  JOINT (rows, rows, N_("Joints along y"), "", 0, 1, GROUP_JOINTS, IN_ROWS),
  JOINT (hole_columns, hole_columns, N_("Left out in the middle, x"), "", 0, 1, GROUP_JOINTS, 1u << LW_JOINTS_GRID),
  JOINT (hole_rows, hole_rows, N_("Left out in the middle, y"), "", 0, 1, GROUP_JOINTS, 1u << LW_JOINTS_GRID),
  JOINT (pitch_mm, pitch_mm, N_("Pitch"), "mm", 3, 0.1, GROUP_JOINTS, IN_ROWS),
  JOINT (span_x_mm, span_x_mm, N_("Span along x"), "mm", 3, 0.1, GROUP_JOINTS, BESIDE),
  JOINT (span_y_mm, span_y_mm, N_("Span along y"), "mm", 3, 0.1, GROUP_JOINTS, BESIDE),
  JOINT (joint_length_mm, length_mm, N_("Joint length"), "mm", 3, 0.05, GROUP_JOINTS, 0),
  JOINT (joint_width_mm, width_mm, N_("Joint width"), "mm", 3, 0.05, GROUP_JOINTS, 0),
  JOINT (standoff_mm, standoff_mm, N_("Stand-off"), "mm", 3, 0.05, GROUP_JOINTS, 0),
  JOINT (lead_w_per_k, lead_w_per_k, N_("Conductance of a lead"), "W/K", 4, 0.01, GROUP_JOINTS, 0),
  JOINT (thermal_pad_length_mm, thermal_pad_length_mm, N_("Thermal pad, length"), "mm", 3, 0.1, GROUP_PAD, 0),
  JOINT (thermal_pad_width_mm, thermal_pad_width_mm, N_("Thermal pad, width"), "mm", 3, 0.1, GROUP_PAD, 0),
};

static const LwPart *
part_at (LwInspector *self, guint index)
{
  return g_ptr_array_index (lw_desk_job (lw_inspector_desk (self))->parts, index);
}

/* What the base package says, without the part's own words: NULL when nobody knows it. */
static LwPackage *
base_package (LwInspector *self, guint index)
{
  g_autoptr (LwPart) plain = lw_part_new (), part = lw_part_copy (part_at (self, index));
  const LwPackage *package;

  part->overrides = plain->overrides;
  package = lw_job_package_of (lw_desk_job (lw_inspector_desk (self)), part);
  return package != NULL ? lw_package_ref ((LwPackage *) package) : NULL;
}

/* Counts are whole numbers in the package, and numbers that may be absent in the part. */
static double
package_figure (const LwPackage *package, guint i)
{
  gboolean count = figures[i].package == offsetof (LwPackage, joints.columns)
                   || figures[i].package == offsetof (LwPackage, joints.rows)
                   || figures[i].package == offsetof (LwPackage, joints.hole_columns)
                   || figures[i].package == offsetof (LwPackage, joints.hole_rows);

  return count ? G_STRUCT_MEMBER (guint, package, figures[i].package) : G_STRUCT_MEMBER (double, package, figures[i].package);
}

static gboolean
is_set (const LwPart *part, guint i)
{
  return !isnan (G_STRUCT_MEMBER (double, &part->overrides, figures[i].instead));
}

/* What the part says is shown even where the package has no use for it. */
static gboolean
is_wanted (const LwPart *part, const LwPackage *package, guint i)
{
  LwJointPattern pattern = package->joints.pattern;

  if (is_set (part, i) || figures[i].group == GROUP_BODY)
    return TRUE;
  return pattern != LW_JOINTS_NONE && (figures[i].patterns == 0 || (figures[i].patterns & 1u << pattern) != 0);
}

/* Empty, the figure is the package's, shown in grey. */
static void
add_figure (LwInspector *self, guint index, const LwPackage *package, guint i)
{
  g_autofree char *path = g_strdup_printf ("parts[%u].overrides.%s", index, figures[i].member);
  double packages = package_figure (package, i);
  g_autofree char *absent = isnan (packages) ? g_strdup (_("unknown")) : lw_figure_in (packages, figures[i].digits, figures[i].unit);

  lw_inspector_number (self, path, _(figures[i].title), figures[i].unit, figures[i].digits, figures[i].step, absent);
}

static void
add_group (LwInspector *self, guint index, const LwPackage *package, Group group, const char *title)
{
  const LwPart *part = part_at (self, index);
  gboolean any = FALSE, open = FALSE;

  for (guint i = 0; i < G_N_ELEMENTS (figures); i++)
    if (figures[i].group == group && is_wanted (part, package, i)) {
      any = TRUE;
      open |= is_set (part, i);
    }
  if (!any)
    return;
  lw_inspector_fold (self, title, open);
  for (guint i = 0; i < G_N_ELEMENTS (figures); i++)
    if (figures[i].group == group && is_wanted (part, package, i))
      add_figure (self, index, package, i);
}

static const char *
read_kind (const LwJob *job, const char *path)
{
  guint index = (guint) strtoul (path + strlen ("parts["), NULL, 10);
  const LwPart *part = index < job->parts->len ? g_ptr_array_index (job->parts, index) : NULL;

  if (part == NULL)
    return NULL;
  return part->overrides.kind == 0 ? "package" : lw_kind_word ((LwPackageKind) (part->overrides.kind - 1));
}

static void
add_kind (LwInspector *self, guint index, const LwPackage *package)
{
  g_autofree char *path = g_strdup_printf ("parts[%u].overrides.kind", index);
  /* Translators: what a part is when nothing else is said; %s is a kind, such as Connector. */
  g_autofree char *as_package = g_strdup_printf (_("As its package: %s"), lw_kind_label (package->kind));
  const char *words[LW_N_KINDS + 2] = { "package" }, *labels[LW_N_KINDS + 2] = { as_package };

  for (guint k = 0; k < LW_N_KINDS; k++) {
    words[k + 1] = lw_kind_word ((LwPackageKind) k);
    labels[k + 1] = lw_kind_label ((LwPackageKind) k);
  }
  lw_inspector_add_row (self, path,
                        lw_choice_row_new (lw_inspector_desk (self), path, _("Body kind"), words, labels, read_kind));
}

void
lw_inspector_build_instead (LwInspector *self, guint index)
{
  g_autoptr (LwPackage) package = base_package (self, index);

  if (package == NULL)
    return;
  lw_inspector_section (self, _("In place of the package"));
  add_kind (self, index, package);
  add_group (self, index, package, GROUP_BODY, _("Body"));
  add_group (self, index, package, GROUP_JOINTS, _("Joints"));
  add_group (self, index, package, GROUP_PAD, _("Thermal pad"));
}
