/* What a plot is for: by its own word, or by its name. */
#include <string.h>

#include "exchange/plot-set.h"

static guint
layer_number (const char *field)
{
  return field[0] == 'L' ? (guint) MIN (g_ascii_strtoull (field + 1, NULL, 10), 1000) : 0;
}

LwPlotUse
lw_plot_use_of_function (const char *function)
{
  g_autofree char *first = lw_gerber_field (function, 0), *second = lw_gerber_field (function, 1);
  g_autofree char *third = lw_gerber_field (function, 2);
  LwPlotUse use = { LW_ROLE_OTHER, 0, LW_SIDE_TOP, FALSE, FALSE, FALSE };

  if (*first == '\0')
    use.role = LW_ROLE_UNKNOWN;
  else if (g_ascii_strcasecmp (first, "Profile") == 0)
    use.role = LW_ROLE_PROFILE;
  else if (g_ascii_strcasecmp (first, "Copper") == 0 || g_ascii_strcasecmp (first, "Component") == 0)
    {
      use.role = g_ascii_strcasecmp (first, "Copper") == 0 ? LW_ROLE_COPPER : LW_ROLE_PARTS;
      use.layer = layer_number (second);
      use.side = g_ascii_strncasecmp (third, "Bot", 3) == 0 ? LW_SIDE_BOTTOM : LW_SIDE_TOP;
      use.inner = g_ascii_strncasecmp (third, "In", 2) == 0;
    }
  else if (g_ascii_strcasecmp (first, "Plated") == 0 || g_ascii_strcasecmp (first, "NonPlated") == 0)
    {
      use.role = LW_ROLE_DRILL;
      use.unplated = *first == 'N' || *first == 'n';
    }
  return use;
}

/* Words and endings that exporters are known to use; the first that fits counts. */
static const struct {
  const char *word; /* a dot first: the name's end */
  LwPlotRole role;
  LwSide side;
  guint inner;
} words[] = {
  { "mask", LW_ROLE_OTHER, LW_SIDE_TOP, 0 },
  { "paste", LW_ROLE_OTHER, LW_SIDE_TOP, 0 },
  { "silk", LW_ROLE_OTHER, LW_SIDE_TOP, 0 },
  { "legend", LW_ROLE_OTHER, LW_SIDE_TOP, 0 },
  { "edge_cuts", LW_ROLE_PROFILE, LW_SIDE_TOP, 0 },
  { "edge.cuts", LW_ROLE_PROFILE, LW_SIDE_TOP, 0 },
  { "outline", LW_ROLE_PROFILE, LW_SIDE_TOP, 0 },
  { "profile", LW_ROLE_PROFILE, LW_SIDE_TOP, 0 },
  { "f_cu", LW_ROLE_COPPER, LW_SIDE_TOP, 0 },
  { "f.cu", LW_ROLE_COPPER, LW_SIDE_TOP, 0 },
  { "b_cu", LW_ROLE_COPPER, LW_SIDE_BOTTOM, 0 },
  { "b.cu", LW_ROLE_COPPER, LW_SIDE_BOTTOM, 0 },
  { "top_copper", LW_ROLE_COPPER, LW_SIDE_TOP, 0 },
  { "copper_top", LW_ROLE_COPPER, LW_SIDE_TOP, 0 },
  { "top_layer", LW_ROLE_COPPER, LW_SIDE_TOP, 0 },
  { "toplayer", LW_ROLE_COPPER, LW_SIDE_TOP, 0 },
  { "bottom_copper", LW_ROLE_COPPER, LW_SIDE_BOTTOM, 0 },
  { "copper_bottom", LW_ROLE_COPPER, LW_SIDE_BOTTOM, 0 },
  { "bottom_layer", LW_ROLE_COPPER, LW_SIDE_BOTTOM, 0 },
  { "bottomlayer", LW_ROLE_COPPER, LW_SIDE_BOTTOM, 0 },
  { "in1_cu", LW_ROLE_COPPER, LW_SIDE_TOP, 2 },
  { "in2_cu", LW_ROLE_COPPER, LW_SIDE_TOP, 3 },
  { "in3_cu", LW_ROLE_COPPER, LW_SIDE_TOP, 4 },
  { "in4_cu", LW_ROLE_COPPER, LW_SIDE_TOP, 5 },
  { ".gko", LW_ROLE_PROFILE, LW_SIDE_TOP, 0 },
  { ".gm1", LW_ROLE_PROFILE, LW_SIDE_TOP, 0 },
  { ".gml", LW_ROLE_PROFILE, LW_SIDE_TOP, 0 },
  { ".gtl", LW_ROLE_COPPER, LW_SIDE_TOP, 0 },
  { ".gbl", LW_ROLE_COPPER, LW_SIDE_BOTTOM, 0 },
  { ".g1", LW_ROLE_COPPER, LW_SIDE_TOP, 2 },
  { ".g2", LW_ROLE_COPPER, LW_SIDE_TOP, 3 },
  { ".g3", LW_ROLE_COPPER, LW_SIDE_TOP, 4 },
  { ".g4", LW_ROLE_COPPER, LW_SIDE_TOP, 5 },
};

LwPlotUse
lw_plot_use_of_name (const char *name)
{
  g_autofree char *low = g_ascii_strdown (name, -1);
  LwPlotUse use = { LW_ROLE_UNKNOWN, 0, LW_SIDE_TOP, FALSE, FALSE, TRUE };

  for (guint i = 0; i < G_N_ELEMENTS (words); i++)
    if (*words[i].word == '.' ? g_str_has_suffix (low, words[i].word) : strstr (low, words[i].word) != NULL)
      {
        use.role = words[i].role;
        use.side = words[i].side;
        use.inner = words[i].inner > 0;
        use.layer = words[i].inner;
        break;
      }
  return use;
}

/* A plot is made of commands that end with a star. */
static gboolean
is_gerber (const char *text)
{
  const char *p = text;

  if (g_str_has_prefix (p, "\xef\xbb\xbf"))
    p += 3;
  while (g_ascii_isspace (*p))
    p++;
  if (strchr (p, '*') == NULL)
    return FALSE;
  return (*p == '%' && g_ascii_isupper (p[1])) || (*p == '%' && g_ascii_isspace (p[1])) || (*p == 'G' && g_ascii_isdigit (p[1]))
         || ((*p == 'X' || *p == 'D') && g_ascii_isdigit (p[1]));
}

gboolean
lw_plots_sniff (const char *data, gsize size)
{
  g_autofree char *start = g_strndup (data, MIN (size, 4096));

  return lw_excellon_sniff (data, size) || is_gerber (start);
}
