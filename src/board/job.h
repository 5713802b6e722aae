/* What a job is: the board, its parts on both sides, the station, and a plan for each part that is to be
 * reworked. Plain structs, counted references, copied before they are changed (see document.h): once a
 * job has been given to a document or a task, nobody writes to it.
 *
 * Lengths mm, angles degrees, temperatures C, times s, unless the name says otherwise. "Unknown" numbers
 * are NaN and stand as null in the file. Strings are never NULL ("" = none) unless stated. `extra` holds
 * members of the file this version does not know, so that they survive a load and save (NULL = none). */
#ifndef LW_JOB_H
#define LW_JOB_H

#include <glib.h>
#include <json-glib/json-glib.h>

#include "board/geometry.h"
#include "board/history.h"
#include "board/past.h"

G_BEGIN_DECLS

typedef enum { LW_SIDE_TOP, LW_SIDE_BOTTOM } LwSide;

/* ---- limits ---- */

typedef enum {
  LW_LIMIT_BODY_PEAK_C,          /* hottest point of the body */
  LW_LIMIT_JOINT_PEAK_C,         /* hottest joint */
  LW_LIMIT_JOINT_CENTER_PEAK_C,  /* joint under the body's centre */
  LW_LIMIT_JOINT_CORNER_PEAK_C,  /* farthest joints */
  LW_LIMIT_RAMP_UP_C_PER_S,
  LW_LIMIT_RAMP_DOWN_C_PER_S,
  LW_LIMIT_BODY_TIME_ABOVE_S,    /* seconds above at_c */
  LW_N_LIMITS
} LwLimitKind;

typedef struct {
  LwLimitKind kind;
  double value;
  double at_c; /* only with LW_LIMIT_BODY_TIME_ABOVE_S, else NaN */
  char *source;
  gboolean alarm; /* tells of damage below the melting point: passing it is to be watched, it stops nothing. Marks
                   * limits the program adds; those of a file are all limits, and a copy of one is too */
} LwLimit;

/* ---- board ---- */

typedef enum { LW_LAYER_COPPER, LW_LAYER_LAMINATE, LW_LAYER_MASK } LwLayerKind;

typedef struct {
  char *name;
  LwLayerKind kind;
  double thickness_mm;     /* copper: NaN = from the weight */
  double copper_weight_oz; /* copper only; 1 oz/ft2 = 0.0348 mm */
  double cover;            /* copper only, 0..1 */
  char *material;          /* laminate only: a laminate of the library */
  JsonObject *extra;
} LwLayer;

/* Copper where the layer's cover differs: a pour, a plane's opening. */
typedef struct {
  char *layer;
  double cover;
  LwLoop *loop;
  JsonObject *extra;
} LwCopperRegion;

/* Plated through holes on a grid. */
typedef struct {
  LwLoop *loop;
  double pitch_mm, drill_mm, plating_um;
  JsonObject *extra;
} LwViaField;

typedef struct _LwCopperMap LwCopperMap; /* copper-map.h */

typedef struct {
  char *name;
  double thickness_mm;
  gboolean thickness_known;
  GPtrArray *outline;        /* LwLoop: [0] the edge, then cut-outs */
  gboolean outline_assumed;  /* a substitute for a missing or broken outline in a file */
  GPtrArray *layers;         /* LwLayer, top to bottom; may be empty: a stated default is used */
  GPtrArray *copper_regions; /* LwCopperRegion */
  GPtrArray *via_fields;     /* LwViaField */
  LwCopperMap *copper_map;   /* local cover from plotted layers, NULL = none */
  double emissivity;
  /* Prescribed, NaN = compute from the stack-up. */
  double prescribed_k_in_plane_w_per_mk, prescribed_k_through_w_per_mk;
  double prescribed_heat_capacity_j_per_m3k;
  LwBoardPast past;
  JsonObject *extra;
} LwBoard;

