/* What is known of a job before heat: the moisture and the reflows of its parts and its board, and when the work is to
 * begin. Members of job.h's structs. Unknown numbers are NaN, unknown moments (moment.h) "". */
#ifndef LW_PAST_H
#define LW_PAST_H

#include <glib.h>

G_BEGIN_DECLS

/* Moisture sensitivity levels of J-STD-020; NONE: not a moisture sensitive surface-mount part at all. */
typedef enum {
  LW_MSL_UNKNOWN,
  LW_MSL_1,
  LW_MSL_2,
  LW_MSL_2A,
  LW_MSL_3,
  LW_MSL_4,
  LW_MSL_5,
  LW_MSL_5A,
  LW_MSL_6,
  LW_MSL_NONE,
  LW_N_MSL
} LwMoistureLevel;

typedef enum { LW_STORED_UNKNOWN, LW_STORED_ROOM, LW_STORED_DRY_CABINET, LW_STORED_DRY_PACK, LW_N_STORED } LwStored;

/* A part's past, as far as anybody wrote it down. Moments are the bench's own clock (moment.h), "" = unknown. */
typedef struct {
  guint level;               /* LwMoistureLevel */
  guint kept;                /* LwStored: since OPENED, or all the time */
  char *sealed;              /* date on the dry pack */
  char *opened;              /* when the dry pack was opened last, or a bake ended */
  double exposure_h;         /* out of the dry pack before OPENED, or in all when that is unknown */
  double room_c, room_rh_percent; /* where it lay open */
  double label_life_h;       /* floor life its label names: needed at level 6, else in place of the table */
  double cycles_used;        /* reflows its body has been through */
} LwPast;

typedef enum { LW_BAKED_UNKNOWN, LW_BAKED_NO, LW_BAKED_YES, LW_N_BAKED } LwBaked;

/* The same of a board. */
typedef struct {
  guint baked;               /* LwBaked */
  char *baked_until;         /* end of its last bake */
  double bake_c, bake_h;
  guint kept;                /* LwStored since */
  double absorbed_percent, absorbed_max_percent; /* moisture by weight: measured, and allowed by the board's maker */
  double cycles_used, cycles_allowed; /* reflows of the whole board */
  double age_years;
} LwBoardPast;

/* When the work is to begin, and what stands before it. */
typedef struct {
  char *start;               /* moment; "" = not said */
  double bake_c;             /* wanted bake temperature; NaN = the hottest that everything on the board bears */
  double cool_min;           /* after a bake, before the next step; NaN = the program's figure */
  double set_up_min;         /* fixing the board, its thermocouples; NaN = the program's figure */
} LwSchedule;

G_END_DECLS

#endif
