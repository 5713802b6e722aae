/* Numbers, lengths and polygons of an IPC-2581 file. Internal to the room. */
#ifndef LW_IPC2581_SHAPES_H
#define LW_IPC2581_SHAPES_H

#include "exchange/ipc2581-file.h"

G_BEGIN_DECLS

/* A length as mm. Missing: FALLBACK unless it is NaN, then an error. */
gboolean lw_ipc_length (const LwIpcFile *file, const LwXmlTag *tag, const char *attribute,
                        double unit_mm, double fallback_mm, double *mm, GError **error);
/* The same, but NaN where it is missing. */
gboolean lw_ipc_maybe_length (const LwIpcFile *file, const LwXmlTag *tag, const char *attribute,
                              double unit_mm, double *mm, GError **error);
/* An angle; missing = 0. */
gboolean lw_ipc_angle (const LwIpcFile *file, const LwXmlTag *tag, const char *attribute, double *deg,
                       GError **error);
/* MILLIMETER, MICRON or INCH of attribute "units". */
gboolean lw_ipc_unit (const LwIpcFile *file, const LwXmlTag *tag, double *unit_mm, GError **error);

/* A polygon's elements PolyBegin, PolyStepSegment and PolyStepCurve, one after the other. */
gboolean lw_ipc_polygon_add (LwIpcFile *file, LwListedLoop *loop, const LwXmlTag *tag, double unit_mm,
                             GError **error);
/* At its end: drops the point that repeats the first. FALSE when the loop encloses nothing; told. */
gboolean lw_ipc_polygon_end (LwIpcFile *file, LwListedLoop *loop);

/* The box of a primitive such as RectCenter or Circle; FALSE when TAG is none. */
gboolean lw_ipc_primitive (const LwXmlTag *tag, double unit_mm, LwIpcShape *shape);

G_END_DECLS

#endif
