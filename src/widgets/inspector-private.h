/* Between the inspector and its pages. A page is built anew for every selection; its facts are told again
 * with every answer. */
#ifndef LW_INSPECTOR_PRIVATE_H
#define LW_INSPECTOR_PRIVATE_H

#include "widgets/inspector.h"

G_BEGIN_DECLS

/* The desk the pages read and edit (transfer none), NULL = none. */
LwDesk *lw_inspector_desk (LwInspector *self);
/* What stands over the page; SUBTITLE NULL or empty = none. */
void lw_inspector_set_heading (LwInspector *self, const char *heading, const char *subtitle);

/* Rows of the page being built. PATH is copied. */
void lw_inspector_section (LwInspector *self, const char *title);
/* A section that can be folded away: the rows up to the next section are in it. */
void lw_inspector_fold (LwInspector *self, const char *title, gboolean open);
void lw_inspector_number (LwInspector *self, const char *path, const char *title, const char *unit, int digits,
                          double step, const char *absent);
void lw_inspector_number_within (LwInspector *self, const char *path, const char *title, const char *unit,
                                 int digits, double step, const char *absent, double low, double high);
void lw_inspector_add_row (LwInspector *self, const char *path, GtkWidget *row);
void lw_inspector_button (LwInspector *self, const char *label, const char *action, GVariant *target);

/* One line of the facts being told. */
void lw_inspector_fact (LwInspector *self, const char *title, const char *value);
/* A sentence. */
void lw_inspector_note (LwInspector *self, const char *text);

/* Pages: build makes headings, rows and buttons; tell gives the facts. INDEX as of the selection. */
void lw_inspector_build_part (LwInspector *self, guint index);
void lw_inspector_build_instead (LwInspector *self, guint index); /* what a part says in place of its package */
void lw_inspector_tell_part (LwInspector *self, guint index);
/* The plan's nozzle and preheated area. */
void lw_inspector_build_nozzle (LwInspector *self);
void lw_inspector_tell_nozzle (LwInspector *self);
void lw_inspector_build_preheat (LwInspector *self);
void lw_inspector_tell_preheat (LwInspector *self);
/* What stands or runs on the board by the plan. */
void lw_inspector_build_stage (LwInspector *self, guint index);
void lw_inspector_build_shield (LwInspector *self, guint index);
void lw_inspector_build_thermocouple (LwInspector *self, guint index);
void lw_inspector_tell_thermocouple (LwInspector *self, guint index);
/* What all plans share. */
void lw_inspector_build_board (LwInspector *self);
void lw_inspector_tell_board (LwInspector *self);
void lw_inspector_build_station (LwInspector *self);
void lw_inspector_tell_station (LwInspector *self);
/* What comes before heat, and what is done to the part in which order. */
void lw_inspector_build_readiness (LwInspector *self);
void lw_inspector_tell_readiness (LwInspector *self);
void lw_inspector_build_operations (LwInspector *self);
void lw_inspector_tell_operations (LwInspector *self);
/* What these two pages are built for (transfer full). */
char *lw_inspector_operations_shape (LwInspector *self);
/* Moisture and reflows of a part, on its own page. */
void lw_inspector_build_past (LwInspector *self, guint index);

G_END_DECLS

#endif
