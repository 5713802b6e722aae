/* How a call of this room ended. The list is kept once; heat_status_text() reads it. */
#ifndef HEAT_STATUS_H
#define HEAT_STATUS_H

#define HEAT_STATUS_LIST(X)                                                                            \
  X (HEAT_OK, "done")                                                                                  \
  X (HEAT_NO_MEMORY, "out of memory")                                                                  \
  X (HEAT_BAD_SCENE, "a value of the scene is out of range")                                           \
  X (HEAT_TOO_LARGE, "the mesh would be larger than allowed")                                          \
  X (HEAT_NOT_CONVERGED, "the equations did not converge")                                             \
  X (HEAT_CANCELLED, "cancelled")

typedef enum {
#define HEAT_STATUS_ENUM(name, text) name,
  HEAT_STATUS_LIST (HEAT_STATUS_ENUM)
#undef HEAT_STATUS_ENUM
} HeatStatus;

/* English, static, never NULL. */
const char *heat_status_text (HeatStatus status);

#endif
