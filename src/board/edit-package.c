/* Putting a package into a job. */
#include <math.h>
#include <string.h>

#include "board/edit-finish.h"
#include "board/edits.h"

static void
put_package (LwJob *job, LwPackage *package)
{
  lw_package_ref (package);
  for (guint i = 0; i < job->packages->len; i++) {
    LwPackage *old = job->packages->pdata[i];

    if (strcmp (old->name, package->name) != 0)
      continue;
    job->packages->pdata[i] = package;
    lw_package_unref (old);
    return;
  }
  g_ptr_array_add (job->packages, package);
}

LwJob *
lw_edit_use_package (const LwJob *job, LwPackage *package, int part, GError **error)
{
  g_autoptr (LwPart) plain = lw_part_new ();
  LwJob *after;

  if (part >= 0 && !lw_edit_has_part (job, (guint) part, FALSE, error))
    return NULL;
  after = lw_job_copy (job);
  put_package (after, package);
  if (part >= 0) {
    LwPart *own = lw_job_edit_part (after, (guint) part);

    g_free (own->package);
    own->package = g_strdup (package->name);
    own->overrides = plain->overrides;
    own->height_mm = NAN;
  }
  return lw_edit_finish (job, after, "packages", error);
}
