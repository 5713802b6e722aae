/* Damaged files: cut off after every line and inside lines, and changed at random with a fixed seed.
 * Whatever comes, the reader answers with a job that could be saved, or with an error; never with a
 * crash, and never late. */
#include "board/job-file.h"
#include "idf-text.h"

/* Enough to hit every section of every sample; a run takes a few seconds under the sanitizers too. */
enum { MUTATIONS = 400, SEED = 20260101 };

typedef struct {
  char *board, *library;
  gsize board_length, library_length;
} Pair;

static const char *const samples[] = {
  "idf_samples/idf_example", "idf_samples/test_idf2", "idf_samples/test_donut", "ecc83_v2/ecc83v2",
  "ecc83_v2/ecc83v2-idf20",
};

static char *
load (const char *sample, const char *end, gsize *length)
{
  g_autofree char *name = g_strconcat (sample, end, NULL);
  g_autofree char *path = g_build_filename (DATA_DIR, name, NULL);
  g_autoptr (GError) error = NULL;
  char *text = NULL;

  g_file_get_contents (path, &text, length, &error);
  g_assert_no_error (error);
  return text;
}

static Pair
load_pair (const char *sample)
{
  Pair pair = { 0 };

  pair.board = load (sample, ".emn", &pair.board_length);
  pair.library = load (sample, ".emp", &pair.library_length);
  return pair;
}

static void
clear_pair (Pair *pair)
{
  g_free (pair->board);
  g_free (pair->library);
}

/* TRUE when it was read. What was read must pass the document's own check. */
static gboolean
try_pair (const char *board, gsize board_length, const char *library, gsize library_length)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwImport) import =
    lw_import_idf ("b.emn", board, board_length, "b.emp", library, library_length, &error);
  g_autoptr (GPtrArray) faults = NULL;

  g_assert_true ((import == NULL) == (error != NULL));
  if (import == NULL)
    {
      g_assert_true (error->domain == LW_IMPORT_ERROR);
      g_assert_true (g_utf8_validate (error->message, -1, NULL));
      g_assert_true (g_str_has_prefix (error->message, "b.em"));
      return FALSE;
    }
  faults = lw_job_check (import->job);
  for (guint i = 0; i < faults->len; i++)
    g_assert_false (((LwFault *) faults->pdata[i])->fatal);
  return TRUE;
}

/* A copy of its own size, so that reading past the end is seen by the sanitizer. */
static gboolean
try_cut (const Pair *pair, gsize board_length, gsize library_length)
{
  g_autofree char *board = g_memdup2 (pair->board, board_length);
  g_autofree char *library = g_memdup2 (pair->library, library_length);

  return try_pair (board != NULL ? board : "", board_length, library != NULL ? library : "",
                   library_length);
}

static void
test_truncated (gconstpointer data)
{
  Pair pair = load_pair (data);
  guint n_read = 0, n_refused = 0;

  for (gsize i = 0; i < pair.board_length; i++)
    if (pair.board[i] == '\n' || i % 37 == 0)
      *(try_cut (&pair, i, pair.library_length) ? &n_read : &n_refused) += 1;
  for (gsize i = 0; i < pair.library_length; i++)
    if (pair.library[i] == '\n')
      *(try_cut (&pair, pair.board_length, i) ? &n_read : &n_refused) += 1;
  g_assert_true (try_cut (&pair, pair.board_length, pair.library_length));
  g_test_message ("%u read, %u refused", n_read, n_refused);
  g_assert_cmpuint (n_refused, >, 0);
  clear_pair (&pair);
}

/* ---- mutations ---- */

static void
mutate_once (GRand *rand, GString *text)
{
  static const char *const words[] = { "-1e308",       "nan",      "999999999999",
                                       "\"",           "TOP",      ".END_PLACEMENT\n",
                                       "360",          "\r",       "0 0 0 0\n",
                                       ".PLACEMENT\n", "\xff\xfe", "#",
                                       "1e-320",       "-0",       "%n%s" };
  gsize at = text->len > 0 ? (gsize) g_rand_int_range (rand, 0, text->len) : 0;
  gsize wanted = g_rand_int_range (rand, 1, 40), length = MIN (wanted, text->len - at);
  g_autofree char *piece = g_strndup (text->str + at, length);

  switch (g_rand_int_range (rand, 0, 5))
    {
    case 0:
      if (text->len > 0)
        text->str[at] = (char) g_rand_int_range (rand, 0, 256);
      break;
    case 1:
      g_string_erase (text, at, length);
      break;
    case 2:
      g_string_insert (text, at, words[g_rand_int_range (rand, 0, G_N_ELEMENTS (words))]);
      break;
    case 3:
      g_string_insert (text, at, piece);
      break;
    default:
      if (text->len > 0)
        text->str[at] = "0123456789.- "[g_rand_int_range (rand, 0, 13)];
      break;
    }
}

static char *
mutated (GRand *rand, const char *text, gsize size, gsize *length)
{
  GString *copy = g_string_new_len (text, size);
  int n = g_rand_int_range (rand, 0, 3);

  for (int i = 0; i < n; i++)
    mutate_once (rand, copy);
  *length = copy->len;
  return g_string_free (copy, FALSE);
}

static void
test_mutated (gconstpointer data)
{
  Pair pair = load_pair (data);
  g_autoptr (GRand) rand = g_rand_new_with_seed (SEED);
  guint n_read = 0;

  for (guint i = 0; i < MUTATIONS; i++)
    {
      gsize board_length, library_length;
      g_autofree char *board = mutated (rand, pair.board, pair.board_length, &board_length);
      g_autofree char *library = mutated (rand, pair.library, pair.library_length, &library_length);

      n_read += try_pair (board, board_length, library, library_length);
    }
  g_test_message ("%u of %d read", n_read, MUTATIONS);
  /* Both outcomes must have been met, or the loop tested half of what it should. */
  g_assert_cmpuint (n_read, >, 0);
  g_assert_cmpuint (n_read, <, MUTATIONS);
  clear_pair (&pair);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  for (guint i = 0; i < G_N_ELEMENTS (samples); i++)
    {
      g_autofree char *cut = g_strconcat ("/idf/truncated/", samples[i], NULL);
      g_autofree char *changed = g_strconcat ("/idf/mutated/", samples[i], NULL);

      g_test_add_data_func (cut, samples[i], test_truncated);
      g_test_add_data_func (changed, samples[i], test_mutated);
    }
  return g_test_run ();
}
