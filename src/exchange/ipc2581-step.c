/* A step of an IPC-2581 file: a board, or a panel of boards. */
#include <glib/gi18n.h>
#include <math.h>

#include "exchange/ipc2581-read.h"
#include "exchange/ipc2581-shapes.h"

static void
free_package (gpointer data)
{
  LwIpcPackage *self = data;

  if (self->body != NULL)
    lw_listed_body_free (self->body);
  g_ptr_array_unref (self->assembly);
  g_array_unref (self->pins);
  g_free (self->type);
  g_free (self);
}

static void
free_component (gpointer data)
{
  LwIpcComponent *self = data;

  g_free (self->ref);
  g_free (self->package);
  g_free (self->number);
  g_free (self->layer);
  g_free (self);
}

static void
forget_checks (LwIpcStep *step)
{
  g_clear_pointer (&step->by_ref, g_hash_table_unref);
  g_clear_pointer (&step->by_pin, g_hash_table_unref);
  g_clear_pointer (&step->by_package, g_hash_table_unref);
}

void
lw_ipc_step_free (gpointer data)
{
  LwIpcStep *self = data;

  forget_checks (self);
  g_free (self->name);
  g_ptr_array_unref (self->outline);
  g_ptr_array_unref (self->packages);
  g_ptr_array_unref (self->components);
  g_ptr_array_unref (self->repeats);
  g_hash_table_unref (self->plots);
  g_array_unref (self->holes);
  g_hash_table_unref (self->slots);
  g_free (self);
}

void
lw_ipc_reading_clear (LwIpcReading *self)
{
  g_free (self->entry);
  g_free (self->item);
  g_free (self->pin_number);
  g_free (self->pad_ref);
  g_free (self->pad_pin);
  lw_ipc_pen_clear (&self->pen);
  g_clear_pointer (&self->loop, lw_listed_loop_free);
  g_clear_pointer (&self->component, free_component);
}

static gboolean
too_many (LwIpcReading *self, const LwXmlTag *tag, GError **error)
{
  return lw_notes_fail (error, LW_IMPORT_ERROR_TOO_LARGE, self->file->name, tag->line,
                        _ ("too many elements %s"), tag->name);
}

gboolean
lw_ipc_on_step (LwIpcReading *self, const LwXmlTag *tag, GError **error)
{
  LwIpcStep *step;

  if (self->file->steps->len >= LW_IPC_MAX_STEPS)
    return too_many (self, tag, error);
  step = self->step = g_new0 (LwIpcStep, 1);
  g_ptr_array_add (self->file->steps, step);
  step->name = lw_xml_text (tag, "name");
  step->line = tag->line;
  step->outline = lw_listed_loops_new ();
  step->packages = g_ptr_array_new_with_free_func (free_package);
  step->components = g_ptr_array_new_with_free_func (free_component);
  step->repeats = g_ptr_array_new_with_free_func (g_free);
  step->plots = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, (GDestroyNotify)lw_plot_free);
  step->slots = g_hash_table_new_full (NULL, NULL, NULL, (GDestroyNotify)lw_plot_free);
  step->holes = g_array_new (FALSE, FALSE, sizeof (LwIpcHole));
  step->by_ref = g_hash_table_new (g_str_hash, g_str_equal);
  step->by_package = g_hash_table_new (g_str_hash, g_str_equal);
  step->by_pin = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  return TRUE;
}

gboolean
lw_ipc_step_end (LwIpcReading *self, GError **error)
{
  forget_checks (self->step);
  return TRUE;
}

gboolean
lw_ipc_on_repeat (LwIpcReading *self, const LwXmlTag *tag, GError **error)
{
  char *name = lw_xml_text (tag, "stepRef");
  double nx = 1, ny = 1;

  if (lw_xml_number (tag, "nx", &nx) < 0 || lw_xml_number (tag, "ny", &ny) < 0 || !(nx * ny >= 1)
      || nx * ny > 1e6)
    nx = ny = 1;
  self->step->n_repeats += (guint)(nx * ny);
  if (name != NULL && self->step->repeats->len < LW_IPC_MAX_STEPS)
    g_ptr_array_add (self->step->repeats, name);
  else
    g_free (name);
  return TRUE;
}

/* ---- outlines ---- */

gboolean
lw_ipc_on_profile (LwIpcReading *self, const LwXmlTag *tag, GError **error)
{
  if (self->step->profile_line == 0)
    self->step->profile_line = tag->line;
  else
    lw_notes_add (self->file->notes, self->file->name, tag->line,
                  _ ("a second profile: its loops are added to the first"));
  return TRUE;
}

