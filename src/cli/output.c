#include "cli/output.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>

#include "board/job-json.h"

static JsonNode *
number_node (double value)
{
  JsonNode *node;

  if (!isfinite (value))
    return json_node_new (JSON_NODE_NULL);
  node = json_node_alloc ();
  return json_node_init_double (node, value);
}

static double
rounded (double value, int decimals)
{
  double scale = pow (10, decimals);

  return isfinite (value) ? round (value * scale) / scale : value;
}

void
lw_cli_set_number (JsonObject *object, const char *key, double value)
{
  json_object_set_member (object, key, number_node (value));
}

void
lw_cli_set_rounded (JsonObject *object, const char *key, double value, int decimals)
{
  lw_cli_set_number (object, key, rounded (value, decimals));
}

void
lw_cli_set_series (JsonObject *object, const char *key, const double *values, guint n)
{
  JsonArray *array;

  if (values == NULL)
    {
      json_object_set_null_member (object, key);
      return;
    }
  array = json_array_sized_new (n);
  for (guint i = 0; i < n; i++)
    json_array_add_element (array, number_node (rounded (values[i], 4)));
  json_object_set_array_member (object, key, array);
}

gboolean
lw_cli_print_json (JsonObject *root)
{
  gsize length;
  g_autofree char *text = lw_json_print (root, &length);

  json_object_unref (root);
  return fwrite (text, 1, length, stdout) == length && fflush (stdout) == 0;
}

char *
lw_cli_number_text (double value, int decimals)
{
  return isfinite (value) ? g_strdup_printf ("%.*f", decimals, value) : g_strdup ("?");
}

/* ---- tables ---- */

int
lw_cli_columns (const char *text)
{
  int columns = 0;

  for (const char *c = text; *c != '\0'; c = g_utf8_next_char (c))
    columns += g_unichar_iszerowidth (g_utf8_get_char (c)) ? 0 : g_unichar_iswide (g_utf8_get_char (c)) ? 2 : 1;
  return columns;
}

char *
lw_cli_padded (const char *text, int width)
{
  g_autofree char *valid = g_utf8_make_valid (text, -1);
  int missing = MAX (ABS (width) - lw_cli_columns (valid), 0);

  return g_strdup_printf ("%*s%s%*s", width > 0 ? missing : 0, "", valid, width > 0 ? 0 : missing, "");
}

void
lw_cli_print_row (const int *widths, ...)
{
  g_autoptr (GString) row = g_string_new (NULL);
  const char *cell;
  va_list cells;

  va_start (cells, widths);
  for (guint i = 0; (cell = va_arg (cells, const char *)) != NULL; i++)
    {
      g_autofree char *padded = lw_cli_padded (cell, widths[i]);

      g_string_append_printf (row, "%s%s", i > 0 ? " " : "", padded);
    }
  va_end (cells);
  g_print ("%s\n", row->str);
}
