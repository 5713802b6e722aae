/* Text, rules and pictures laid one below another, over as many pages as it takes. Nothing is painted here: what is
 * laid out is kept as a list and painted later. Inside draw/. */
#ifndef LW_SHEET_FLOW_H
#define LW_SHEET_FLOW_H

#include "draw/bench-sheet.h"

G_BEGIN_DECLS

typedef void (*LwSheetPaint) (cairo_t *cr, double width, double height, gconstpointer data);

typedef enum { LW_SHEET_WORDS, LW_SHEET_RULE, LW_SHEET_FRAME, LW_SHEET_TINT, LW_SHEET_PICTURE } LwSheetKind;

typedef struct {
  LwSheetKind kind;
  guint page;
  LwBox box; /* words: their logical box; a rule goes from corner to corner */
  double size, weight;
  gboolean bold;
  char *text;
  LwSheetPaint paint;
  gconstpointer data;
} LwSheetItem;

typedef struct {
  PangoLayout *layout;
  double width, height; /* paper */
  double left, right;   /* of the text */
  double top, bottom;   /* of the text, on every page */
  double pad;           /* above and below a row's text */
  double heading_gap;   /* above a heading */
  guint page;
  double y;             /* where the next thing goes */
  GArray *items;        /* LwSheetItem */
} LwSheetFlow;

/* An empty flow on paper of so many pt, from its first page's top; end it with lw_flow_end(). */
void lw_flow_begin (LwSheetFlow *self, double width, double height);
/* Rows and headings closer together from here on; letters keep their size. */
void lw_flow_tighten (LwSheetFlow *self);
/* The items go to the caller. */
GArray *lw_flow_end (LwSheetFlow *self);

/* A new page when less than HEIGHT is left, unless this one is empty. */
void lw_flow_need (LwSheetFlow *self, double height);
void lw_flow_page (LwSheetFlow *self);
void lw_flow_gap (LwSheetFlow *self, double height);

/* Never parted from what follows it. */
void lw_flow_heading (LwSheetFlow *self, const char *text);
void lw_flow_words (LwSheetFlow *self, const char *text, double size, gboolean bold);

/* Cells side by side, each wrapped in its own width. */
typedef struct {
  const char *text;
  double x, width; /* from the left end of the text */
  double align;    /* 0 left .. 1 right */
  gboolean bold;
  gboolean blank;  /* a line to write on follows the text */
} LwSheetCell;

typedef enum { LW_ROW_PLAIN, LW_ROW_RULED, LW_ROW_HEAD, LW_ROW_TICK } LwRowStyle;

/* A row stays whole when a page can hold it; else it goes on over the page. Returns the page it begins on. */
guint lw_flow_row (LwSheetFlow *self, const LwSheetCell *cells, guint n, double size, LwRowStyle style);
/* A text behind a mark: "1.", "•", or a box to tick. */
void lw_flow_point (LwSheetFlow *self, const char *mark, const char *text, double size);
void lw_flow_tick (LwSheetFlow *self, const char *text, double size);

/* Across the text's width. HEIGHT is cut to what a page can hold. */
void lw_flow_picture (LwSheetFlow *self, double height, LwSheetPaint paint, gconstpointer data);
/* Fields to write in, side by side: a label with a line under it, and its share of the width. */
typedef struct {
  const char *label;
  double share;
} LwSheetField;
void lw_flow_fields (LwSheetFlow *self, const LwSheetField *fields, guint n);

/* One line at a place, cut with "…" where it is wider than WIDTH; (x, y) is its upper left (align 0) or right (1)
 * corner. Returns its height. */
double lw_flow_line_at (LwSheetFlow *self, guint page, const char *text, double x, double y, double width, double align,
                        double size, gboolean bold);
void lw_flow_rule_at (LwSheetFlow *self, guint page, double x0, double y0, double x1, double y1, double weight);

G_END_DECLS

#endif
