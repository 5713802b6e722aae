#include "board/job-hash.h"

#include "board/job-json.h"

static char *
hash_of (JsonObject *root)
{
  gsize length;
  g_autofree char *text = lw_json_print (root, &length);

  json_object_unref (root);
  return g_compute_checksum_for_data (G_CHECKSUM_SHA256, (const guchar *) text, length);
}

char *
lw_plan_hash (const LwPlan *plan)
{
  return hash_of (lw_plan_to_json (plan));
}

char *
lw_job_hash (const LwJob *job)
{
  g_autoptr (LwJob) bare = lw_job_copy (job);

  g_ptr_array_set_size (bare->runs, 0);
  g_ptr_array_set_size (bare->fits, 0);
  g_ptr_array_set_size (bare->revisions, 0);
  return hash_of (lw_job_to_json (bare));
}
