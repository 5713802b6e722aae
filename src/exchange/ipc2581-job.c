/* What an IPC-2581 file says, as the lists every reader gives, and the stack-up. */
#include <glib/gi18n.h>
#include <math.h>
#include <string.h>

#include "exchange/ipc2581-file.h"
#include "exchange/package-words.h"

/* Copper whose shapes are not counted: share of the area on outer and inner layers, as the program takes
 * for a board without a stack-up. Common practice, no source. */
#define OUTER_COVER 0.3
#define INNER_COVER 0.9
#define MAX_LAYERS 200

static void
tell (LwIpcFile *self, guint line, const char *text)
{
  lw_notes_add (self->notes, self->name, line, "%s", text);
}

/* ---- which step ---- */

static LwIpcStep *
step_named (LwIpcFile *self, const char *name)
{
  for (guint i = 0; i < self->steps->len; i++) {
    LwIpcStep *step = self->steps->pdata[i];

    if (g_strcmp0 (step->name, name) == 0)
      return step;
  }
  return NULL;
}

/* A panel's own parts are none or few: the board is the step it repeats. Bounded, as steps may go round.
 */
static LwIpcStep *
board_of (LwIpcFile *self, LwIpcStep *step)
{
  for (guint hops = 0; step != NULL && step->components->len == 0 && hops < LW_IPC_MAX_STEPS; hops++) {
    LwIpcStep *inner = NULL;

    for (guint i = 0; i < step->repeats->len && inner == NULL; i++)
      inner = step_named (self, step->repeats->pdata[i]);
    if (inner == NULL)
      return step;
    lw_notes_add (self->notes, self->name, step->line,
                  _ ("step “%.60s” is a panel of %u pieces: the single board “%.60s” is taken"),
                  step->name != NULL ? step->name : "", step->n_repeats, inner->name);
    step = inner;
  }
  return step;
}

LwIpcStep *
lw_ipc_choose_step (LwIpcFile *self)
{
  LwIpcStep *best = NULL;

  for (guint i = 0; i < self->step_refs->len && (best == NULL || best->components->len == 0); i++) {
    LwIpcStep *step = board_of (self, step_named (self, self->step_refs->pdata[i]));

    best = step != NULL ? step : best;
  }
  for (guint i = 0; i < self->steps->len && (best == NULL || best->components->len == 0); i++) {
    LwIpcStep *step = self->steps->pdata[i];

    best = best == NULL || step->components->len > 0 ? step : best;
  }
  for (guint i = 0; best != NULL && i < self->steps->len; i++) {
    const LwIpcStep *step = self->steps->pdata[i];

    if (step != best && step->components->len > 0)
      lw_notes_add (self->notes, self->name, step->line, _ ("step “%.60s” with %u parts is left out"),
                    step->name != NULL ? step->name : "", step->components->len);
  }
  return best;
}

/* ---- stack-up ---- */

static gboolean
starts_with_any (const char *function, const char *const *words)
{
  for (guint i = 0; function != NULL && words[i] != NULL; i++)
    if (g_str_has_prefix (function, words[i]))
      return TRUE;
  return FALSE;
}

static gboolean
layer_kind (const LwIpcLayer *layer, LwLayerKind *kind)
{
  static const char *const copper[]
      = { "CONDUCT", "SIGNAL", "PLANE", "MIXED", "CONDFILM", "CONDFOIL", NULL };
  static const char *const laminate[] = { "DIEL", NULL }, *const mask[] = { "SOLDERMASK", NULL };
  const char *function = layer != NULL ? layer->function : NULL;

  if (starts_with_any (function, copper))
    *kind = LW_LAYER_COPPER;
  else if (starts_with_any (function, laminate))
    *kind = LW_LAYER_LAMINATE;
  else if (starts_with_any (function, mask))
    *kind = LW_LAYER_MASK;
  else
    return FALSE;
  return TRUE;
}

gboolean
lw_ipc_is_copper (const LwIpcLayer *layer)
{
  LwLayerKind kind;

  return layer_kind (layer, &kind) && kind == LW_LAYER_COPPER;
}

static gint
by_sequence (gconstpointer a, gconstpointer b)
{
  const LwIpcStackLayer *x = *(LwIpcStackLayer *const *)a, *y = *(LwIpcStackLayer *const *)b;

  if (x->sequence != y->sequence)
    return x->sequence < y->sequence ? -1 : 1;
  return x->line < y->line ? -1 : x->line > y->line;
}

/* The specification a layer refers to; some exporters write names that lack an ending or have one too
 * many, so nothing hangs on it. */
