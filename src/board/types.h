/* The tables themselves (types.c): one LwType per struct of job.h. Internal to the room. */
#ifndef LW_TYPES_H
#define LW_TYPES_H

#include "board/fields.h"

G_BEGIN_DECLS

extern const LwType lw_loop_type, lw_limit_type, lw_layer_type, lw_copper_region_type, lw_via_field_type;
extern const LwType lw_layer_cover_type, lw_copper_map_type;
extern const LwType lw_board_type, lw_body_layer_type, lw_package_type, lw_part_type, lw_nozzle_type;
extern const LwType lw_station_type, lw_stage_type, lw_shield_type, lw_thermocouple_type, lw_plan_type;
extern const LwType lw_run_column_type, lw_run_type, lw_fit_figure_type, lw_fit_type, lw_revision_type;
extern const LwType lw_job_type;

extern const char *const lw_side_words[], *const lw_kind_words[], *const lw_limit_words[];
extern const char *const lw_operation_words[], *const lw_msl_words[];

G_END_DECLS

#endif
