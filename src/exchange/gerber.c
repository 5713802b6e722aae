#include "exchange/gerber.h"

#include <glib/gi18n.h>
#include <string.h>

#include "exchange/gerber-private.h"
#include "exchange/text.h"

/* ---- life ---- */

static void
part_free (gpointer data)
{
  LwGerberPart *self = data;

  g_free (self->ref);
  g_free (self->package);
  g_free (self->footprint);
  g_free (self->value);
  g_free (self->number);
  g_free (self->mount);
  g_array_unref (self->pins);
  g_array_unref (self->strokes);
  g_free (self);
}

static LwGerber *
gerber_new (const char *name)
{
  LwGerber *self = g_new0 (LwGerber, 1);

  self->name = g_strdup (name);
  self->attributes = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);
  self->plot = lw_plot_new ();
  self->strokes = g_array_new (FALSE, FALSE, sizeof (LwStroke));
  self->parts = g_ptr_array_new_with_free_func (part_free);
  return self;
}

void
lw_gerber_free (LwGerber *self)
{
  if (self == NULL)
    return;
  g_free (self->name);
  g_hash_table_unref (self->attributes);
  lw_plot_free (self->plot);
  g_array_unref (self->strokes);
  g_ptr_array_unref (self->parts);
  g_free (self->fault);
  g_free (self);
}

static void
state_init (LwGerberState *self, LwGerber *file, GPtrArray *notes, GCancellable *cancellable)
{
  memset (self, 0, sizeof *self);
  self->file = file;
  self->notes = notes;
  self->cancellable = cancellable;
  self->apertures = g_hash_table_new_full (NULL, NULL, NULL, (GDestroyNotify) lw_aperture_free);
  self->macros = lw_gerber_macros_new ();
  self->aperture_attributes = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);
  self->object_attributes = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);
  self->parts = g_hash_table_new (g_str_hash, g_str_equal);
  self->told = g_hash_table_new (g_str_hash, g_str_equal);
  self->contour = g_array_new (FALSE, FALSE, sizeof (LwPoint));
  self->mode = 1;
  self->multi_quadrant = TRUE;
  self->place.scale = 1;
  self->plot = file->plot;
  self->line = 1;
}

static void
state_clear (LwGerberState *self)
{
  for (guint i = 0; i < self->n_blocks; i++)
    lw_aperture_free (self->blocks[i]);
  g_hash_table_unref (self->apertures);
  g_hash_table_unref (self->macros);
  g_hash_table_unref (self->aperture_attributes);
  g_hash_table_unref (self->object_attributes);
  g_hash_table_unref (self->parts);
  g_hash_table_unref (self->told);
  g_array_unref (self->contour);
}

/* ---- what there is to say ---- */

gboolean
lw_gerber_stop (LwGerberState *self, const char *format, ...)
{
  g_autofree char *raw = NULL, *text = NULL;
  va_list args;

  if (self->fault != NULL)
    return FALSE;
  va_start (args, format);
  raw = g_strdup_vprintf (format, args);
  va_end (args);
  text = g_utf8_make_valid (raw, -1);
  self->fault = g_strdup_printf ("%s:%u: %s", self->file->name, self->line, text);
  return FALSE;
}

void
lw_gerber_note (LwGerberState *self, const char *key, const char *format, ...)
{
  g_autofree char *raw = NULL, *text = NULL;
  va_list args;

  if (key != NULL && !g_hash_table_add (self->told, (gpointer) key))
    return;
  va_start (args, format);
  raw = g_strdup_vprintf (format, args);
  va_end (args);
  text = g_utf8_make_valid (raw, -1);
  lw_notes_add (self->notes, self->file->name, self->line, "%s", text);
}

/* ---- reading ---- */

static void
read_commands (LwGerberState *self, LwGerberLexer *lexer)
{
  LwGerberCommand command = { g_string_new (NULL), 1, 0 };
  gboolean cut = FALSE;
  guint n = 0;

  while (!self->ended && self->fault == NULL && lw_gerber_next (lexer, &command, &cut))
    {
      self->line = command.line;
      self->signs = command.signs;
      if (command.signs % 2 == 1)
        lw_gerber_extended (self, command.text->str);
      else
        lw_gerber_plain (self, command.text->str);
      if (++n % 4096 == 0 && g_cancellable_is_cancelled (self->cancellable))
        break;
    }
  if (cut && self->fault == NULL)
    {
      self->line = command.line;
      lw_gerber_stop (self, _("the file is cut off in the middle of a command"));
    }
  g_string_free (command.text, TRUE);
}

static void
finish (LwGerberState *self)
{
  if (self->fault != NULL)
    return;
  lw_gerber_end_repeat (self);
  if (self->ended)
    return;
  if (self->region || self->n_blocks > 0)
    lw_gerber_stop (self, _("the file ends inside a region or an aperture block"));
  else
    self->file->no_end = TRUE;
}

LwGerber *
lw_gerber_read (const char *name, const char *data, gsize size, GPtrArray *notes, GCancellable *cancellable,
                GError **error)
{
  gsize length;
  g_autoptr (GError) damage = NULL;
  g_autofree char *text = lw_text_decode_start (name, data, size, &length, &damage);
  g_autoptr (LwGerber) self = NULL;
  LwGerberLexer lexer = { text, text != NULL ? text + length : NULL, 1, 0 };
  LwGerberState state;

  if (text == NULL)
    {
      g_propagate_error (error, g_steal_pointer (&damage));
      return NULL;
    }
  self = gerber_new (name);
  state_init (&state, self, notes, cancellable);
  read_commands (&state, &lexer);
  if (!g_cancellable_is_cancelled (cancellable))
    finish (&state);
  self->fault = state.fault == NULL && damage != NULL ? g_strdup (damage->message) : state.fault;
  state_clear (&state);
  return g_cancellable_set_error_if_cancelled (cancellable, error) ? NULL : g_steal_pointer (&self);
}
