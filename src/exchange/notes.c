#include "exchange/notes.h"

#include <glib/gi18n.h>
#include <string.h>

G_DEFINE_QUARK (lw-import-error-quark, lw_import_error)

static void
warning_free (gpointer data)
{
  LwImportWarning *warning = data;

  g_free (warning->file);
  g_free (warning->text);
  g_free (warning->reason);
  g_free (warning);
}

GPtrArray *
lw_notes_new (void)
{
  return g_ptr_array_new_with_free_func (warning_free);
}

/* TEXT (transfer full) may hold a quoted field that was cut inside a character. */
static void
append (GPtrArray *notes, const char *file, guint line, char *text)
{
  LwImportWarning *warning = g_new0 (LwImportWarning, 1);

  warning->file = g_strdup (file);
  warning->line = line;
  warning->text = g_utf8_make_valid (text, -1);
  g_free (text);
  g_ptr_array_add (notes, warning);
}

void
lw_notes_add (GPtrArray *notes, const char *file, guint line, const char *format, ...)
{
  va_list args;

  if (notes->len > LW_NOTES_MAX)
    return;
  if (notes->len == LW_NOTES_MAX)
    {
      append (notes, file, 0, g_strdup (_("more warnings were left out")));
      return;
    }
  va_start (args, format);
  append (notes, file, line, g_strdup_vprintf (format, args));
  va_end (args);
}

void
lw_notes_add_text (GPtrArray *notes, const char *file, char *text)
{
  lw_notes_add (notes, file, 0, "%s", text);
  g_free (text);
}

const char *
lw_notes_reason (const char *file, const GError *error, guint *line)
{
  const char *text =
    g_str_has_prefix (error->message, file) ? error->message + strlen (file) : error->message;

  *line = 0;
  if (text != error->message && *text == ':' && g_ascii_isdigit (text[1]))
    *line = (guint) g_ascii_strtoull (text + 1, (char **) &text, 10);
  while (*text == ':' || *text == ' ')
    text++;
  return text;
}

/* After the damage told before, in front of all else; not counted to the many. */
static void
insert_damage (GPtrArray *notes, const char *file, guint line, const char *text, const char *reason)
{
  LwImportWarning *warning = g_new0 (LwImportWarning, 1);
  guint at = 0;

  while (at < notes->len && ((LwImportWarning *) notes->pdata[at])->damage)
    at++;
  warning->file = g_strdup (file);
  warning->line = line;
  warning->text = g_utf8_make_valid (text, -1); /* as in append() */
  warning->reason = g_utf8_make_valid (reason, -1);
  warning->damage = TRUE;
  if (at < LW_NOTES_MAX)
    g_ptr_array_insert (notes, (int) at, warning);
  else
    warning_free (warning);
}

void
lw_notes_add_damage (GPtrArray *notes, const char *file, const GError *damage)
{
  guint line;
  const char *reason = lw_notes_reason (file, damage, &line);
  g_autofree char *text = g_strdup_printf (_("damaged, and only what is whole is read: %s"), reason);

  insert_damage (notes, file, line, text, reason);
}

void
lw_notes_add_loss (GPtrArray *notes, const char *file, guint line, const char *reason, const char *what)
{
  /* Translators: what is wrong with the file, and what becomes of it. */
  g_autofree char *text = g_strdup_printf (_("damaged: %s; %s"), reason, what);

  insert_damage (notes, file, line, text, reason);
}

gboolean
lw_notes_refuse_damage (const GPtrArray *notes, GError **error)
{
  const LwImportWarning *first = notes->len > 0 ? notes->pdata[0] : NULL;

  if (first == NULL || !first->damage)
    return TRUE;
  return lw_notes_fail (error, LW_IMPORT_ERROR_SYNTAX, first->file, first->line, "%s", first->reason);
}

void
lw_notes_add_copy (GPtrArray *notes, const LwImportWarning *warning)
{
  if (warning->damage)
    insert_damage (notes, warning->file, warning->line, warning->text, warning->reason);
  else
    lw_notes_add (notes, warning->file, warning->line, "%s", warning->text);
}

gboolean
lw_notes_fail (GError **error, LwImportError code, const char *file, guint line, const char *format, ...)
{
  g_autofree char *raw = NULL, *text = NULL;
  va_list args;

  va_start (args, format);
  raw = g_strdup_vprintf (format, args);
  va_end (args);
  text = g_utf8_make_valid (raw, -1); /* a quoted field may have been cut inside a character */
  if (line > 0)
    g_set_error (error, LW_IMPORT_ERROR, code, "%s:%u: %s", file, line, text);
  else
    g_set_error (error, LW_IMPORT_ERROR, code, "%s: %s", file, text);
  return FALSE;
}
