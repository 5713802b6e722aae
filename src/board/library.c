/* Libraries: tables of named things, the compiled-in files first, then the user's. A user's entry takes
 * the place of a compiled-in one of the same name. Everything is read once and kept until the end; packages that the
 * user keeps or gives up later change the tables at once. */
#include "board/library-private.h"

#include <gio/gio.h>
#include <glib/gi18n.h>
#include <glib/gstdio.h>
#include <string.h>

#include "board/job-file.h"
#include "board/library-read.h"

/* Of the resource that the build makes from data/. */
extern GResource *lw_data_get_resource (void);

/* One table: entries in library order. An entry that somebody may hold is never freed, only replaced. */
typedef struct {
  GPtrArray *entries;
  GHashTable *by_name;  /* casefolded name: entry */
  GHashTable *built_in; /* the same, of the compiled-in files alone */
} Table;

static Table tables[LW_LIBRARY_N_KINDS];

static GString *warnings;
static GRWLock lock; /* of the tables */
static gint age;

/* What has been replaced or taken out: somebody may still hold it, since entries are lent for good. */
static GPtrArray *retired;

static void
retire (gpointer entry)
{
  if (retired == NULL)
    retired = g_ptr_array_new ();
  g_ptr_array_add (retired, entry);
}

static void
table_add (guint kind, gpointer entry)
{
  Table *table = &tables[kind];
  char *key = g_utf8_casefold (lw_library_entry_name (kind, entry), -1);
  gpointer old = g_hash_table_lookup (table->by_name, key);
  guint at;

  if (old != NULL && g_ptr_array_find (table->entries, old, &at)) {
    table->entries->pdata[at] = entry;
    retire (old);
  } else
    g_ptr_array_add (table->entries, entry);
  g_hash_table_replace (table->by_name, key, entry);
}

static void
complain (GError *error)
{
  if (warnings->len > 0)
    g_string_append_c (warnings, '\n');
  g_string_append (warnings, error->message);
  g_error_free (error);
}

static void
take_cb (guint kind, gpointer entry, gpointer user_data)
{
  table_add (kind, entry);
}

static void
complain_cb (GError *error, gpointer user_data)
{
  complain (error);
}

/* Every table a file brings; what is faulty is left out. */
static void
read_file (const char *name, const char *data, gsize length)
{
  lw_library_read (name, data, length, take_cb, complain_cb, NULL);
}

static void
read_own (void)
{
  for (guint t = 0; t < LW_LIBRARY_N_KINDS; t++) {
    g_autofree char *name = g_strconcat (lw_library_member (t), ".json", NULL);
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

  if (g_stat (path, &info) == 0 && !S_ISREG (info.st_mode)) /* a pipe would wait for ever */
    complain (g_error_new (G_IO_ERROR, G_IO_ERROR_NOT_REGULAR_FILE, _("%s: this is not a regular file"), path));
  else if (g_stat (path, &info) == 0 && info.st_size > (goffset)LW_LIBRARY_MAX_BYTES)
    complain (g_error_new (LW_FILE_ERROR, LW_FILE_ERROR_TOO_LARGE, _("%s: larger than %u MiB"), path,
                           LW_LIBRARY_MAX_BYTES >> 20));
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

char *
lw_library_folder (void)
{
  return g_build_filename (g_get_user_data_dir (), "leeward", "libraries", NULL);
}

static void
read_users (void)
{
  g_autofree char *folder = lw_library_folder ();
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

static GHashTable *
copy_table (GHashTable *table)
{
  GHashTable *copy = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  GHashTableIter iter;
  gpointer key, entry;

  g_hash_table_iter_init (&iter, table);
  while (g_hash_table_iter_next (&iter, &key, &entry))
    g_hash_table_insert (copy, g_strdup (key), entry);
  return copy;
}

static void
load (void)
{
  static gsize once;

  if (!g_once_init_enter (&once))
    return;
  warnings = g_string_new (NULL);
  for (guint t = 0; t < LW_LIBRARY_N_KINDS; t++) {
    tables[t].entries = g_ptr_array_new ();
    tables[t].by_name = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  }
  read_own ();
  for (guint t = 0; t < LW_LIBRARY_N_KINDS; t++)
    tables[t].built_in = copy_table (tables[t].by_name);
  read_users ();
  g_once_init_leave (&once, 1);
}

static gpointer
find (guint kind, const char *name)
{
  gpointer entry;

  g_return_val_if_fail (name != NULL, NULL);
  load ();
  g_autofree char *key = g_utf8_casefold (name, -1);
  g_rw_lock_reader_lock (&lock);
  entry = g_hash_table_lookup (tables[kind].by_name, key);
  g_rw_lock_reader_unlock (&lock);
  return entry;
}

void
lw_library_put (LwPackage *package)
{
  load ();
  g_rw_lock_writer_lock (&lock);
  table_add (LW_LIBRARY_PACKAGES, package);
  g_atomic_int_inc (&age);
  g_rw_lock_writer_unlock (&lock);
}

gint
lw_library_age (void)
{
  return g_atomic_int_get (&age);
}

gboolean
lw_library_is_users (const char *name)
{
  g_autofree char *key = g_utf8_casefold (name, -1);
  gpointer entry = find (LW_LIBRARY_PACKAGES, name);

  return entry != NULL && entry != g_hash_table_lookup (tables[LW_LIBRARY_PACKAGES].built_in, key);
}

const LwAlloy *
lw_library_alloy (const char *name)
{
  return find (LW_LIBRARY_ALLOYS, name);
}

const LwLaminate *
lw_library_laminate (const char *name)
{
  return find (LW_LIBRARY_LAMINATES, name);
}

const LwPackage *
lw_library_package (const char *name)
{
  return find (LW_LIBRARY_PACKAGES, name);
}

const LwShieldMaterial *
lw_library_shield (const char *name)
{
  return find (LW_LIBRARY_SHIELDS, name);
}

LwStation *
lw_library_station (const char *name)
{
  return find (LW_LIBRARY_STATIONS, name);
}

const char **
lw_library_names (const char *kind)
{
  load ();
  for (guint t = 0; t < LW_LIBRARY_N_KINDS; t++)
    if (g_strcmp0 (kind, lw_library_member (t)) == 0) {
      g_rw_lock_reader_lock (&lock);
      const char **names = g_new0 (const char *, tables[t].entries->len + 1);
      for (guint i = 0; i < tables[t].entries->len; i++)
        names[i] = lw_library_entry_name (t, g_ptr_array_index (tables[t].entries, i));
      g_rw_lock_reader_unlock (&lock);
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
