/* A board, a plan and a prediction made by hand, for drawing. Every figure is invented: they are pictures'
 * subjects, not check values. */
#ifndef SAMPLE_H
#define SAMPLE_H

#include "draw/draw.h"

LwJob *sample_job_new (void);
/* For sample_job_new()'s job: a warm spot that grows over the target and cools again. */
LwPrediction *sample_prediction_new (const LwJob *job);
GPtrArray *sample_findings_new (void);
/* A small job with one part only. */
LwJob *sample_small_job_new (void);

#endif
