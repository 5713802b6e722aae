/* Keys, ranges and defaults of every member of a document: docs/format.md says the same in words, and
 * data/leeward.schema.json in JSON Schema. Defaults without a source of their own are common practice. */
#include "board/types.h"

#include <math.h>
#include <stddef.h>

#include "board/copper-map.h"
#include "board/job.h"

/* Nothing on a bench is farther than this from the board's origin; a number beyond it is a slip. */
#define REACH_MM 10000.0
#define T_MIN_C (-80.0)
#define T_MAX_C 1000.0

#define NUMBER(Type, member, name, lowest, highest, standard, bits)                                       \
  {                                                                                                       \
    .key = name, .kind = LW_FIELD_NUMBER, .offset = offsetof (Type, member), .min = lowest,               \
    .max = highest, .fallback = standard, .flags = bits                                                   \
  }
/* A fact of the bench: from 0 up, unknown until somebody says it. */
#define FACT(Type, member, name, highest) NUMBER (Type, member, name, 0.0, highest, NAN, LW_FIELD_NULLABLE)
#define COUNT(Type, member, name, highest, standard)                                                      \
  {                                                                                                       \
    .key = name, .kind = LW_FIELD_COUNT, .offset = offsetof (Type, member), .max = highest,               \
    .fallback = standard                                                                                  \
  }
#define FLAG(Type, member, name, standard)                                                                \
  {                                                                                                       \
    .key = name, .kind = LW_FIELD_FLAG, .offset = offsetof (Type, member), .fallback = standard           \
  }
#define TEXT(Type, member, name, standard, bits)                                                          \
  {                                                                                                       \
    .key = name, .kind = LW_FIELD_TEXT, .offset = offsetof (Type, member), .text = standard, .flags = bits \
  }
#define WORD(Type, member, name, list, standard, bits)                                                    \
  {                                                                                                       \
    .key = name, .kind = LW_FIELD_WORD, .offset = offsetof (Type, member), .words = list,                 \
    .fallback = standard, .flags = bits                                                                   \
  }
#define CHILD(sort, Type, member, name, child, bits)                                                      \
  {                                                                                                       \
    .key = name, .kind = sort, .offset = offsetof (Type, member), .type = child, .flags = bits            \
  }
/* At most MOST elements: far beyond any real board, so that a hostile document cannot keep us busy. */
#define ARRAY(sort, Type, member, name, child, most, bits)                                                \
  {                                                                                                       \
    .key = name, .kind = sort, .offset = offsetof (Type, member), .type = child, .max = most, .flags = bits \
  }
/* At most MOST numbers in [LOWEST, HIGHEST]. */
#define SERIES(Type, member, name, lowest, highest, most, bits)                                           \
  {                                                                                                       \
    .key = name, .kind = LW_FIELD_SERIES, .offset = offsetof (Type, member), .min = lowest,               \
    .max = highest, .fallback = most, .flags = bits                                                       \
  }
/* A nesting of the file only: its members lie in the struct itself. */
#define NEST(name, child, bits)                                                                           \
  {                                                                                                       \
    .key = name, .kind = LW_FIELD_GROUP, .offset = 0, .type = child, .flags = bits                        \
  }

#define PLAIN_TYPE(name, Type, list, clear)                                                               \
  const LwType name = { sizeof (Type), LW_NO_EXTRA, list, G_N_ELEMENTS (list), NULL, clear }