/* ---- packages and parts ---- */

typedef enum {
  LW_KIND_OTHER,
  LW_KIND_AREA_ARRAY,
  LW_KIND_LEADED,         /* gull wings, J leads */
  LW_KIND_LEADLESS,       /* quad and dual flat no-lead */
  LW_KIND_CERAMIC_CAPACITOR,
  LW_KIND_RESISTOR,
  LW_KIND_ELECTROLYTIC,   /* aluminium, liquid */
  LW_KIND_POLYMER_CAPACITOR,
  LW_KIND_TANTALUM,
  LW_KIND_FILM_CAPACITOR,
  LW_KIND_SUPERCAPACITOR,
  LW_KIND_INDUCTOR,
  LW_KIND_CRYSTAL,
  LW_KIND_LED,
  LW_KIND_CONNECTOR,
  LW_KIND_SWITCH,
  LW_KIND_RELAY,
  LW_KIND_COIN_CELL,
  LW_KIND_CELL_HOLDER,
  LW_KIND_MICROPHONE,
  LW_KIND_MODULE,
  LW_KIND_FUSE,
  LW_KIND_TRANSFORMER,
  LW_KIND_OPTOCOUPLER,
  LW_KIND_SHIELD_CAN,
  LW_KIND_MECHANICAL,
  LW_N_KINDS
} LwPackageKind;

typedef enum {
  LW_JOINTS_NONE,
  LW_JOINTS_GRID,       /* columns x rows at pitch, minus a centred hole of hole_columns x hole_rows */
  LW_JOINTS_FOUR_SIDES, /* columns along each x side, rows along each y side */
  LW_JOINTS_TWO_SIDES,  /* rows along each y side (left and right) */
  LW_JOINTS_TWO_ENDS,   /* two terminals along x */
  LW_JOINTS_LISTED      /* positions given */
} LwJointPattern;

typedef struct {
  LwJointPattern pattern;
  guint columns, rows;
  guint hole_columns, hole_rows;
  double pitch_mm;
  double span_x_mm, span_y_mm; /* between opposite rows of leads or terminals, centre to centre */
  double length_mm, width_mm;  /* joint's footprint; a ball: both its diameter at the pad */
  double standoff_mm;          /* height of the joint = gap under the body */
  double thermal_pad_length_mm, thermal_pad_width_mm; /* 0 = none */
  double lead_w_per_k;         /* conductance of lead or ball path body-to-joint, NaN = solder only, for
                                * leaded packages a common lead */
  GArray *positions;           /* LwPoint, LISTED only, else NULL */
} LwJoints;

typedef struct {
  char *name;
  double thickness_mm, k_in_plane_w_per_mk, k_through_w_per_mk, heat_capacity_j_per_m3k;
} LwBodyLayer;

typedef struct {
  char *name;
  LwPackageKind kind;
  double length_mm, width_mm;        /* body along x and y at rotation 0 */
  double height_mm;                  /* overall, above the board; NaN unknown */
  gboolean round;                    /* seen from above: diameter length_mm */
  double center_x_mm, center_y_mm;   /* of the body, from the placement point */
  LwLoop *outline;                   /* body outline about the placement point, or NULL = the box above */
  LwJoints joints;
  GPtrArray *body;                   /* LwBodyLayer, from the joints outward; may be empty */
  double mass_g, heat_capacity_j_per_k; /* NaN = from the layers or the kind */
  double emissivity;                 /* NaN = by kind */
  GArray *limits;                    /* LwLimit */
  char *source;
  JsonObject *extra;
} LwPackage;

/* What a part says instead of its package, NaN = the package's figure. Its height and its limits stand in the
 * part itself. A mass alone takes the heat capacity along in proportion. */
