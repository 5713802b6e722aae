/* What the person prefers that is the program's and not a window's: units on the screen, the usual station. */
#ifndef LW_HABITS_H
#define LW_HABITS_H

/* Applies the remembered choices ("length-unit", "temperature-unit", "station"), now and whenever they change. */
void lw_habits_follow (void);

#endif
