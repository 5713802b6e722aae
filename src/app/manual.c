#include "app/manual.h"

#include <gio/gio.h>
#include <glib/gi18n.h>
#include <string.h>

#define INDEX "README.md"

/* ---- where it is ---- */

static char *
program_folder (void)
{
  g_autofree char *program = g_file_read_link ("/proc/self/exe", NULL);

  return program == NULL ? NULL : g_path_get_dirname (program);
}

static void
add_place (GPtrArray *places, const char *base, const char *way)
{
  g_autofree char *path = base == NULL ? NULL : g_build_filename (base, way, NULL);

  if (path != NULL)
    g_ptr_array_add (places, g_canonicalize_filename (path, "/"));
}

char *
lw_manual_folder (char **looked_in)
{
  g_autoptr (GPtrArray) places = g_ptr_array_new_with_free_func (g_free);
  g_autofree char *program = program_folder ();
  const char *told = g_getenv ("LEEWARD_DOCS");

  if (told != NULL && *told != '\0')
    add_place (places, told, "manual");
  else {
    add_place (places, program, "../share/leeward/docs/manual");
    add_place (places, LEEWARD_DATADIR, "leeward/docs/manual");
    add_place (places, program, "../../../docs/manual");
  }
  for (guint i = 0; i < places->len; i++) {
    g_autofree char *file = g_build_filename (g_ptr_array_index (places, i), INDEX, NULL);

    if (g_file_test (file, G_FILE_TEST_IS_REGULAR))
      return g_strdup (g_ptr_array_index (places, i));
  }
  g_ptr_array_add (places, NULL);
  *looked_in = g_strjoinv ("\n", (char **) places->pdata);
  return NULL;
}

/* ---- reading ---- */

static void
chapter_free (gpointer data)
{
  LwManualChapter *chapter = data;

  g_free (chapter->file);
  g_free (chapter->name);
  g_free (chapter->title);
  g_free (chapter->group);
  g_free (chapter->problem);
  g_ptr_array_unref (chapter->blocks);
  g_free (chapter);
}

void
lw_manual_free (LwManual *manual)
{
  g_free (manual->folder);
  g_ptr_array_unref (manual->chapters);
  g_free (manual);
}

static GPtrArray *
read_file (const char *file, GError **error)
{
  g_autofree char *text = NULL;
  gsize length;

  if (!g_file_get_contents (file, &text, &length, error))
    return NULL;
  return lw_manual_read (text, length, file, error);
}

/* What a link leads to as a file's path, and its anchor. NULL: nothing in this manual. */
static char *
link_file (const char *folder, const char *link, char **anchor)
{
  const char *hash = strchr (link, '#');
  g_autofree char *way = hash == NULL ? g_strdup (link) : g_strndup (link, (gsize) (hash - link));

  *anchor = hash != NULL && hash[1] != '\0' ? g_strdup (hash + 1) : NULL;
  return strstr (way, "://") != NULL ? NULL : g_canonicalize_filename (way, folder);
}

static LwManualChapter *
chapter_new (const char *folder, const char *link, const char *title, const char *group)
{
  LwManualChapter *chapter = g_new0 (LwManualChapter, 1);
  g_autoptr (GError) error = NULL;
  g_autofree char *anchor = NULL;

  chapter->file = link_file (folder, link, &anchor);
  chapter->name = chapter->file == NULL ? g_strdup (link) : g_path_get_basename (chapter->file);
  if (g_str_has_suffix (chapter->name, ".md"))
    chapter->name[strlen (chapter->name) - strlen (".md")] = '\0';
  chapter->title = g_strdup (title);
  chapter->group = g_strdup (group);
  chapter->blocks = chapter->file == NULL ? NULL : read_file (chapter->file, &error);
  if (chapter->blocks == NULL) {
    chapter->blocks = g_ptr_array_new ();
    chapter->problem = g_strdup (error == NULL ? link : error->message);
  }
  return chapter;
}

/* An item of the index that is a link: "<a href="plan.md">The plan</a>". */
static void
take_entry (LwManual *manual, const char *markup, const char *group)
{
  g_autoptr (GRegex) regex = g_regex_new ("<a href=\"([^\"]+)\">([^<]+)</a>", 0, 0, NULL);
  g_autoptr (GMatchInfo) found = NULL;
  g_autofree char *link = NULL, *title = NULL;

  if (!g_regex_match (regex, markup, 0, &found))
    return;
  link = g_match_info_fetch (found, 1);
  title = g_match_info_fetch (found, 2);
  g_ptr_array_add (manual->chapters, chapter_new (manual->folder, link, title, group));
}

LwManual *
lw_manual_load (const char *folder, GError **error)
{
  g_autofree char *index = g_build_filename (folder, INDEX, NULL);
  g_autoptr (GPtrArray) blocks = read_file (index, error);
  const char *group = "";
  LwManual *manual;

  if (blocks == NULL)
    return NULL;
  manual = g_new0 (LwManual, 1);
  manual->folder = g_strdup (folder);
  manual->chapters = g_ptr_array_new_with_free_func (chapter_free);
  for (guint i = 0; i < blocks->len; i++) {
    const LwManualBlock *block = g_ptr_array_index (blocks, i);

    if (block->kind == LW_MANUAL_HEADING)
      group = block->text;
    else if (block->kind == LW_MANUAL_ITEM)
      take_entry (manual, block->markup, group);
  }
  if (manual->chapters->len == 0) {
    g_set_error (error, G_IO_ERROR, G_IO_ERROR_INVALID_DATA, _("%s: no chapter is listed"), index);
    g_clear_pointer (&manual, lw_manual_free);
  }
  return manual;
}

/* ---- finding a place ---- */

const LwManualChapter *
lw_manual_follow (const LwManual *manual, const LwManualChapter *from, const char *link, char **anchor)
{
  g_autofree char *here = from != NULL ? g_path_get_dirname (from->file) : g_strdup (manual->folder);
  g_autofree char *file = NULL, *name = NULL;

  *anchor = NULL;
  if (link[0] == '#' && from != NULL) {
    *anchor = g_strdup (link + 1);
    return from;
  }
  file = link_file (here, link, anchor);
  name = file == NULL ? NULL : g_path_get_basename (file);
  for (guint i = 0; file != NULL && i < manual->chapters->len; i++) {
    const LwManualChapter *chapter = g_ptr_array_index (manual->chapters, i);

    if (g_strcmp0 (chapter->file, file) == 0 || g_strcmp0 (chapter->name, name) == 0)
      return chapter;
  }
  return NULL;
}

int
lw_manual_place (const LwManualChapter *chapter, const char *anchor)
{
  for (guint i = 0; i < chapter->blocks->len; i++) {
    const LwManualBlock *block = g_ptr_array_index (chapter->blocks, i);

    if (block->anchors != NULL && g_ptr_array_find_with_equal_func (block->anchors, anchor, g_str_equal, NULL))
      return (int) i;
  }
  return -1;
}
