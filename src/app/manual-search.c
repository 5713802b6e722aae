#include "app/manual.h"

#define MOST_HITS 100
#define SNIPPET_BEFORE 40 /* letters */
#define SNIPPET_AFTER 90

int
lw_manual_find_word (const char *text, const char *word, int *length)
{
  for (const char *start = text; *start != '\0' && *word != '\0'; start = g_utf8_next_char (start)) {
    const char *t = start, *w = word;

    while (*w != '\0' && *t != '\0' && g_unichar_tolower (g_utf8_get_char (t)) == g_unichar_tolower (g_utf8_get_char (w))) {
      t = g_utf8_next_char (t);
      w = g_utf8_next_char (w);
    }
    if (*w == '\0') {
      *length = (int) (t - start);
      return (int) (start - text);
    }
  }
  return -1;
}

static gboolean
holds (const char *text, const char *word)
{
  int length;

  return text != NULL && lw_manual_find_word (text, word, &length) >= 0;
}

static gboolean
holds_any (const char *text, char **words)
{
  for (guint i = 0; words[i] != NULL; i++)
    if (holds (text, words[i]))
      return TRUE;
  return FALSE;
}

static gboolean
section_holds (const LwManualChapter *chapter, guint from, guint to, const char *word)
{
  for (guint i = from; i < to; i++)
    if (holds (((const LwManualBlock *) g_ptr_array_index (chapter->blocks, i))->text, word))
      return TRUE;
  return FALSE;
}

static char *
snippet_of (const char *text, char **words)
{
  int at = -1, length = 0;
  const char *from, *to;

  for (guint i = 0; words[i] != NULL && at < 0; i++)
    at = lw_manual_find_word (text, words[i], &length);
  from = text + MAX (at, 0);
  for (guint i = 0; i < SNIPPET_BEFORE && from > text; i++)
    from = g_utf8_prev_char (from);
  while (from > text && *from != ' ') /* whole words */
    from = g_utf8_prev_char (from);
  to = text + MAX (at, 0);
  for (guint i = 0; i < SNIPPET_AFTER && *to != '\0'; i++)
    to = g_utf8_next_char (to);
  while (*to != '\0' && *to != ' ')
    to = g_utf8_next_char (to);
  return g_strdup_printf ("%s%.*s%s", from > text ? "…" : "", (int) (to - from), from, *to != '\0' ? "…" : "");
}

static void
hit_free (gpointer data)
{
  g_free (((LwManualHit *) data)->snippet);
  g_free (data);
}

/* The section of blocks FROM to TO, when all words stand in it. */
static void
look_at (GPtrArray *hits, const LwManualChapter *chapter, guint from, guint to, char **words)
{
  LwManualHit *hit;
  guint first = from;

  for (guint i = 0; words[i] != NULL; i++)
    if (!section_holds (chapter, from, to, words[i]))
      return;
  while (first < to && !holds_any (((const LwManualBlock *) g_ptr_array_index (chapter->blocks, first))->text, words))
    first++;
  hit = g_new0 (LwManualHit, 1);
  hit->chapter = chapter;
  hit->heading = from;
  hit->block = first;
  /* what a heading says is told anyway */
  hit->snippet = snippet_of (((const LwManualBlock *) g_ptr_array_index (chapter->blocks,
                                                                         first == from && from + 1 < to ? from + 1 : first))
                               ->text, words);
  g_ptr_array_add (hits, hit);
}

static void
look_through (GPtrArray *hits, const LwManualChapter *chapter, char **words)
{
  guint from = 0, n = chapter->blocks->len;

  for (guint i = 1; i <= n; i++)
    if (i == n || ((const LwManualBlock *) g_ptr_array_index (chapter->blocks, i))->kind == LW_MANUAL_HEADING) {
      look_at (hits, chapter, from, i, words);
      from = i;
    }
}

static gboolean
in_heading (const LwManualHit *hit, char **words)
{
  const LwManualBlock *heading = g_ptr_array_index (hit->chapter->blocks, hit->heading);

  return heading->kind == LW_MANUAL_HEADING && holds_any (heading->text, words);
}

GPtrArray *
lw_manual_search (const LwManual *manual, const char *needle)
{
  GPtrArray *hits = g_ptr_array_new_with_free_func (hit_free);
  g_autoptr (GPtrArray) found = g_ptr_array_new ();
  g_auto (GStrv) pieces = g_strsplit_set (needle, " \t\n", -1);
  g_autoptr (GStrvBuilder) builder = g_strv_builder_new ();
  g_auto (GStrv) words = NULL;

  for (guint i = 0; pieces[i] != NULL; i++)
    if (*pieces[i] != '\0')
      g_strv_builder_add (builder, pieces[i]);
  words = g_strv_builder_end (builder);
  for (guint i = 0; words[0] != NULL && i < manual->chapters->len; i++)
    look_through (found, g_ptr_array_index (manual->chapters, i), words);
  for (guint pass = 0; pass < 2; pass++)
    for (guint i = 0; i < found->len; i++)
      if (in_heading (g_ptr_array_index (found, i), words) == (pass == 0)) {
        if (hits->len < MOST_HITS)
          g_ptr_array_add (hits, g_ptr_array_index (found, i));
        else
          hit_free (g_ptr_array_index (found, i));
      }
  return hits;
}
