/* Where a thermocouple can sit, and what it reads there in a run of the reduced model: the same as
 * lw_bench_reading_c() reads from a prediction. */
#ifndef LW_FIT_PLACES_H
#define LW_FIT_PLACES_H

#include "plan/compile.h"
#include "plan/quick.h"

G_BEGIN_DECLS

typedef enum {
  LW_PLACE_BOARD,  /* the board's surface */
  LW_PLACE_BODY,   /* the hottest place of a body */
  LW_PLACE_JOINTS, /* the mean of a part's joints */
  LW_PLACE_JOINT   /* one joint of the reworked part */
} LwPlaceKind;

typedef struct {
  LwPlaceKind kind;
  guint body;        /* of the case; not of BOARD */
  guint joint;       /* of JOINT */
  LwSide side;       /* as of LwThermocouple */
  double x_mm, y_mm; /* board frame */
} LwPlace;

/* What a thermocouple touches. */
LwPlace lw_place_of (const LwCase *of, const LwThermocouple *couple);
/* The thermocouple that touches a place (transfer full), without a name. */
LwThermocouple *lw_place_couple (const LwCase *of, const LwPlace *place);
/* "body of U3", "corner joint of U1", "bare board, top, x 12.0, y 40.0 mm": translated (transfer full). */
char *lw_place_text (const LwCase *of, const LwPlace *place);
/* Places worth asking about: joints of the reworked part at its middle and corners, its body, bodies and joints of
 * the parts next to it that are large enough to hold a thermocouple, bare board on both sides. GArray of LwPlace
 * (transfer full). */
GArray *lw_places_candidates (const LwCase *of);

/* Reads all of N places at once. */
typedef struct LwPlaceReader LwPlaceReader;
LwPlaceReader *lw_place_reader_new (LwQuick *quick, const LwPlace *places, guint n);
void lw_place_reader_free (LwPlaceReader *self); /* NULL allowed */
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwPlaceReader, lw_place_reader_free)
/* OUT [place * n_grid + k]: readings at k * DT_S of RUN's last march, the last reading going on; FALSE when memory is
 * short. From any thread. */
gboolean lw_place_reader_read (const LwPlaceReader *self, LwQuickRun *run, double dt_s, guint n_grid, double *out);

G_END_DECLS

#endif
