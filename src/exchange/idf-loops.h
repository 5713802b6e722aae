/* Outline records "label x y angle" to loops. Points are absolute; the angle is the included angle of
 * the arc from the point before, > 0 counter-clockwise; a circle is its centre and then a point on its
 * rim with 360; the last point repeats the first. */
#ifndef LW_IDF_LOOPS_H
#define LW_IDF_LOOPS_H

#include "exchange/idf-lexer.h"
#include "exchange/listed.h"

G_BEGIN_DECLS

#define LW_IDF_MAX_LOOP_POINTS 50000
#define LW_IDF_MAX_POINTS 1000000 /* of one file */
#define LW_IDF_MAX_LOOPS 20000    /* of one section */

typedef struct {
  LwIdfLexer *lexer;
  double unit_mm;
  GPtrArray *loops; /* LwListedLoop, complete ones */
  LwListedLoop *open;  /* private from here */
  gboolean has_center;
  guint *n_points;
} LwIdfLoops;

/* N_POINTS counts over the whole file. */
void lw_idf_loops_begin (LwIdfLoops *self, LwIdfLexer *lexer, double unit_mm, guint *n_points);
gboolean lw_idf_loops_add (LwIdfLoops *self, const LwIdfRecord *record, GError **error);
/* Closes the last loop. (transfer full) */
GPtrArray *lw_idf_loops_end (LwIdfLoops *self);
void lw_idf_loops_abort (LwIdfLoops *self);

G_END_DECLS

#endif
