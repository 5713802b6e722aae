/* Which elements say something, and where they may stand: a table. Everything else is passed over with
 * all it holds. */
#include <glib/gi18n.h>
#include <math.h>
#include <string.h>

#include "exchange/ipc2581-read.h"
#include "exchange/ipc2581-shapes.h"

#define TAG_HANDLER(name) static gboolean name (LwIpcReading *self, const LwXmlTag *tag, GError **error)

/* ---- content ---- */

TAG_HANDLER (on_root)
{
  g_free (self->file->revision);
  self->file->revision = lw_xml_text (tag, "revision");
  return TRUE;
}

TAG_HANDLER (on_mode)
{
  g_free (self->file->mode);
  self->file->mode = lw_xml_text (tag, "mode");
  return TRUE;
}

TAG_HANDLER (on_step_ref)
{
  char *name = lw_xml_text (tag, "name");

  if (name != NULL && self->file->step_refs->len < LW_IPC_MAX_STEPS)
    g_ptr_array_add (self->file->step_refs, name);
  else
    g_free (name);
  return TRUE;
}

TAG_HANDLER (on_dictionary)
{
  return lw_ipc_unit (self->file, tag, &self->dictionary_mm, error);
}

TAG_HANDLER (on_entry)
{
  g_free (self->entry);
  self->entry = lw_xml_text (tag, "id");
  lw_ipc_pen_start (&self->pen, self->dictionary_mm);
  return TRUE;
}

static gboolean
entry_end (LwIpcReading *self, GError **error)
{
  LwBox box = lw_plot_box (self->pen.plot);
  LwIpcShape shape = { box.x1_mm - box.x0_mm, box.y1_mm - box.y0_mm };

  if (self->entry != NULL && shape.length_mm > 0
      && g_hash_table_size (self->file->shapes) < LW_IPC_MAX_ENTRIES) {
    g_hash_table_insert (self->file->shapes, g_strdup (self->entry), g_memdup2 (&shape, sizeof shape));
    g_hash_table_insert (self->file->drawings, g_steal_pointer (&self->entry),
                         g_steal_pointer (&self->pen.plot));
  }
  lw_ipc_pen_clear (&self->pen);
  return TRUE;
}

TAG_HANDLER (on_line_entry)
{
  g_free (self->entry);
  self->entry = lw_xml_text (tag, "id");
  return TRUE;
}

TAG_HANDLER (on_line_desc)
{
  double width;

  if (self->entry != NULL && lw_xml_number (tag, "lineWidth", &width) == 1
      && g_hash_table_size (self->file->widths) < LW_IPC_MAX_ENTRIES) {
    width *= self->dictionary_mm;
    g_hash_table_insert (self->file->widths, g_steal_pointer (&self->entry),
                         g_memdup2 (&width, sizeof width));
  }
  return TRUE;
}

/* ---- drawing ---- */

TAG_HANDLER (on_ink)
{
  lw_ipc_pen_element (&self->pen, tag);
  return TRUE;
}

static gboolean
ink_end (LwIpcReading *self, GError **error)
{
  lw_ipc_pen_end (&self->pen);
  return TRUE;
}

TAG_HANDLER (on_ink_point)
{
  lw_ipc_pen_point (&self->pen, tag);
  return TRUE;
}

TAG_HANDLER (on_ink_line)
{
  lw_ipc_pen_line (&self->pen, tag, self->file->widths);
  return TRUE;
}

TAG_HANDLER (on_ink_fill)
{
  lw_ipc_pen_fill (&self->pen, tag);
  return TRUE;
}

TAG_HANDLER (on_ink_place)
{
  lw_ipc_pen_place (&self->pen, tag);
  return TRUE;
}

TAG_HANDLER (on_ink_ref)
{
  g_autofree char *id = lw_xml_text (tag, "id");

  if (id != NULL)
    lw_ipc_pen_stamp (&self->pen, g_hash_table_lookup (self->file->drawings, id));
  return TRUE;
}

