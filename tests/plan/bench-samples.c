/* Each sample board from its files to an answer: read, a plan with defaults for the largest area array (else the
 * largest part), the reduced model's answer, the full solution. Prints seconds since the file was asked for,
 * processor and wall; fails when a board has no answer. */
#include <stdio.h>
#include <time.h>

#include "board/edits.h"
#include "exchange/import.h"
#include "plan/quick.h"

/* Under tests/data: folders and files as a person would open them. */
static const char *const samples[] = {
  "coldfire_kit", "dm0002_ipc2581/dm0002-revC-mm.xml.gz", "ecc83_v2", "idf_samples/idf_example.emn",
  "idf_samples/test_idf2.emn", "interf_u", "numpres", "parallella_gen0/parallella_gen0.emn",
  "parallella_gen1/parallella_gen1.emn", "tinytapeout_demo",
  /* Bare tables and netlists, most of them without packages: these are assumed. */
  "centroid_variants/a_mid_xy_suffix_mm.csv", "centroid_variants/b_preamble_center_xy.csv",
  "centroid_variants/c_no_header_blanks.mnt", "centroid_variants/d_inch_side_letter.csv",
  "centroid_variants/e_semicolon_decimal_comma.csv", "centroid_variants/f_tab_mil_comment.txt",
  "numpres/numpres-mm-pos.csv", "ecc83_v2/ecc83v2.ipc", "ecc83_v2/gerber",
};

typedef struct {
  clock_t processor;
  gint64 wall;
} Moment;

static Moment
now (void)
{
  return (Moment){ clock (), g_get_monotonic_time () };
}

static void
print_since (const Moment *start)
{
  Moment end = now ();

  printf (" %8.2f %8.2f", (double) (end.processor - start->processor) / CLOCKS_PER_SEC,
          (double) (end.wall - start->wall) / G_USEC_PER_SEC);
  fflush (stdout);
}

/* Area arrays before all else, the larger before the smaller. */
static double
rank (const LwJob *job, const LwPart *part)
{
  const LwPackage *package = lw_job_package_of (job, part);
  double area = package != NULL ? package->length_mm * package->width_mm : 0;

  if (!part->placed || !(area > 0))
    return 0;
  return package->kind == LW_KIND_AREA_ARRAY ? 1e6 + area : area;
}

static const LwPart *
choose_part (const LwJob *job)
{
  const LwPart *best = NULL;

  for (guint i = 0; i < job->parts->len; i++) {
    const LwPart *part = g_ptr_array_index (job->parts, i);

    if (best == NULL || rank (job, part) > rank (job, best))
      best = part;
  }
  return best;
}

static gboolean
answer_quickly (LwJob *job, guint plan, GError **error)
{
  g_autoptr (LwQuick) quick = lw_quick_new (job, plan, NULL, NULL, NULL, NULL, error);
  g_autoptr (LwQuickRun) run = quick != NULL ? lw_quick_run_new (quick) : NULL;
  g_auto (LwQuickDrive) drive = LW_QUICK_DRIVE_INIT;
  g_autoptr (LwPrediction) prediction = NULL;

  if (run == NULL || !lw_quick_drive (quick, job, plan, &drive, error)
      || !lw_quick_run (quick, run, &drive.heat, NULL, error))
    return FALSE;
  prediction = lw_quick_predict (quick, run, &drive, error);
  return prediction != NULL;
}

static gboolean
answer_fully (LwJob *job, guint plan, GError **error)
{
  LwPredictOptions options = { .no_doubt = TRUE };
  g_autoptr (LwPrediction) prediction = lw_predict (job, plan, &options, NULL, NULL, NULL, error);

  return prediction != NULL;
}

static gboolean
measure (const char *folder, const char *name, GError **error)
{
  g_autofree char *path = g_build_filename (folder, name, NULL);
  g_autoptr (GFile) file = g_file_new_for_path (path);
  Moment start = now ();
  g_autoptr (LwImport) import = lw_import_many (&file, 1, NULL, NULL, NULL, error);
  const LwPart *part = import != NULL ? choose_part (import->job) : NULL;
  g_autoptr (LwJob) job = part != NULL ? lw_edit_choose_target (import->job, part->ref, error) : NULL;

  if (job == NULL)
    return FALSE;
  printf ("%-40s %5u %-10s", name, job->parts->len, part->ref);
  print_since (&start);
  if (!answer_quickly (job, job->plans->len - 1, error))
    return FALSE;
  print_since (&start);
  if (!answer_fully (job, job->plans->len - 1, error))
    return FALSE;
  print_since (&start);
  printf ("\n");
  return TRUE;
}

int
main (int argc, char **argv)
{
  int status = 0;

  printf ("%-40s %5s %-10s %17s %17s %17s\n%57s %8s %8s %8s %8s %8s %8s\n", "board", "parts", "target", "read",
          "first answer", "full answer", "", "cpu s", "wall s", "cpu s", "wall s", "cpu s", "wall s");
  for (guint i = 0; i < G_N_ELEMENTS (samples); i++) {
    g_autoptr (GError) error = NULL;

    if (!measure (argv[argc - 1], samples[i], &error)) {
      printf ("%s: %s\n", samples[i], error != NULL ? error->message : "there are no parts");
      status = 1;
    }
  }
  return status;
}
