#include "cli/predict-table.h"

#include <math.h>
#include <string.h>

#include "board/file-replace.h"

typedef struct {
  char *name;
  const double *values; /* NULL = not known */
} Column;

static void
clear_column (gpointer data)
{
  g_free (((Column *) data)->name);
}

static void
add (GArray *columns, char *name, const double *values)
{
  Column column = { name, values };

  g_array_append_val (columns, column);
}

static GArray *
columns_of (const LwPrediction *prediction)
{
  GArray *columns = g_array_new (FALSE, FALSE, sizeof (Column));

  g_array_set_clear_func (columns, clear_column);
  add (columns, g_strdup ("time_s"), prediction->t_s);
  add (columns, g_strdup ("gas_set_c"), prediction->gas_set_c);
  add (columns, g_strdup ("gas_c"), prediction->gas_c);
  add (columns, g_strdup ("preheat_set_c"), prediction->preheat_set_c);
  add (columns, g_strdup ("preheat_c"), prediction->preheat_c);
  add (columns, g_strdup ("board_max_c"), prediction->board_max);
  for (guint i = 0; i < prediction->parts->len; i++)
    {
      const LwPartTrace *trace = prediction->parts->pdata[i];

      if (trace->joint_max != NULL)
        {
          add (columns, g_strconcat (trace->ref, " joint_min_c", NULL), trace->joint_min);
          add (columns, g_strconcat (trace->ref, " joint_max_c", NULL), trace->joint_max);
        }
      add (columns, g_strconcat (trace->ref, " body_c", NULL), trace->body_max);
    }
  return columns;
}

/* RFC 4180: quoted when it holds a comma, a quote or a line end; quotes doubled. A name a spreadsheet
 * would take for a formula gets an apostrophe in front. */
static void
append_name (GString *out, const char *name)
{
  gboolean quote = strpbrk (name, ",\"\r\n") != NULL;

  if (quote)
    g_string_append_c (out, '"');
  if (strchr ("=+-@", name[0]) != NULL)
    g_string_append_c (out, '\'');
  for (const char *p = name; *p != '\0'; p++)
    {
      if (*p == '"')
        g_string_append_c (out, '"');
      g_string_append_c (out, *p);
    }
  if (quote)
    g_string_append_c (out, '"');
}

static void
append_value (GString *out, const Column *column, guint i)
{
  char text[G_ASCII_DTOSTR_BUF_SIZE];

  if (column->values != NULL && isfinite (column->values[i]))
    g_string_append (out, g_ascii_formatd (text, sizeof text, "%.4f", column->values[i]));
}

gboolean
lw_cli_predict_table (const LwPrediction *prediction, const char *path, GError **error)
{
  g_autoptr (GArray) columns = columns_of (prediction);
  g_autoptr (GString) out = g_string_new (NULL);

  for (guint k = 0; k < columns->len; k++)
    {
      if (k > 0)
        g_string_append_c (out, ',');
      append_name (out, g_array_index (columns, Column, k).name);
    }
  for (guint i = 0; i < prediction->n_times; i++)
    for (guint k = 0; k < columns->len; k++)
      {
        g_string_append_c (out, k == 0 ? '\n' : ',');
        append_value (out, &g_array_index (columns, Column, k), i);
      }
  g_string_append_c (out, '\n');
  return lw_file_replace (path, out->str, out->len, NULL, error);
}