typedef struct {
  guint kind; /* 0 = the package's, else 1 + LwPackageKind */
  double length_mm, width_mm, center_x_mm, center_y_mm;
  double mass_g, heat_capacity_j_per_k, emissivity;
  double columns, rows, hole_columns, hole_rows;
  double pitch_mm, span_x_mm, span_y_mm, joint_length_mm, joint_width_mm, standoff_mm;
  double thermal_pad_length_mm, thermal_pad_width_mm, lead_w_per_k;
} LwOverrides;

typedef struct {
  char *ref;     /* reference designator */
  char *package; /* name of a package of the job or the library */
  char *value;   /* part number or value */
  /* Placement point, seen from the top; rotation counter-clockwise as seen from the part's own side. A point
   * (u, v) of the package drawing lies at P + R(rotation)(u, v) on the top and at P + R(-rotation)(-u, v) on
   * the bottom. */
  double x_mm, y_mm, rotation_deg;
  LwSide side;
  gboolean locked;
  gboolean placed;         /* FALSE: listed but not on the board (coordinates mean nothing) */
  double height_mm;        /* overrides the package; NaN = the package's */
  double offset_mm;        /* of the mounting plane above the surface */
  char *alloy;             /* "" = the job's */
  char *coating, *underfill;
  GArray *limits;          /* LwLimit, override package and kind */
  LwOverrides overrides;
  /* Prescribed, NaN = compute. */
  double prescribed_body_thickness_mm, prescribed_body_k_w_per_mk;
  double prescribed_body_heat_capacity_j_per_m3k, prescribed_joint_h_w_per_m2k;
  LwPast past, spare;      /* of the part on the board; of the one put in its place (level unknown = that of the first) */
  double cycles_allowed;   /* reflows its maker allows, NaN = the program's figure */
  double site_cycles_used; /* reflows its lands have seen */
  gboolean kept_after;     /* the part that comes off is used again, or looked into */
  JsonObject *extra;
} LwPart;

/* ---- station ---- */

typedef struct {
  char *name;
  gboolean round;                  /* diameter length_mm */
  double length_mm, width_mm;      /* inner outline */
  double wall_mm;
  double skirt_gap_mm;             /* between skirt and board in use */
  char *source;
  JsonObject *extra;
} LwNozzle;

typedef enum { LW_PREHEATER_NONE, LW_PREHEATER_WARM_AIR, LW_PREHEATER_INFRARED } LwPreheaterKind;

typedef struct {
  LwPreheaterKind kind;
  double max_length_mm, max_width_mm;
  double min_c, max_c;
  double gap_mm;            /* under the board */
  double lag_s;
  double emissivity;        /* infrared */
  double air_speed_m_per_s; /* warm air */
} LwPreheater;

typedef struct {
  gboolean present;
  double rail_width_mm;     /* strip of the board's two long edges held by rails */
  double contact_w_per_m2k;
  double rail_rise_k;       /* rail temperature above the room */
  double span_support_mm;   /* greatest unsupported span, NaN unknown */
} LwHolder;

typedef struct {
  gboolean given; /* TRUE: films below replace computed ones; NaN = that one is still computed */
  double nozzle_w_per_m2k, preheater_w_per_m2k;
  double room_up_w_per_m2k, room_down_w_per_m2k, room_side_w_per_m2k;
  double spill_w_per_m2k, spill_reach_mm;
  double board_emissivity, part_emissivity; /* NaN = their own */
} LwPrescribedFilms;

typedef struct {
  char *name;
  GPtrArray *nozzles;  /* LwNozzle */
  double gas_min_c, gas_max_c, flow_min_l_per_min, flow_max_l_per_min;
  double gas_lag_s;
  double gas_set_error_c;   /* what set point and delivery may differ by, NaN unknown */
  double warm_up_min;       /* from switching on to holding its set points, NaN unknown */
  LwPreheater preheater;
  LwHolder holder;
  LwPrescribedFilms films;
  char *source;
  JsonObject *extra;
} LwStation;

/* ---- plan ---- */

