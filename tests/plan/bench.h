/* Jobs built in code for the tests of this room; invented boards. */
#ifndef BENCH_H
#define BENCH_H

#include "board/job.h"

/* 100 x 80 mm board at (X0, Y0), 1.6 mm; U1 17 mm area array at its middle on SIDE, C1 a ceramic chip
 * 15 mm to the right, J1 a connector, K1 an 8 mm can, R1 on the other side; warm-air preheater, matched
 * 19 mm nozzle, holder; soak, melt and cool stages (240 s). With the target on the bottom it is the
 * mirror twin of the one with the target on top, about the board's own middle. */
LwJob *bench_job (LwSide side, double x0_mm, double y0_mm);

/* A board of one material with films prescribed everywhere: 40 x 30 x 2 mm, one 20 x 15 mm part (20
 * W/m2K room both ways, no radiation), preheater film 30 W/m2K over the whole, gas film 80 W/m2K in a
 * nozzle just as large as the part. Edges and sides adiabatic. Conductivities K, joint film H. */
LwJob *bench_prescribed (double k_w_mk, double h_w_m2k);

/* A board of that size from (X0, Y0) and a station, with nothing on them. */
LwJob *bench_empty_job (double x0_mm, double y0_mm, double length_mm, double width_mm, double thickness_mm);
/* A nozzle "box", its wall 0.5 mm, its skirt 1 mm above the board. */
LwNozzle *bench_add_nozzle (LwJob *job, double length_mm, double width_mm);
/* Joints of a 2 mm chip, of a two-row plug and of an 8 mm can. */
void bench_add_small_joints (LwPackage *chip, LwPackage *plug, LwPackage *can);
LwPart *bench_add_part (LwJob *job, const char *ref, const char *package, double x_mm, double y_mm,
                        LwSide side);
LwPackage *bench_add_package (LwJob *job, const char *name, LwPackageKind kind, double length_mm,
                              double width_mm, double height_mm);
LwStage *bench_add_stage (LwPlan *plan, const char *name, double duration_s, double gas_c, double flow,
                          double preheat_c, LwStageShape shape);

#endif
