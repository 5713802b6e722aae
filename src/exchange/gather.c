#include "exchange/gather.h"

#include <archive.h>
#include <archive_entry.h>
#include <glib/gi18n.h>
#include <glib/gstdio.h>
#include <string.h>

#define MAX_ENTRIES 20000 /* looked at in one archive or folder */
#define MAX_FOLDERS 300

typedef struct {
  LwGathered *out;
  GPtrArray *notes;
  GCancellable *cancellable;
  gboolean told_full;
  guint n_folders;
  char *filesystem; /* of the folder that was named: others are not entered */
} Gather;

static char *
display_name (GFile *file)
{
  g_autofree char *base = g_file_get_basename (file);

  return base != NULL ? g_filename_display_name (base) : g_strdup (_("file"));
}

static gboolean
has_room (Gather *self, const char *where)
{
  if (self->out->files->len < LW_GATHER_MAX_FILES)
    return TRUE;
  if (!self->told_full)
    lw_notes_add (self->notes, where, 0, _("more than %d files: the others are not looked at"), LW_GATHER_MAX_FILES);
  self->told_full = TRUE;
  return FALSE;
}

/* ---- archives ---- */

static gboolean
is_archive_start (const guint8 *b, gsize n)
{
  static const struct {
    gsize at, n;
    const char *bytes;
  } marks[] = { { 0, 4, "PK\003\004" },       { 0, 2, "\x1f\x8b" },         { 0, 3, "BZh" },
                { 0, 6, "\xfd" "7zXZ\0" },    { 0, 6, "7z\xbc\xaf\x27\x1c" }, { 0, 4, "\x28\xb5\x2f\xfd" },
                { 257, 5, "ustar" } };

  for (guint i = 0; i < G_N_ELEMENTS (marks); i++)
    if (n >= marks[i].at + marks[i].n && memcmp (b + marks[i].at, marks[i].bytes, marks[i].n) == 0)
      return TRUE;
  return FALSE;
}

static gboolean
is_archive (GFile *file, GCancellable *cancellable)
{
  g_autoptr (GFileInputStream) stream = g_file_read (file, cancellable, NULL);
  guint8 start[512];
  gsize got = 0;

  return stream != NULL
         && g_input_stream_read_all (G_INPUT_STREAM (stream), start, sizeof start, &got, cancellable, NULL)
         && is_archive_start (start, got);
}

/* A path inside an archive is never followed: a folder of its own for each of its folders, and the last
 * name of the path with what a file system might take otherwise put out. */
static char *
safe_name (const char *path)
{
  const char *slash = strrchr (path, '/'), *back = strrchr (path, '\\');
  char *name = g_strdup (back != NULL && (slash == NULL || back > slash) ? back + 1 : slash != NULL ? slash + 1 : path);

  for (char *p = name; *p != '\0'; p++)
    if (*p == '/' || *p == '\\' || (guchar) *p < 32)
      *p = '_';
  if (strlen (name) > 200)
    name[200] = '\0';
  return name;
}

/* Hidden files, and the twins one system packs beside each file. */
static gboolean
is_wanted (const char *path, const char *name)
{
  return *name != '\0' && *name != '.' && strstr (path, "__MACOSX") == NULL;
}

typedef struct {
  Gather *owner;
  struct archive *archive;
  const char *name;    /* of the archive */
  const char *folder;  /* it is unpacked into */
  GHashTable *folders; /* folder inside -> folder outside */
  guint64 bytes;
} Unpack;

static const char *
folder_for (Unpack *self, const char *path)
{
  g_autofree char *inside = g_path_get_dirname (path);
  const char *known = g_hash_table_lookup (self->folders, inside);
  char *made;

  if (known != NULL)
    return known;
  made = g_strdup_printf ("%s/%u", self->folder, g_hash_table_size (self->folders));
  if (g_mkdir (made, 0700) != 0)
    {
      g_free (made);
      return NULL;
    }
  g_ptr_array_add (self->owner->out->temporary, g_strdup (made));
  g_hash_table_insert (self->folders, g_steal_pointer (&inside), made);
  return made;
}