/* What is done to a site; lw_plan_heats() of operations.h says which of them heat. */
typedef enum { LW_OP_REMOVE, LW_OP_PLACE, LW_OP_CLEAN, LW_OP_PRINT, LW_OP_DISPENSE, LW_OP_REFLOW, LW_N_OPS } LwOperation;

/* Set points reach their value at once (STEP) or along a straight line over the stage (RAMP). */
typedef enum { LW_SHAPE_STEP, LW_SHAPE_RAMP } LwStageShape;

typedef struct {
  char *name;
  double duration_s;
  double gas_c;            /* NaN = gas off */
  double flow_l_per_min;   /* at 20 C */
  double preheat_c;        /* NaN = off */
  LwStageShape shape;
  JsonObject *extra;
} LwStage;

/* A knot of a prescribed table; followed exactly, with no lag. Two knots of one time make a jump. */
typedef struct {
  double t_s, gas_c, preheat_c; /* NaN = off */
} LwKnot;

typedef struct {
  char *name;
  LwLoop *loop;
  char *material;
  double share; /* of the film that still reaches what it covers, 0..1 */
  JsonObject *extra;
} LwShield;

typedef struct {
  char *name;
  char *ref;           /* part it is fixed to, "" = the board */
  double x_mm, y_mm;
  LwSide side;
  JsonObject *extra;
} LwThermocouple;

/* What the target's joints should do; NaN = the default for the alloy. */
typedef struct {
  double above_liquidus_min_s, above_liquidus_max_s;
  double joint_min_c, joint_max_c;
  double spread_max_k, ramp_max_c_per_s;
} LwWanted;

typedef struct _LwPlan {
  char *ref; /* the part to rework */
  LwOperation operation;
  char *nozzle;
  double nozzle_height_mm;                          /* outlet above the part's top */
  double nozzle_dx_mm, nozzle_dy_mm;                /* from the part's body centre */
  double nozzle_turn_deg;                           /* against the part, seen from the top side */
  double preheat_x_mm, preheat_y_mm;                /* centre of the area */
  double preheat_length_mm, preheat_width_mm;       /* along x and y */
  GPtrArray *stages;        /* LwStage */
  GArray *table;            /* LwKnot, or NULL; when given it replaces the stages' set points */
  GPtrArray *shields;       /* LwShield */
  GPtrArray *thermocouples; /* LwThermocouple */
  LwWanted wanted;
  char *material, *notes;   /* paste or flux that is put on, a tool; for people */
  char *alloy;              /* of the paste; "" = that of the part's joints */
  JsonObject *extra;
} LwPlan;

/* ---- the job ---- */

typedef struct _LwJob {
  char *title, *author, *notes;
  char *alloy;      /* of parts that name none */
  double ambient_c;
  LwBoard *board;
  GPtrArray *packages; /* LwPackage: those not in the library, or changed */
  GPtrArray *parts;    /* LwPart */
  LwStation *station;
  GPtrArray *plans;    /* LwPlan, one per ref and operation; those of one ref in the order of the work */
  guint active_plan;   /* index; meaningless when there is none */
  GPtrArray *runs;      /* LwRun */
  GPtrArray *fits;      /* LwFit */
  GPtrArray *revisions; /* LwRevision, the oldest first */
  LwSchedule schedule;
  JsonObject *extra;
  gpointer package_book, package_names; /* of package-book.h: nobody else's business */
  gpointer part_names;                  /* of part-names.h, likewise */
} LwJob;

