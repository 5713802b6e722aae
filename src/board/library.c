/* Libraries: tables of named things, the compiled-in files first, then the user's. A user's entry takes
 * the place of a compiled-in one of the same name. Everything is read once and kept until the end. */
#include "board/library.h"

#include <gio/gio.h>
#include <glib/gi18n.h>
#include <glib/gstdio.h>
#include <math.h>
#include <string.h>

#include "board/job-file.h"
#include "board/job-json.h"

#define LIBRARY_KEY "leeward_library"
#define LIBRARY_VERSION 1
#define LIBRARY_MAX_BYTES (16u * 1024u * 1024u)

/* Of the resource that the build makes from data/. */
extern GResource *lw_data_get_resource (void);

/* One table: entries in library order, each begins with or holds its name. */
typedef struct {
  const char *kind; /* member of the file */
  gpointer (*read) (LwReadContext *context, JsonObject *object);
  GDestroyNotify free;
  const char *(*name_of) (gconstpointer entry);
  GPtrArray *entries;
  GHashTable *by_name; /* casefolded name: entry */
} Table;

/* ---- entries ---- */

static void
alloy_free (gpointer data)
{
  LwAlloy *alloy = data;
  g_free (alloy->name);
  g_free (alloy->source);
  g_free (alloy);
}

static gpointer
alloy_read (LwReadContext *context, JsonObject *object)
{
  LwAlloy *alloy = g_new0 (LwAlloy, 1);
  alloy->name = lw_read_text (context, object, "name");
  alloy->source = lw_read_text (context, object, "source");
  alloy->solidus_c = lw_read_number (context, object, "solidus_c", 30, 1000, NAN);
  alloy->liquidus_c = lw_read_number (context, object, "liquidus_c", 30, 1000, NAN);
  alloy->density_kg_per_m3 = lw_read_number (context, object, "density_kg_per_m3", 1000, 25000, NAN);
  alloy->k_w_per_mk = lw_read_number (context, object, "k_w_per_mk", 0.01, 1000, NAN);
  alloy->cp_j_per_kgk = lw_read_number (context, object, "cp_j_per_kgk", 10, 5000, NAN);
  alloy->latent_j_per_kg = lw_read_number (context, object, "latent_j_per_kg", 0, 1e6, NAN);
  if (isnan (alloy->solidus_c) || isnan (alloy->liquidus_c) || isnan (alloy->density_kg_per_m3)
      || isnan (alloy->k_w_per_mk) || isnan (alloy->cp_j_per_kgk) || isnan (alloy->latent_j_per_kg))
    lw_read_fault (context, LW_FILE_ERROR_VALUE, NULL, _("a property is missing"));
  else if (alloy->liquidus_c < alloy->solidus_c)
    lw_read_fault (context, LW_FILE_ERROR_CONFLICT, "liquidus_c", _("is below the solidus"));
  return alloy;
}

static const char *
alloy_name (gconstpointer entry)
{
  return ((const LwAlloy *)entry)->name;
}

static void
laminate_free (gpointer data)
{
  LwLaminate *laminate = data;
  g_free (laminate->name);
  g_free (laminate->source);
  g_free (laminate);
}

static gpointer
laminate_read (LwReadContext *context, JsonObject *object)
{
  LwLaminate *laminate = g_new0 (LwLaminate, 1);
  laminate->name = lw_read_text (context, object, "name");
  laminate->source = lw_read_text (context, object, "source");
  laminate->density_kg_per_m3 = lw_read_number (context, object, "density_kg_per_m3", 100, 25000, NAN);
  laminate->cp_j_per_kgk = lw_read_number (context, object, "cp_j_per_kgk", 10, 5000, NAN);
  laminate->k_in_plane_w_per_mk
      = lw_read_number (context, object, "k_in_plane_w_per_mk", 0.01, 2000, NAN);
  laminate->k_through_w_per_mk = lw_read_number (context, object, "k_through_w_per_mk", 0.01, 2000, NAN);
  laminate->tg_c = lw_read_number (context, object, "tg_c", 0, 5000, NAN);
  laminate->td_c = lw_read_number (context, object, "td_c", 0, 5000, NAN);
  if (isnan (laminate->density_kg_per_m3) || isnan (laminate->cp_j_per_kgk)
      || isnan (laminate->k_in_plane_w_per_mk) || isnan (laminate->k_through_w_per_mk))
    lw_read_fault (context, LW_FILE_ERROR_VALUE, NULL, _("a property is missing"));
  return laminate;
}

static const char *
laminate_name (gconstpointer entry)
{
  return ((const LwLaminate *)entry)->name;
}

static void
shield_free (gpointer data)
{
  LwShieldMaterial *shield = data;
  g_free (shield->name);
  g_free (shield->source);
  g_free (shield);
}