static const LwIpcSpec *
spec_of (const LwIpcFile *self, const LwIpcStackLayer *from)
{
  return from->spec != NULL ? g_hash_table_lookup (self->specs, from->spec) : NULL;
}

static LwLayer *
layer_new (LwIpcFile *self, const LwIpcStackLayer *from, LwLayerKind kind)
{
  const LwIpcSpec *spec = spec_of (self, from);
  LwLayer *layer = lw_layer_new ();

  g_free (layer->name);
  layer->name = g_strdup (from->layer != NULL ? from->layer : "");
  layer->kind = kind;
  layer->thickness_mm = from->thickness_mm > 0 && from->thickness_mm <= 20 ? from->thickness_mm : NAN;
  if (kind == LW_LAYER_COPPER && spec != NULL && spec->weight_oz > 0 && spec->weight_oz <= 100)
    layer->copper_weight_oz = spec->weight_oz;
  else if (kind == LW_LAYER_COPPER && isnan (layer->thickness_mm))
    lw_notes_add (self->notes, self->name, from->line,
                  _ ("copper layer “%.60s” has neither thickness nor weight: 1 oz/ft² is taken"),
                  layer->name);
  if (kind == LW_LAYER_LAMINATE && spec != NULL && spec->material != NULL) {
    g_free (layer->material);
    layer->material = g_strdup (spec->material);
  }
  return layer;
}

static void
set_covers (LwBoard *board)
{
  LwLayer *last = NULL;
  gboolean first = TRUE;

  for (guint i = 0; i < board->layers->len; i++) {
    LwLayer *layer = board->layers->pdata[i];

    if (layer->kind != LW_LAYER_COPPER)
      continue;
    layer->cover = first ? OUTER_COVER : INNER_COVER;
    last = layer;
    first = FALSE;
  }
  if (last != NULL)
    last->cover = OUTER_COVER;
}

static double
sum_of (const LwBoard *board)
{
  double sum = 0;

  for (guint i = 0; i < board->layers->len; i++) {
    const LwLayer *layer = board->layers->pdata[i];

    sum += isnan (layer->thickness_mm) ? layer->copper_weight_oz * 0.0348 : layer->thickness_mm;
  }
  return sum;
}

/* Silk and paste stand in stack-ups too, with no thickness; a laminate without one cannot be kept. */
static void
add_layers (LwIpcFile *self, LwBoard *board)
{
  for (guint i = 0; i < self->stack->len && board->layers->len < MAX_LAYERS; i++) {
    const LwIpcStackLayer *from = self->stack->pdata[i];
    const LwIpcLayer *layer
        = from->layer != NULL ? g_hash_table_lookup (self->layers, from->layer) : NULL;
    LwLayerKind kind;

    if (!layer_kind (layer, &kind))
      continue;
    if (kind != LW_LAYER_COPPER && !(from->thickness_mm > 0 && from->thickness_mm <= 20)) {
      if (kind == LW_LAYER_LAMINATE)
        lw_notes_add (self->notes, self->name, from->line,
                      _ ("layer “%.60s” has no thickness and is left out"), from->layer);
      continue;
    }
    g_ptr_array_add (board->layers, layer_new (self, from, kind));
  }
}

void
lw_ipc_set_stack (LwIpcFile *self, LwJob *job)
{
  LwBoard *board = job->board;
  double sum;

  if (self->n_stacks > 1)
    tell (self, 0,
          _ ("there are several stack-ups (a board of rigid and flexible areas?): the first is taken"));
  g_ptr_array_sort (self->stack, by_sequence);
  add_layers (self, board);
  if (board->layers->len == 0)
    return;
  set_covers (board);
  sum = sum_of (board);
  if (isnan (self->overall_mm) && sum > 0)
    self->overall_mm = sum;
}

/* ---- packages ---- */

