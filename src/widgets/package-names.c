#include "widgets/package-names.h"

#include <string.h>

#include "board/library.h"
#include "widgets/words.h"

static gboolean
fits (const char *name, char **words)
{
  g_autofree char *folded = g_utf8_casefold (name, -1);

  for (guint i = 0; words[i] != NULL; i++)
    if (strstr (folded, words[i]) == NULL)
      return FALSE;
  return TRUE;
}

static void
collect (GPtrArray *all, GHashTable *seen, const char *name, char **words)
{
  if (!fits (name, words) || !g_hash_table_add (seen, g_utf8_casefold (name, -1)))
    return;
  g_ptr_array_add (all, g_strdup (name));
}

static int
beginning_first (gconstpointer a, gconstpointer b, gpointer needle)
{
  g_autofree char *x = g_utf8_casefold (*(char *const *) a, -1), *y = g_utf8_casefold (*(char *const *) b, -1);

  return g_str_has_prefix (y, needle) - g_str_has_prefix (x, needle);
}

/* "BGA-256" before "BGA-1152". */
static int
naturally (gconstpointer a, gconstpointer b)
{
  g_autofree char *x = g_utf8_collate_key_for_filename (*(char *const *) a, -1);
  g_autofree char *y = g_utf8_collate_key_for_filename (*(char *const *) b, -1);

  return strcmp (x, y);
}

GPtrArray *
lw_package_names (const LwJob *job, const char *needle, guint most)
{
  g_autofree char *folded = g_utf8_casefold (needle != NULL ? needle : "", -1);
  g_auto (GStrv) words = g_strsplit (g_strstrip (folded), " ", -1);
  g_autofree const char **names = lw_library_names ("packages");
  g_autoptr (GHashTable) seen = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  GPtrArray *all = g_ptr_array_new_with_free_func (g_free);

  for (guint i = 0; job != NULL && i < job->packages->len; i++)
    collect (all, seen, ((const LwPackage *) g_ptr_array_index (job->packages, i))->name, words);
  g_ptr_array_sort (all, naturally); /* the job's own first, then the libraries' */
  if (names != NULL)
    qsort (names, g_strv_length ((char **) names), sizeof *names, naturally);
  for (guint i = 0; names != NULL && names[i] != NULL; i++)
    collect (all, seen, names[i], words);
  if (folded[0] != '\0')
    g_ptr_array_sort_with_data (all, beginning_first, folded);
  if (most > 0 && all->len > most)
    g_ptr_array_set_size (all, (gint) most);
  return all;
}

const LwPackage *
lw_package_named (const LwJob *job, const char *name)
{
  for (guint i = 0; job != NULL && i < job->packages->len; i++) {
    const LwPackage *package = g_ptr_array_index (job->packages, i);

    if (strcmp (package->name, name) == 0)
      return package;
  }
  return *name == '\0' ? NULL : lw_library_package (name);
}

char *
lw_package_about (const LwPackage *package)
{
  g_autofree char *length = lw_figure_in (package->length_mm, 2, "mm"), *width = lw_figure_in (package->width_mm, 2, "mm");
  g_autofree char *height = lw_figure_unit (package->height_mm, 2, "mm");

  return g_strdup_printf ("%s, %s × %s × %s", lw_kind_label (package->kind), length, width, height);
}