static gpointer
shield_read (LwReadContext *context, JsonObject *object)
{
  LwShieldMaterial *shield = g_new0 (LwShieldMaterial, 1);
  shield->name = lw_read_text (context, object, "name");
  shield->source = lw_read_text (context, object, "source");
  shield->k_w_per_mk = lw_read_number (context, object, "k_w_per_mk", 0.001, 2000, NAN);
  shield->thickness_mm = lw_read_number (context, object, "thickness_mm", 0.001, 100, NAN);
  shield->share = lw_read_number (context, object, "share", 0, 1, NAN);
  if (isnan (shield->k_w_per_mk) || isnan (shield->thickness_mm) || isnan (shield->share))
    lw_read_fault (context, LW_FILE_ERROR_VALUE, NULL, _("a property is missing"));
  return shield;
}

static const char *
shield_name (gconstpointer entry)
{
  return ((const LwShieldMaterial *)entry)->name;
}

static gpointer
package_read (LwReadContext *context, JsonObject *object)
{
  return lw_package_from_json (object, context);
}

static const char *
package_name (gconstpointer entry)
{
  return ((const LwPackage *)entry)->name;
}

static gpointer
station_read (LwReadContext *context, JsonObject *object)
{
  return lw_station_from_json (object, context);
}

static const char *
station_name (gconstpointer entry)
{
  return ((const LwStation *)entry)->name;
}

/* ---- tables ---- */

enum { ALLOYS, LAMINATES, PACKAGES, SHIELDS, STATIONS, N_TABLES };

static Table tables[N_TABLES] = {
  { "alloys", alloy_read, alloy_free, alloy_name },
  { "laminates", laminate_read, laminate_free, laminate_name },
  { "packages", package_read, (GDestroyNotify)lw_package_unref, package_name },
  { "shields", shield_read, shield_free, shield_name },
  { "stations", station_read, (GDestroyNotify)lw_station_unref, station_name },
};

static GString *warnings;

static void
table_add (Table *table, gpointer entry)
{
  char *key = g_utf8_casefold (table->name_of (entry), -1);
  gpointer old = g_hash_table_lookup (table->by_name, key);
  guint at;

  /* An entry handed out earlier must stay: it is replaced in the tables only before anyone has asked. */
  if (old != NULL && g_ptr_array_find (table->entries, old, &at)) {
    g_hash_table_replace (table->by_name, key, entry);
    table->entries->pdata[at] = entry;
    table->free (old);
    return;
  }
  g_ptr_array_add (table->entries, entry);
  g_hash_table_insert (table->by_name, key, entry);
}

static void
complain (GError *error)
{
  if (warnings->len > 0)
    g_string_append_c (warnings, '\n');
  g_string_append (warnings, error->message);
  g_error_free (error);
}

/* Reads entry INDEX of an array; a faulty one is left out and complained about. */
static void
read_entry (Table *table, JsonArray *array, guint index, const char *name, const char *data,
            gsize length)
{
  LwReadContext context;
  GError *error = NULL;
  gpointer entry = NULL;

  lw_read_begin (&context, name, data, length);
  lw_read_enter_member (&context, table->kind);
  lw_read_enter_index (&context, index);
  JsonNode *node = json_array_get_element (array, index);
  if (!JSON_NODE_HOLDS_OBJECT (node))
    lw_read_fault (&context, LW_FILE_ERROR_VALUE, NULL, _("must be an object"));
  else
    entry = table->read (&context, json_node_get_object (node));
  if (entry != NULL && *table->name_of (entry) == '\0')
    lw_read_fault (&context, LW_FILE_ERROR_VALUE, "name", _("is missing"));
  lw_read_leave (&context);
  lw_read_leave (&context);
  if (lw_read_end (&context, &error))
    table_add (table, entry);
  else {
    g_clear_pointer (&entry, table->free);
    complain (error);
  }
}

static void
check_format (JsonObject *root, LwReadContext *context)
{
  double version = lw_read_number (context, root, LIBRARY_KEY, 0, 1e6, 0);

  if (version == 0)
    lw_read_fault (context, LW_FILE_ERROR_FORMAT, NULL, _("is no library: %s is missing"), LIBRARY_KEY);
  else if (version != LIBRARY_VERSION)
    lw_read_fault (context, LW_FILE_ERROR_FORMAT, LIBRARY_KEY, _("must be the number %d"),
                   LIBRARY_VERSION);
}

