/* What a part stands when its own data say nothing, by class (J-STD-020) and by kind. Every figure
 * carries where it was read; "from memory" where that is the truth. */
#include "plan/part-limits.h"

#include <glib/gi18n.h>
#include <math.h>
#include <string.h>

#include "board/library.h"

#define SOURCE_CLASS_LEAD_FREE N_("J-STD-020 Table 4-2 (lead-free), by body thickness and volume")
#define SOURCE_CLASS_TIN_LEAD                                                                           \
  N_("J-STD-020 Table 4-1 (tin-lead), rev D on, by body thickness and volume, from memory")
#define SOURCE_CLASS_RAMP N_("J-STD-020 Table 5-2 classification profile")
#define SOURCE_ARRAY                                                                                    \
  N_("Ismail et al., Scientific Reports 12:15118 (2022): joints of neighbouring arrays crack beyond it")
#define SOURCE_NON_IC                                                                                   \
  N_("usual reflow qualification of non-IC parts, 260 °C for 40 s: SMT Magazine, April 2015, p. 66")
#define SOURCE_CAN N_("surface-mount aluminium capacitor data, kjelec V-chip, after J-STD-020C")
#define SOURCE_MLCC                                                                                     \
  N_("ceramic capacitor maker’s guidance: TDK FAQ, multilayer ceramic capacitors (2 °C/s, at most 4)")

typedef struct {
  LwPackageKind kind;
  LwLimitKind limit;
  double value, at_c;
  const char *source; /* to be translated */
} KindLimit;

/* NAN in at_c where the limit has none. */
static const KindLimit KIND_LIMITS[] = {
  { LW_KIND_CERAMIC_CAPACITOR, LW_LIMIT_BODY_PEAK_C, 260, NAN,
    N_("ceramic capacitor sheet, 260 °C for 10 s: Samsung CL10") },
  { LW_KIND_CERAMIC_CAPACITOR, LW_LIMIT_RAMP_UP_C_PER_S, 4, NAN, SOURCE_MLCC },
  { LW_KIND_RESISTOR, LW_LIMIT_BODY_PEAK_C, 260, NAN, SOURCE_NON_IC },
  { LW_KIND_FILM_CAPACITOR, LW_LIMIT_BODY_PEAK_C, 110, NAN,
    N_("polypropylene film, inner temperature: KEMET F3072 (the dielectric is not given; polyester and PPS "
    "stand 160 °C)") },
  { LW_KIND_SUPERCAPACITOR, LW_LIMIT_BODY_PEAK_C, 100, NAN,
    N_("Cornell Dubilier supercapacitor guidance: no reflow, board top at most 100 °C") },
  { LW_KIND_SUPERCAPACITOR, LW_LIMIT_BODY_TIME_ABOVE_S, 60, 85,
    N_("Cornell Dubilier supercapacitor guidance: at most 60 s hot; the 85 °C level is from memory") },
  { LW_KIND_INDUCTOR, LW_LIMIT_BODY_PEAK_C, 255, NAN, N_("Coilcraft solder profile page, 255-260 °C") },
  { LW_KIND_CRYSTAL, LW_LIMIT_BODY_PEAK_C, 260, NAN,
    N_("crystal makers’ sheets, 260 °C for 10 s, from memory") },
  { LW_KIND_LED, LW_LIMIT_BODY_PEAK_C, 260, NAN, N_("LED makers’ sheets, 260 °C for 10 s: Luxpia, Seoul") },
  { LW_KIND_CONNECTOR, LW_LIMIT_BODY_PEAK_C, 260, NAN,
    N_("surface-mount connector with high-temperature housing: TE 114-13120") },
  { LW_KIND_SWITCH, LW_LIMIT_BODY_PEAK_C, 250, NAN, N_("switch sheet: Alps SLLB5") },
  { LW_KIND_SWITCH, LW_LIMIT_BODY_TIME_ABOVE_S, 30, 230, N_("switch sheet: Alps SLLB5") },
  { LW_KIND_RELAY, LW_LIMIT_BODY_PEAK_C, 230, NAN,
    N_("signal relay makers’ sheets, 230-245 °C, from memory") },
  { LW_KIND_COIN_CELL, LW_LIMIT_BODY_PEAK_C, 85, NAN,
    N_("lithium coin cell: Renata soldering page (no reflow with the cell fitted)") },
  { LW_KIND_CELL_HOLDER, LW_LIMIT_BODY_PEAK_C, 270, NAN,
    N_("empty cell holder, 270 °C for 40 s: Renata soldering page") },
  { LW_KIND_MICROPHONE, LW_LIMIT_BODY_PEAK_C, 260, NAN,
    N_("microphone sheet, 260 °C for 20-40 s: Knowles SPH1642HT5H") },
  { LW_KIND_MODULE, LW_LIMIT_BODY_PEAK_C, 260, NAN, N_("radio module sheet, 260 °C for 30 s: MOKO MK01") },
  { LW_KIND_FUSE, LW_LIMIT_BODY_PEAK_C, 260, NAN, N_("fuse makers’ sheets, 260 °C for 10 s, from memory") },
  { LW_KIND_TRANSFORMER, LW_LIMIT_BODY_PEAK_C, 245, NAN,
    N_("transformer and choke makers’ sheets, 245-260 °C, from memory") },
  { LW_KIND_TRANSFORMER, LW_LIMIT_RAMP_UP_C_PER_S, 4, NAN,
    N_("ferrite makers’ guidance, 3-4 °C/s, from memory") },
  { LW_KIND_OPTOCOUPLER, LW_LIMIT_BODY_PEAK_C, 260, NAN,
    N_("optocoupler makers’ sheets, 260 °C for 10 s, from memory") },
  { LW_KIND_OTHER, LW_LIMIT_BODY_PEAK_C, 260, NAN, SOURCE_NON_IC },
  { LW_KIND_OTHER, LW_LIMIT_BODY_TIME_ABOVE_S, 90, 220,
    N_("what most surface-mount parts stand, 220 °C for 90 s: TDK FAQ") },
};

