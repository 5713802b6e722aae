/* From a log to a recorded run of a plan. */
#include <string.h>

#include "exchange/log.h"

/* "U1 corner (°C)" -> "u1 corner" */
static char *
bare_name (const char *heading)
{
  g_autofree char *low = g_utf8_strdown (heading, -1);
  char *mark = strpbrk (low, "([");
  static const char *const tails[] = { "°c", "°f", "degc", "degf", "celsius", "temperature", "temp" };

  if (mark != NULL && mark > low)
    *mark = '\0';
  g_strstrip (low);
  for (guint i = 0; i < G_N_ELEMENTS (tails); i++)
    if (g_str_has_suffix (low, tails[i]) && strlen (low) > strlen (tails[i]))
      low[strlen (low) - strlen (tails[i])] = '\0';
  return g_strdup (g_strstrip (g_strdelimit (low, "_", ' ')));
}

/* The number of "Ch 2", "TC2", "T-2", "2"; 0 = the heading is another kind of name. */
static guint
channel_of (const char *bare)
{
  static const char *const words[] = { "", "t", "tc", "ch", "channel", "kanal", "canal", "k", "temp", "input", "sensor", "probe", "column",
                                       "couple", "thermocouple", NULL };
  gsize length = strlen (bare), digits = length;
  g_autofree char *word = NULL;

  while (digits > 0 && g_ascii_isdigit (bare[digits - 1]))
    digits--;
  word = g_strndup (bare, digits);
  g_strstrip (g_strdelimit (word, "-.#", ' '));
  return digits < length && g_strv_contains (words, word) ? (guint) g_ascii_strtoull (bare + digits, NULL, 10) : 0;
}

const char *
lw_log_couple_for (const LwPlan *plan, const char *heading)
{
  g_autofree char *bare = bare_name (heading);
  guint channel = channel_of (bare);

  for (guint i = 0; plan != NULL && i < plan->thermocouples->len; i++)
    {
      const LwThermocouple *couple = g_ptr_array_index (plan->thermocouples, i);
      g_autofree char *name = bare_name (couple->name);

      if (couple->name[0] != '\0' && strcmp (name, bare) == 0)
        return couple->name;
    }
  for (guint i = 0; plan != NULL && channel > 0 && i < plan->thermocouples->len; i++)
    {
      const LwThermocouple *couple = g_ptr_array_index (plan->thermocouples, i);
      g_autofree char *name = bare_name (couple->name);
      guint number = channel_of (name);

      if (couple->name[0] != '\0' && (number > 0 ? number : i + 1) == channel)
        return couple->name;
    }
  return "";
}

static LwRunColumn *
column_of (const LwLogColumn *from, const char *couple, GHashTable *used)
{
  LwRunColumn *column = lw_run_column_new ();
  gboolean fresh = couple[0] == '\0' || g_hash_table_add (used, (gpointer) couple);

  g_free (column->name);
  column->name = g_strdup (from->name);
  g_free (column->thermocouple);
  column->thermocouple = g_strdup (fresh ? couple : "");
  g_array_append_vals (column->c, from->c->data, from->c->len);
  return column;
}

static char *
remarks_of (const LwLog *log)
{
  GString *text = g_string_new (NULL);

  for (guint i = 0; i < MIN (log->dropped->len, 40); i++)
    {
      const LwImportWarning *note = g_ptr_array_index (log->dropped, i);

      if (note->line > 0)
        g_string_append_printf (text, "%s:%u: %s\n", note->file, note->line, note->text);
      else
        g_string_append_printf (text, "%s: %s\n", note->file, note->text);
    }
  if (log->dropped->len > 40)
    g_string_append (text, "…\n");
  return g_strchomp (g_string_free (text, FALSE));
}

LwRun *
lw_log_to_run (const LwLog *log, const LwPlan *plan, const char *const *couples)
{
  g_autoptr (GHashTable) used = g_hash_table_new (g_str_hash, g_str_equal);
  LwRun *run = lw_run_new ();
  const char *dot = strrchr (log->file, '.');

  g_free (run->name);
  run->name = dot != NULL && dot > log->file ? g_strndup (log->file, (gsize) (dot - log->file)) : g_strdup (log->file);
  g_free (run->ref);
  run->ref = g_strdup (plan->ref);
  g_free (run->file);
  run->file = g_strdup (log->file);
  g_free (run->date);
  run->date = g_strdup (log->date);
  g_free (run->notes);
  run->notes = remarks_of (log);
  g_array_append_vals (run->t_s, log->t_s->data, log->t_s->len);
  for (guint i = 0; i < log->columns->len; i++)
    {
      const LwLogColumn *column = g_ptr_array_index (log->columns, i);

      if (couples == NULL || couples[i] != NULL)
        g_ptr_array_add (run->columns, column_of (column, couples != NULL ? couples[i] : lw_log_couple_for (plan, column->name), used));
    }
  return run;
}
