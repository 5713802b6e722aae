#include "exchange/export-text.h"

#include <math.h>
#include <string.h>

void
lw_export_number (GString *out, double value)
{
  char digits[G_ASCII_DTOSTR_BUF_SIZE];
  gsize length;

  g_ascii_formatd (digits, sizeof digits, "%.6f", value);
  length = strlen (digits);
  while (length > 0 && digits[length - 1] == '0')
    length--;
  if (length > 0 && digits[length - 1] == '.')
    length--;
  digits[length] = '\0';
  g_string_append (out, strcmp (digits, "-0") == 0 ? "0" : digits);
}

/* Sizes as text, to tell bodies apart. */
static void
add_size (GString *name, const char *word, double own, double usual)
{
  if (isnan (own) || own == usual)
    return;
  g_string_append (name, word);
  lw_export_number (name, own);
}

char *
lw_export_geometry (const LwJob *job, const LwPart *part)
{
  GString *name = g_string_new (part->package);
  const LwPackage *package = lw_job_package_of (job, part);
  const LwOverrides *own = &part->overrides;

  if (package == NULL)
    return g_string_free (name, FALSE);
  add_size (name, " H", part->height_mm, package->height_mm);
  add_size (name, " L", own->length_mm, NAN);
  add_size (name, " W", own->width_mm, NAN);
  add_size (name, " X", own->center_x_mm, NAN);
  add_size (name, " Y", own->center_y_mm, NAN);
  if (own->kind != 0)
    g_string_append_printf (name, " %s", lw_kind_word ((LwPackageKind)(own->kind - 1)));
  return g_string_free (name, FALSE);
}
