#include <glib/gi18n.h>
#include <math.h>
#include <string.h>

#include "exchange/export-text.h"

/* Quoted when it has to be: separators, quotes, blanks at the ends, and a first character that would
 * make the line a comment. */
static void
add_field (GString *out, const char *text)
{
  gboolean quote
      = *text != '\0' && (strpbrk (text, ",;\t|\"\r\n") != NULL || strchr ("#* ", *text) != NULL);

  if (!quote) {
    g_string_append (out, text);
    return;
  }
  g_string_append_c (out, '"');
  for (const char *p = text; *p != '\0'; p++) {
    if (*p == '"')
      g_string_append_c (out, '"');
    g_string_append_c (out, *p == '\n' || *p == '\r' ? ' ' : *p);
  }
  g_string_append_c (out, '"');
}

static void
add_number (GString *out, double value)
{
  if (!isnan (value))
    lw_export_number (out, value);
}

static void
add_part (GString *out, const LwJob *job, const LwPart *part)
{
  const LwPackage *package = lw_job_package_of (job, part);
  double height = isnan (part->height_mm) && package != NULL ? package->height_mm : part->height_mm;
  double turn = part->side == LW_SIDE_BOTTOM ? 180 - part->rotation_deg : part->rotation_deg;

  add_field (out, part->ref);
  g_string_append_c (out, ',');
  add_field (out, part->value);
  g_string_append_c (out, ',');
  add_field (out, part->package);
  g_string_append_c (out, ',');
  add_number (out, part->x_mm);
  g_string_append_c (out, ',');
  add_number (out, part->y_mm);
  g_string_append_c (out, ',');
  add_number (out, lw_angle_normalise (turn));
  g_string_append_printf (out, ",%s,", part->side == LW_SIDE_TOP ? "top" : "bottom");
  add_number (out, height);
  g_string_append_c (out, '\n');
}

char *
lw_export_centroid (const LwJob *job, GPtrArray *left_out)
{
  GString *out = g_string_new ("Ref,Value,Package,X (mm),Y (mm),Rotation,Side,Height (mm)\n");
  guint n_left = 0;

  for (guint i = 0; i < job->parts->len; i++) {
    const LwPart *part = job->parts->pdata[i];

    if (part->placed)
      add_part (out, job, part);
    else
      n_left++;
  }
  if (left_out != NULL && n_left > 0)
    g_ptr_array_add (left_out, g_strdup_printf (_ ("%u parts that are not placed"), n_left));
  if (left_out != NULL)
    g_ptr_array_add (left_out,
                     g_strdup (_ ("a placement table has no place for outline, bodies and plans")));
  return g_string_free (out, FALSE);
}
