/* The full solution has the last word of a search. Inside plan/. */
#ifndef LW_SEEK_CONFIRM_H
#define LW_SEEK_CONFIRM_H

#include "plan/seek.h"
#include "plan/solve-scene.h"

G_BEGIN_DECLS

/* Solves JOB's plan and the one found, at the same time, and fills OUT's before, after and apart_k; where nothing better was found,
 * both are one. FALSE with ERROR, OUT then in part. */
gboolean lw_seek_confirm (LwSeek *out, LwJob *job, const LwWatch *watch, GError **error);

G_END_DECLS

#endif
