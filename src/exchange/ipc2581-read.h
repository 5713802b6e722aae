/* What is known while an IPC-2581 file is read. Internal to the room. */
#ifndef LW_IPC2581_READ_H
#define LW_IPC2581_READ_H

#include "exchange/ipc2581-draw.h"

G_BEGIN_DECLS

typedef enum {
  LW_IPC_DOCUMENT,
  LW_IPC_LEAF, /* nothing inside is looked at */
  LW_IPC_ROOT,
  LW_IPC_CONTENT,
  LW_IPC_DICTIONARY,
  LW_IPC_LINE_DICTIONARY,
  LW_IPC_LINE_ENTRY,
  LW_IPC_INK, /* a place where something is drawn */
  LW_IPC_INK_CONTOUR,
  LW_IPC_INK_SHAPE,
  LW_IPC_BOM,
  LW_IPC_BOM_ITEM,
  LW_IPC_CHARACTERISTICS,
  LW_IPC_ECAD,
  LW_IPC_CAD_HEADER,
  LW_IPC_SPEC,
  LW_IPC_GENERAL,
  LW_IPC_CONDUCTOR,
  LW_IPC_CAD_DATA,
  LW_IPC_LAYER,
  LW_IPC_STACKUP,
  LW_IPC_STACK_GROUP,
  LW_IPC_STACK_LAYER,
  LW_IPC_STEP,
  LW_IPC_PROFILE,
  LW_IPC_POLYGON,
  LW_IPC_PACKAGE,
  LW_IPC_OUTLINE,
  LW_IPC_ASSEMBLY,
  LW_IPC_ASSEMBLY_OUTLINE,
  LW_IPC_PIN,
  LW_IPC_COMPONENT,
  LW_IPC_FEATURE,
  LW_IPC_SET,
  LW_IPC_SLOT,
  LW_IPC_SLOT_OUTLINE,
  LW_IPC_PAD
} LwIpcPlace;

typedef struct _LwIpcReading LwIpcReading;

/* An element named NAME (NULL = any) within WITHIN; what it holds is within INSIDE. */
typedef struct {
  LwIpcPlace within;
  const char *name;
  LwIpcPlace inside;
  gboolean (*start) (LwIpcReading *self, const LwXmlTag *tag, GError **error);
  gboolean (*end) (LwIpcReading *self, GError **error);
} LwIpcElement;

struct _LwIpcReading {
  LwIpcFile *file;
  LwXmlTick tick;
  gpointer tick_data;
  const LwIpcElement *open[LW_XML_MAX_DEPTH + 1];
  guint depth, skipped;
  /* Of whatever is open: */
  double dictionary_mm;
  char *entry;
  LwIpcLayer *last_layer; /* of the file's list, NULL = not kept */
  LwIpcPen pen;
  const LwIpcLayer *drill; /* the layer holes are in, NULL = none */
  LwPlot *layer; /* of the copper that is drawn, NULL = no copper */
  gboolean negative;
  char *item;
  LwIpcSpec *spec;
  gboolean is_weight;
  LwIpcStackLayer *stack_layer;
  LwIpcStep *step;
  LwListedLoop *loop;
  LwIpcPackage *package;
  char *pin_number;
  LwIpcPin pin;
  guint n_lands; /* of the pin */
  guint pin_line;
  LwIpcComponent *component;
  double pad_x_mm, pad_y_mm;
  gboolean pad_placed;
  char *pad_ref, *pad_pin;
};

/* Frees whatever was open when the reading ended, but not the file that was read. */
void lw_ipc_reading_clear (LwIpcReading *self);
/* An LwIpcStep, as a GDestroyNotify. */
void lw_ipc_step_free (gpointer data);

/* The elements of a step: on_ at an opening tag, which may refuse, _end at its closing one. Panels and their boards: */
gboolean lw_ipc_on_step (LwIpcReading *self, const LwXmlTag *tag, GError **error);
gboolean lw_ipc_step_end (LwIpcReading *self, GError **error);
gboolean lw_ipc_on_repeat (LwIpcReading *self, const LwXmlTag *tag, GError **error);
/* Loops: of the board's edge, of a package's outline and assembly drawing. */
gboolean lw_ipc_on_profile (LwIpcReading *self, const LwXmlTag *tag, GError **error);
gboolean lw_ipc_on_polygon (LwIpcReading *self, const LwXmlTag *tag, GError **error);
gboolean lw_ipc_on_point (LwIpcReading *self, const LwXmlTag *tag, GError **error);
gboolean lw_ipc_profile_end (LwIpcReading *self, GError **error);
gboolean lw_ipc_outline_end (LwIpcReading *self, GError **error);
gboolean lw_ipc_assembly_end (LwIpcReading *self, GError **error);
/* A package and its pins. */
gboolean lw_ipc_on_package (LwIpcReading *self, const LwXmlTag *tag, GError **error);
gboolean lw_ipc_on_pin (LwIpcReading *self, const LwXmlTag *tag, GError **error);
gboolean lw_ipc_pin_end (LwIpcReading *self, GError **error);
/* Where a pin lies, how it is turned, the land under it. */
gboolean lw_ipc_on_pin_place (LwIpcReading *self, const LwXmlTag *tag, GError **error);
gboolean lw_ipc_on_pin_turn (LwIpcReading *self, const LwXmlTag *tag, GError **error);
gboolean lw_ipc_on_pin_shape (LwIpcReading *self, const LwXmlTag *tag, GError **error);
gboolean lw_ipc_on_pin_primitive (LwIpcReading *self, const LwXmlTag *tag, GError **error);
/* A part: which package, where, how it is turned. */
gboolean lw_ipc_on_component (LwIpcReading *self, const LwXmlTag *tag, GError **error);
gboolean lw_ipc_component_end (LwIpcReading *self, GError **error);
gboolean lw_ipc_on_component_place (LwIpcReading *self, const LwXmlTag *tag, GError **error);
gboolean lw_ipc_on_component_turn (LwIpcReading *self, const LwXmlTag *tag, GError **error);
/* Copper, a layer at a time. */
gboolean lw_ipc_on_feature (LwIpcReading *self, const LwXmlTag *tag, GError **error);
gboolean lw_ipc_on_set (LwIpcReading *self, const LwXmlTag *tag, GError **error);
gboolean lw_ipc_on_features (LwIpcReading *self, const LwXmlTag *tag, GError **error);
gboolean lw_ipc_features_end (LwIpcReading *self, GError **error);
/* Holes, round and milled. */
gboolean lw_ipc_on_hole (LwIpcReading *self, const LwXmlTag *tag, GError **error);
gboolean lw_ipc_on_slot (LwIpcReading *self, const LwXmlTag *tag, GError **error);
gboolean lw_ipc_slot_end (LwIpcReading *self, GError **error);
/* A drawn pad, and which pin of which part it belongs to: so pins get their lands. */
gboolean lw_ipc_on_pad (LwIpcReading *self, const LwXmlTag *tag, GError **error);
gboolean lw_ipc_pad_end (LwIpcReading *self, GError **error);
gboolean lw_ipc_on_pad_place (LwIpcReading *self, const LwXmlTag *tag, GError **error);
gboolean lw_ipc_on_pad_pin (LwIpcReading *self, const LwXmlTag *tag, GError **error);

G_END_DECLS

#endif
