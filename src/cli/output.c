#include "cli/output.h"

#include <math.h>
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