/* Aluminium cans of 4 to 6.3, 8, 10 mm and larger: largest width of the base plate and height a row
 * covers, mm (base plates are some 0.3 mm wider than the can). */
static const struct {
  double diameter_mm, height_mm, peak_c, above_217_s;
} CANS[] = {
  { 7.0, INFINITY, 250, 90 },  { 9.0, 7.0, 250, 90 },           { 9.0, INFINITY, 240, 90 },
  { 11.0, INFINITY, 235, 60 }, { INFINITY, INFINITY, 230, 30 },
};

const char *
lw_limits_alloy (const LwJob *job, const LwPart *part)
{
  return part->alloy != NULL && *part->alloy != '\0' ? part->alloy : job->alloy;
}

const char *
lw_limits_plan_alloy (const LwJob *job, const LwPlan *plan, const LwPart *part)
{
  gboolean solders = plan->operation == LW_OP_PLACE || plan->operation == LW_OP_REFLOW;

  return solders && *plan->alloy != '\0' ? plan->alloy : lw_limits_alloy (job, part);
}

gboolean
lw_limits_lead_free (const char *alloy)
{
  return alloy == NULL || strstr (alloy, "Pb") == NULL;
}

/* Tin with silver and copper ("SAC..."). */
static gboolean
is_tin_silver_copper (const char *alloy)
{
  return alloy != NULL && g_ascii_strncasecmp (alloy, "SAC", 3) == 0;
}

const LwLimit *
lw_limits_find (const GArray *limits, LwLimitKind kind)
{
  for (guint i = 0; limits != NULL && i < limits->len; i++) {
    const LwLimit *limit = &g_array_index (limits, LwLimit, i);
    if (limit->kind == kind)
      return limit;
  }
  return NULL;
}

