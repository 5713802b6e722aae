/* The compiled-in libraries hold together, and a user's own files extend them without harm. */
#include <glib.h>
#include <glib/gstdio.h>
#include <math.h>
#include <string.h>
#include <sys/stat.h>

#include "board/job-file.h"
#include "board/library.h"

static const char OWN[]
    = "{\n"
      "  \"leeward_library\": 1,\n"
      "  \"alloys\": [\n"
      "    {\"name\": \"House alloy\", \"solidus_c\": 198, \"liquidus_c\": 204, \"density_kg_per_m3\": "
      "7300,\n"
      "     \"k_w_per_mk\": 55, \"cp_j_per_kgk\": 225, \"latent_j_per_kg\": 58000, \"source\": "
      "\"test\"},\n"
      "    {\"name\": \"Upside down\", \"solidus_c\": 230, \"liquidus_c\": 204, \"density_kg_per_m3\": "
      "7300,\n"
      "     \"k_w_per_mk\": 55, \"cp_j_per_kgk\": 225, \"latent_j_per_kg\": 58000},\n"
      "    {\"name\": \"Half said\", \"solidus_c\": 198}\n"
      "  ],\n"
      "  \"packages\": [\n"
      "    {\"name\": \"c0402\", \"kind\": \"ceramic-capacitor\", \"length_mm\": 1.0, \"width_mm\": "
      "0.5,\n"
      "     \"height_mm\": 0.35, \"source\": \"test\"},\n"
      "    {\"name\": \"Flat\", \"length_mm\": -2, \"width_mm\": 0.5, \"height_mm\": 0.5},\n"
      "    7\n"
      "  ]\n"
      "}\n";

static void
put (const char *folder, const char *name, const char *text)
{
  g_autofree char *path = g_build_filename (folder, name, NULL);
  g_autoptr (GError) error = NULL;
  g_file_set_contents (path, text, -1, &error);
  g_assert_no_error (error);
}

static void
make_users_files (const char *data_home)
{
  g_autofree char *folder = g_build_filename (data_home, "leeward", "libraries", NULL);
  g_assert_cmpint (g_mkdir_with_parents (folder, 0700), ==, 0);
  put (folder, "a-own.json", OWN);
  put (folder, "b-broken.json", "{\n \"leeward_library\": 1,\n \"alloys\": [\n");
  put (folder, "c-stranger.json", "{\"colour\": \"blue\"}\n");
  put (folder, "d-later.json", "{\"leeward_library\": 2}\n");
  put (folder, "e-notes.txt", "not a library");
  g_autofree char *pipe = g_build_filename (folder, "f-pipe.json", NULL);
  g_assert_cmpint (mkfifo (pipe, 0600), ==, 0);
}

/* Melting ranges from the alloy tables named in data/alloys.json. */
static void
alloys (void)
{
  const LwAlloy *sac = lw_library_alloy ("SAC305"), *lead = lw_library_alloy ("sn63pb37");

  g_assert_nonnull (sac);
  g_assert_nonnull (lead);
  g_assert_cmpfloat (sac->solidus_c, ==, 217);
  g_assert_cmpfloat (sac->liquidus_c, ==, 220);
  g_assert_cmpfloat (lead->solidus_c, ==, 183);
  g_assert_cmpfloat (lead->liquidus_c, ==, 183);
  g_assert_cmpstr (lead->name, ==, "Sn63Pb37");
  g_assert_null (lw_library_alloy ("unobtainium"));
}

static void
sources (void)
{
  g_autofree const char **names = lw_library_names ("alloys");
  g_autofree const char **laminates = lw_library_names ("laminates");
  g_autofree const char **shields = lw_library_names ("shields");
  g_autofree const char **stations = lw_library_names ("stations");

  for (guint i = 0; names[i] != NULL; i++)
    g_assert_cmpuint (strlen (lw_library_alloy (names[i])->source), >, 3);
  for (guint i = 0; laminates[i] != NULL; i++)
    g_assert_cmpuint (strlen (lw_library_laminate (laminates[i])->source), >, 3);
  for (guint i = 0; shields[i] != NULL; i++)
    g_assert_cmpuint (strlen (lw_library_shield (shields[i])->source), >, 3);
  for (guint i = 0; stations[i] != NULL; i++) {
    const LwStation *station = lw_library_station (stations[i]);
    g_assert_cmpuint (strlen (station->source), >, 3);
    g_assert_cmpuint (station->nozzles->len, >=, 5);
  }
}