/* Every table a file brings; what is faulty is left out. */
static void
read_file (const char *name, const char *data, gsize length)
{
  GError *error = NULL;
  LwReadContext context;
  g_autoptr (JsonNode) root = lw_json_parse (name, data, length, &error);

  if (root == NULL) {
    complain (error);
    return;
  }
  JsonObject *object = json_node_get_object (root);
  lw_read_begin (&context, name, data, length);
  check_format (object, &context);
  JsonArray *arrays[N_TABLES];
  for (guint t = 0; t < N_TABLES; t++)
    arrays[t] = lw_read_array (&context, object, tables[t].kind);
  if (!lw_read_end (&context, &error)) {
    complain (error);
    return;
  }
  for (guint t = 0; t < N_TABLES; t++)
    for (guint i = 0; arrays[t] != NULL && i < json_array_get_length (arrays[t]); i++)
      read_entry (&tables[t], arrays[t], i, name, data, length);
}

static void
read_own (void)
{
  for (guint t = 0; t < N_TABLES; t++) {
    g_autofree char *name = g_strconcat (tables[t].kind, ".json", NULL);
    g_autofree char *path = g_strconcat ("/leeward/data/", name, NULL);
    g_autoptr (GError) error = NULL;
    g_autoptr (GBytes) bytes = g_resource_lookup_data (lw_data_get_resource (), path, 0, &error);
    if (bytes == NULL)
      g_error ("%s", error->message); /* the build left it out: a programmer's mistake */
    read_file (name, g_bytes_get_data (bytes, NULL), g_bytes_get_size (bytes));
  }
  if (warnings->len > 0)
    g_error ("%s", warnings->str); /* our own files, proved by the tests */
}

static void
read_users_file (const char *folder, const char *name)
{
  g_autofree char *path = g_build_filename (folder, name, NULL);
  g_autofree char *data = NULL;
  gsize length = 0;
  GError *error = NULL;
  GStatBuf info;

  if (g_stat (path, &info) == 0 && info.st_size > (goffset)LIBRARY_MAX_BYTES)
    complain (g_error_new (LW_FILE_ERROR, LW_FILE_ERROR_TOO_LARGE, _("%s: larger than %u MiB"), path,
                           LIBRARY_MAX_BYTES >> 20));
  else if (g_file_get_contents (path, &data, &length, &error))
    read_file (path, data, length);
  else
    complain (error);
}

static int
compare_names (gconstpointer a, gconstpointer b)
{
  return strcmp (*(char *const *)a, *(char *const *)b);
}

static void
read_users (void)
{
  g_autofree char *folder = g_build_filename (g_get_user_data_dir (), "leeward", "libraries", NULL);
  g_autoptr (GDir) dir = g_dir_open (folder, 0, NULL); /* most people have none */
  g_autoptr (GPtrArray) names = g_ptr_array_new_with_free_func (g_free);
  const char *name;

  if (dir == NULL)
    return;
  while ((name = g_dir_read_name (dir)) != NULL)
    if (g_str_has_suffix (name, ".json"))
      g_ptr_array_add (names, g_strdup (name));
  g_ptr_array_sort (names, compare_names); /* the later name wins, whatever the file system's order */
  for (guint i = 0; i < names->len; i++)
    read_users_file (folder, g_ptr_array_index (names, i));
}

static void
load (void)
{
  static gsize once;

  if (!g_once_init_enter (&once))
    return;
  warnings = g_string_new (NULL);
  for (guint t = 0; t < N_TABLES; t++) {
    tables[t].entries = g_ptr_array_new ();
    tables[t].by_name = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  }
  read_own ();
  read_users ();
  g_once_init_leave (&once, 1);
}

static gpointer
find (guint table, const char *name)
{
  g_return_val_if_fail (name != NULL, NULL);
  load ();
  g_autofree char *key = g_utf8_casefold (name, -1);
  return g_hash_table_lookup (tables[table].by_name, key);
}

const LwAlloy *
lw_library_alloy (const char *name)
{
  return find (ALLOYS, name);
}

const LwLaminate *
lw_library_laminate (const char *name)
{
  return find (LAMINATES, name);
}

const LwPackage *
lw_library_package (const char *name)
{
  return find (PACKAGES, name);
}

const LwShieldMaterial *
lw_library_shield (const char *name)
{
  return find (SHIELDS, name);
}

LwStation *
lw_library_station (const char *name)
{
  return find (STATIONS, name);
}

const char **
lw_library_names (const char *kind)
{
  load ();
  for (guint t = 0; t < N_TABLES; t++)
    if (g_strcmp0 (kind, tables[t].kind) == 0) {
      const char **names = g_new0 (const char *, tables[t].entries->len + 1);
      for (guint i = 0; i < tables[t].entries->len; i++)
        names[i] = tables[t].name_of (g_ptr_array_index (tables[t].entries, i));
      return names;
    }
  g_return_val_if_reached (NULL);
}

const char *
lw_library_warnings (void)
{
  load ();
  return warnings->str;
}
