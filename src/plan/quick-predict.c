/* A run of the reduced model as a prediction, whose fields are made when they are looked at. */
#include "plan/quick.h"

#include <string.h>

#include "heat/reduced-spots.h"
#include "plan/map-result.h"
#include "plan/prediction.h"
#include "plan/quick-inside.h"
#include "plan/solve-scene.h"

/* ---- fields ---- */

/* The last field of each side is kept: a view asks for the same one again and again. */
typedef struct {
  LwFieldMaker maker;
  LwQuick *quick;
  HeatReducedPast *past;
  gboolean flipped;
  gsize nx, ny;
  GMutex lock; /* guards the rest */
  double kept_s[2];
  float *kept[2];
} Past;

static void
mirror_rows (float *field, gsize nx, gsize ny)
{
  for (gsize iy = 0; iy < ny; iy++)
    for (gsize ix = 0; ix < nx / 2; ix++) {
      float *a = &field[iy * nx + ix], *b = &field[iy * nx + nx - 1 - ix], t = *a;
      *a = *b;
      *b = t;
    }
}

static void
make_field (Past *past, LwSide side, double t_s, float *out)
{
  gboolean upper = (side == LW_SIDE_TOP) != past->flipped; /* in the scene */

  heat_reduced_field (lw_quick_model (past->quick), past->past, t_s, upper ? out : NULL,
                      upper ? NULL : out);
  if (past->flipped)
    mirror_rows (out, past->nx, past->ny);
}

static void
past_field (LwFieldMaker *maker, LwSide side, double t_s, float *out)
{
  Past *past = (Past *) maker;
  gsize n = past->nx * past->ny;

  g_mutex_lock (&past->lock);
  if (past->kept[side] == NULL || past->kept_s[side] != t_s) {
    if (past->kept[side] == NULL)
      past->kept[side] = g_new (float, n);
    make_field (past, side, t_s, past->kept[side]);
    past->kept_s[side] = t_s;
  }
  memcpy (out, past->kept[side], n * sizeof *out);
  g_mutex_unlock (&past->lock);
}

static void
past_free (LwFieldMaker *maker)
{
  Past *past = (Past *) maker;

  heat_reduced_past_free (past->past);
  lw_quick_unref (past->quick);
  g_clear_pointer (&maker->watched, g_array_unref);
  g_free (past->kept[0]);
  g_free (past->kept[1]);
  g_mutex_clear (&past->lock);
  g_free (past);
}

static LwFieldMaker *
past_new (const LwQuick *quick, HeatReducedPast *heat, const LwPrediction *to)
{
  Past *past = g_new0 (Past, 1);

  past->maker = (LwFieldMaker){ past_field, past_free, NULL };
  past->quick = lw_quick_ref ((LwQuick *) quick);
  past->past = heat;
  past->flipped = to->flipped;
  past->nx = to->nx;
  past->ny = to->ny;
  g_mutex_init (&past->lock);
  return &past->maker;
}

/* ---- the plan's thermocouples on the board ---- */

static void
clear_watched (gpointer element)
{
  g_free (((LwWatched *) element)->c);
}

/* The last solve at each place, as courses of their own. */
static gboolean
read_watched (const LwQuick *quick, LwQuickRun *run, const LwCase *of, GArray *watched)
{
  const HeatReducedRun *heat = lw_quick_run_heat (run);
  gsize n = watched->len, n_times = heat_reduced_n_times (heat);
  g_autofree HeatSpot *at = g_new (HeatSpot, MAX (n, 1));
  g_autofree double *all = g_new (double, MAX (n * n_times, 1));
  HeatSpots *spots;

  for (gsize i = 0; i < n; i++) {
    const LwWatched *place = &g_array_index (watched, LwWatched, i);
    at[i] = (HeatSpot){ lw_case_point (of, place->x_mm, place->y_mm), (place->side == LW_SIDE_TOP) != of->flipped };
  }
  spots = heat_spots_new (lw_quick_model (quick), at, n);
  if (spots == NULL)
    return FALSE;
  heat_spots_read (spots, heat, all);
  heat_spots_free (spots);
  for (gsize i = 0; i < n; i++) {
    LwWatched *place = &g_array_index (watched, LwWatched, i);
    place->c = g_new (double, n_times);
    for (gsize k = 0; k < n_times; k++)
      place->c[k] = all[k * n + i];
  }
  return TRUE;
}