LW_DECLARE_COUNTED (LwLayer, lw_layer)
LW_DECLARE_COUNTED (LwCopperRegion, lw_copper_region)
LW_DECLARE_COUNTED (LwViaField, lw_via_field)
LW_DECLARE_COUNTED (LwBoard, lw_board)
LW_DECLARE_COUNTED (LwBodyLayer, lw_body_layer)
LW_DECLARE_COUNTED (LwPackage, lw_package)
LW_DECLARE_COUNTED (LwPart, lw_part)
LW_DECLARE_COUNTED (LwNozzle, lw_nozzle)
LW_DECLARE_COUNTED (LwStation, lw_station)
LW_DECLARE_COUNTED (LwStage, lw_stage)
LW_DECLARE_COUNTED (LwShield, lw_shield)
LW_DECLARE_COUNTED (LwThermocouple, lw_thermocouple)
LW_DECLARE_COUNTED (LwPlan, lw_plan)
LW_DECLARE_COUNTED (LwJob, lw_job)

/* An empty array of LwLimit that frees what is in it (transfer full). */
GArray *lw_limits_new (void);
/* Appends a limit. VALUE in the unit of its kind; AT_C, degrees C, counts for times above a temperature alone; SOURCE is
 * copied, NULL = none. */
void lw_limits_add (GArray *limits, LwLimitKind kind, double value, double at_c, const char *source);

/* For editing a job nobody else sees yet: the returned object is a fresh copy that has taken the old
 * one's place in JOB, and may be written to. */
LwBoard *lw_job_edit_board (LwJob *job);
LwStation *lw_job_edit_station (LwJob *job);
LwPart *lw_job_edit_part (LwJob *job, guint index);
LwPlan *lw_job_edit_plan (LwJob *job, guint index);
LwPackage *lw_job_edit_package (LwJob *job, guint index);

/* Index of the part / plan / nozzle with that name, or -1. A part is found quickly in a job of any size; a job that is still
 * being written to must not be asked between lw_job_edit_part() and the writing. */
int lw_job_find_part (const LwJob *job, const char *ref);
int lw_job_find_plan (const LwJob *job, const char *ref); /* the first of its plans */
const LwNozzle *lw_station_find_nozzle (const LwStation *station, const char *name); /* NULL if absent */

/* The package of a part (transfer none, lives as long as JOB): the job's own, else the library's, else what the name
 * says by the land-pattern standard, else NULL; with what the part overrides. Quick in a job of any size. A job that
 * is still being written to must not be asked between lw_job_edit_package() and the writing. */
const LwPackage *lw_job_package_of (const LwJob *job, const LwPart *part);
/* Whether the part says anything in place of its package. */
gboolean lw_part_overrides (const LwPart *part);

/* Height of the part's top above its surface: part, else package, plus offset. When neither knows, *KNOWN
 * is FALSE and the stated default for its kind and size is returned (see lw_default_height_mm). */
double lw_part_height_mm (const LwPart *part, const LwPackage *package, gboolean *known);
double lw_default_height_mm (const LwPackage *package);

/* Body centre on the board, and a body-frame point of the part brought to the board frame. */
LwPoint lw_part_body_center (const LwPart *part, const LwPackage *package);
LwPoint lw_part_to_board (const LwPart *part, double u_mm, double v_mm);
/* How far the body is turned counter-clockwise seen from the top, [0, 360): a bottom part turns the other
 * way than its rotation says, and is mirrored (u -> -u) before it turns. */
double lw_part_turn_deg (const LwPart *part);
/* Corners of the body box on the board, counter-clockwise seen from the top. */
void lw_part_body_corners (const LwPart *part, const LwPackage *package, LwPoint corners[4]);
/* Body outline on the board (transfer full). */
LwLoop *lw_part_outline (const LwPart *part, const LwPackage *package);
/* Joint centres on the board (GArray of LwPoint, transfer full; empty when the pattern is NONE). */
GArray *lw_part_joints (const LwPart *part, const LwPackage *package);

/* File words of the enums ("top", "area-array", "remove", ...). */
const char *lw_side_word (LwSide side);
const char *lw_kind_word (LwPackageKind kind);
const char *lw_operation_word (LwOperation op);
const char *lw_limit_word (LwLimitKind kind);

G_END_DECLS

#endif