/* Types as the schema names them; those that say nothing about the kind are not here. */
static const struct {
  const char *word;
  LwPackageKind kind;
} types[] = {
  { "PLASTIC_BGA", LW_KIND_AREA_ARRAY },
  { "CERAMIC_BGA", LW_KIND_AREA_ARRAY },
  { "FINEPITCH_BGA", LW_KIND_AREA_ARRAY },
  { "CHIP_SCALE", LW_KIND_AREA_ARRAY },
  { "FLIPCHIP", LW_KIND_AREA_ARRAY },
  { "SQUARE_QUAD_FLATPACK", LW_KIND_LEADED },
  { "RECTANGULAR_QUAD_FLATPACK", LW_KIND_LEADED },
  { "CERAMIC_QUAD_FLATPACK", LW_KIND_LEADED },
  { "CERAMIC_FLATPACK", LW_KIND_LEADED },
  { "PLASTIC_CHIP_CARRIER", LW_KIND_LEADED },
  { "SOIC", LW_KIND_LEADED },
  { "SSOIC", LW_KIND_LEADED },
  { "SOPIC", LW_KIND_LEADED },
  { "SOJ", LW_KIND_LEADED },
  { "SOT23", LW_KIND_LEADED },
  { "SOT89", LW_KIND_LEADED },
  { "SOT143", LW_KIND_LEADED },
  { "SOT52", LW_KIND_LEADED },
  { "SOD123", LW_KIND_LEADED },
  { "LEADLESS_CERAMIC_CHIP_CARRIER", LW_KIND_LEADLESS },
  { "COIL", LW_KIND_INDUCTOR },
  { "CONNECTOR_SM", LW_KIND_CONNECTOR },
  { "CONNECTOR_TH", LW_KIND_CONNECTOR },
  { "RELAY_SM", LW_KIND_RELAY },
  { "RELAY_TH", LW_KIND_RELAY },
  { "SWITCH_TH", LW_KIND_SWITCH },
  { "SWITCH_SM", LW_KIND_SWITCH },
  { "TRANSFORMER", LW_KIND_TRANSFORMER },
  { "TANTALUM", LW_KIND_TANTALUM },
};

static LwPackageKind
kind_of (const char *type)
{
  for (guint i = 0; type != NULL && i < G_N_ELEMENTS (types); i++)
    if (strcmp (types[i].word, type) == 0)
      return types[i].kind;
  return LW_KIND_OTHER;
}

static double
area_of (const GPtrArray *loops)
{
  double best = 0;

  for (guint i = 0; i < loops->len; i++)
    best = MAX (best, fabs (lw_loop_area (((const LwListedLoop *)loops->pdata[i])->loop)));
  return best;
}

/* Some exporters write the area to keep clear as the outline; the assembly drawing then shows the body.
 */
static void
choose_outline (LwIpcPackage *package)
{
  double outline = area_of (package->body->loops), assembly = area_of (package->assembly);

  if (assembly <= 0 || (outline > 0 && assembly >= outline))
    return;
  g_ptr_array_unref (package->body->loops);
  package->body->loops = package->assembly;
  package->assembly = lw_listed_loops_new ();
}

/* The box of a turned land. */
static LwListedPin
pin_of (const LwIpcFile *self, const LwIpcPin *land)
{
  const LwIpcShape *named
      = land->shape_name != NULL ? g_hash_table_lookup (self->shapes, land->shape_name) : NULL;
  LwIpcShape shape = named != NULL ? *named : land->shape;
  double a = land->rotation_deg * G_PI / 180.0, c = fabs (cos (a)), s = fabs (sin (a));

  return (LwListedPin){ land->x_mm, land->y_mm, c * shape.length_mm + s * shape.width_mm,
                        s * shape.length_mm + c * shape.width_mm };
}

/* Once, and not for each: many exporters write none at all. */
static void
tell_heights (LwIpcFile *self, const LwListedLibrary *library)
{
  guint n = 0;

  for (guint i = 0; i < library->entries->len; i++)
    n += isnan (((const LwListedBody *)library->entries->pdata[i])->height_mm);
  if (n > 0)
    lw_notes_add (self->notes, self->name, 0, _ ("%u of %u packages state no height"), n,
                  library->entries->len);
}

void
lw_ipc_list_packages (LwIpcFile *self, LwIpcStep *step, LwListedLibrary *library)
{
  for (guint i = 0; i < step->packages->len; i++) {
    LwIpcPackage *package = step->packages->pdata[i];

    choose_outline (package);
    package->body->kind = kind_of (package->type);
    for (guint k = 0; k < package->pins->len; k++) {
      LwListedPin pin = pin_of (self, &g_array_index (package->pins, LwIpcPin, k));

      g_array_append_val (package->body->pins, pin);
    }
    g_ptr_array_add (library->entries, g_steal_pointer (&package->body));
  }
  lw_listed_library_index (library, self->notes);
  tell_heights (self, library);
}

/* ---- parts ---- */