#define COUNTED_TYPE(prefix, Type)                                                                        \
  const LwType prefix##_type = { sizeof (Type), offsetof (Type, extra), prefix##_fields,                  \
                                 G_N_ELEMENTS (prefix##_fields), (GDestroyNotify) prefix##_unref, NULL }

#define ABOVE LW_FIELD_ABOVE
#define NULLABLE LW_FIELD_NULLABLE
#define REQUIRED (LW_FIELD_REQUIRED | LW_FIELD_ESSENTIAL)
#define ESSENTIAL LW_FIELD_ESSENTIAL

const char *const lw_side_words[] = { "top", "bottom", NULL };
const char *const lw_limit_words[] = { "body-peak-c",         "joint-peak-c",    "joint-center-peak-c",
                                       "joint-corner-peak-c", "ramp-up-c-per-s", "ramp-down-c-per-s",
                                       "body-time-above-s",   NULL };
const char *const lw_operation_words[] = { "remove", "place", "clean", "print", "dispense", "reflow", NULL };
const char *const lw_msl_words[] = { "unknown", "1", "2", "2a", "3", "4", "5", "5a", "6", "none", NULL };
static const char *const kept_words[] = { "unknown", "room", "dry-cabinet", "dry-pack", NULL };
static const char *const baked_words[] = { "unknown", "no", "yes", NULL };
const char *const lw_kind_words[] = {
  "other",       "area-array",   "leaded",         "leadless",  "ceramic-capacitor", "resistor",
  "electrolytic", "polymer-capacitor", "tantalum", "film-capacitor", "supercapacitor", "inductor",
  "crystal",     "led",          "connector",      "switch",    "relay",             "coin-cell",
  "cell-holder", "microphone",   "module",         "fuse",      "transformer",       "optocoupler",
  "shield-can",  "mechanical",   NULL
};
static const char *const layer_words[] = { "copper", "laminate", "mask", NULL };
static const char *const pattern_words[] = { "none",     "grid",     "four-sides", "two-sides",
                                             "two-ends", "listed",   NULL };
static const char *const preheater_words[] = { "none", "warm-air", "infrared", NULL };
static const char *const shape_words[] = { "step", "ramp", NULL };

G_STATIC_ASSERT (G_N_ELEMENTS (lw_kind_words) == LW_N_KINDS + 1);
G_STATIC_ASSERT (G_N_ELEMENTS (lw_limit_words) == LW_N_LIMITS + 1);
G_STATIC_ASSERT (G_N_ELEMENTS (lw_operation_words) == LW_N_OPS + 1);
G_STATIC_ASSERT (G_N_ELEMENTS (lw_msl_words) == LW_N_MSL + 1);
G_STATIC_ASSERT (G_N_ELEMENTS (kept_words) == LW_N_STORED + 1);
G_STATIC_ASSERT (G_N_ELEMENTS (baked_words) == LW_N_BAKED + 1);

/* ---- loops and limits ---- */

static const LwField vertex_fields[] = {
  NUMBER (LwVertex, x_mm, "x_mm", -REACH_MM, REACH_MM, 0.0, REQUIRED),
  NUMBER (LwVertex, y_mm, "y_mm", -REACH_MM, REACH_MM, 0.0, REQUIRED),
  NUMBER (LwVertex, arc_deg, "arc_deg", -359.999, 359.999, 0.0, 0),
};
static PLAIN_TYPE (vertex_type, LwVertex, vertex_fields, NULL);

static const LwField loop_fields[] = {
  ARRAY (LW_FIELD_PLAIN, LwLoop, corners, "corners", &vertex_type, 100000, REQUIRED),
};
const LwType lw_loop_type = { sizeof (LwLoop), LW_NO_EXTRA, loop_fields, G_N_ELEMENTS (loop_fields),
                              (GDestroyNotify) lw_loop_unref, NULL };

static const LwField point_fields[] = {
  NUMBER (LwPoint, x_mm, "x_mm", -REACH_MM, REACH_MM, 0.0, REQUIRED),
  NUMBER (LwPoint, y_mm, "y_mm", -REACH_MM, REACH_MM, 0.0, REQUIRED),
};
static PLAIN_TYPE (point_type, LwPoint, point_fields, NULL);

static const LwField limit_fields[] = {
  WORD (LwLimit, kind, "kind", lw_limit_words, 0, REQUIRED),
  NUMBER (LwLimit, value, "value", 0.0, 10000.0, 0.0, REQUIRED),
  NUMBER (LwLimit, at_c, "at_c", T_MIN_C, T_MAX_C, NAN, NULLABLE),
  TEXT (LwLimit, source, "source", "", 0),
};

static void
clear_limit (gpointer limit)
{
  g_clear_pointer (&((LwLimit *) limit)->source, g_free);
}

PLAIN_TYPE (lw_limit_type, LwLimit, limit_fields, clear_limit);

/* ---- what is known before heat ---- */

static const LwField past_fields[] = {
  WORD (LwPast, level, "level", lw_msl_words, LW_MSL_UNKNOWN, 0),
  WORD (LwPast, kept, "kept", kept_words, LW_STORED_UNKNOWN, 0),
  TEXT (LwPast, sealed, "sealed", "", 0),
  TEXT (LwPast, opened, "opened", "", 0),
  FACT (LwPast, exposure_h, "exposure_h", 1e6),
  NUMBER (LwPast, room_c, "room_c", -40.0, 100.0, NAN, NULLABLE),
  FACT (LwPast, room_rh_percent, "room_rh_percent", 100.0),
  FACT (LwPast, label_life_h, "label_life_h", 1e5),
  FACT (LwPast, cycles_used, "cycles_used", 1000.0),
};
static PLAIN_TYPE (past_type, LwPast, past_fields, NULL);

static const LwField board_past_fields[] = {
  WORD (LwBoardPast, baked, "baked", baked_words, LW_BAKED_UNKNOWN, 0),
  TEXT (LwBoardPast, baked_until, "baked_until", "", 0),
  NUMBER (LwBoardPast, bake_c, "bake_c", T_MIN_C, T_MAX_C, NAN, NULLABLE),
  FACT (LwBoardPast, bake_h, "bake_h", 1e5),
  WORD (LwBoardPast, kept, "kept", kept_words, LW_STORED_UNKNOWN, 0),
  FACT (LwBoardPast, absorbed_percent, "absorbed_percent", 10.0),
  FACT (LwBoardPast, absorbed_max_percent, "absorbed_max_percent", 10.0),
  FACT (LwBoardPast, cycles_used, "cycles_used", 1000.0),
  FACT (LwBoardPast, cycles_allowed, "cycles_allowed", 1000.0),
  FACT (LwBoardPast, age_years, "age_years", 200.0),
};
static PLAIN_TYPE (board_past_type, LwBoardPast, board_past_fields, NULL);

static const LwField schedule_fields[] = {
  TEXT (LwSchedule, start, "start", "", 0),
  NUMBER (LwSchedule, bake_c, "bake_c", 0.0, 200.0, NAN, NULLABLE | ABOVE),
  FACT (LwSchedule, cool_min, "cool_min", 10000.0),
  FACT (LwSchedule, set_up_min, "set_up_min", 10000.0),
};
static PLAIN_TYPE (schedule_type, LwSchedule, schedule_fields, NULL);

/* ---- board ---- */

static const LwField lw_layer_fields[] = {
  TEXT (LwLayer, name, "name", "", ESSENTIAL),
  WORD (LwLayer, kind, "kind", layer_words, LW_LAYER_LAMINATE, REQUIRED),
  NUMBER (LwLayer, thickness_mm, "thickness_mm", 0.0, 20.0, NAN, NULLABLE | ABOVE),
  NUMBER (LwLayer, copper_weight_oz, "copper_weight_oz", 0.0, 100.0, 1.0, ABOVE),
  NUMBER (LwLayer, cover, "cover", 0.0, 1.0, 1.0, 0),
  TEXT (LwLayer, material, "material", "", 0),
};
COUNTED_TYPE (lw_layer, LwLayer);

static const LwField lw_copper_region_fields[] = {
  TEXT (LwCopperRegion, layer, "layer", "", REQUIRED),
  NUMBER (LwCopperRegion, cover, "cover", 0.0, 1.0, 1.0, ESSENTIAL),
  CHILD (LW_FIELD_ONE, LwCopperRegion, loop, "loop", &lw_loop_type, REQUIRED),
};
COUNTED_TYPE (lw_copper_region, LwCopperRegion);

static const LwField lw_via_field_fields[] = {
  NUMBER (LwViaField, pitch_mm, "pitch_mm", 0.0, 100.0, 1.0, REQUIRED | ABOVE),
  NUMBER (LwViaField, drill_mm, "drill_mm", 0.0, 20.0, 0.3, REQUIRED | ABOVE),
  NUMBER (LwViaField, plating_um, "plating_um", 0.0, 1000.0, 20.0, ABOVE),
  CHILD (LW_FIELD_ONE, LwViaField, loop, "loop", &lw_loop_type, REQUIRED),
};
COUNTED_TYPE (lw_via_field, LwViaField);

static const LwField lw_layer_cover_fields[] = {
  TEXT (LwLayerCover, layer, "layer", "", REQUIRED),
  TEXT (LwLayerCover, cells, "cells", "", REQUIRED),
};
COUNTED_TYPE (lw_layer_cover, LwLayerCover);

static const LwField lw_copper_map_fields[] = {
  NUMBER (LwCopperMap, x_mm, "x_mm", -REACH_MM, REACH_MM, 0.0, REQUIRED),
  NUMBER (LwCopperMap, y_mm, "y_mm", -REACH_MM, REACH_MM, 0.0, REQUIRED),
  NUMBER (LwCopperMap, cell_mm, "cell_mm", 0.0, 100.0, 0.5, REQUIRED | ABOVE),
  COUNT (LwCopperMap, columns, "columns", LW_COPPER_MAP_CELLS_MAX, 0.0),
  COUNT (LwCopperMap, rows, "rows", LW_COPPER_MAP_CELLS_MAX, 0.0),
  ARRAY (LW_FIELD_MANY, LwCopperMap, covers, "covers", &lw_layer_cover_type, 200, ESSENTIAL),
};
COUNTED_TYPE (lw_copper_map, LwCopperMap);

static const LwField board_prescribed_fields[] = {
  NUMBER (LwBoard, prescribed_k_in_plane_w_per_mk, "k_in_plane_w_per_mk", 0.0, 5000.0, NAN, NULLABLE | ABOVE),
  NUMBER (LwBoard, prescribed_k_through_w_per_mk, "k_through_w_per_mk", 0.0, 5000.0, NAN, NULLABLE | ABOVE),
  NUMBER (LwBoard, prescribed_heat_capacity_j_per_m3k, "heat_capacity_j_per_m3k", 0.0, 1e8, NAN,
          NULLABLE | ABOVE),
};
static PLAIN_TYPE (board_prescribed_type, LwBoard, board_prescribed_fields, NULL);

/* Emissivity of solder mask, 0.9: common practice, no source. */
static const LwField lw_board_fields[] = {
  TEXT (LwBoard, name, "name", "", 0),
  NUMBER (LwBoard, thickness_mm, "thickness_mm", 0.0, 100.0, 1.6, REQUIRED | ABOVE),
  FLAG (LwBoard, thickness_known, "thickness_known", TRUE),
  ARRAY (LW_FIELD_MANY, LwBoard, outline, "outline", &lw_loop_type, 20000, REQUIRED),
  FLAG (LwBoard, outline_assumed, "outline_assumed", FALSE),
  ARRAY (LW_FIELD_MANY, LwBoard, layers, "stack_up", &lw_layer_type, 200, 0),
  ARRAY (LW_FIELD_MANY, LwBoard, copper_regions, "copper_regions", &lw_copper_region_type, 20000, 0),
  ARRAY (LW_FIELD_MANY, LwBoard, via_fields, "via_fields", &lw_via_field_type, 20000, 0),
  CHILD (LW_FIELD_ONE, LwBoard, copper_map, "copper_map", &lw_copper_map_type, NULLABLE),
  NUMBER (LwBoard, emissivity, "emissivity", 0.0, 1.0, 0.9, 0),
  NEST ("prescribed", &board_prescribed_type, 0),
  CHILD (LW_FIELD_GROUP, LwBoard, past, "past", &board_past_type, 0),
};
COUNTED_TYPE (lw_board, LwBoard);

/* ---- packages and parts ---- */

static const LwField lw_body_layer_fields[] = {
  TEXT (LwBodyLayer, name, "name", "", 0),
  NUMBER (LwBodyLayer, thickness_mm, "thickness_mm", 0.0, 500.0, 1.0, REQUIRED | ABOVE),
  NUMBER (LwBodyLayer, k_in_plane_w_per_mk, "k_in_plane_w_per_mk", 0.0, 5000.0, 0.7, REQUIRED | ABOVE),
  NUMBER (LwBodyLayer, k_through_w_per_mk, "k_through_w_per_mk", 0.0, 5000.0, 0.7, REQUIRED | ABOVE),
  NUMBER (LwBodyLayer, heat_capacity_j_per_m3k, "heat_capacity_j_per_m3k", 0.0, 1e8, 1.7e6, REQUIRED | ABOVE),
};
const LwType lw_body_layer_type = { sizeof (LwBodyLayer), LW_NO_EXTRA, lw_body_layer_fields,
                                    G_N_ELEMENTS (lw_body_layer_fields), (GDestroyNotify) lw_body_layer_unref,
                                    NULL };

static const LwField joints_fields[] = {
  WORD (LwJoints, pattern, "pattern", pattern_words, LW_JOINTS_NONE, REQUIRED),
  COUNT (LwJoints, columns, "columns", 1000.0, 0.0),
  COUNT (LwJoints, rows, "rows", 1000.0, 0.0),
  COUNT (LwJoints, hole_columns, "hole_columns", 1000.0, 0.0),
  COUNT (LwJoints, hole_rows, "hole_rows", 1000.0, 0.0),
  NUMBER (LwJoints, pitch_mm, "pitch_mm", 0.0, 500.0, 0.0, 0),
  NUMBER (LwJoints, span_x_mm, "span_x_mm", 0.0, 1000.0, 0.0, 0),
  NUMBER (LwJoints, span_y_mm, "span_y_mm", 0.0, 1000.0, 0.0, 0),
  NUMBER (LwJoints, length_mm, "length_mm", 0.0, 500.0, 0.0, 0),
  NUMBER (LwJoints, width_mm, "width_mm", 0.0, 500.0, 0.0, 0),
  NUMBER (LwJoints, standoff_mm, "standoff_mm", 0.0, 100.0, 0.05, 0),
  NUMBER (LwJoints, thermal_pad_length_mm, "thermal_pad_length_mm", 0.0, 500.0, 0.0, 0),
  NUMBER (LwJoints, thermal_pad_width_mm, "thermal_pad_width_mm", 0.0, 500.0, 0.0, 0),
  NUMBER (LwJoints, lead_w_per_k, "lead_w_per_k", 0.0, 1e4, NAN, NULLABLE | ABOVE),
  ARRAY (LW_FIELD_PLAIN, LwJoints, positions, "positions", &point_type, 10000, NULLABLE),
};
static PLAIN_TYPE (joints_type, LwJoints, joints_fields, NULL);

static const LwField lw_package_fields[] = {
  TEXT (LwPackage, name, "name", "", REQUIRED),
  WORD (LwPackage, kind, "kind", lw_kind_words, LW_KIND_OTHER, ESSENTIAL),
  NUMBER (LwPackage, length_mm, "length_mm", 0.0, 1000.0, 1.0, REQUIRED | ABOVE),
  NUMBER (LwPackage, width_mm, "width_mm", 0.0, 1000.0, 1.0, ESSENTIAL | ABOVE),
  NUMBER (LwPackage, height_mm, "height_mm", 0.0, 500.0, NAN, ESSENTIAL | NULLABLE | ABOVE),
  FLAG (LwPackage, round, "round", FALSE),
  NUMBER (LwPackage, center_x_mm, "center_x_mm", -1000.0, 1000.0, 0.0, 0),
  NUMBER (LwPackage, center_y_mm, "center_y_mm", -1000.0, 1000.0, 0.0, 0),
  CHILD (LW_FIELD_ONE, LwPackage, outline, "outline", &lw_loop_type, NULLABLE),
  CHILD (LW_FIELD_GROUP, LwPackage, joints, "joints", &joints_type, 0),
  ARRAY (LW_FIELD_MANY, LwPackage, body, "body", &lw_body_layer_type, 100, 0),
  NUMBER (LwPackage, mass_g, "mass_g", 0.0, 1e5, NAN, NULLABLE | ABOVE),
  NUMBER (LwPackage, heat_capacity_j_per_k, "heat_capacity_j_per_k", 0.0, 1e5, NAN, NULLABLE | ABOVE),
  NUMBER (LwPackage, emissivity, "emissivity", 0.0, 1.0, NAN, NULLABLE),
  ARRAY (LW_FIELD_PLAIN, LwPackage, limits, "limits", &lw_limit_type, 100, 0),
  TEXT (LwPackage, source, "source", "", 0),
};
COUNTED_TYPE (lw_package, LwPackage);

static const LwField part_prescribed_fields[] = {
  NUMBER (LwPart, prescribed_body_thickness_mm, "body_thickness_mm", 0.0, 500.0, NAN, NULLABLE | ABOVE),
  NUMBER (LwPart, prescribed_body_k_w_per_mk, "body_k_w_per_mk", 0.0, 5000.0, NAN, NULLABLE | ABOVE),
  NUMBER (LwPart, prescribed_body_heat_capacity_j_per_m3k, "body_heat_capacity_j_per_m3k", 0.0, 1e8, NAN,
          NULLABLE | ABOVE),
  NUMBER (LwPart, prescribed_joint_h_w_per_m2k, "joint_h_w_per_m2k", 0.0, 1e8, NAN, NULLABLE | ABOVE),
};
static PLAIN_TYPE (part_prescribed_type, LwPart, part_prescribed_fields, NULL);

static const char *const override_kind_words[] = {
  "package",     "other",        "area-array",     "leaded",    "leadless",          "ceramic-capacitor",
  "resistor",    "electrolytic", "polymer-capacitor", "tantalum", "film-capacitor",  "supercapacitor",
  "inductor",    "crystal",      "led",            "connector", "switch",            "relay",
  "coin-cell",   "cell-holder",  "microphone",     "module",    "fuse",              "transformer",
  "optocoupler", "shield-can",   "mechanical",     NULL
};

#define INSTEAD(member, most, bits) \
  NUMBER (LwPart, overrides.member, #member, 0.0, most, NAN, NULLABLE | (bits))

static const LwField overrides_fields[] = {
  WORD (LwPart, overrides.kind, "kind", override_kind_words, 0, 0),
  INSTEAD (length_mm, 1000.0, ABOVE),
  INSTEAD (width_mm, 1000.0, ABOVE),
  NUMBER (LwPart, overrides.center_x_mm, "center_x_mm", -1000.0, 1000.0, NAN, NULLABLE),
  NUMBER (LwPart, overrides.center_y_mm, "center_y_mm", -1000.0, 1000.0, NAN, NULLABLE),
  INSTEAD (mass_g, 1e5, ABOVE),
  INSTEAD (heat_capacity_j_per_k, 1e5, ABOVE),
  INSTEAD (emissivity, 1.0, 0),
  INSTEAD (columns, 100.0, ABOVE),
  INSTEAD (rows, 100.0, ABOVE),
  INSTEAD (hole_columns, 100.0, 0),
  INSTEAD (hole_rows, 100.0, 0),
  INSTEAD (pitch_mm, 100.0, ABOVE),
  INSTEAD (span_x_mm, 1000.0, 0),
  INSTEAD (span_y_mm, 1000.0, 0),
  INSTEAD (joint_length_mm, 500.0, 0),
  INSTEAD (joint_width_mm, 500.0, 0),
  INSTEAD (standoff_mm, 100.0, 0),
  INSTEAD (thermal_pad_length_mm, 500.0, 0),
  INSTEAD (thermal_pad_width_mm, 500.0, 0),
  INSTEAD (lead_w_per_k, 1e4, ABOVE),
};
static PLAIN_TYPE (overrides_type, LwPart, overrides_fields, NULL);

static const LwField lw_part_fields[] = {
  TEXT (LwPart, ref, "ref", "", REQUIRED),
  TEXT (LwPart, package, "package", "", ESSENTIAL),
  TEXT (LwPart, value, "value", "", 0),
  NUMBER (LwPart, x_mm, "x_mm", -REACH_MM, REACH_MM, 0.0, ESSENTIAL),
  NUMBER (LwPart, y_mm, "y_mm", -REACH_MM, REACH_MM, 0.0, ESSENTIAL),
  NUMBER (LwPart, rotation_deg, "rotation_deg", -3600.0, 3600.0, 0.0, 0),
  WORD (LwPart, side, "side", lw_side_words, LW_SIDE_TOP, ESSENTIAL),
  FLAG (LwPart, locked, "locked", FALSE),
  FLAG (LwPart, placed, "placed", TRUE),
  NUMBER (LwPart, height_mm, "height_mm", 0.0, 500.0, NAN, NULLABLE | ABOVE),
  NUMBER (LwPart, offset_mm, "offset_mm", 0.0, 500.0, 0.0, 0),
  TEXT (LwPart, alloy, "alloy", "", 0),
  TEXT (LwPart, coating, "coating", "", 0),
  TEXT (LwPart, underfill, "underfill", "", 0),
  ARRAY (LW_FIELD_PLAIN, LwPart, limits, "limits", &lw_limit_type, 100, 0),
  NEST ("overrides", &overrides_type, 0),
  NEST ("prescribed", &part_prescribed_type, 0),
  CHILD (LW_FIELD_GROUP, LwPart, past, "past", &past_type, 0),
  CHILD (LW_FIELD_GROUP, LwPart, spare, "spare", &past_type, 0),
  FACT (LwPart, cycles_allowed, "cycles_allowed", 1000.0),
  FACT (LwPart, site_cycles_used, "site_cycles_used", 1000.0),
  FLAG (LwPart, kept_after, "kept_after", FALSE),
};
COUNTED_TYPE (lw_part, LwPart);

/* ---- station ---- */

static const LwField lw_nozzle_fields[] = {
  TEXT (LwNozzle, name, "name", "", REQUIRED),
  FLAG (LwNozzle, round, "round", FALSE),
  NUMBER (LwNozzle, length_mm, "length_mm", 0.0, 500.0, 10.0, REQUIRED | ABOVE),
  NUMBER (LwNozzle, width_mm, "width_mm", 0.0, 500.0, 10.0, ESSENTIAL | ABOVE),
  NUMBER (LwNozzle, wall_mm, "wall_mm", 0.0, 50.0, 0.5, 0),
  NUMBER (LwNozzle, skirt_gap_mm, "skirt_gap_mm", 0.0, 100.0, 1.0, ABOVE),
  TEXT (LwNozzle, source, "source", "", 0),
};
COUNTED_TYPE (lw_nozzle, LwNozzle);

static const LwField preheater_fields[] = {
  WORD (LwPreheater, kind, "kind", preheater_words, LW_PREHEATER_WARM_AIR, REQUIRED),
  NUMBER (LwPreheater, max_length_mm, "max_length_mm", 0.0, 5000.0, 300.0, ABOVE),
  NUMBER (LwPreheater, max_width_mm, "max_width_mm", 0.0, 5000.0, 200.0, ABOVE),
  NUMBER (LwPreheater, min_c, "min_c", T_MIN_C, T_MAX_C, 40.0, 0),
  NUMBER (LwPreheater, max_c, "max_c", T_MIN_C, T_MAX_C, 250.0, 0),
  NUMBER (LwPreheater, gap_mm, "gap_mm", 0.0, 1000.0, 25.0, ABOVE),
  NUMBER (LwPreheater, lag_s, "lag_s", 0.0, 3600.0, 20.0, 0),
  NUMBER (LwPreheater, emissivity, "emissivity", 0.0, 1.0, 0.9, 0),
  NUMBER (LwPreheater, air_speed_m_per_s, "air_speed_m_per_s", 0.0, 100.0, 1.0, 0),
};
static PLAIN_TYPE (preheater_type, LwPreheater, preheater_fields, NULL);

static const LwField holder_fields[] = {
  FLAG (LwHolder, present, "present", FALSE),
  NUMBER (LwHolder, rail_width_mm, "rail_width_mm", 0.0, 500.0, 4.0, ABOVE),
  NUMBER (LwHolder, contact_w_per_m2k, "contact_w_per_m2k", 0.0, 1e6, 200.0, 0),
  NUMBER (LwHolder, rail_rise_k, "rail_rise_k", -100.0, 500.0, 10.0, 0),
  NUMBER (LwHolder, span_support_mm, "span_support_mm", 0.0, 5000.0, NAN, NULLABLE | ABOVE),
};
static PLAIN_TYPE (holder_type, LwHolder, holder_fields, NULL);

static const LwField films_fields[] = {
  FLAG (LwPrescribedFilms, given, "given", FALSE),
  NUMBER (LwPrescribedFilms, nozzle_w_per_m2k, "nozzle_w_per_m2k", 0.0, 1e5, NAN, NULLABLE),
  NUMBER (LwPrescribedFilms, preheater_w_per_m2k, "preheater_w_per_m2k", 0.0, 1e5, NAN, NULLABLE),
  NUMBER (LwPrescribedFilms, room_up_w_per_m2k, "room_up_w_per_m2k", 0.0, 1e5, NAN, NULLABLE),
  NUMBER (LwPrescribedFilms, room_down_w_per_m2k, "room_down_w_per_m2k", 0.0, 1e5, NAN, NULLABLE),
  NUMBER (LwPrescribedFilms, room_side_w_per_m2k, "room_side_w_per_m2k", 0.0, 1e5, NAN, NULLABLE),
  NUMBER (LwPrescribedFilms, spill_w_per_m2k, "spill_w_per_m2k", 0.0, 1e5, NAN, NULLABLE),
  NUMBER (LwPrescribedFilms, spill_reach_mm, "spill_reach_mm", 0.0, 1000.0, NAN, NULLABLE | ABOVE),
  NUMBER (LwPrescribedFilms, board_emissivity, "board_emissivity", 0.0, 1.0, NAN, NULLABLE),
  NUMBER (LwPrescribedFilms, part_emissivity, "part_emissivity", 0.0, 1.0, NAN, NULLABLE),
};
static PLAIN_TYPE (films_type, LwPrescribedFilms, films_fields, NULL);

static const LwField lw_station_fields[] = {
  TEXT (LwStation, name, "name", "", ESSENTIAL),
  ARRAY (LW_FIELD_MANY, LwStation, nozzles, "nozzles", &lw_nozzle_type, 1000, ESSENTIAL),
  NUMBER (LwStation, gas_min_c, "gas_min_c", T_MIN_C, T_MAX_C, 50.0, ESSENTIAL),
  NUMBER (LwStation, gas_max_c, "gas_max_c", T_MIN_C, T_MAX_C, 450.0, ESSENTIAL),
  NUMBER (LwStation, flow_min_l_per_min, "flow_min_l_per_min", 0.0, 10000.0, 5.0, ESSENTIAL),
  NUMBER (LwStation, flow_max_l_per_min, "flow_max_l_per_min", 0.0, 10000.0, 60.0, ESSENTIAL),
  NUMBER (LwStation, gas_lag_s, "gas_lag_s", 0.0, 3600.0, 5.0, 0),
  NUMBER (LwStation, gas_set_error_c, "gas_set_error_c", 0.0, 500.0, NAN, NULLABLE),
  FACT (LwStation, warm_up_min, "warm_up_min", 1000.0),
  CHILD (LW_FIELD_GROUP, LwStation, preheater, "preheater", &preheater_type, ESSENTIAL),
  CHILD (LW_FIELD_GROUP, LwStation, holder, "holder", &holder_type, LW_FIELD_PRESENCE),
  CHILD (LW_FIELD_GROUP, LwStation, films, "prescribed_films", &films_type, LW_FIELD_PRESENCE),
  TEXT (LwStation, source, "source", "", 0),
};
COUNTED_TYPE (lw_station, LwStation);

/* ---- plan ---- */

static const LwField lw_stage_fields[] = {
  TEXT (LwStage, name, "name", "", ESSENTIAL),
  NUMBER (LwStage, duration_s, "duration_s", 0.0, 36000.0, 60.0, REQUIRED | ABOVE),
  NUMBER (LwStage, gas_c, "gas_c", T_MIN_C, T_MAX_C, NAN, ESSENTIAL | NULLABLE),
  NUMBER (LwStage, flow_l_per_min, "flow_l_per_min", 0.0, 10000.0, 0.0, ESSENTIAL),
  NUMBER (LwStage, preheat_c, "preheat_c", T_MIN_C, T_MAX_C, NAN, ESSENTIAL | NULLABLE),
  WORD (LwStage, shape, "shape", shape_words, LW_SHAPE_STEP, 0),
};
COUNTED_TYPE (lw_stage, LwStage);

static const LwField knot_fields[] = {
  NUMBER (LwKnot, t_s, "t_s", 0.0, 360000.0, 0.0, REQUIRED),
  NUMBER (LwKnot, gas_c, "gas_c", T_MIN_C, T_MAX_C, NAN, NULLABLE),
  NUMBER (LwKnot, preheat_c, "preheat_c", T_MIN_C, T_MAX_C, NAN, NULLABLE),
};
static PLAIN_TYPE (knot_type, LwKnot, knot_fields, NULL);

static const LwField lw_shield_fields[] = {
  TEXT (LwShield, name, "name", "", ESSENTIAL),
  CHILD (LW_FIELD_ONE, LwShield, loop, "loop", &lw_loop_type, REQUIRED),
  TEXT (LwShield, material, "material", "", 0),
  NUMBER (LwShield, share, "share", 0.0, 1.0, 0.0, ESSENTIAL),
};
COUNTED_TYPE (lw_shield, LwShield);

static const LwField lw_thermocouple_fields[] = {
  TEXT (LwThermocouple, name, "name", "", ESSENTIAL),
  TEXT (LwThermocouple, ref, "ref", "", 0),
  NUMBER (LwThermocouple, x_mm, "x_mm", -REACH_MM, REACH_MM, 0.0, ESSENTIAL),
  NUMBER (LwThermocouple, y_mm, "y_mm", -REACH_MM, REACH_MM, 0.0, ESSENTIAL),
  WORD (LwThermocouple, side, "side", lw_side_words, LW_SIDE_TOP, ESSENTIAL),
};
COUNTED_TYPE (lw_thermocouple, LwThermocouple);

static const LwField wanted_fields[] = {
  NUMBER (LwWanted, above_liquidus_min_s, "above_liquidus_min_s", 0.0, 3600.0, NAN, NULLABLE),
  NUMBER (LwWanted, above_liquidus_max_s, "above_liquidus_max_s", 0.0, 3600.0, NAN, NULLABLE),
  NUMBER (LwWanted, joint_min_c, "joint_min_c", T_MIN_C, T_MAX_C, NAN, NULLABLE),
  NUMBER (LwWanted, joint_max_c, "joint_max_c", T_MIN_C, T_MAX_C, NAN, NULLABLE),
  NUMBER (LwWanted, spread_max_k, "spread_max_k", 0.0, 500.0, NAN, NULLABLE | ABOVE),
  NUMBER (LwWanted, ramp_max_c_per_s, "ramp_max_c_per_s", 0.0, 100.0, NAN, NULLABLE | ABOVE),
};
static PLAIN_TYPE (wanted_type, LwWanted, wanted_fields, NULL);

static const LwField preheat_area_fields[] = {
  NUMBER (LwPlan, preheat_x_mm, "x_mm", -REACH_MM, REACH_MM, 0.0, ESSENTIAL),
  NUMBER (LwPlan, preheat_y_mm, "y_mm", -REACH_MM, REACH_MM, 0.0, ESSENTIAL),
  NUMBER (LwPlan, preheat_length_mm, "length_mm", 0.0, 5000.0, 100.0, ESSENTIAL | ABOVE),
  NUMBER (LwPlan, preheat_width_mm, "width_mm", 0.0, 5000.0, 100.0, ESSENTIAL | ABOVE),
};
static PLAIN_TYPE (preheat_area_type, LwPlan, preheat_area_fields, NULL);

static const LwField lw_plan_fields[] = {
  TEXT (LwPlan, ref, "ref", "", REQUIRED),
  WORD (LwPlan, operation, "operation", lw_operation_words, LW_OP_REMOVE, ESSENTIAL),
  TEXT (LwPlan, nozzle, "nozzle", "", ESSENTIAL),
  NUMBER (LwPlan, nozzle_height_mm, "nozzle_height_mm", 0.0, 500.0, 3.0, ESSENTIAL | ABOVE),
  NUMBER (LwPlan, nozzle_dx_mm, "nozzle_dx_mm", -1000.0, 1000.0, 0.0, 0),
  NUMBER (LwPlan, nozzle_dy_mm, "nozzle_dy_mm", -1000.0, 1000.0, 0.0, 0),
  NUMBER (LwPlan, nozzle_turn_deg, "nozzle_turn_deg", -3600.0, 3600.0, 0.0, 0),
  NEST ("preheat_area", &preheat_area_type, ESSENTIAL),
  ARRAY (LW_FIELD_MANY, LwPlan, stages, "stages", &lw_stage_type, 1000, ESSENTIAL),
  ARRAY (LW_FIELD_PLAIN, LwPlan, table, "table", &knot_type, 100000, NULLABLE),
  ARRAY (LW_FIELD_MANY, LwPlan, shields, "shields", &lw_shield_type, 1000, 0),
  ARRAY (LW_FIELD_MANY, LwPlan, thermocouples, "thermocouples", &lw_thermocouple_type, 1000, 0),
  CHILD (LW_FIELD_GROUP, LwPlan, wanted, "wanted", &wanted_type, 0),
  TEXT (LwPlan, material, "material", "", 0),
  TEXT (LwPlan, alloy, "alloy", "", 0),
  TEXT (LwPlan, notes, "notes", "", 0),
};
COUNTED_TYPE (lw_plan, LwPlan);

/* ---- what came of plans ---- */

static const LwField lw_run_column_fields[] = {
  TEXT (LwRunColumn, name, "name", "", ESSENTIAL),
  TEXT (LwRunColumn, thermocouple, "thermocouple", "", ESSENTIAL),
  SERIES (LwRunColumn, c, "c", -300.0, 3000.0, LW_RUN_MOMENTS_MAX, REQUIRED | NULLABLE),
};
COUNTED_TYPE (lw_run_column, LwRunColumn);

static const LwField lw_run_fields[] = {
  TEXT (LwRun, name, "name", "", REQUIRED),
  TEXT (LwRun, ref, "ref", "", REQUIRED),
  TEXT (LwRun, plan_hash, "plan_hash", "", 0),
  TEXT (LwRun, date, "date", "", 0),
  TEXT (LwRun, file, "file", "", 0),
  TEXT (LwRun, operator_name, "operator", "", 0),
  TEXT (LwRun, lot, "lot", "", 0),
  TEXT (LwRun, notes, "notes", "", 0),
  NUMBER (LwRun, shift_s, "shift_s", -1e6, 1e6, NAN, NULLABLE),
  SERIES (LwRun, t_s, "t_s", -1e6, 1e6, LW_RUN_MOMENTS_MAX, REQUIRED),
  ARRAY (LW_FIELD_MANY, LwRun, columns, "columns", &lw_run_column_type, LW_RUN_COLUMNS_MAX, REQUIRED),
};
COUNTED_TYPE (lw_run, LwRun);

static const LwField lw_fit_figure_fields[] = {
  TEXT (LwFitFigure, key, "key", "", REQUIRED),
  TEXT (LwFitFigure, text, "text", "", 0),
  TEXT (LwFitFigure, unit, "unit", "", 0),
  NUMBER (LwFitFigure, before, "before", -1e12, 1e12, NAN, NULLABLE),
  NUMBER (LwFitFigure, value, "value", -1e12, 1e12, NAN, ESSENTIAL | NULLABLE),
  NUMBER (LwFitFigure, sigma, "sigma", 0.0, 1e12, NAN, ESSENTIAL | NULLABLE),
};
COUNTED_TYPE (lw_fit_figure, LwFitFigure);

static const LwField fit_run_fields[] = {
  TEXT (LwFitRun, run, "run", "", REQUIRED),
};
static void
clear_fit_run (gpointer element)
{
  g_free (((LwFitRun *) element)->run);
}
static PLAIN_TYPE (fit_run_type, LwFitRun, fit_run_fields, clear_fit_run);

static const LwField lw_fit_fields[] = {
  TEXT (LwFit, name, "name", "", REQUIRED),
  TEXT (LwFit, ref, "ref", "", REQUIRED),
  TEXT (LwFit, plan_hash, "plan_hash", "", 0),
  TEXT (LwFit, date, "date", "", 0),
  TEXT (LwFit, notes, "notes", "", 0),
  NUMBER (LwFit, apart_before_k, "apart_before_k", 0.0, 1e6, NAN, NULLABLE),
  NUMBER (LwFit, apart_after_k, "apart_after_k", 0.0, 1e6, NAN, NULLABLE),
  ARRAY (LW_FIELD_PLAIN, LwFit, runs, "runs", &fit_run_type, 200, 0),
  ARRAY (LW_FIELD_MANY, LwFit, figures, "figures", &lw_fit_figure_type, 200, 0),
  SERIES (LwFit, ties, "ties", -1.0, 1.0, 19900, 0),
  TEXT (LwFit, nozzle, "nozzle", "", 0),
  FLAG (LwFit, kept, "kept", FALSE),
};
COUNTED_TYPE (lw_fit, LwFit);

static const LwField lw_revision_fields[] = {
  TEXT (LwRevision, hash, "hash", "", REQUIRED),
  TEXT (LwRevision, date, "date", "", 0),
  TEXT (LwRevision, author, "author", "", 0),
  TEXT (LwRevision, note, "note", "", 0),
  CHILD (LW_FIELD_ONE, LwRevision, plan, "plan", &lw_plan_type, REQUIRED),
};
COUNTED_TYPE (lw_revision, LwRevision);

/* ---- the job ---- */

static const LwField lw_job_fields[] = {
  TEXT (LwJob, title, "title", "", ESSENTIAL),
  TEXT (LwJob, author, "author", "", 0),
  TEXT (LwJob, notes, "notes", "", 0),
  TEXT (LwJob, alloy, "alloy", "SAC305", ESSENTIAL),
  NUMBER (LwJob, ambient_c, "ambient_c", -40.0, 100.0, 25.0, ESSENTIAL),
  CHILD (LW_FIELD_ONE, LwJob, board, "board", &lw_board_type, REQUIRED),
  ARRAY (LW_FIELD_MANY, LwJob, packages, "packages", &lw_package_type, 20000, 0),
  ARRAY (LW_FIELD_MANY, LwJob, parts, "parts", &lw_part_type, 100000, ESSENTIAL),
  CHILD (LW_FIELD_ONE, LwJob, station, "station", &lw_station_type, ESSENTIAL),
  ARRAY (LW_FIELD_MANY, LwJob, plans, "plans", &lw_plan_type, 1000, 0),
  COUNT (LwJob, active_plan, "active_plan", 1e6, 0.0),
  ARRAY (LW_FIELD_MANY, LwJob, runs, "runs", &lw_run_type, 200, 0),
  ARRAY (LW_FIELD_MANY, LwJob, fits, "fits", &lw_fit_type, 200, 0),
  ARRAY (LW_FIELD_MANY, LwJob, revisions, "revisions", &lw_revision_type, 1000, 0),
  CHILD (LW_FIELD_GROUP, LwJob, schedule, "schedule", &schedule_type, 0),
};
COUNTED_TYPE (lw_job, LwJob);