/* FALSE ends the unpacking: too much, cancelled, or damaged. */
static gboolean
copy_entry (Unpack *self, GOutputStream *out, GError **error)
{
  for (;;)
    {
      const void *block;
      size_t size;
      la_int64_t offset;
      int result = archive_read_data_block (self->archive, &block, &size, &offset);

      if (result == ARCHIVE_EOF)
        return TRUE;
      if (result < ARCHIVE_WARN)
        return lw_notes_fail (error, LW_IMPORT_ERROR_SYNTAX, self->name, 0, _("the archive is damaged: %s"),
                              archive_error_string (self->archive));
      self->bytes += size;
      if (self->bytes > LW_GATHER_MAX_BYTES)
        return lw_notes_fail (error, LW_IMPORT_ERROR_TOO_LARGE, self->name, 0, _("holds more than %u MB"),
                              LW_GATHER_MAX_BYTES / 1024 / 1024);
      if (!g_output_stream_write_all (out, block, size, NULL, self->owner->cancellable, error))
        return FALSE;
    }
}

static gboolean
unpack_entry (Unpack *self, const char *path, const char *name, GError **error)
{
  const char *folder = folder_for (self, path);
  g_autofree char *target = folder != NULL ? g_build_filename (folder, name, NULL) : NULL;
  g_autoptr (GFile) file = target != NULL ? g_file_new_for_path (target) : NULL;
  g_autoptr (GFileOutputStream) out = NULL;

  if (file == NULL)
    return lw_notes_fail (error, LW_IMPORT_ERROR_UNSUPPORTED, self->name, 0, _("no room to unpack it"));
  out = g_file_create (file, G_FILE_CREATE_PRIVATE, self->owner->cancellable, error);
  if (out == NULL && error != NULL && g_error_matches (*error, G_IO_ERROR, G_IO_ERROR_EXISTS))
    {
      g_clear_error (error);
      lw_notes_add (self->owner->notes, self->name, 0, _("holds %.60s twice: the first is taken"), name);
      return TRUE;
    }
  if (out == NULL)
    return FALSE;
  g_ptr_array_add (self->owner->out->temporary, g_strdup (target));
  if (!copy_entry (self, G_OUTPUT_STREAM (out), error)
      || !g_output_stream_close (G_OUTPUT_STREAM (out), self->owner->cancellable, error))
    return FALSE;
  if (is_archive (file, self->owner->cancellable))
    lw_notes_add (self->owner->notes, self->name, 0, _("the archive %.60s inside it is not opened"), name);
  else
    g_ptr_array_add (self->owner->out->files, g_steal_pointer (&file));
  return TRUE;
}

/* One file that is packed by itself, "board.xml.gz": it has no name inside. */
static gboolean
is_packed_file (const Unpack *self)
{
  return archive_format (self->archive) == ARCHIVE_FORMAT_RAW && archive_filter_count (self->archive) > 1;
}

/* The name of an entry, safe to use; "" when it has none. */
static char *
entry_name (const Unpack *self, const char *path)
{
  g_autofree char *own = NULL;
  char *dot;

  if (!is_packed_file (self))
    return path != NULL ? safe_name (path) : g_strdup ("");
  own = g_strdup (self->name);
  dot = strrchr (own, '.');
  if (dot != NULL && dot != own)
    *dot = '\0';
  return safe_name (own);
}

