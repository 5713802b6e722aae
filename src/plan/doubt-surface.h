/* Doubt from a few runs: each uncertain input is moved alone to its 5 % and its 95 %, every figure and curve
 * becomes a sum of one parabola per input, and the sums are sampled. What inputs do only together is left out;
 * tests/plan/test-doubt-runs.c holds the bands against runs with everything moved at once. */
#ifndef LW_DOUBT_SURFACE_H
#define LW_DOUBT_SURFACE_H

#include "plan/compile.h"
#include "plan/doubt-sample.h"
#include "plan/solve-scene.h"

G_BEGIN_DECLS

/* A run of a case with DRIVE's inputs. WORKER is below lw_draws_threads (0). Called from several threads. */
typedef HeatResult *(*LwDoubtRun) (gpointer user, guint worker, const HeatDrive *drive, GError **error);

/* The doubt of what OF's plan is predicted to do, by runs of RUN. WATCH and ERROR may be NULL. */
LwDoubt *lw_doubt_surface (const LwCase *of, gboolean in_range, const LwDoubtOptions *options, LwDoubtRun run,
                           gpointer user, const LwWatch *watch, GError **error);

/* The full solution on coarse cells with long steps: only differences between such runs are used. USER is the
 * LwCase. */
HeatResult *lw_doubt_run_full (gpointer user, guint worker, const HeatDrive *drive, GError **error);

/* The case's own set points and inputs, marked at the end of the heating. */
HeatDrive lw_doubt_drive (const LwCase *of);

G_END_DECLS

#endif