/* ---- bill of materials ---- */

TAG_HANDLER (on_bom_item)
{
  g_free (self->item);
  self->item = lw_xml_text (tag, "OEMDesignNumberRef");
  return TRUE;
}

TAG_HANDLER (on_bom_ref)
{
  char *ref;

  if (!lw_xml_is (tag, "populate", "false") && !lw_xml_is (tag, "populate", "0"))
    return TRUE;
  ref = lw_xml_text (tag, "name");
  if (ref != NULL && g_hash_table_size (self->file->unfitted) < LW_LISTED_MAX_PARTS)
    g_hash_table_add (self->file->unfitted, ref);
  else
    g_free (ref);
  return TRUE;
}

TAG_HANDLER (on_textual)
{
  if (self->item != NULL && lw_xml_is (tag, "textualCharacteristicName", "value")
      && lw_xml_has (tag, "textualCharacteristicValue")
      && g_hash_table_size (self->file->values) < LW_IPC_MAX_ENTRIES)
    g_hash_table_insert (self->file->values, g_strdup (self->item),
                         lw_xml_text (tag, "textualCharacteristicValue"));
  return TRUE;
}

/* ---- layers and stack-up ---- */

TAG_HANDLER (on_cad_header)
{
  return lw_ipc_unit (self->file, tag, &self->file->unit_mm, error);
}

static void
free_layer (gpointer data)
{
  LwIpcLayer *layer = data;

  g_free (layer->function);
  g_free (layer->side);
  g_free (layer->from);
  g_free (layer->to);
  g_free (layer);
}

static void
free_spec (gpointer data)
{
  LwIpcSpec *spec = data;

  g_free (spec->material);
  g_free (spec);
}

TAG_HANDLER (on_spec)
{
  char *name = lw_xml_text (tag, "name");

  self->spec = NULL;
  if (name == NULL || g_hash_table_size (self->file->specs) >= LW_IPC_MAX_ENTRIES) {
    g_free (name);
    return TRUE;
  }
  self->spec = g_new0 (LwIpcSpec, 1);
  self->spec->weight_oz = NAN;
  g_hash_table_insert (self->file->specs, name, self->spec);
  return TRUE;
}

TAG_HANDLER (on_general_property)
{
  if (self->spec != NULL && self->spec->material == NULL)
    self->spec->material = lw_xml_text (tag, "text");
  return TRUE;
}

TAG_HANDLER (on_conductor)
{
  self->is_weight = lw_xml_is (tag, "type", "WEIGHT");
  return TRUE;
}

/* 1 oz/ft2 = 305.2 g/m2 (28.35 g on 0.0929 m2). */
TAG_HANDLER (on_conductor_property)
{
  double value;

  if (self->spec == NULL || !self->is_weight || lw_xml_number (tag, "value", &value) != 1 || value <= 0)
    return TRUE;
  self->spec->weight_oz = lw_xml_is (tag, "unit", "GRAMS_PER_SQUARE_METER") ? value / 305.2 : value;
  return TRUE;
}

TAG_HANDLER (on_layer)
{
  char *name = lw_xml_text (tag, "name");
  LwIpcLayer *layer;

  self->last_layer = NULL;
  if (name == NULL || g_hash_table_size (self->file->layers) >= LW_IPC_MAX_ENTRIES) {
    g_free (name);
    return TRUE;
  }
  layer = g_new0 (LwIpcLayer, 1);
  layer->function = lw_xml_text (tag, "layerFunction");
  layer->side = lw_xml_text (tag, "side");
  layer->negative = lw_xml_is (tag, "polarity", "NEGATIVE");
  if (g_hash_table_contains (self->file->layers, name)) /* holes may point to the first */
    {
      g_free (name);
      free_layer (layer);
      return TRUE;
    }
  g_hash_table_insert (self->file->layers, name, layer);
  self->last_layer = layer;
  return TRUE;
}

