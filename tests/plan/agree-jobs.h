/* Jobs on which the reduced model and the full solution must agree: the demo, real boards, generated ones. */
#ifndef AGREE_JOBS_H
#define AGREE_JOBS_H

#include "board/job.h"

LwJob *agree_demo (void);
/* A board of tests/data with a station and a plan for its part REF. */
LwJob *agree_board (const char *file, const char *ref);
/* The N-th of a series: sizes, stack-ups, parts, station and plan by a fixed seed. */
LwJob *agree_made (guint n);

#endif