static void
add_if_new (GArray *limits, LwLimitKind kind, double value, double at_c, const char *source)
{
  if (lw_limits_find (limits, kind) == NULL)
    lw_limits_add (limits, kind, value, at_c, source);
}

/* What the part or its package says of the same kind is a limit, not an alarm. */
static void
add_alarm (GArray *limits, LwLimitKind kind, double value, const char *source)
{
  if (lw_limits_find (limits, kind) != NULL)
    return;
  lw_limits_add (limits, kind, value, NAN, source);
  g_array_index (limits, LwLimit, limits->len - 1).alarm = TRUE;
}

static void
add_own (GArray *limits, const GArray *own)
{
  for (guint i = 0; own != NULL && i < own->len; i++) {
    const LwLimit *limit = &g_array_index (own, LwLimit, i);
    add_if_new (limits, limit->kind, limit->value, limit->at_c, limit->source);
  }
}

static double
class_of (const LwPart *part, const LwPackage *package, gboolean lead_free)
{
  double height = lw_part_height_mm (part, package, NULL) - part->offset_mm;
  double thickness = MAX (height - package->joints.standoff_mm, 0);
  double area = package->length_mm * package->width_mm * (package->round ? G_PI / 4 : 1);
  return lw_classify_body_c (thickness, thickness * area, lead_free);
}

static gboolean
is_classified (LwPackageKind kind)
{
  return kind == LW_KIND_AREA_ARRAY || kind == LW_KIND_LEADED || kind == LW_KIND_LEADLESS
         || kind == LW_KIND_TANTALUM || kind == LW_KIND_POLYMER_CAPACITOR;
}

static void
add_class (GArray *limits, const LwPart *part, const LwPackage *package, gboolean lead_free)
{
  if (!is_classified (package->kind))
    return;
  add_if_new (limits, LW_LIMIT_BODY_PEAK_C, class_of (part, package, lead_free), NAN,
              lead_free ? _(SOURCE_CLASS_LEAD_FREE) : _(SOURCE_CLASS_TIN_LEAD));
  if (package->kind == LW_KIND_TANTALUM || package->kind == LW_KIND_POLYMER_CAPACITOR)
    return;
  add_if_new (limits, LW_LIMIT_RAMP_UP_C_PER_S, 3, NAN, _(SOURCE_CLASS_RAMP));
  add_if_new (limits, LW_LIMIT_RAMP_DOWN_C_PER_S, 6, NAN, _(SOURCE_CLASS_RAMP));
}

static guint
can_of (const LwPart *part, const LwPackage *package)
{
  double diameter = MAX (package->length_mm, package->width_mm);
  double height = lw_part_height_mm (part, package, NULL);
  guint row = 0;

  while (diameter > CANS[row].diameter_mm || height > CANS[row].height_mm)
    row++;
  return row;
}

static void
add_can (GArray *limits, const LwPart *part, const LwPackage *package)
{
  guint row = can_of (part, package);

  add_if_new (limits, LW_LIMIT_BODY_PEAK_C, CANS[row].peak_c, NAN, _(SOURCE_CAN));
  add_if_new (limits, LW_LIMIT_BODY_TIME_ABOVE_S, CANS[row].above_217_s, 217, _(SOURCE_CAN));
}

static void
add_kind (GArray *limits, LwPackageKind kind)
{
  for (guint i = 0; i < G_N_ELEMENTS (KIND_LIMITS); i++)
    if (KIND_LIMITS[i].kind == kind)
      add_if_new (limits, KIND_LIMITS[i].limit, KIND_LIMITS[i].value, KIND_LIMITS[i].at_c,
                  _(KIND_LIMITS[i].source));
}