TAG_HANDLER (on_span)
{
  if (self->last_layer == NULL || self->last_layer->from != NULL)
    return TRUE;
  self->last_layer->from = lw_xml_text (tag, "fromLayer");
  self->last_layer->to = lw_xml_text (tag, "toLayer");
  return TRUE;
}

TAG_HANDLER (on_stackup)
{
  double overall;

  if (self->file->n_stacks++ > 0)
    return TRUE;
  if (!lw_ipc_maybe_length (self->file, tag, "overallThickness", self->file->unit_mm, &overall, error))
    return FALSE;
  self->file->overall_mm = overall > 0 ? overall : NAN;
  return TRUE;
}

static void
free_stack_layer (gpointer data)
{
  LwIpcStackLayer *layer = data;

  g_free (layer->layer);
  g_free (layer->spec);
  g_free (layer);
}

TAG_HANDLER (on_stack_layer)
{
  LwIpcStackLayer *layer;
  double thickness, sequence = NAN;

  self->stack_layer = NULL;
  if (self->file->n_stacks != 1 || self->file->stack->len >= 10000)
    return TRUE;
  if (!lw_ipc_maybe_length (self->file, tag, "thickness", self->file->unit_mm, &thickness, error))
    return FALSE;
  if (lw_xml_number (tag, "sequence", &sequence) != 1)
    sequence = self->file->stack->len;
  layer = self->stack_layer = g_new0 (LwIpcStackLayer, 1);
  layer->layer = lw_xml_text (tag, "layerOrGroupRef");
  layer->thickness_mm = thickness;
  layer->sequence = sequence;
  layer->line = tag->line;
  g_ptr_array_add (self->file->stack, layer);
  return TRUE;
}

TAG_HANDLER (on_spec_ref)
{
  if (self->stack_layer != NULL && self->stack_layer->spec == NULL)
    self->stack_layer->spec = lw_xml_text (tag, "id");
  return TRUE;
}

/* ---- the table ---- */