static gboolean
unpack_entries (Unpack *self, GError **error)
{
  struct archive_entry *entry;

  for (guint i = 0; i < MAX_ENTRIES; i++)
    {
      int result = archive_read_next_header (self->archive, &entry);
      g_autofree char *name = NULL;
      const char *path;

      if (result == ARCHIVE_EOF)
        return TRUE;
      if (result < ARCHIVE_WARN)
        return lw_notes_fail (error, LW_IMPORT_ERROR_SYNTAX, self->name, 0, _("the archive is damaged: %s"),
                              archive_error_string (self->archive));
      if (g_cancellable_set_error_if_cancelled (self->owner->cancellable, error))
        return FALSE;
      if (archive_format (self->archive) == ARCHIVE_FORMAT_RAW && !is_packed_file (self))
        return lw_notes_fail (error, LW_IMPORT_ERROR_UNSUPPORTED, self->name, 0, _("the archive cannot be opened: %s"),
                              _("it is of no kind that is known"));
      path = is_packed_file (self) ? "" : archive_entry_pathname (entry);
      name = entry_name (self, path);
      if (archive_entry_filetype (entry) != AE_IFREG || !is_wanted (path != NULL ? path : "", name))
        continue;
      if (!has_room (self->owner, self->name))
        return TRUE;
      if (!unpack_entry (self, path, name, error))
        return FALSE;
    }
  lw_notes_add (self->owner->notes, self->name, 0, _("more than %d entries: the others are not looked at"), MAX_ENTRIES);
  return TRUE;
}

/* What is too large or strange was left out on purpose; what is broken is damage. */
static void
tell_broken (Gather *self, const char *name, const GError *error)
{
  guint line;
  const char *reason = lw_notes_reason (name, error, &line);

  if (g_error_matches (error, LW_IMPORT_ERROR, LW_IMPORT_ERROR_SYNTAX))
    lw_notes_add_loss (self->notes, name, 0, reason, _("what was unpacked before is used"));
  else
    lw_notes_add (self->notes, name, 0, "%s; %s", reason, _("what was unpacked before is used"));
}

/* What was unpacked before a fault is used. */
static gboolean
gather_archive (Gather *self, GFile *file, GError **error)
{
  g_autofree char *path = g_file_get_path (file), *name = display_name (file);
  g_autofree char *folder = g_dir_make_tmp ("leeward-XXXXXX", error);
  g_autoptr (GError) own = NULL;
  Unpack unpack = { self, NULL, name, folder, NULL, 0 };
  gboolean fine = FALSE;

  if (folder == NULL)
    return FALSE;
  g_ptr_array_add (self->out->temporary, g_strdup (folder));
  unpack.folders = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);
  unpack.archive = archive_read_new ();
  archive_read_support_filter_all (unpack.archive);
  archive_read_support_format_all (unpack.archive);
  archive_read_support_format_raw (unpack.archive);
  if (path == NULL || archive_read_open_filename (unpack.archive, path, 65536) != ARCHIVE_OK)
    lw_notes_fail (&own, LW_IMPORT_ERROR_UNSUPPORTED, name, 0, _("the archive cannot be opened: %s"),
                   path != NULL ? archive_error_string (unpack.archive) : _("it is not on this machine"));
  else
    fine = unpack_entries (&unpack, &own);
  archive_read_free (unpack.archive);
  g_hash_table_unref (unpack.folders);
  if (fine)
    return TRUE;
  if (self->out->files->len == 0 || g_error_matches (own, G_IO_ERROR, G_IO_ERROR_CANCELLED))
    {
      g_propagate_error (error, g_steal_pointer (&own));
      return FALSE;
    }
  tell_broken (self, name, own);
  return TRUE;
}

/* ---- folders ---- */

static int
compare_names (gconstpointer a, gconstpointer b)
{
  g_autofree char *p = g_file_get_basename (*(GFile *const *) a), *q = g_file_get_basename (*(GFile *const *) b);

  return g_strcmp0 (p, q);
}

static gboolean gather_file (Gather *self, GFile *file, guint depth, GError **error);

static gboolean
gather_folder (Gather *self, GFile *folder, guint depth, GError **error)
{
  g_autoptr (GFileEnumerator) list = g_file_enumerate_children (
    folder, G_FILE_ATTRIBUTE_STANDARD_NAME "," G_FILE_ATTRIBUTE_STANDARD_IS_HIDDEN,
    G_FILE_QUERY_INFO_NOFOLLOW_SYMLINKS, self->cancellable, error);
  g_autoptr (GPtrArray) children = g_ptr_array_new_with_free_func (g_object_unref);
  GFileInfo *info;

  if (list == NULL && depth > 0 && !g_cancellable_is_cancelled (self->cancellable))
    {
      g_clear_error (error);
      return TRUE;
    }
  if (list == NULL)
    return FALSE;
  while (children->len < MAX_ENTRIES && g_file_enumerator_iterate (list, &info, NULL, self->cancellable, NULL)
         && info != NULL)
    if (!g_file_info_get_is_hidden (info))
      g_ptr_array_add (children, g_file_get_child (folder, g_file_info_get_name (info)));
  g_ptr_array_sort (children, compare_names);
  for (guint i = 0; i < children->len && !self->told_full; i++)
    if (!gather_file (self, children->pdata[i], depth + 1, error))
      return FALSE;
  return TRUE;
}

