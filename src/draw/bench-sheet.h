/* The bench sheet: one plan on paper, to work by and to write on. Laid out once for a paper, then painted page by page
 * on any cairo context, 1 unit = 1 pt. Black on white. */
#ifndef LW_BENCH_SHEET_H
#define LW_BENCH_SHEET_H

#include "draw/draw.h"

G_BEGIN_DECLS

/* Letter sizes, pt. What is read while working is held at arm's length: ISO 9241-303 asks for characters of 16
 * minutes of arc at least (from memory), which capitals of 11 pt are at 60 cm. */
#define LW_SHEET_RUN_PT 11.0  /* set points, what to see, when to stop */
#define LW_SHEET_TEXT_PT 9.5  /* read before and after */
#define LW_SHEET_LEAST_PT 8.5 /* nothing is smaller, pictures included */
#define LW_SHEET_MARGIN_PT 34.0
#define LW_SHEET_PAGES 2 /* both faces of one leaf */
#define LW_SHEET_PAGES_MOST 50

#define LW_SHEET_A4_WIDTH_PT 595.276
#define LW_SHEET_A4_HEIGHT_PT 841.890
#define LW_SHEET_LETTER_WIDTH_PT 612.0
#define LW_SHEET_LETTER_HEIGHT_PT 792.0

typedef enum {
  LW_SHEET_ERROR_LONG,  /* more pages than allowed; the message says how many */
  LW_SHEET_ERROR_PAPER, /* the paper is too small */
  LW_SHEET_ERROR_WRITE  /* the file cannot be made */
} LwSheetError;
#define LW_SHEET_ERROR (lw_sheet_error_quark ())
GQuark lw_sheet_error_quark (void);

typedef struct {
  LwJob *job;
  guint plan;
  LwPrediction *prediction; /* of that plan; NULL for an operation that heats nothing (board/operations.h) */
  GPtrArray *findings;      /* LwFinding, of that prediction, or of lw_judge() without one */
  GPtrArray *readiness;     /* LwFinding: more to tick off before heat; NULL = none */
  const char *date;         /* as it is to stand there */
  const char *revision;     /* NULL = the first digits of the job's hash */
  double width_pt, height_pt;
  guint pages_most; /* 0 = LW_SHEET_PAGES */
} LwSheetInput;

typedef struct LwBenchSheet LwBenchSheet;

/* NULL with LW_SHEET_ERROR. Holds references to what INPUT names. Pictures shrink, within what can be read, before a
 * sheet is too long. */
LwBenchSheet *lw_bench_sheet_new (const LwSheetInput *input, GError **error);
void lw_bench_sheet_free (LwBenchSheet *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwBenchSheet, lw_bench_sheet_free)

/* At least 1. */
guint lw_bench_sheet_pages (const LwBenchSheet *self);
/* PAGE counts from 0; out of range paints nothing. The origin is the paper's upper left corner. */
void lw_draw_sheet (cairo_t *cr, const LwBenchSheet *self, guint page);

/* What stands where, in pt from the paper's upper left corner: for tests. A picture has no text and size 0. */
typedef struct {
  guint page;
  LwBox box;
  double size;
  const char *text; /* borrowed from the sheet */
} LwSheetBox;
GArray *lw_bench_sheet_boxes (const LwBenchSheet *self); /* of LwSheetBox (transfer full) */

/* The file is replaced whole or not at all. Creation date and such are left out: the same sheet gives the same
 * bytes. */
gboolean lw_bench_sheet_to_pdf (const LwBenchSheet *self, const char *path, GError **error);

/* ---- the same figures as tables: RFC 4180, a point as decimal mark in every locale ---- */

/* A line per stage: times, set points, and what should be seen when it ends. (transfer full) */
char *lw_bench_stages_csv (const LwJob *job, guint plan, const LwPrediction *prediction);
/* The board's surface: a line per cell and side, a column for the end of each stage; empty where there is no board.
 * (transfer full) */
char *lw_bench_field_csv (const LwJob *job, guint plan, const LwPrediction *prediction);

G_END_DECLS

#endif
