/* One moment of a job, large enough to be read from the back of a room: board and profile side by side, the clock, what is
 * happening in words, and figures on demand; or two plans beside each other. The same for the screen, a projector and
 * picture files. */
#ifndef LW_SHOW_PAGE_H
#define LW_SHOW_PAGE_H

#include "draw/draw.h"
#include "plan/story.h"

G_BEGIN_DECLS

/* What is shown; all borrowed. */
typedef struct {
  const LwJob *job;
  int plan;
  const LwPrediction *prediction;
  const GPtrArray *findings; /* or NULL */
  const GPtrArray *story;    /* of LwPassage */
} LwShown;

typedef struct {
  LwLook look;
  double width, height; /* picture units */
  double letters;       /* size of letters beside the window's; 0 = by the size of the page */
  LwSide side;
  LwUnits units;
  gboolean show_figures;
  LwShown main, other;  /* other.job NULL: one plan alone */
} LwShowPage;

/* Size of letters for a page of that height. */
double lw_show_letters (double height);

/* A page whose unmoving parts are drawn once. What PAGE borrows must outlive it. */
typedef struct LwShowPainter LwShowPainter;
LwShowPainter *lw_show_painter_new (const LwShowPage *page);
void lw_show_painter_free (LwShowPainter *self); /* NULL allowed */
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwShowPainter, lw_show_painter_free)
/* The page at a moment; the same context size as the page's. */
void lw_show_paint (LwShowPainter *self, cairo_t *cr, double t_s);
/* What SHOWN feels at a moment, in one sentence of figures. (transfer full) */
char *lw_show_figures (const LwShown *shown, LwUnits units, double t_s);
/* The longer of the jobs shown, s. */
double lw_show_end_s (const LwShowPage *page);

/* Frames from FROM_S to TO_S, one each STEP_S, of WIDTH x HEIGHT pixels. FOLDER: as frame-0001.png and so on, in a folder
 * that is made when it is not there. ANIMATION: a path ending in .webp; PER_S frames a second. Either may be NULL. PROGRESS
 * (may be NULL) 0..1 and false cancels. At most LW_SHOW_FRAMES_MAX frames. */
#define LW_SHOW_FRAMES_MAX 5000
typedef struct {
  double from_s, to_s, step_s, per_s;
  const char *folder, *animation;
  gboolean (*progress) (double done, gpointer user);
  gpointer user;
} LwShowFrames;
/* How many frames were made; 0 with G_IO_ERROR, nothing half-written left but whole frames of a folder. */
guint lw_show_to_files (const LwShowPage *page, const LwShowFrames *frames, GError **error);

G_END_DECLS

#endif
