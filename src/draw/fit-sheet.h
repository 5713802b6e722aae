/* A fit on paper, one page or two: remarks, figures, what is left unexplained, where the next thermocouples tell most. */
#ifndef LW_FIT_SHEET_H
#define LW_FIT_SHEET_H

#include "draw/draw.h"
#include "plan/fit-suggest.h"

G_BEGIN_DECLS

typedef struct {
  const LwFitAnswer *fit;
  const LwSuggestions *suggestions; /* or NULL */
  const char *date;
  double width_pt, height_pt;
  LwUnits units;
} LwFitSheet;

/* 1 or 2; PAGE counts from 0, and one that is not there paints nothing. The origin is the paper's upper left corner. */
guint lw_fit_sheet_pages (const LwFitSheet *sheet);
void lw_draw_fit_sheet (cairo_t *cr, const LwFitSheet *sheet, guint page);
/* The file is replaced whole or not at all. */
gboolean lw_fit_sheet_to_pdf (const LwFitSheet *sheet, const char *path, GError **error);

G_END_DECLS

#endif