/* NULL: there are none, or memory is short; then fields are made. */
static GArray *
watch_couples (const LwQuick *quick, LwQuickRun *run, const LwCase *of)
{
  const LwPlan *plan = lw_case_plan (of);
  g_autoptr (GArray) watched = g_array_new (FALSE, TRUE, sizeof (LwWatched));

  g_array_set_clear_func (watched, clear_watched);
  for (guint i = 0; i < plan->thermocouples->len; i++) {
    const LwThermocouple *couple = g_ptr_array_index (plan->thermocouples, i);
    LwWatched place = { couple->side, couple->x_mm, couple->y_mm, NULL };

    g_array_append_val (watched, place);
  }
  return watched->len > 0 && read_watched (quick, run, of, watched) ? g_steal_pointer (&watched) : NULL;
}

/* The reduced march keeps no cell's peak: the place is that of the hottest moment. */
static void
find_board_peak (LwPrediction *to)
{
  gsize n = (gsize) to->nx * to->ny;
  g_autofree float *field = g_new (float, MAX (n, 1));
  guint at = 0;

  for (guint i = 1; i < to->n_times; i++)
    if (to->board_max[i] > to->board_max[at])
      at = i;
  for (LwSide side = LW_SIDE_TOP; side <= LW_SIDE_BOTTOM; side++) {
    lw_prediction_field (to, side, to->t_s[at], field);
    for (gsize i = 0; i < n; i++)
      if (field[i] > to->board_peak_c) {
        to->board_peak_c = field[i];
        to->board_peak_at = (LwPoint){ 0.5 * (to->x_edges_mm[i % to->nx] + to->x_edges_mm[i % to->nx + 1]),
                                       0.5 * (to->y_edges_mm[i / to->nx] + to->y_edges_mm[i / to->nx + 1]) };
      }
  }
}

/* ---- the whole ---- */

LwPrediction *
lw_quick_predict_from (const LwQuick *self, const LwQuickDrive *drive, HeatResult *result, HeatReducedPast *past)
{
  LwPrediction *to = lw_map_result (drive != NULL ? drive->of : lw_quick_case (self), result, lw_quick_lee (self));

  to->full = FALSE;
  to->maker = past_new (self, past, to);
  find_board_peak (to);
  return to;
}

LwPrediction *
lw_quick_predict (const LwQuick *self, LwQuickRun *run, const LwQuickDrive *drive, GError **error)
{
  g_autoptr (HeatResult) result = NULL;
  LwPrediction *to;
  HeatReducedPast *past;
  GArray *watched;
  HeatStatus status = heat_reduced_result (lw_quick_model (self), lw_quick_run_heat (run), &result);

  if (status != HEAT_OK) {
    lw_set_heat_error (error, status, heat_reduced_detail (lw_quick_run_heat (run)));
    return NULL;
  }
  watched = watch_couples (self, run, drive != NULL ? drive->of : lw_quick_case (self));
  past = heat_reduced_past_new (lw_quick_model (self), lw_quick_run_heat (run));
  if (past == NULL) {
    g_clear_pointer (&watched, g_array_unref);
    lw_set_heat_error (error, HEAT_NO_MEMORY, "");
    return NULL;
  }
  to = lw_quick_predict_from (self, drive, g_steal_pointer (&result), past);
  if (watched != NULL && heat_reduced_n_times (lw_quick_run_heat (run)) == to->n_times)
    to->maker->watched = watched;
  else
    g_clear_pointer (&watched, g_array_unref);
  return to;
}
