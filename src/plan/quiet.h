/* The GNU Scientific Library ends the program on an error unless it is told not to. */
#ifndef LW_QUIET_H
#define LW_QUIET_H

/* From now on what fails there is reported by its return value, in every thread. The handler is the whole program's: it
 * is set once and never put back, since another thread may rely on it. Calling it again changes nothing. */
void lw_quiet_gsl (void);

#endif
