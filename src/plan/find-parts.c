#include "plan/find-parts.h"

#include <math.h>
#include <string.h>

#include "board/edits-group.h"
#include "plan/classify.h"

double
lw_part_body_limit_c (const LwJob *job, const LwPart *part)
{
  g_autoptr (GArray) limits = lw_limits_of (job, part);
  double least = NAN;

  for (guint i = 0; i < limits->len; i++) {
    const LwLimit *limit = &g_array_index (limits, LwLimit, i);

    if (limit->kind == LW_LIMIT_BODY_PEAK_C)
      least = fmin (least, limit->value); /* fmin leaves NaN out */
  }
  return least;
}

/* "C10-C25" or "C10-25": same letters, a number between. */
static gboolean
in_range (const char *word, const char *ref)
{
  const char *dash = strchr (word, '-');
  g_autofree char *low = NULL;
  guint from, to, number;
  gsize letters, last;

  if (dash == NULL || dash == word || dash[1] == '\0')
    return FALSE;
  low = g_strndup (word, (gsize) (dash - word));
  letters = lw_ref_prefix (low, &from);
  last = lw_ref_prefix (dash + 1, &to);
  if (low[letters] == '\0' || dash[1 + last] == '\0'
      || (last > 0 && (last != letters || strncmp (low, dash + 1, letters) != 0)))
    return FALSE;
  if (lw_ref_prefix (ref, &number) != letters || strncmp (ref, low, letters) != 0 || ref[letters] == '\0')
    return FALSE;
  return number >= MIN (from, to) && number <= MAX (from, to);
}

static gboolean
holds (const char *text, const char *word)
{
  g_autofree char *folded = g_utf8_casefold (text, -1);

  return strstr (folded, word) != NULL;
}

static gboolean
word_fits (const char *word, const LwPart *part, const char *ref)
{
  if (strpbrk (word, "*?") != NULL)
    return g_pattern_match_simple (word, ref);
  if (strcmp (word, ref) == 0 || in_range (word, ref))
    return TRUE;
  return g_utf8_strlen (word, -1) >= 3 && (holds (part->package, word) || holds (part->value, word));
}

static gboolean
text_fits (char **words, const LwPart *part)
{
  g_autofree char *ref = NULL;

  if (words[0] == NULL)
    return TRUE;
  ref = g_utf8_casefold (part->ref, -1);
  for (guint i = 0; words[i] != NULL; i++)
    if (word_fits (words[i], part, ref))
      return TRUE;
  return FALSE;
}

static char **
words_of (const char *text)
{
  g_autofree char *folded = g_utf8_casefold (text != NULL ? text : "", -1);
  g_auto (GStrv) pieces = g_strsplit_set (folded, " ,;\t", -1);
  g_autoptr (GStrvBuilder) builder = g_strv_builder_new ();

  for (guint i = 0; pieces[i] != NULL; i++)
    if (pieces[i][0] != '\0')
      g_strv_builder_add (builder, pieces[i]);
  return g_strv_builder_end (builder);
}

GArray *
lw_find_parts (const LwJob *job, const LwPartQuery *query)
{
  g_auto (GStrv) words = words_of (query->text);
  GArray *found = g_array_new (FALSE, FALSE, sizeof (guint));

  for (guint i = 0; i < job->parts->len; i++) {
    const LwPart *part = g_ptr_array_index (job->parts, i);
    const LwPackage *package = query->kind < 0 ? NULL : lw_job_package_of (job, part);

    if (query->side >= 0 && (int) part->side != query->side)
      continue;
    if (query->kind >= 0 && (int) (package == NULL ? LW_KIND_OTHER : package->kind) != query->kind)
      continue;
    if (!text_fits (words, part))
      continue;
    /* NaN compares false: parts without such a limit are not found by it. */
    if (!isnan (query->limit_at_most_c) && !(lw_part_body_limit_c (job, part) <= query->limit_at_most_c))
      continue;
    g_array_append_val (found, i);
  }
  return found;
}
