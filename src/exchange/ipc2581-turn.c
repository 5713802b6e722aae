/* How bottom parts are turned. The book says: turned first, then mirrored in x. One widely used exporter
 * mirrors in y instead, half a turn off. Lands that name their pin tell which it was. */
#include <math.h>

#include "exchange/ipc2581-file.h"

#define FIT_MM 0.02 /* twice the last digit of an inch file */

static LwPoint
turned (double deg, double u, double v)
{
  double a = deg * G_PI / 180.0;

  return (LwPoint){ cos (a) * u - sin (a) * v, sin (a) * u + cos (a) * v };
}

static LwPoint
laid (LwIpcRule rule, double f, double u, double v)
{
  switch (rule) {
  case LW_IPC_TURN_FLIP_Y:
    return turned (-f, u, -v);
  case LW_IPC_FLIP_X_TURN:
    return turned (f, -u, v);
  case LW_IPC_FLIP_Y_TURN:
    return turned (f, u, -v);
  case LW_IPC_TURN_FLIP_X:
  case LW_IPC_N_RULES:
    break;
  }
  return turned (-f, -u, v);
}

/* R(a)(u, -v) = R(a + 180)(-u, v). */
double
lw_ipc_rotation (LwIpcRule rule, double f)
{
  switch (rule) {
  case LW_IPC_TURN_FLIP_Y:
    return lw_angle_normalise (f + 180);
  case LW_IPC_FLIP_X_TURN:
    return lw_angle_normalise (-f);
  case LW_IPC_FLIP_Y_TURN:
    return lw_angle_normalise (180 - f);
  case LW_IPC_TURN_FLIP_X:
  case LW_IPC_N_RULES:
    break;
  }
  return lw_angle_normalise (f);
}

gboolean
lw_ipc_on_bottom (const LwIpcFile *self, const LwIpcComponent *component, gboolean *embedded)
{
  const LwIpcLayer *layer = g_hash_table_lookup (self->layers, component->layer);

  *embedded = layer != NULL && g_strcmp0 (layer->side, "INTERNAL") == 0;
  if (layer == NULL || layer->side == NULL || *embedded)
    return component->mirror;
  if (g_strcmp0 (layer->side, "BOTTOM") == 0)
    return TRUE;
  return g_strcmp0 (layer->side, "TOP") == 0 ? FALSE : component->mirror;
}

static const LwIpcPin *
pin_of (const LwIpcStep *step, const LwIpcComponent *component, const char *pin)
{
  g_autofree char *key = g_strconcat (component->package, "\n", pin, NULL);
  guint number = GPOINTER_TO_UINT (g_hash_table_lookup (step->by_pin, key));
  const LwIpcPackage *package = g_hash_table_lookup (step->by_package, component->package);

  if (number == 0 || package == NULL || number > package->pins->len)
    return NULL;
  return &g_array_index (package->pins, LwIpcPin, number - 1);
}

/* A land all rules agree on tells nothing. */
static void
vote_bottom (LwIpcStep *step, const LwIpcComponent *component, const LwIpcPin *pin, double dx, double dy)
{
  gboolean fits[LW_IPC_N_RULES];
  guint n = 0;

  for (int r = 0; r < LW_IPC_N_RULES; r++) {
    LwPoint at = laid ((LwIpcRule)r, component->rotation_deg, pin->x_mm, pin->y_mm);

    fits[r] = hypot (at.x_mm - dx, at.y_mm - dy) <= FIT_MM;
    n += fits[r];
  }
  if (n == LW_IPC_N_RULES)
    return;
  step->n_votes++;
  for (int r = 0; r < LW_IPC_N_RULES; r++)
    step->votes[r] += fits[r];
}

void
lw_ipc_vote (LwIpcFile *self, LwIpcStep *step, const char *ref, const char *pin, double x_mm,
             double y_mm)
{
  const LwIpcComponent *component = g_hash_table_lookup (step->by_ref, ref);
  const LwIpcPin *land
      = component != NULL && component->has_place ? pin_of (step, component, pin) : NULL;
  gboolean embedded;
  LwPoint at;

  if (land == NULL)
    return;
  if (lw_ipc_on_bottom (self, component, &embedded)) {
    vote_bottom (step, component, land, x_mm - component->x_mm, y_mm - component->y_mm);
    return;
  }
  at = turned (component->rotation_deg, land->x_mm, land->y_mm);
  if (hypot (component->x_mm + at.x_mm - x_mm, component->y_mm + at.y_mm - y_mm) <= FIT_MM)
    step->n_top_fit++;
  else
    step->n_top_miss++;
}