gboolean
lw_ipc_on_polygon (LwIpcReading *self, const LwXmlTag *tag, GError **error)
{
  g_clear_pointer (&self->loop, lw_listed_loop_free);
  self->loop = lw_listed_loop_new (0, tag->line);
  return TRUE;
}

gboolean
lw_ipc_on_point (LwIpcReading *self, const LwXmlTag *tag, GError **error)
{
  return lw_ipc_polygon_add (self->file, self->loop, tag, self->file->unit_mm, error);
}

static void
keep_loop (LwIpcReading *self, GPtrArray *list)
{
  LwListedLoop *loop = g_steal_pointer (&self->loop);

  loop->label = list->len;
  if (lw_ipc_polygon_end (self->file, loop))
    g_ptr_array_add (list, loop);
  else
    lw_listed_loop_free (loop);
}

gboolean
lw_ipc_profile_end (LwIpcReading *self, GError **error)
{
  keep_loop (self, self->step->outline);
  return TRUE;
}

gboolean
lw_ipc_outline_end (LwIpcReading *self, GError **error)
{
  keep_loop (self, self->package->body->loops);
  return TRUE;
}

gboolean
lw_ipc_assembly_end (LwIpcReading *self, GError **error)
{
  keep_loop (self, self->package->assembly);
  return TRUE;
}

/* ---- packages ---- */

gboolean
lw_ipc_on_package (LwIpcReading *self, const LwXmlTag *tag, GError **error)
{
  g_autofree char *name = lw_xml_text (tag, "name");
  LwIpcPackage *package;
  double height;

  if (++self->file->n_packages > LW_LISTED_MAX_BODIES)
    return too_many (self, tag, error);
  if (!lw_ipc_maybe_length (self->file, tag, "height", self->file->unit_mm, &height, error))
    return FALSE;
  package = self->package = g_new0 (LwIpcPackage, 1);
  g_ptr_array_add (self->step->packages, package);
  package->body = lw_listed_body_new (name != NULL ? name : "", "", height, tag->line);
  package->body->loops = lw_listed_loops_new ();
  package->assembly = lw_listed_loops_new ();
  package->pins = g_array_new (FALSE, TRUE, sizeof (LwIpcPin));
  package->type = lw_xml_text (tag, "type");
  if (!g_hash_table_contains (self->step->by_package, package->body->geometry))
    g_hash_table_insert (self->step->by_package, package->body->geometry, package);
  return TRUE;
}

gboolean
lw_ipc_on_pin (LwIpcReading *self, const LwXmlTag *tag, GError **error)
{
  g_free (self->pin_number);
  self->pin_number = lw_xml_text (tag, "number");
  self->pin = (LwIpcPin){ 0 };
  self->n_lands = 0;
  return TRUE;
}

/* A pin of several lands has as many places. */
gboolean
lw_ipc_on_pin_place (LwIpcReading *self, const LwXmlTag *tag, GError **error)
{
  LwIpcPin land = { 0 };

  if (!lw_ipc_length (self->file, tag, "x", self->file->unit_mm, NAN, &land.x_mm, error)
      || !lw_ipc_length (self->file, tag, "y", self->file->unit_mm, NAN, &land.y_mm, error))
    return FALSE;
  if (++self->file->n_pins > LW_IPC_MAX_PINS)
    return too_many (self, tag, error);
  g_array_append_val (self->package->pins, land);
  self->n_lands++;
  return TRUE;
}

gboolean
lw_ipc_on_pin_turn (LwIpcReading *self, const LwXmlTag *tag, GError **error)
{
  return lw_ipc_angle (self->file, tag, "rotation", &self->pin.rotation_deg, error);
}

gboolean
lw_ipc_on_pin_shape (LwIpcReading *self, const LwXmlTag *tag, GError **error)
{
  g_autofree char *id = lw_xml_text (tag, "id");

  self->pin.shape_name = id != NULL ? g_string_chunk_insert_const (self->file->words, id) : NULL;
  return TRUE;
}

gboolean
lw_ipc_on_pin_primitive (LwIpcReading *self, const LwXmlTag *tag, GError **error)
{
  lw_ipc_primitive (tag, self->file->unit_mm, &self->pin.shape);
  return TRUE;
}

