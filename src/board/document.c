#include "board/document.h"

#include <glib/gi18n.h>

#include "board/job-file.h"

enum { STEPS_MAX = 500 };

/* A state of the job and the edit that led to it. */
typedef struct {
  LwJob *job;
  char *label, *merge_key;
} State;

struct _LwDocument {
  GObject parent_instance;

  GPtrArray *states; /* State; never empty */
  guint current;
  int saved; /* index of the state on the disk, -1 = none */
  GPtrArray *cut; /* State: what could be redone before the newest step began; NULL once that step is final */
  int cut_saved;  /* `saved` at that time */
  gboolean sealed;
  guint64 revision;
  GFile *file;
};

G_DEFINE_FINAL_TYPE (LwDocument, lw_document, G_TYPE_OBJECT)

enum { PROP_TITLE = 1, PROP_MODIFIED, PROP_FILE, PROP_UNDO_LABEL, PROP_REDO_LABEL, N_PROPS };
static GParamSpec *properties[N_PROPS];

enum { CHANGED, N_SIGNALS };
static guint signals[N_SIGNALS];

static State *
state_new (LwJob *job, const char *label, const char *merge_key)
{
  State *state = g_new0 (State, 1);

  state->job = job;
  state->label = g_strdup (label);
  state->merge_key = g_strdup (merge_key);
  return state;
}

static void
state_free (State *state)
{
  lw_job_unref (state->job);
  g_free (state->label);
  g_free (state->merge_key);
  g_free (state);
}

static State *
state_at (LwDocument *self, guint index)
{
  return index < self->states->len ? g_ptr_array_index (self->states, index) : NULL;
}

static char *
make_title (LwDocument *self)
{
  const char *title = lw_document_job (self)->title;
  g_autofree char *base = self->file != NULL ? g_file_get_basename (self->file) : NULL;

  if (title[0] != '\0')
    return g_strdup (title);
  return base != NULL ? g_filename_display_name (base) : g_strdup (_("Untitled"));
}

/* What a listener sees of a document besides its job; compared so that only real changes are announced. */
typedef struct {
  char *title, *undo, *redo;
  gboolean modified;
} Face;

static Face
face_of (LwDocument *self)
{
  return (Face){ make_title (self), g_strdup (lw_document_undo_label (self)),
                 g_strdup (lw_document_redo_label (self)), lw_document_modified (self) };
}

static void
announce_differences (LwDocument *self, Face *before)
{
  Face after = face_of (self);

  if (g_strcmp0 (before->title, after.title) != 0)
    g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_TITLE]);
  if (before->modified != after.modified)
    g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_MODIFIED]);
  if (g_strcmp0 (before->undo, after.undo) != 0)
    g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_UNDO_LABEL]);
  if (g_strcmp0 (before->redo, after.redo) != 0)
    g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_REDO_LABEL]);
  Face *faces[] = { before, &after };
  for (guint i = 0; i < G_N_ELEMENTS (faces); i++)
    {
      g_free (faces[i]->title);
      g_free (faces[i]->undo);
      g_free (faces[i]->redo);
    }
}

static void
announce_change (LwDocument *self, Face *before)
{
  g_object_ref (self);
  self->revision++;
  announce_differences (self, before);
  g_signal_emit (self, signals[CHANGED], 0, self->revision);
  g_object_unref (self);
}

/* ---- history ---- */

/* The oldest state goes; the one after it becomes the beginning. */
static void
forget_oldest (LwDocument *self)
{
  g_ptr_array_remove_index (self->states, 0);
  self->current--;
  self->saved = MAX (self->saved - 1, -1);
  self->cut_saved = MAX (self->cut_saved - 1, -1);
}

static void
forget_redo (LwDocument *self)
{
  g_ptr_array_set_size (self->states, (gint) self->current + 1);
  if (self->saved > (int) self->current)
    self->saved = -1;
}