static const LwIpcElement elements[] = {
  { LW_IPC_DOCUMENT, "IPC-2581", LW_IPC_ROOT, on_root },
  { LW_IPC_ROOT, "Content", LW_IPC_CONTENT },
  { LW_IPC_CONTENT, "FunctionMode", LW_IPC_LEAF, on_mode },
  { LW_IPC_CONTENT, "StepRef", LW_IPC_LEAF, on_step_ref },
  { LW_IPC_CONTENT, "DictionaryStandard", LW_IPC_DICTIONARY, on_dictionary },
  { LW_IPC_CONTENT, "DictionaryUser", LW_IPC_DICTIONARY, on_dictionary },
  { LW_IPC_DICTIONARY, "EntryStandard", LW_IPC_INK, on_entry, entry_end },
  { LW_IPC_DICTIONARY, "EntryUser", LW_IPC_INK, on_entry, entry_end },
  { LW_IPC_CONTENT, "DictionaryLineDesc", LW_IPC_LINE_DICTIONARY, on_dictionary },
  { LW_IPC_LINE_DICTIONARY, "EntryLineDesc", LW_IPC_LINE_ENTRY, on_line_entry },
  { LW_IPC_LINE_ENTRY, "LineDesc", LW_IPC_LEAF, on_line_desc },
  { LW_IPC_INK, "UserSpecial", LW_IPC_INK },
  { LW_IPC_INK, "Contour", LW_IPC_INK_CONTOUR },
  { LW_IPC_INK_CONTOUR, "Polygon", LW_IPC_INK_SHAPE, on_ink, ink_end },
  { LW_IPC_INK_CONTOUR, "Cutout", LW_IPC_INK_SHAPE, on_ink, ink_end },
  { LW_IPC_INK, "Location", LW_IPC_LEAF, on_ink_place },
  { LW_IPC_INK, "Xform", LW_IPC_LEAF, on_ink_place },
  { LW_IPC_INK, "StandardPrimitiveRef", LW_IPC_LEAF, on_ink_ref },
  { LW_IPC_INK, "UserPrimitiveRef", LW_IPC_LEAF, on_ink_ref },
  { LW_IPC_INK, NULL, LW_IPC_INK_SHAPE, on_ink, ink_end },
  { LW_IPC_INK_SHAPE, "PolyBegin", LW_IPC_LEAF, on_ink_point },
  { LW_IPC_INK_SHAPE, "PolyStepSegment", LW_IPC_LEAF, on_ink_point },
  { LW_IPC_INK_SHAPE, "PolyStepCurve", LW_IPC_LEAF, on_ink_point },
  { LW_IPC_INK_SHAPE, "LineDesc", LW_IPC_LEAF, on_ink_line },
  { LW_IPC_INK_SHAPE, "LineDescRef", LW_IPC_LEAF, on_ink_line },
  { LW_IPC_INK_SHAPE, "FillDesc", LW_IPC_LEAF, on_ink_fill },
  { LW_IPC_ROOT, "Bom", LW_IPC_BOM },
  { LW_IPC_BOM, "BomItem", LW_IPC_BOM_ITEM, on_bom_item },
  { LW_IPC_BOM_ITEM, "RefDes", LW_IPC_LEAF, on_bom_ref },
  { LW_IPC_BOM_ITEM, "Characteristics", LW_IPC_CHARACTERISTICS },
  { LW_IPC_CHARACTERISTICS, "Textual", LW_IPC_LEAF, on_textual },
  { LW_IPC_ROOT, "Ecad", LW_IPC_ECAD },
  { LW_IPC_ECAD, "CadHeader", LW_IPC_CAD_HEADER, on_cad_header },
  { LW_IPC_CAD_HEADER, "Spec", LW_IPC_SPEC, on_spec },
  { LW_IPC_SPEC, "General", LW_IPC_GENERAL },
  { LW_IPC_GENERAL, "Property", LW_IPC_LEAF, on_general_property },
  { LW_IPC_SPEC, "Conductor", LW_IPC_CONDUCTOR, on_conductor },
  { LW_IPC_CONDUCTOR, "Property", LW_IPC_LEAF, on_conductor_property },
  { LW_IPC_ECAD, "CadData", LW_IPC_CAD_DATA },
  { LW_IPC_CAD_DATA, "Layer", LW_IPC_LAYER, on_layer },
  { LW_IPC_LAYER, "Span", LW_IPC_LEAF, on_span },
  { LW_IPC_CAD_DATA, "Stackup", LW_IPC_STACKUP, on_stackup },
  { LW_IPC_STACKUP, "StackupGroup", LW_IPC_STACK_GROUP },
  { LW_IPC_STACKUP, "StackupLayer", LW_IPC_STACK_LAYER, on_stack_layer },
  { LW_IPC_STACK_GROUP, "StackupLayer", LW_IPC_STACK_LAYER, on_stack_layer },
  { LW_IPC_STACK_LAYER, "SpecRef", LW_IPC_LEAF, on_spec_ref },
  { LW_IPC_CAD_DATA, "Step", LW_IPC_STEP, lw_ipc_on_step, lw_ipc_step_end },
  { LW_IPC_STEP, "StepRepeat", LW_IPC_LEAF, lw_ipc_on_repeat },
  { LW_IPC_STEP, "Profile", LW_IPC_PROFILE, lw_ipc_on_profile },
  { LW_IPC_PROFILE, "Polygon", LW_IPC_POLYGON, lw_ipc_on_polygon, lw_ipc_profile_end },
  { LW_IPC_PROFILE, "Cutout", LW_IPC_POLYGON, lw_ipc_on_polygon, lw_ipc_profile_end },
  { LW_IPC_POLYGON, "PolyBegin", LW_IPC_LEAF, lw_ipc_on_point },
  { LW_IPC_POLYGON, "PolyStepSegment", LW_IPC_LEAF, lw_ipc_on_point },
  { LW_IPC_POLYGON, "PolyStepCurve", LW_IPC_LEAF, lw_ipc_on_point },
  { LW_IPC_STEP, "Package", LW_IPC_PACKAGE, lw_ipc_on_package },
  { LW_IPC_PACKAGE, "Outline", LW_IPC_OUTLINE },
  { LW_IPC_OUTLINE, "Polygon", LW_IPC_POLYGON, lw_ipc_on_polygon, lw_ipc_outline_end },
  { LW_IPC_PACKAGE, "AssemblyDrawing", LW_IPC_ASSEMBLY },
  { LW_IPC_ASSEMBLY, "Outline", LW_IPC_ASSEMBLY_OUTLINE },
  { LW_IPC_ASSEMBLY_OUTLINE, "Polygon", LW_IPC_POLYGON, lw_ipc_on_polygon, lw_ipc_assembly_end },
  { LW_IPC_PACKAGE, "Pin", LW_IPC_PIN, lw_ipc_on_pin, lw_ipc_pin_end },
  { LW_IPC_PIN, "Location", LW_IPC_LEAF, lw_ipc_on_pin_place },
  { LW_IPC_PIN, "Xform", LW_IPC_LEAF, lw_ipc_on_pin_turn },
  { LW_IPC_PIN, "StandardPrimitiveRef", LW_IPC_LEAF, lw_ipc_on_pin_shape },
  { LW_IPC_PIN, "UserPrimitiveRef", LW_IPC_LEAF, lw_ipc_on_pin_shape },
  { LW_IPC_PIN, NULL, LW_IPC_LEAF, lw_ipc_on_pin_primitive },
  { LW_IPC_STEP, "Component", LW_IPC_COMPONENT, lw_ipc_on_component, lw_ipc_component_end },
  { LW_IPC_COMPONENT, "Location", LW_IPC_LEAF, lw_ipc_on_component_place },
  { LW_IPC_COMPONENT, "Xform", LW_IPC_LEAF, lw_ipc_on_component_turn },
  { LW_IPC_STEP, "LayerFeature", LW_IPC_FEATURE, lw_ipc_on_feature },
  { LW_IPC_FEATURE, "Set", LW_IPC_SET, lw_ipc_on_set },
  { LW_IPC_SET, "Features", LW_IPC_INK, lw_ipc_on_features, lw_ipc_features_end },
  { LW_IPC_SET, "Hole", LW_IPC_LEAF, lw_ipc_on_hole },
  { LW_IPC_SET, "SlotCavity", LW_IPC_SLOT, lw_ipc_on_slot, lw_ipc_slot_end },
  { LW_IPC_SLOT, "Outline", LW_IPC_SLOT_OUTLINE },
  { LW_IPC_SLOT, "Location", LW_IPC_LEAF, on_ink_place },
  { LW_IPC_SLOT, "Xform", LW_IPC_LEAF, on_ink_place },
  { LW_IPC_SLOT, NULL, LW_IPC_INK_SHAPE, on_ink, ink_end },
  { LW_IPC_SLOT_OUTLINE, "Polygon", LW_IPC_INK_SHAPE, on_ink, ink_end },
  { LW_IPC_SET, "Pad", LW_IPC_PAD, lw_ipc_on_pad, lw_ipc_pad_end },
  { LW_IPC_PAD, "Location", LW_IPC_LEAF, lw_ipc_on_pad_place },
  { LW_IPC_PAD, "PinRef", LW_IPC_LEAF, lw_ipc_on_pad_pin },
  { LW_IPC_PAD, "Xform", LW_IPC_LEAF, on_ink_place },
  { LW_IPC_PAD, "StandardPrimitiveRef", LW_IPC_LEAF, on_ink_ref },
  { LW_IPC_PAD, "UserPrimitiveRef", LW_IPC_LEAF, on_ink_ref },
  { LW_IPC_PAD, NULL, LW_IPC_INK_SHAPE, on_ink, ink_end },
};

