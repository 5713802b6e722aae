/* Threads that compute while a person works: they let the window's thread go first. */
#ifndef LW_BACKGROUND_H
#define LW_BACKGROUND_H

/* The calling thread, and those it starts, step back from now on. Calling it again changes nothing. */
void lw_background_thread (void);

#endif