static void
check_package (const LwPackage *package)
{
  g_test_message ("%s", package->name);
  g_assert_cmpuint (strlen (package->source), >, 3);
  g_assert_cmpfloat (package->height_mm, >, package->joints.standoff_mm);
  for (guint i = 0; i < package->limits->len; i++)
    g_assert_cmpuint (strlen (g_array_index (package->limits, LwLimit, i).source), >, 3);

  g_autoptr (LwPart) part = lw_part_new ();
  g_autoptr (GArray) joints = lw_part_joints (part, package);
  g_assert_cmpuint (joints->len, >=, 2);
  /* joints lie within 4 mm of the body: a slip of the unit or the span shows */
  for (guint i = 0; i < joints->len; i++) {
    const LwPoint *at = &g_array_index (joints, LwPoint, i);
    g_assert_cmpfloat (fabs (at->x_mm), <, package->length_mm / 2 + 4);
    g_assert_cmpfloat (fabs (at->y_mm), <, package->width_mm / 2 + 4);
  }
}

static void
packages (void)
{
  g_autofree const char **names = lw_library_names ("packages");
  guint n = g_strv_length ((char **)names);

  g_assert_cmpuint (n, >=, 120 + 1);
  for (guint i = 0; i < n; i++)
    if (strcmp (names[i], "c0402") != 0) /* the one this test brings has no joints */
      check_package (lw_library_package (names[i]));
}

/* Those the composition sheets say nothing of: alumina, bare silicon, lids of copper, parts on laminate. */
static gboolean
is_moulded_array (const LwPackage *package)
{
  static const char *const others[] = { "CBGA", "CCGA", "FCBGA", "WLCSP", "LGA" };

  for (guint i = 0; i < G_N_ELEMENTS (others); i++)
    if (g_str_has_prefix (package->name, others[i]))
      return FALSE;
  return package->kind == LW_KIND_AREA_ARRAY && !g_str_has_suffix (package->name, "-HS");
}

/* Composition sheets of moulded arrays: 606 to 720 J/kgK overall, 1.3 to 2.9 kJ/m2K. */
static void
array_heat (void)
{
  g_autofree const char **names = lw_library_names ("packages");
  guint arrays = 0;

  for (guint i = 0; names[i] != NULL; i++) {
    const LwPackage *p = lw_library_package (names[i]);
    if (!is_moulded_array (p))
      continue;
    double per_area = p->heat_capacity_j_per_k / (p->length_mm * p->width_mm * 1e-6);
    g_test_message ("%s: %.0f J/m2K", p->name, per_area);
    g_assert_cmpfloat (per_area, >, 600); /* thin memory and fine-pitch arrays lie lowest */
    g_assert_cmpfloat (per_area, <, 2900);
    if (!isnan (p->mass_g)) {
      double per_kg = p->heat_capacity_j_per_k / (p->mass_g * 1e-3);
      g_assert_cmpfloat (per_kg, >, 590);
      g_assert_cmpfloat (per_kg, <, 730);
    }
    arrays++;
  }
  g_assert_cmpuint (arrays, >=, 10);
}

/* Makers' composition sheets (Lattice, by dtsheet.com: heat capacity from the parts' masses and handbook values) and
 * package weights (Microchip onlinedocs): mass in g, heat capacity in J/K, NaN = not on the sheet. */
static const struct {
  const char *name;
  double mass_g, capacity_j_k;
} sheets[] = {
  { "ucBGA-64-4x4-0.40", 0.030, 0.0216 },   { "BGA-144-13x13-1.00", 0.475, 0.305 },
  { "BGA-256-17x17-1.00", 0.705, 0.499 },   { "BGA-324-19x19-1.00", 1.14, 0.692 },
  { "BGA-484-23x23-1.00", 2.14, 1.312 },    { "BGA-900-31x31-1.00", 4.20, 2.752 },
  { "BGA-680-35x35-1.00", 5.16, 3.470 },    { "BGA-1152-35x35-1.00", 5.50, 3.467 },
  { "BGA-516-31x31-1.00-HS", 4.97, NAN },   { "QFN-20-3x3-0.40", 0.0191, NAN },
  { "QFN-32-5x5-0.50", 0.090, NAN },        { "QFN-48-7x7-0.50", 0.140, NAN },
  { "QFN-64-9x9-0.50", 0.200, NAN },        { "TQFP-32-7x7-0.80", 0.100, NAN },
  { "SOIC-20W", 0.542, NAN },               { "SSOP-24", 0.1873, NAN },
  { "LFBGA-144-10x10-0.80", 0.220, NAN },   { "UFBGA-144-6x6-0.40", 0.0363, NAN },
  { "TFBGA-289-14x14-0.80", 0.395, NAN },   { "TFBGA-121-10x10-0.80", 0.194, NAN },
};