/* The book's rule, unless the lands speak for another. */
static LwIpcRule
rule_of (LwIpcFile *self, const LwIpcStep *step, guint n_bottom)
{
  LwIpcRule best = LW_IPC_TURN_FLIP_X;

  for (int r = 0; r < LW_IPC_N_RULES; r++)
    if (step->votes[r] > step->votes[best])
      best = (LwIpcRule)r;
  if (n_bottom == 0)
    return best;
  if (step->n_votes == 0)
    lw_notes_add (self->notes, self->name, 0,
                  _ ("parts on the bottom: %u, and no land tells how they are turned: the standard’s "
                     "rule is taken"),
                  n_bottom);
  else if (best != LW_IPC_TURN_FLIP_X)
    lw_notes_add (self->notes, self->name, 0,
                  _ ("bottom parts are not turned by the standard’s rule: %u of %u lands on the board "
                     "fit another, "
                     "which is taken"),
                  step->votes[best], step->n_votes);
  if (step->votes[best] < step->n_votes)
    lw_notes_add (self->notes, self->name, 0,
                  _ ("%u of %u lands of bottom parts lie where no rule puts them all"),
                  step->n_votes - step->votes[best], step->n_votes);
  return best;
}

static void
check_top (LwIpcFile *self, const LwIpcStep *step)
{
  if (step->n_top_miss > 0)
    lw_notes_add (self->notes, self->name, 0,
                  _ ("%u of %u lands of top parts do not lie where part and package put them"),
                  step->n_top_miss, step->n_top_miss + step->n_top_fit);
}

static void
check_side (LwIpcFile *self, const LwIpcComponent *from, gboolean bottom)
{
  const LwIpcLayer *layer = g_hash_table_lookup (self->layers, from->layer);

  if (layer == NULL)
    lw_notes_add (self->notes, self->name, from->line,
                  _ ("%.60s lies on layer “%.60s”, which is not described: %s is taken"), from->ref,
                  from->layer, bottom ? _ ("the bottom") : _ ("the top"));
  else if (from->mirror != bottom)
    lw_notes_add (self->notes, self->name, from->line,
                  _ ("%.60s is %s by its drawing, but its layer is on %s: the layer counts"), from->ref,
                  from->mirror ? _ ("mirrored") : _ ("not mirrored"),
                  bottom ? _ ("the bottom") : _ ("the top"));
}

/* Holes, test points and the like are of the board: bills of materials leave them out, and yet they are
 * there. */
static gboolean
is_fitted (const LwIpcFile *self, const LwIpcComponent *from)
{
  return !g_hash_table_contains (self->unfitted, from->ref)
         || lw_package_words_read (from->package, "", from->ref).kind == LW_KIND_MECHANICAL;
}

/* Listed, but not on the board. */
static gboolean
is_placed (LwIpcFile *self, const LwIpcComponent *from, gboolean embedded)
{
  const char *why = NULL;

  if (!from->has_place)
    why = _ ("%.60s has no place: kept as not placed");
  else if (embedded)
    why = _ ("%.60s is embedded in the board: kept as not placed");
  else if (!is_fitted (self, from))
    why = _ ("%.60s is not fitted: kept as not placed");
  if (why != NULL)
    lw_notes_add (self->notes, self->name, from->line, why, from->ref);
  return why == NULL;
}

static LwListedPart *
list_part (LwIpcFile *self, const LwIpcComponent *from, LwIpcRule rule)
{
  gboolean embedded, bottom = lw_ipc_on_bottom (self, from, &embedded);
  const char *value = g_hash_table_lookup (self->values, from->number);
  LwListedPart *part
      = lw_listed_part_new (from->package, value != NULL ? value : from->number, from->ref, from->line);

  part->x_mm = from->x_mm;
  part->y_mm = from->y_mm;
  part->side = bottom ? LW_SIDE_BOTTOM : LW_SIDE_TOP;
  part->rotation_deg = bottom ? lw_ipc_rotation (rule, from->rotation_deg) : from->rotation_deg;
  part->offset_mm = from->standoff_mm > 0 ? from->standoff_mm : 0;
  part->height_mm = from->height_mm > 0 ? from->height_mm : NAN;
  part->placed = is_placed (self, from, embedded);
  if (!embedded)
    check_side (self, from, bottom);
  return part;
}

void
lw_ipc_list_parts (LwIpcFile *self, LwIpcStep *step, LwListedBoard *board)
{
  guint n_bottom = 0;
  LwIpcRule rule;

  for (guint i = 0; i < step->components->len; i++) {
    gboolean embedded;

    n_bottom += lw_ipc_on_bottom (self, step->components->pdata[i], &embedded);
  }
  rule = rule_of (self, step, n_bottom);
  check_top (self, step);
  for (guint i = 0; i < step->components->len; i++)
    g_ptr_array_add (board->parts, list_part (self, step->components->pdata[i], rule));
}
