/* A board of 600 x 500 mm with 10,000 parts on both sides, always the same: what the program has to bear. */
#ifndef LARGE_BOARD_H
#define LARGE_BOARD_H

#include "board/job.h"

#define LARGE_PARTS 10000
/* A large part in the middle of the board, which is what is reworked. */
#define LARGE_TARGET "U4789"

/* Without plans. */
LwJob *large_board (void);
/* With a plan of defaults for LARGE_TARGET. */
LwJob *large_job (void);

#endif
