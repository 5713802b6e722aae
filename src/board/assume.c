#include "board/assume.h"

#include <math.h>
#include <string.h>

#include "board/library.h"
#include "board/package-book.h"

#define MARK "assumed: "

/* Longer letters first where one begins another. */
static const struct {
  const char *letters, *package;
} classes[] = {
  { "BT", "COIN-HOLDER-20" },   { "C", "C0603" },           { "CN", "CONN-HDR-2x10-1.27" }, { "CON", "CONN-HDR-2x10-1.27" },
  { "CONN", "CONN-HDR-2x10-1.27" }, { "CR", "DIODE-SOD-123" }, { "D", "DIODE-SOD-123" },  { "DS", "LED0805" },
  { "F", "FUSE1206" },          { "FB", "BEAD0603" },       { "FL", "BEAD0603" },         { "IC", "SOIC-8" },
  { "J", "CONN-HDR-2x10-1.27" }, { "K", "RELAY-SMT-15x7.5" }, { "L", "L0805" },           { "LED", "LED0805" },
  { "LS", "BUZZER-9x9" },       { "MIC", "MIC-MEMS-4x3" },  { "MK", "MIC-MEMS-4x3" },     { "P", "CONN-HDR-2x10-1.27" },
  { "Q", "SOT-23-3" },          { "R", "R0603" },           { "RN", "R-ARRAY-1206-4" },   { "RT", "R0603" },
  { "RV", "R0603" },            { "S", "SWITCH-TACT-6x6" }, { "SW", "SWITCH-TACT-6x6" },  { "T", "XFMR-EP7" },
  { "U", "SOIC-8" },            { "VR", "SOT-223" },        { "X", "CONN-HDR-2x10-1.27" }, { "XTAL", "XTAL-3225" },
  { "Y", "XTAL-3225" },
};

const char *
lw_assumed_name (const char *ref)
{
  gsize n = 0;
  g_autofree char *letters = NULL;

  while (g_ascii_isalpha (ref[n]))
    n++;
  letters = g_ascii_strup (ref, (gssize) n);
  for (guint i = 0; i < G_N_ELEMENTS (classes); i++)
    if (strcmp (letters, classes[i].letters) == 0)
      return classes[i].package;
  return "SOIC-8"; /* of some height and some mass: neither the smallest nor the largest there is */
}

gboolean
lw_package_is_assumed (const LwPackage *package)
{
  return package != NULL && g_str_has_prefix (package->source, MARK);
}

gboolean
lw_part_lacks_package (const LwJob *job, const LwPart *part)
{
  const LwPackage *package = lw_job_package_of (job, part);

  return package == NULL || !(package->length_mm > 0 && (package->round || package->width_mm > 0));
}

/* NULL when the library lacks it, as a library of one's own may. */
static LwPackage *
stand_in (const char *name, const char *ref)
{
  const char *as = lw_assumed_name (ref);
  const LwPackage *from = lw_library_package (as);
  LwPackage *package;

  if (from == NULL)
    return NULL;
  package = lw_package_copy (from);
  g_free (package->name);
  package->name = g_strdup (name);
  package->height_mm = NAN;
  g_free (package->source);
  package->source = g_strdup_printf (MARK "as %s, by the class letter of %s (IEEE 315); common practice, no source", as, ref);
  return package;
}

/* The entry a name has already must go: it says nothing of the body. */
static void
put_package (LwJob *job, LwPackage *package)
{
  for (guint i = 0; i < job->packages->len; i++)
    {
      LwPackage *there = g_ptr_array_index (job->packages, i);

      if (strcmp (there->name, package->name) != 0)
        continue;
      job->packages->pdata[i] = package;
      lw_package_unref (there);
      return;
    }
  g_ptr_array_add (job->packages, package);
}

static char *
name_for (const LwPart *part)
{
  return *part->package != '\0' ? g_strdup (part->package) : g_strdup_printf ("%s (assumed)", lw_assumed_name (part->ref));
}

/* One of each name is enough; the job is not asked again before all are there, as its answers are kept. */
guint
lw_job_assume_packages (LwJob *job)
{
  g_autoptr (GHashTable) made = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  g_autoptr (GArray) lacking = g_array_new (FALSE, FALSE, sizeof (guint));
  guint n = 0;

  for (guint i = 0; i < job->parts->len; i++)
    if (lw_part_lacks_package (job, g_ptr_array_index (job->parts, i)))
      g_array_append_val (lacking, i);
  for (guint k = 0; k < lacking->len; k++)
    {
      guint i = g_array_index (lacking, guint, k);
      const LwPart *part = g_ptr_array_index (job->parts, i);
      g_autofree char *name = name_for (part);
      LwPackage *package = g_hash_table_contains (made, name) ? NULL : stand_in (name, part->ref);

      if (package == NULL && !g_hash_table_contains (made, name))
        continue;
      if (*part->package == '\0')
        {
          LwPart *own = lw_job_edit_part (job, i);

          g_free (own->package);
          own->package = g_strdup (name);
        }
      if (package != NULL)
        put_package (job, package);
      g_hash_table_add (made, g_steal_pointer (&name));
      n++;
    }
  lw_package_book_drop (job); /* what it was asked before is no longer so */
  return n;
}

guint
lw_job_count_assumed (const LwJob *job)
{
  guint n = 0;

  for (guint i = 0; i < job->parts->len; i++)
    {
      const LwPart *part = g_ptr_array_index (job->parts, i);

      n += part->placed && lw_package_is_assumed (lw_job_package_of (job, part));
    }
  return n;
}