/* Shape and turn may come after the place. */
gboolean
lw_ipc_pin_end (LwIpcReading *self, GError **error)
{
  GArray *pins = self->package->pins;
  const char *package = self->package->body->geometry;
  char *key;

  for (guint i = pins->len - self->n_lands; i < pins->len; i++) {
    LwIpcPin *land = &g_array_index (pins, LwIpcPin, i);

    land->shape = self->pin.shape;
    land->shape_name = self->pin.shape_name;
    land->rotation_deg = self->pin.rotation_deg;
  }
  if (self->n_lands == 0 || self->pin_number == NULL)
    return TRUE;
  key = g_strconcat (package, "\n", self->pin_number, NULL);
  if (self->n_lands > 1 || g_hash_table_contains (self->step->by_pin, key))
    g_hash_table_insert (self->step->by_pin, key, GUINT_TO_POINTER (0));
  else
    g_hash_table_insert (self->step->by_pin, key, GUINT_TO_POINTER (pins->len));
  return TRUE;
}

/* ---- components ---- */

static char *
text_or_empty (const LwXmlTag *tag, const char *attribute)
{
  char *text = lw_xml_text (tag, attribute);

  return text != NULL ? text : g_strdup ("");
}

gboolean
lw_ipc_on_component (LwIpcReading *self, const LwXmlTag *tag, GError **error)
{
  LwIpcComponent *component;

  if (++self->file->n_parts > LW_LISTED_MAX_PARTS)
    return too_many (self, tag, error);
  g_clear_pointer (&self->component, free_component);
  component = self->component = g_new0 (LwIpcComponent, 1);
  component->ref = text_or_empty (tag, "refDes");
  component->package = text_or_empty (tag, "packageRef");
  component->number = text_or_empty (tag, "part");
  component->layer = text_or_empty (tag, "layerRef");
  component->line = tag->line;
  return lw_ipc_maybe_length (self->file, tag, "height", self->file->unit_mm, &component->height_mm,
                              error)
         && lw_ipc_maybe_length (self->file, tag, "standoff", self->file->unit_mm,
                                 &component->standoff_mm, error);
}

gboolean
lw_ipc_on_component_place (LwIpcReading *self, const LwXmlTag *tag, GError **error)
{
  self->component->has_place = TRUE;
  return lw_ipc_length (self->file, tag, "x", self->file->unit_mm, NAN, &self->component->x_mm, error)
         && lw_ipc_length (self->file, tag, "y", self->file->unit_mm, NAN, &self->component->y_mm,
                           error);
}

gboolean
lw_ipc_on_component_turn (LwIpcReading *self, const LwXmlTag *tag, GError **error)
{
  double x, y, scale;
  double unit = self->file->unit_mm;

  self->component->mirror = lw_xml_is (tag, "mirror", "true") || lw_xml_is (tag, "mirror", "1");
  if (!lw_ipc_length (self->file, tag, "xOffset", unit, 0, &x, error)
      || !lw_ipc_length (self->file, tag, "yOffset", unit, 0, &y, error)
      || !lw_ipc_length (self->file, tag, "scale", 1, 1, &scale, error))
    return FALSE;
  if (x != 0 || y != 0 || scale != 1)
    lw_notes_add (self->file->notes, self->file->name, tag->line,
                  _ ("%.60s: an offset or scale of its drawing is not taken into account"),
                  self->component->ref);
  return lw_ipc_angle (self->file, tag, "rotation", &self->component->rotation_deg, error);
}

/* Only now is it kept: a part cut off in the middle would have no place. */
gboolean
lw_ipc_component_end (LwIpcReading *self, GError **error)
{
  LwIpcComponent *component = g_steal_pointer (&self->component);

  g_ptr_array_add (self->step->components, component);
  if (g_hash_table_contains (self->step->by_ref, component->ref))
    g_hash_table_insert (self->step->by_ref, component->ref, NULL); /* two of a name check nothing */
  else
    g_hash_table_insert (self->step->by_ref, component->ref, component);
  return TRUE;
}

/* ---- lands and copper on the board ---- */

/* A panel's own copper is a border; the board's stands in the board's step. */
gboolean
lw_ipc_on_feature (LwIpcReading *self, const LwXmlTag *tag, GError **error)
{
  g_autofree char *name = lw_xml_text (tag, "layerRef");
  const LwIpcLayer *layer = name != NULL ? g_hash_table_lookup (self->file->layers, name) : NULL;

  self->layer = NULL;
  self->drill = layer != NULL && (g_strcmp0 (layer->function, "DRILL") == 0 || g_strcmp0 (layer->function, "ROUT") == 0)
                  ? layer : NULL;
  if (layer == NULL || !lw_ipc_is_copper (layer) || self->step->repeats->len > 0)
    return TRUE;
  self->layer = g_hash_table_lookup (self->step->plots, name);
  if (self->layer == NULL) {
    self->layer = lw_plot_new ();
    g_hash_table_insert (self->step->plots, g_steal_pointer (&name), self->layer);
  }
  return TRUE;
}