static void
against_sheets (void)
{
  double worst_mass = 0, worst_capacity = 0;

  for (guint i = 0; i < G_N_ELEMENTS (sheets); i++) {
    const LwPackage *package = lw_library_package (sheets[i].name);
    g_assert_nonnull (package);
    double mass = package->mass_g / sheets[i].mass_g - 1;
    double capacity = isnan (sheets[i].capacity_j_k) ? 0 : package->heat_capacity_j_per_k / sheets[i].capacity_j_k - 1;
    g_test_message ("%s: mass %+.1f %%, heat capacity %+.1f %%", sheets[i].name, 100 * mass, 100 * capacity);
    worst_mass = fmax (worst_mass, fabs (mass));
    worst_capacity = fmax (worst_capacity, fabs (capacity));
    g_assert_cmpfloat (fabs (mass), <=, 0.15);
    g_assert_cmpfloat (fabs (capacity), <=, 0.15);
  }
  g_test_message ("largest deviation: mass %.1f %%, heat capacity %.1f %%", 100 * worst_mass, 100 * worst_capacity);
}

/* Masses that no sheet gives are densities of what the part is made of: lighter than plastic with much air in it or
 * heavier than solid copper would be a slip of the unit. */
static void
densities (void)
{
  g_autofree const char **names = lw_library_names ("packages");

  for (guint i = 0; names[i] != NULL; i++) {
    const LwPackage *p = lw_library_package (names[i]);
    double area = (p->round ? G_PI_4 : 1) * p->length_mm * (p->round ? p->length_mm : p->width_mm);
    double density = p->mass_g / (area * p->height_mm) * 1e6;
    double specific = p->heat_capacity_j_per_k / p->mass_g * 1e3;

    if (isnan (p->mass_g))
      continue;
    if (!(density > 250 && density < 6000))
      g_error ("%s: %.0f kg/m3", p->name, density);
    if (!isnan (specific) && !(specific > 300 && specific < 1600))
      g_error ("%s: %.0f J/kgK", p->name, specific);
  }
}

/* What the outlook of the library asks for: every family of outlines is there. */
static void
families (void)
{
  g_autofree const char **names = lw_library_names ("packages");
  guint kinds[LW_N_KINDS] = { 0 };

  for (guint i = 0; names[i] != NULL; i++)
    kinds[lw_library_package (names[i])->kind]++;
  for (guint kind = LW_KIND_AREA_ARRAY; kind < LW_N_KINDS; kind++) {
    g_test_message ("%s: %u", lw_kind_word (kind), kinds[kind]);
    g_assert_cmpuint (kinds[kind], >=, 1);
  }
}

/* Ball counts that the names promise. */
static void
ball_counts (void)
{
  static const struct {
    const char *name;
    guint balls;
  } rows[] = { { "BGA-676-27x27-1.00", 676 },   { "BGA-289-25x25-1.27", 289 },
               { "TFBGA-289-14x14-0.80", 289 }, { "FBGA-78-8x12-0.80", 78 },
               { "FBGA-96-9x13-0.80", 96 },     { "BGA-484-23x23-1.00", 484 },
               { "LQFP-144-20x20-0.50", 144 },  { "SOIC-8", 8 },
               { "QFN-48-7x7-0.50", 48 } };
  g_autoptr (LwPart) part = lw_part_new ();

  for (guint i = 0; i < G_N_ELEMENTS (rows); i++) {
    const LwPackage *package = lw_library_package (rows[i].name);
    g_assert_nonnull (package);
    g_autoptr (GArray) joints = lw_part_joints (part, package);
    g_assert_cmpuint (joints->len, ==, rows[i].balls);
  }
}