static const LwIpcElement *
element_of (LwIpcPlace place, const char *name)
{
  for (guint i = 0; i < G_N_ELEMENTS (elements); i++)
    if (elements[i].within == place
        && (elements[i].name == NULL || strcmp (elements[i].name, name) == 0))
      return &elements[i];
  return NULL;
}

/* Lengths of Ecad mean nothing before its unit is known. */
static gboolean
unit_known (LwIpcReading *self, const LwIpcElement *element, const LwXmlTag *tag, GError **error)
{
  if (self->file->unit_mm > 0 || element->within != LW_IPC_CAD_DATA)
    return TRUE;
  return lw_notes_fail (error, LW_IMPORT_ERROR_SYNTAX, self->file->name, tag->line,
                        _ ("%s stands before CadHeader, which states the unit"), tag->name);
}

static gboolean
start (gpointer user_data, const LwXmlTag *tag, GError **error)
{
  LwIpcReading *self = user_data;
  const LwIpcElement *element;

  if (self->skipped > 0) {
    self->skipped++;
    return TRUE;
  }
  element
      = element_of (self->depth == 0 ? LW_IPC_DOCUMENT : self->open[self->depth - 1]->inside, tag->name);
  if (self->depth == 0 && element == NULL)
    return lw_notes_fail (error, LW_IMPORT_ERROR_UNSUPPORTED, self->file->name, tag->line,
                          _ ("the root element is %.60s and not IPC-2581"), tag->name);
  if (element == NULL) {
    self->skipped = 1;
    return TRUE;
  }
  self->open[self->depth++] = element;
  return unit_known (self, element, tag, error)
         && (element->start == NULL || element->start (self, tag, error));
}

