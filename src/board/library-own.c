/* The file of the user's own packages. It is read afresh before each writing, changed as JSON, so that entries and
 * members this version does not know stay, and replaced whole. */
#include <errno.h>
#include <fcntl.h>
#include <glib/gi18n.h>
#include <glib/gstdio.h>
#include <sys/file.h>
#include <unistd.h>

#include "board/file-replace.h"
#include "board/job-file.h"
#include "board/library-private.h"

#define PACKAGES "packages"

static char *
own_path (void)
{
  g_autofree char *folder = lw_library_folder ();

  return g_build_filename (folder, LW_LIBRARY_OWN, NULL);
}

/* The file as it stands; an empty library where there is none. */
static JsonNode *
read_own (const char *path, GError **error)
{
  g_autoptr (GError) failure = NULL;
  g_autofree char *data = NULL;
  g_autoptr (JsonNode) root = NULL;
  LwReadContext context;
  gsize length = 0;

  if (!g_file_get_contents (path, &data, &length, &failure)) {
    if (!g_error_matches (failure, G_FILE_ERROR, G_FILE_ERROR_NOENT)) {
      g_propagate_error (error, g_steal_pointer (&failure));
      return NULL;
    }
    root = json_node_new (JSON_NODE_OBJECT);
    json_node_take_object (root, json_object_new ());
    json_object_set_int_member (json_node_get_object (root), LW_LIBRARY_KEY, LW_LIBRARY_VERSION);
    return g_steal_pointer (&root);
  }
  root = lw_json_parse (path, data, length, error);
  if (root == NULL)
    return NULL;
  lw_read_begin (&context, path, data, length);
  lw_library_check_format (&context, json_node_get_object (root));
  lw_read_array (&context, json_node_get_object (root), PACKAGES);
  return lw_read_end (&context, error) ? g_steal_pointer (&root) : NULL;
}

static gboolean
is_named (JsonNode *node, const char *key)
{
  const char *name;
  g_autofree char *folded = NULL;

  if (!JSON_NODE_HOLDS_OBJECT (node))
    return FALSE;
  JsonNode *member = json_object_get_member (json_node_get_object (node), "name");
  name = member != NULL && JSON_NODE_HOLDS_VALUE (member) ? json_node_get_string (member) : NULL;
  folded = name != NULL ? g_utf8_casefold (name, -1) : NULL;
  return g_strcmp0 (folded, key) == 0;
}

/* PACKAGE in the place of the first of its name, and any more of that name out. */
static void
put_in (JsonObject *root, const LwPackage *package)
{
  g_autofree char *key = g_utf8_casefold (package->name, -1);
  JsonArray *old = json_object_has_member (root, PACKAGES) ? json_object_get_array_member (root, PACKAGES) : NULL;
  JsonArray *list = json_array_new ();
  JsonObject *entry = lw_package_to_json (package);

  for (guint i = 0; old != NULL && i < json_array_get_length (old); i++) {
    JsonNode *node = json_array_get_element (old, i);

    if (!is_named (node, key))
      json_array_add_element (list, json_node_copy (node));
    else if (entry != NULL)
      json_array_add_object_element (list, g_steal_pointer (&entry));
  }
  if (entry != NULL)
    json_array_add_object_element (list, entry);
  json_object_set_array_member (root, PACKAGES, list);
}

static gboolean
write_own (const char *path, JsonNode *root, GError **error)
{
  g_autofree char *folder = g_path_get_dirname (path), *text = NULL;
  gsize length;

  if (g_mkdir_with_parents (folder, 0700) != 0) {
    g_set_error (error, G_IO_ERROR, G_IO_ERROR_FAILED, _("%s: cannot be made"), folder);
    return FALSE;
  }
  text = lw_json_print (json_node_get_object (root), &length);
  if (length > LW_LIBRARY_MAX_BYTES) {
    g_set_error (error, LW_FILE_ERROR, LW_FILE_ERROR_TOO_LARGE, _("%s: larger than %u MiB"), path,
                 LW_LIBRARY_MAX_BYTES >> 20);
    return FALSE;
  }
  return lw_file_replace (path, text, length, NULL, error);
}

/* The folder, held while the file is read, changed and written, so that another program's change between is not lost. -1
 * where that cannot be had: whoever holds it for a second is stopped, and a file system without locks is no reason to fail. */
static int
hold_folder (void)
{
  enum { TRIES = 200, PAUSE_US = 5000 };
  g_autofree char *folder = lw_library_folder ();
  int fd = g_mkdir_with_parents (folder, 0700) == 0 ? g_open (folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC, 0) : -1;

  for (int i = 0; fd >= 0 && i < TRIES && flock (fd, LOCK_EX | LOCK_NB) != 0 && errno == EWOULDBLOCK; i++)
    g_usleep (PAUSE_US);
  return fd;
}

static void
let_go (int folder)
{
  if (folder >= 0)
    close (folder);
}

static gboolean
keep (const LwPackage *package, GError **error)
{
  g_autofree char *path = own_path ();
  g_autoptr (JsonNode) root = read_own (path, error);

  if (root == NULL)
    return FALSE;
  put_in (json_node_get_object (root), package);
  if (!write_own (path, root, error))
    return FALSE;
  lw_library_put (lw_package_copy (package));
  return TRUE;
}

gboolean
lw_library_keep_package (const LwPackage *package, GError **error)
{
  gboolean kept;
  int folder;

  g_return_val_if_fail (package->name[0] != '\0', FALSE);
  folder = hold_folder ();
  kept = keep (package, error);
  let_go (folder);
  return kept;
}