static void
users_files (void)
{
  const LwAlloy *own = lw_library_alloy ("HOUSE ALLOY");
  const char *warnings = lw_library_warnings ();
  g_auto (GStrv) lines = g_strsplit (warnings, "\n", 0);

  g_test_message ("%s", warnings);
  g_assert_nonnull (own);
  g_assert_cmpfloat (own->liquidus_c, ==, 204);
  g_assert_null (lw_library_alloy ("Upside down"));
  g_assert_null (lw_library_alloy ("Half said"));
  g_assert_null (lw_library_package ("Flat"));
  /* the user's C0402 stands in for ours, whatever the case of its name */
  g_assert_cmpfloat (lw_library_package ("C0402")->height_mm, ==, 0.35);

  g_assert_cmpuint (g_strv_length (lines), ==, 8);
  g_assert_true (strstr (lines[0], "a-own.json:6") != NULL && strstr (lines[0], "alloys[1]") != NULL);
  g_assert_nonnull (strstr (lines[1], "alloys[2]"));
  g_assert_nonnull (strstr (lines[2], "packages[1].length_mm"));
  g_assert_nonnull (strstr (lines[3], "packages[2]"));
  g_assert_nonnull (strstr (lines[4], "b-broken.json:"));
  g_assert_nonnull (strstr (lines[5], "c-stranger.json"));
  g_assert_nonnull (strstr (lines[6], "d-later.json:1"));
  g_assert_nonnull (strstr (lines[7], "f-pipe.json: ")); /* nobody waits for what never comes */
}

/* The demo: what the issue of a first look asks of it. */
static void
demo (void)
{
  g_autoptr (GFile) file = g_file_new_for_uri ("resource:///leeward/data/demo.leeward");
  g_autoptr (GError) error = NULL;
  g_autoptr (LwJob) job = lw_job_load (file, NULL, &error);
  guint bottom = 0;

  g_assert_no_error (error);
  g_autoptr (GPtrArray) faults = lw_job_check (job);
  for (guint i = 0; i < faults->len; i++)
    g_test_message ("%s: %s", ((LwFault *)faults->pdata[i])->path, ((LwFault *)faults->pdata[i])->text);
  g_assert_cmpuint (faults->len, ==, 0);
  g_assert_cmpuint (job->parts->len, >=, 66);
  for (guint i = 0; i < job->parts->len; i++) {
    const LwPart *part = g_ptr_array_index (job->parts, i);
    g_assert_nonnull (lw_job_package_of (job, part));
    bottom += part->side == LW_SIDE_BOTTOM;
  }
  g_assert_cmpuint (bottom, >=, 10);
  g_assert_cmpuint (job->plans->len, ==, 3); /* two that heat, and a site that is cleaned */
  g_assert_cmpuint (job->board->outline->len, ==, 6);
  LwBox box = lw_loop_box (g_ptr_array_index (job->board->outline, 0));
  g_assert_cmpfloat_with_epsilon (box.x1_mm - box.x0_mm, 160, 1e-9);
  g_assert_cmpfloat_with_epsilon (box.y1_mm - box.y0_mm, 100, 1e-9);
}

static void
remove_tree (const char *path)
{
  g_autoptr (GDir) dir = g_dir_open (path, 0, NULL);
  const char *name;

  while (dir != NULL && (name = g_dir_read_name (dir)) != NULL) {
    g_autofree char *inside = g_build_filename (path, name, NULL);
    remove_tree (inside);
  }
  g_remove (path);
}

int
main (int argc, char **argv)
{
  /* the libraries are read once, by whichever test comes first */
  g_autofree char *data_home = g_dir_make_tmp ("leeward-library-XXXXXX", NULL);
  g_setenv ("XDG_DATA_HOME", data_home, TRUE);
  make_users_files (data_home);

  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/library/alloys", alloys);
  g_test_add_func ("/library/sources", sources);
  g_test_add_func ("/library/packages", packages);
  g_test_add_func ("/library/array-heat", array_heat);
  g_test_add_func ("/library/against-sheets", against_sheets);
  g_test_add_func ("/library/densities", densities);
  g_test_add_func ("/library/families", families);
  g_test_add_func ("/library/ball-counts", ball_counts);
  g_test_add_func ("/library/users-files", users_files);
  g_test_add_func ("/library/demo", demo);
  int status = g_test_run ();
  remove_tree (data_home);
  return status;
}
