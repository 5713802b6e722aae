/* The figures of a run that meet limits. */
#ifndef LW_FIGURE_H
#define LW_FIGURE_H

typedef enum {
  LW_FIGURE_JOINT_PEAK,
  LW_FIGURE_JOINT_CENTER,
  LW_FIGURE_JOINT_CORNER,
  LW_FIGURE_BODY_PEAK,
  LW_FIGURE_RAMP_UP,
  LW_FIGURE_RAMP_DOWN,
  LW_FIGURE_FASTEST_RAMP_UP, /* of body and joints */
  LW_FIGURE_COLD_MARK,       /* coldest joint up to the end of the heating */
  LW_FIGURE_SPREAD,
  LW_FIGURE_ABOVE_LIQUIDUS,
  LW_FIGURE_ABOVE_LIQUIDUS_HOT,
  LW_FIGURE_BOARD_PEAK, /* of body 0, for want of another */
  LW_N_FIGURES
} LwFigure;

#endif
