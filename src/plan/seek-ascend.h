/* Uphill in one model by guesses of another: a place's own march says after each climb how far the guesses were off, and
 * the next are put right by that. Inside plan/. */
#ifndef LW_SEEK_ASCEND_H
#define LW_SEEK_ASCEND_H

#include "plan/seek-climb.h"

G_BEGIN_DECLS

typedef struct {
  LwTrial *sure;  /* marches; what it says counts */
  LwTrial *guide; /* guesses: has learned, of the same place or of one that is like it; not SURE itself */
  gboolean round; /* marches are of figures a person would set */
  double worth;   /* a climb that promises less is the last, and not marched; -INFINITY: none is */
  GCancellable *cancellable;
} LwSeekPair;

/* SURE's march of SPOT, whose least it sets (and, rounded, its shares); FALSE when it cannot be marched. */
gboolean lw_seek_mark (const LwSeekPair *pair, LwSpot *spot);

/* Raises SPOT, which SURE has marched last, by up to CYCLES climbs and a march of each. A climb that the march does not
 * bear out is forgotten, and the next may go less far. In the end SURE holds SPOT's march. */
void lw_seek_ascend (const LwSeekPair *pair, LwSpot *spot, const LwSeekReach *reach, guint cycles);

G_END_DECLS

#endif
