/* What is kept of a march: figures per step, fields now and then, peaks. */
#ifndef HEAT_TRACE_H
#define HEAT_TRACE_H

#include "heat/march.h"

typedef struct {
  HeatResult *result;
  HeatArena *arena; /* of the result */
  const HeatMarch *march;
  double frame_s, next_frame_s;
  size_t room, max_times, max_frames; /* moments there is room for, and may ever be */
  double *top, *bottom; /* surface temperatures of the board as they are, per column */
  double *face; /* scratch: a body's far face, per column of its block */
  double gas_flow_most;
} HeatRecorder;

/* Room for ROOM steps at first and MAX_TIMES in the end, and for their frames; false when memory is short. */
bool heat_recorder_new (HeatArena *scratch, HeatArena *arena, const HeatMarch *march, double frame_s,
                        size_t room, size_t max_times, double end_s, HeatResult *result, HeatRecorder *recorder);
/* Notes the march's present state; LAST: a frame is stored in any case. False when memory is short. */
bool heat_recorder_note (HeatRecorder *recorder, bool last);
/* Steps of the above: time, sources and films of a further moment, whose number is returned; and the joints of
 * one body at a moment. */
size_t heat_recorder_moment (HeatRecorder *recorder);
void heat_trace_joints (const HeatMarch *march, size_t index, size_t at, HeatResult *result);
/* Share of the way from body to board at which the middle of a joint lies, in resistance: half without leads. */
double heat_board_share (const HeatBody *body);
/* Surface temperatures of the board as they are, per column; NaN off the board. */
void heat_board_surface (const HeatMarch *march, bool up, double *out);

#endif