gboolean
lw_ipc_on_set (LwIpcReading *self, const LwXmlTag *tag, GError **error)
{
  self->negative = lw_xml_is (tag, "polarity", "NEGATIVE");
  return TRUE;
}

/* Without copper there is no pen, and nothing is drawn. */
static void
take_pen (LwIpcReading *self)
{
  if (self->layer != NULL)
    lw_ipc_pen_start (&self->pen, self->file->unit_mm);
  else
    lw_ipc_pen_clear (&self->pen);
}

gboolean
lw_ipc_on_features (LwIpcReading *self, const LwXmlTag *tag, GError **error)
{
  take_pen (self);
  return TRUE;
}

gboolean
lw_ipc_features_end (LwIpcReading *self, GError **error)
{
  lw_ipc_pen_finish (&self->pen, self->layer, !self->negative);
  return TRUE;
}

/* Of a panel the holes are not wanted, as its copper is not. */
gboolean
lw_ipc_on_hole (LwIpcReading *self, const LwXmlTag *tag, GError **error)
{
  double unit = self->file->unit_mm;
  LwIpcHole hole = { 0, 0, 0, self->drill };

  if (self->drill == NULL || self->step->repeats->len > 0 || self->step->holes->len >= LW_IPC_MAX_HOLES)
    return TRUE;
  if (!lw_ipc_length (self->file, tag, "x", unit, NAN, &hole.x_mm, error)
      || !lw_ipc_length (self->file, tag, "y", unit, NAN, &hole.y_mm, error)
      || !lw_ipc_length (self->file, tag, "diameter", unit, 0, &hole.diameter_mm, error))
    return FALSE;
  g_array_append_val (self->step->holes, hole);
  return TRUE;
}

gboolean
lw_ipc_on_slot (LwIpcReading *self, const LwXmlTag *tag, GError **error)
{
  self->file->n_slots++;
  if (self->drill != NULL && self->step->repeats->len == 0)
    lw_ipc_pen_start (&self->pen, self->file->unit_mm);
  else
    lw_ipc_pen_clear (&self->pen);
  return TRUE;
}

/* Drawn into a plot of its drill layer. */
gboolean
lw_ipc_slot_end (LwIpcReading *self, GError **error)
{
  LwPlot *slots = NULL;

  if (self->drill != NULL)
    slots = g_hash_table_lookup (self->step->slots, self->drill);
  if (self->drill != NULL && slots == NULL) {
    slots = lw_plot_new ();
    g_hash_table_insert (self->step->slots, (gpointer)self->drill, slots);
  }
  lw_ipc_pen_finish (&self->pen, slots, TRUE);
  return TRUE;
}

gboolean
lw_ipc_on_pad (LwIpcReading *self, const LwXmlTag *tag, GError **error)
{
  take_pen (self);
  self->pad_placed = FALSE;
  g_clear_pointer (&self->pad_ref, g_free);
  g_clear_pointer (&self->pad_pin, g_free);
  return TRUE;
}

gboolean
lw_ipc_on_pad_place (LwIpcReading *self, const LwXmlTag *tag, GError **error)
{
  self->pad_placed = TRUE;
  lw_ipc_pen_place (&self->pen, tag);
  return lw_ipc_length (self->file, tag, "x", self->file->unit_mm, NAN, &self->pad_x_mm, error)
         && lw_ipc_length (self->file, tag, "y", self->file->unit_mm, NAN, &self->pad_y_mm, error);
}

gboolean
lw_ipc_on_pad_pin (LwIpcReading *self, const LwXmlTag *tag, GError **error)
{
  g_free (self->pad_ref);
  g_free (self->pad_pin);
  self->pad_ref = lw_xml_text (tag, "componentRef");
  self->pad_pin = lw_xml_text (tag, "pin");
  return TRUE;
}

gboolean
lw_ipc_pad_end (LwIpcReading *self, GError **error)
{
  if (self->pad_placed && self->pad_ref != NULL && self->pad_pin != NULL)
    lw_ipc_vote (self->file, self->step, self->pad_ref, self->pad_pin, self->pad_x_mm, self->pad_y_mm);
  lw_ipc_pen_finish (&self->pen, self->layer, !self->negative);
  return TRUE;
}