/* What could be redone is out of the history, but kept while the new step may still be abandoned. */
static void
set_redo_aside (LwDocument *self)
{
  guint first = self->current + 1;

  g_clear_pointer (&self->cut, g_ptr_array_unref);
  self->cut = g_ptr_array_new_with_free_func ((GDestroyNotify) state_free);
  self->cut_saved = self->saved;
  while (self->states->len > first)
    g_ptr_array_add (self->cut, g_ptr_array_steal_index (self->states, first));
  forget_redo (self);
}

static gboolean
merges (LwDocument *self, const char *merge_key)
{
  const State *state = state_at (self, self->current);

  return merge_key != NULL && !self->sealed && self->current > 0 && g_strcmp0 (state->merge_key, merge_key) == 0;
}

void
lw_document_edit (LwDocument *self, LwJob *job, const char *label, const char *merge_key)
{
  g_return_if_fail (LW_IS_DOCUMENT (self));
  g_return_if_fail (job != NULL);
  Face before = face_of (self);
  State *state = state_new (job, label, merge_key);

  if (merges (self, merge_key)) {
    forget_redo (self);
    g_ptr_array_set_size (self->states, (gint) self->current);
  }
  else {
    set_redo_aside (self);
    self->current++;
  }
  g_ptr_array_add (self->states, state);
  if (self->states->len > STEPS_MAX + 1)
    forget_oldest (self);
  self->sealed = FALSE;
  announce_change (self, &before);
}

void
lw_document_seal (LwDocument *self)
{
  g_return_if_fail (LW_IS_DOCUMENT (self));
  self->sealed = TRUE;
  g_clear_pointer (&self->cut, g_ptr_array_unref);
}

gboolean
lw_document_abandon (LwDocument *self, const char *merge_key)
{
  g_return_val_if_fail (LW_IS_DOCUMENT (self), FALSE);
  if (!merges (self, merge_key))
    return FALSE;
  Face before = face_of (self);

  g_ptr_array_set_size (self->states, (gint) self->current);
  self->current--;
  while (self->cut != NULL && self->cut->len > 0)
    g_ptr_array_add (self->states, g_ptr_array_steal_index (self->cut, 0));
  if (self->cut != NULL)
    self->saved = self->cut_saved;
  lw_document_seal (self);
  announce_change (self, &before);
  return TRUE;
}

static gboolean
go_to (LwDocument *self, guint index)
{
  if (index >= self->states->len)
    return FALSE;
  Face before = face_of (self);
  self->current = index;
  lw_document_seal (self);
  announce_change (self, &before);
  return TRUE;
}

gboolean
lw_document_undo (LwDocument *self)
{
  g_return_val_if_fail (LW_IS_DOCUMENT (self), FALSE);
  return self->current > 0 && go_to (self, self->current - 1);
}

gboolean
lw_document_redo (LwDocument *self)
{
  g_return_val_if_fail (LW_IS_DOCUMENT (self), FALSE);
  return go_to (self, self->current + 1);
}

const char *
lw_document_undo_label (LwDocument *self)
{
  g_return_val_if_fail (LW_IS_DOCUMENT (self), NULL);
  return self->current > 0 ? state_at (self, self->current)->label : NULL;
}

const char *
lw_document_redo_label (LwDocument *self)
{
  g_return_val_if_fail (LW_IS_DOCUMENT (self), NULL);
  const State *next = state_at (self, self->current + 1);

  return next != NULL ? next->label : NULL;
}

/* ---- file ---- */

gboolean
lw_document_modified (LwDocument *self)
{
  g_return_val_if_fail (LW_IS_DOCUMENT (self), FALSE);
  return self->saved != (int) self->current;
}

GFile *
lw_document_file (LwDocument *self)
{
  g_return_val_if_fail (LW_IS_DOCUMENT (self), NULL);
  return self->file;
}