/* A folder within reach: not too deep, not too many, and not of the system's own file systems. */
static gboolean
may_enter (Gather *self, GFileInfo *info, const char *name, guint depth)
{
  const char *filesystem = g_file_info_get_attribute_string (info, G_FILE_ATTRIBUTE_ID_FILESYSTEM);

  if (depth == 0)
    {
      g_free (self->filesystem);
      self->filesystem = g_strdup (filesystem);
      self->n_folders = 0;
      return TRUE;
    }
  if (g_strcmp0 (filesystem, self->filesystem) != 0)
    return FALSE;
  if (depth < LW_GATHER_MAX_DEPTH && ++self->n_folders <= MAX_FOLDERS)
    return TRUE;
  lw_notes_add (self->notes, name, 0, _("a folder nested too deep, or one too many, is not looked into"));
  return FALSE;
}

/* At the top whatever was named must open; below, what is no file is passed over. */
static gboolean
gather_file (Gather *self, GFile *file, guint depth, GError **error)
{
  g_autofree char *name = display_name (file);
  g_autoptr (GFileInfo) info = g_file_query_info (file, G_FILE_ATTRIBUTE_STANDARD_TYPE "," G_FILE_ATTRIBUTE_ID_FILESYSTEM,
                                                  depth == 0 ? G_FILE_QUERY_INFO_NONE : G_FILE_QUERY_INFO_NOFOLLOW_SYMLINKS,
                                                  self->cancellable, error);
  GFileType type;

  if (info == NULL && depth > 0 && !g_cancellable_is_cancelled (self->cancellable))
    {
      g_clear_error (error);
      return TRUE;
    }
  if (info == NULL)
    {
      g_prefix_error (error, "%s: ", name);
      return FALSE;
    }
  type = g_file_info_get_file_type (info);
  if (type == G_FILE_TYPE_DIRECTORY)
    return !may_enter (self, info, name, depth) || gather_folder (self, file, depth, error);
  if (type != G_FILE_TYPE_REGULAR)
    return depth > 0 || lw_notes_fail (error, LW_IMPORT_ERROR_UNSUPPORTED, name, 0, _("this is not a regular file"));
  if (is_archive (file, self->cancellable))
    return gather_archive (self, file, error);
  if (has_room (self, name))
    g_ptr_array_add (self->out->files, g_object_ref (file));
  return TRUE;
}

LwGathered *
lw_gather (GFile *const *files, guint n, GPtrArray *notes, GCancellable *cancellable, GError **error)
{
  g_autoptr (LwGathered) out = g_new0 (LwGathered, 1);
  Gather self = { out, notes, cancellable, FALSE, 0, NULL };
  gboolean fine = TRUE;

  out->files = g_ptr_array_new_with_free_func (g_object_unref);
  out->temporary = g_ptr_array_new_with_free_func (g_free);
  for (guint i = 0; fine && i < n; i++)
    fine = gather_file (&self, files[i], 0, error);
  g_free (self.filesystem);
  if (!fine || g_cancellable_set_error_if_cancelled (cancellable, error))
    return NULL;
  return g_steal_pointer (&out);
}

void
lw_gathered_free (LwGathered *self)
{
  if (self == NULL)
    return;
  for (guint i = self->temporary->len; i-- > 0;) /* folders were made before what is in them */
    g_remove (self->temporary->pdata[i]);
  g_ptr_array_unref (self->files);
  g_ptr_array_unref (self->temporary);
  g_free (self);
}
