/* What happens in a job, told as it comes: for showing a profile to people who learn it. Each passage belongs to a span of
 * time; the sentences are general, the figures are the prediction's. */
#ifndef LW_STORY_H
#define LW_STORY_H

#include "plan/predict.h"

G_BEGIN_DECLS

typedef enum {
  LW_PASSAGE_PREHEAT,   /* the preheater alone */
  LW_PASSAGE_GAS,       /* the gas is on, nothing melts yet */
  LW_PASSAGE_LAG,       /* the same, and the joints are well behind the body */
  LW_PASSAGE_MELTING,   /* some joints are at their liquidus, not all are liquid: the plateau */
  LW_PASSAGE_LIQUID,    /* all are: the moment to lift, or to let the part settle */
  LW_PASSAGE_COOLING,   /* the gas is off */
  LW_PASSAGE_NEIGHBOUR, /* the same, and a neighbour goes on warming */
  LW_PASSAGE_COLD       /* it ended without all joints having been liquid */
} LwPassageKind;

typedef struct {
  LwPassageKind kind;
  double from_s, to_s;
  char *title, *text; /* translated, whole sentences */
} LwPassage;

/* Passages in order, without gaps, from 0 to the job's end (transfer full, of LwPassage). Empty where PREDICTION has no
 * target with joints. */
GPtrArray *lw_story_new (const LwJob *job, const LwPrediction *prediction);
/* The passage at a moment, the last one after the end; NULL when there is none. */
const LwPassage *lw_story_at (const GPtrArray *story, double t_s);

G_END_DECLS

#endif
