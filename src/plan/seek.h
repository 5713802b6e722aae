/* Seek: of the plans a station can carry out, the one whose least headroom, counted in steps of its doubt, is
 * largest. Nozzle, its height, preheat area, shields, and the set points and times of the stages are
 * searched in the reduced model; the outcome is confirmed by the full solution before it is offered. */
#ifndef LW_SEEK_H
#define LW_SEEK_H

#include "plan/findings.h"

G_BEGIN_DECLS

typedef struct {
  guint32 seed;           /* same seed, same outcome, on any number of processors */
  guint effort;           /* 1 = quick look .. 3 = default .. 9 = thorough; 0 = default */
  gboolean keep_nozzle, keep_height, keep_area, keep_shields;
  gboolean unconfirmed;   /* leave out the full solutions */
} LwSeekOptions;

/* What a plan's headroom rests on. */
typedef struct {
  char *kind, *ref;       /* of the finding; ref "" = the board */
  double value, limit;
  char *unit;
  double headroom, steps; /* in unit; in steps of its doubt */
  char *text;             /* one sentence (translated) */
} LwSeekLimit;

/* One thing the search changed. */
typedef struct {
  char *what, *before, *after; /* translated, with units */
} LwSeekChange;

typedef struct {
  LwJob *job;                  /* with the plan found; the rest is the job as given */
  guint plan;                  /* its index */
  gboolean better;             /* FALSE: nothing better was found; JOB is as given */
  gboolean satisfies;          /* no limit is passed */
  double steps_before, steps_after; /* least headroom, by the reduced model on the default mesh */
  GPtrArray *limits_before, *limits_after; /* LwSeekLimit: what is least, tightest first */
  GPtrArray *changes;          /* LwSeekChange */
  GPtrArray *off_first;        /* char *: parts that no plan can keep and that come off before the heat anyway */
  GPtrArray *would_help;       /* char *: what would buy more headroom (translated) */
  LwPrediction *before, *after; /* full; NULL when unconfirmed */
  double apart_k;              /* of the reduced from the full, for the plan found; NaN when unconfirmed */
  guint n_tried, n_places;
  double seconds_search, seconds_confirm;
} LwSeek;

/* NOW with the plan that was found in the place of its plan for the same part, whatever else has changed since
 * (transfer full); NULL with LW_PREDICT_ERROR_JOB when there is no such plan any more. */
LwJob *lw_seek_apply (const LwSeek *self, const LwJob *now, GError **error);
/* "2.1 times its doubt left" or "passed by 0.7 times its doubt" (translated, transfer full): a headroom in steps. */
char *lw_seek_say_steps (double steps);
void lw_seek_free (LwSeek *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwSeek, lw_seek_free)

/* Blocks. OPTIONS, CANCELLABLE, PROGRESS may be NULL. Errors: LW_PREDICT_ERROR, G_IO_ERROR_CANCELLED. */
LwSeek *lw_seek (LwJob *job, guint plan, const LwSeekOptions *options, GCancellable *cancellable,
                 LwPredictProgress progress, gpointer user, GError **error);
/* In a thread; PROGRESS comes in the caller's thread-default main context. */
void lw_seek_async (LwJob *job, guint plan, const LwSeekOptions *options, GCancellable *cancellable,
                    LwPredictProgress progress, gpointer user, GAsyncReadyCallback callback, gpointer user_data);
LwSeek *lw_seek_finish (GAsyncResult *result, GError **error);

G_END_DECLS

#endif
