#include "exchange/package-table.h"

#include "board/library.h"

GHashTable *
lw_package_table_new (const LwJob *job)
{
  GHashTable *table = g_hash_table_new (g_str_hash, g_str_equal);

  for (guint i = job->packages->len; i-- > 0;) /* backwards: the first of a name counts */
    {
      LwPackage *package = job->packages->pdata[i];

      g_hash_table_insert (table, package->name, package);
    }
  return table;
}

const LwPackage *
lw_package_table_find (GHashTable *table, const LwPart *part)
{
  const LwPackage *own = g_hash_table_lookup (table, part->package);

  return own != NULL ? own : lw_library_package (part->package);
}