static gboolean
end (gpointer user_data, const char *name, GError **error)
{
  LwIpcReading *self = user_data;
  const LwIpcElement *element;

  if (self->skipped > 0) {
    self->skipped--;
    return TRUE;
  }
  element = self->open[--self->depth];
  return element->end == NULL || element->end (self, error);
}

static gboolean
tick (gpointer user_data, goffset bytes, GError **error)
{
  LwIpcReading *self = user_data;

  return self->tick == NULL || self->tick (self->tick_data, bytes, error);
}

/* ---- the file ---- */

LwIpcFile *
lw_ipc_file_new (const char *name, GPtrArray *notes)
{
  LwIpcFile *self = g_new0 (LwIpcFile, 1);

  self->name = g_strdup (name);
  self->notes = notes;
  self->overall_mm = NAN;
  self->step_refs = g_ptr_array_new_with_free_func (g_free);
  self->shapes = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);
  self->drawings = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, (GDestroyNotify)lw_plot_free);
  self->widths = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);
  self->layers = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, free_layer);
  self->specs = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, free_spec);
  self->stack = g_ptr_array_new_with_free_func (free_stack_layer);
  self->unfitted = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  self->values = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);
  self->steps = g_ptr_array_new_with_free_func (lw_ipc_step_free);
  self->words = g_string_chunk_new (4096);
  return self;
}

void
lw_ipc_file_free (LwIpcFile *self)
{
  g_free (self->name);
  g_free (self->revision);
  g_free (self->mode);
  g_ptr_array_unref (self->step_refs);
  g_hash_table_unref (self->shapes);
  g_hash_table_unref (self->drawings);
  g_hash_table_unref (self->widths);
  g_hash_table_unref (self->layers);
  g_hash_table_unref (self->specs);
  g_ptr_array_unref (self->stack);
  g_hash_table_unref (self->unfitted);
  g_hash_table_unref (self->values);
  g_ptr_array_unref (self->steps);
  g_string_chunk_free (self->words);
  g_free (self);
}

gboolean
lw_ipc_file_read (LwIpcFile *self, GInputStream *stream, LwXmlTick on_tick, gpointer tick_data,
                  GCancellable *cancellable, GError **error)
{
  static const LwXmlHandler handler = { start, end };
  LwIpcReading reading = { .file = self, .tick = on_tick, .tick_data = tick_data };
  gboolean ok = lw_xml_read (stream, self->name, &handler, tick, &reading, cancellable, error);

  lw_ipc_reading_clear (&reading);
  return ok;
}