void
lw_document_mark_saved (LwDocument *self, GFile *file)
{
  g_return_if_fail (LW_IS_DOCUMENT (self));
  Face before = face_of (self);
  gboolean moved = g_set_object (&self->file, file);

  self->saved = (int) self->current;
  lw_document_seal (self); /* what is on the disk stays a step of its own */
  if (moved)
    g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_FILE]);
  announce_differences (self, &before);
}

gboolean
lw_document_save (LwDocument *self, GFile *file, GCancellable *cancellable, GError **error)
{
  g_return_val_if_fail (LW_IS_DOCUMENT (self), FALSE);
  if (!lw_job_save (lw_document_job (self), file, cancellable, error))
    return FALSE;
  lw_document_mark_saved (self, file);
  return TRUE;
}

/* ---- object ---- */

LwJob *
lw_document_job (LwDocument *self)
{
  g_return_val_if_fail (LW_IS_DOCUMENT (self), NULL);
  return state_at (self, self->current)->job;
}

guint64
lw_document_revision (LwDocument *self)
{
  g_return_val_if_fail (LW_IS_DOCUMENT (self), 0);
  return self->revision;
}

LwDocument *
lw_document_new (LwJob *job, GFile *file)
{
  g_return_val_if_fail (job != NULL, NULL);
  LwDocument *self = g_object_new (LW_TYPE_DOCUMENT, NULL);

  g_ptr_array_add (self->states, state_new (job, NULL, NULL));
  g_set_object (&self->file, file);
  return self;
}

static void
lw_document_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  LwDocument *self = LW_DOCUMENT (object);

  switch (id)
    {
    case PROP_TITLE:
      g_value_take_string (value, make_title (self));
      break;
    case PROP_MODIFIED:
      g_value_set_boolean (value, lw_document_modified (self));
      break;
    case PROP_FILE:
      g_value_set_object (value, self->file);
      break;
    case PROP_UNDO_LABEL:
      g_value_set_string (value, lw_document_undo_label (self));
      break;
    case PROP_REDO_LABEL:
      g_value_set_string (value, lw_document_redo_label (self));
      break;
    default:
      G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
    }
}

static void
lw_document_finalize (GObject *object)
{
  LwDocument *self = LW_DOCUMENT (object);

  g_ptr_array_unref (self->states);
  g_clear_pointer (&self->cut, g_ptr_array_unref);
  g_clear_object (&self->file);
  G_OBJECT_CLASS (lw_document_parent_class)->finalize (object);
}

static void
lw_document_class_init (LwDocumentClass *class)
{
  GObjectClass *object_class = G_OBJECT_CLASS (class);
  GParamFlags flags = G_PARAM_READABLE | G_PARAM_EXPLICIT_NOTIFY | G_PARAM_STATIC_STRINGS;

  object_class->get_property = lw_document_get_property;
  object_class->finalize = lw_document_finalize;
  properties[PROP_TITLE] = g_param_spec_string ("title", NULL, NULL, NULL, flags);
  properties[PROP_MODIFIED] = g_param_spec_boolean ("modified", NULL, NULL, FALSE, flags);
  properties[PROP_FILE] = g_param_spec_object ("file", NULL, NULL, G_TYPE_FILE, flags);
  properties[PROP_UNDO_LABEL] = g_param_spec_string ("undo-label", NULL, NULL, NULL, flags);
  properties[PROP_REDO_LABEL] = g_param_spec_string ("redo-label", NULL, NULL, NULL, flags);
  g_object_class_install_properties (object_class, N_PROPS, properties);
  signals[CHANGED] = g_signal_new ("changed", LW_TYPE_DOCUMENT, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                   G_TYPE_NONE, 1, G_TYPE_UINT64);
}

static void
lw_document_init (LwDocument *self)
{
  self->states = g_ptr_array_new_with_free_func ((GDestroyNotify) state_free);
  self->sealed = TRUE;
}
