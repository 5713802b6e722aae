/* A folder with one document's file in it, for tests of saving: nothing else may be left there. */
#ifndef SAVE_BENCH_H
#define SAVE_BENCH_H

#include <glib.h>
#include <glib/gstdio.h>

#define OLD "old and whole\n"
#define NEW "new, longer than the old one, and whole as well\n"

typedef struct {
  char *folder, *path;
} Bench;

static inline void
set_up (Bench *b, gconstpointer data)
{
  b->folder = g_dir_make_tmp ("leeward-save-XXXXXX", NULL);
  b->path = g_build_filename (b->folder, "job.leeward", NULL);
  g_assert_true (g_file_set_contents (b->path, OLD, -1, NULL));
}

static inline void
tear_down (Bench *b, gconstpointer data)
{
  g_assert_cmpint (g_unlink (b->path), ==, 0);
  g_assert_cmpint (g_rmdir (b->folder), ==, 0); /* nothing else is left in it */
  g_free (b->path);
  g_free (b->folder);
}

static inline void
assert_text (const char *path, const char *text)
{
  g_autofree char *content = NULL;

  g_assert_true (g_file_get_contents (path, &content, NULL, NULL));
  g_assert_cmpstr (content, ==, text);
}

#endif
