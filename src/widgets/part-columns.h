/* The columns of the table of parts, without the table. */
#ifndef LW_PART_COLUMNS_H
#define LW_PART_COLUMNS_H

#include "widgets/part-item.h"

G_BEGIN_DECLS

typedef struct {
  const char *title; /* to be translated in the context "column" */
  char *(*text) (const LwPartFigures *figures); /* transfer full */
  int (*order) (const LwPartFigures *a, const LwPartFigures *b);
  gboolean numeric, expand;
  gboolean graded; /* the grade's mark stands before the words */
  /* The job with TEXT in this cell of part INDEX, or NULL with ERROR. NULL: the column is only read. */
  LwJob *(*edit) (const LwJob *job, guint index, const char *text, GError **error);
  gboolean many; /* several parts may have it alike, unlike a place or a reference */
  gboolean (*unknown) (const LwPartFigures *figures); /* or NULL: always known */
} LwPartColumn;

/* In the order of the table; *N is how many. */
const LwPartColumn *lw_part_columns (guint *n);

G_END_DECLS

#endif
