#include "widgets/recent.h"

static int
newest_first (gconstpointer a, gconstpointer b)
{
  return g_date_time_compare (gtk_recent_info_get_modified ((GtkRecentInfo *) b),
                              gtk_recent_info_get_modified ((GtkRecentInfo *) a));
}

GPtrArray *
lw_recent_files (guint most)
{
  GPtrArray *files = g_ptr_array_new_with_free_func ((GDestroyNotify) gtk_recent_info_unref);
  GList *infos = g_list_sort (gtk_recent_manager_get_items (gtk_recent_manager_get_default ()), newest_first);

  for (GList *l = infos; l != NULL && files->len < most; l = l->next)
    if (gtk_recent_info_has_application (l->data, LW_RECENT_APPLICATION) && gtk_recent_info_exists (l->data))
      g_ptr_array_add (files, gtk_recent_info_ref (l->data));
  g_list_free_full (infos, (GDestroyNotify) gtk_recent_info_unref);
  return files;
}