static void
add_joints (GArray *limits, const LwPackage *package, const char *alloy_name)
{
  const LwAlloy *alloy = lw_library_alloy (alloy_name);
  if (alloy != NULL) {
    g_autofree char *source = g_strdup_printf (_("solidus of %s: %s"), alloy->name, alloy->source);
    add_if_new (limits, LW_LIMIT_JOINT_PEAK_C, alloy->solidus_c, NAN, source);
  }
  if (package->kind == LW_KIND_AREA_ARRAY && is_tin_silver_copper (alloy_name)) {
    add_alarm (limits, LW_LIMIT_JOINT_CENTER_PEAK_C, 195, _(SOURCE_ARRAY));
    add_alarm (limits, LW_LIMIT_JOINT_CORNER_PEAK_C, 210, _(SOURCE_ARRAY));
  }
}

GArray *
lw_limits_of (const LwJob *job, const LwPart *part)
{
  GArray *limits = lw_limits_new ();
  const LwPackage *package = lw_job_package_of (job, part);
  const char *alloy = lw_limits_alloy (job, part);

  add_own (limits, part->limits);
  if (package == NULL)
    return limits;
  add_own (limits, package->limits);
  if (package->joints.pattern != LW_JOINTS_NONE)
    add_joints (limits, package, alloy);
  add_class (limits, part, package, lw_limits_lead_free (alloy));
  if (package->kind == LW_KIND_ELECTROLYTIC)
    add_can (limits, part, package);
  add_kind (limits, package->kind);
  return limits;
}

static double
kind_peak_c (LwPackageKind kind)
{
  for (guint i = 0; i < G_N_ELEMENTS (KIND_LIMITS); i++)
    if (KIND_LIMITS[i].kind == kind && KIND_LIMITS[i].limit == LW_LIMIT_BODY_PEAK_C)
      return KIND_LIMITS[i].value;
  return INFINITY;
}

double
lw_limits_body_peak_c (const LwJob *job, const LwPart *part)
{
  const LwPackage *package = lw_job_package_of (job, part);
  const LwLimit *own = lw_limits_find (part->limits, LW_LIMIT_BODY_PEAK_C);

  if (own == NULL && package != NULL)
    own = lw_limits_find (package->limits, LW_LIMIT_BODY_PEAK_C);
  if (own != NULL || package == NULL)
    return own != NULL ? own->value : INFINITY;
  if (is_classified (package->kind))
    return class_of (part, package, lw_limits_lead_free (lw_limits_alloy (job, part)));
  return package->kind == LW_KIND_ELECTROLYTIC ? CANS[can_of (part, package)].peak_c : kind_peak_c (package->kind);
}

double
lw_limits_caution_body_c (const LwJob *job, const LwPart *part, const char **source)
{
  const LwPackage *package = lw_job_package_of (job, part);
  if (package == NULL || lw_limits_find (part->limits, LW_LIMIT_BODY_PEAK_C) != NULL
      || lw_limits_find (package->limits, LW_LIMIT_BODY_PEAK_C) != NULL)
    return NAN;
  switch (package->kind) {
  case LW_KIND_ELECTROLYTIC:
    *source = _("the fluid of aluminium capacitors in rework, common practice, from memory");
    return 150;
  case LW_KIND_CONNECTOR:
    *source = _("thermoplastic housings not rated for reflow: a terminal block maker’s note");
    return 170;
  case LW_KIND_TANTALUM:
    *source = _("inner temperature of manganese-dioxide tantalums: a maker’s note (nemco)");
    return 220;
  default:
    return NAN;
  }
}

double
lw_limits_caution_joint_c (const LwJob *job, const LwPart *part, const char **source)
{
  const LwPackage *package = lw_job_package_of (job, part);
  if (package == NULL || package->kind != LW_KIND_AREA_ARRAY
      || lw_limits_lead_free (lw_limits_alloy (job, part)))
    return NAN;
  *source = _("what a customer asked of neighbours’ tin-lead joints: trade forum, 2004 (weak source)");
  return 160;
}
