/* Damaged documents: cut at every byte, with bytes changed, lines swapped or doubled. Each is either read
 * whole or refused with the file's name and a reason; nothing crashes (run it under the sanitizers too). The
 * random numbers are the same on every run. */
#include <gio/gio.h>
#include <string.h>

#include "board/job-file.h"
#include "job-fixture.h"

/* TRUE when it was read; a read document must also write and read again to the same bytes. */
static gboolean
try_text (const char *text, gsize length)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwJob) job = lw_job_from_data ("torn", text, length, &error);

  if (job == NULL)
    {
      g_assert_nonnull (error);
      g_assert_true (error->domain == LW_FILE_ERROR);
      g_assert_true (g_str_has_prefix (error->message, "torn:"));
      g_assert_cmpuint (strlen (error->message), >, strlen ("torn: "));
      return FALSE;
    }
  g_assert_no_error (error);
  gsize first_length, second_length;
  g_autofree char *first = lw_job_to_data (job, &first_length);
  g_autoptr (LwJob) back = lw_job_from_data ("again", first, first_length, &error);
  g_assert_no_error (error);
  g_autofree char *second = lw_job_to_data (back, &second_length);
  g_assert_cmpmem (first, first_length, second, second_length);
  return TRUE;
}

static void
test_truncated (void)
{
  gsize length = strlen (fixture);

  for (gsize n = 0; n + 2 < length; n++) /* the last two bytes are the brace and the line end */
    {
      g_autofree char *copy = g_memdup2 (fixture, n + 1); /* its own block, so that a read beyond it shows */

      g_assert_false (try_text (copy, n));
    }
  g_assert_true (try_text (fixture, length - 1));
  g_assert_true (try_text (fixture, length));
}

static void
mutate (GString *text, GRand *random)
{
  static const char *const pieces[] = { "null", "-1", "1e308", "{}", "[]", "\"\"", "true", ",", "}", "\\", "\"", "0",
                                        "1e-320", "-0", "99999999999", "\xc3", "\xed\xa0\x80", ":", "2.5", "\"U1\"" };
  gsize at = (gsize) g_rand_int_range (random, 0, (gint) text->len);
  gsize n = (gsize) g_rand_int_range (random, 1, 12);
  const char *piece = pieces[g_rand_int_range (random, 0, G_N_ELEMENTS (pieces))];

  switch (g_rand_int_range (random, 0, 5))
    {
    case 0:
      text->str[at] = (char) g_rand_int_range (random, 0, 256);
      break;
    case 1:
      g_string_erase (text, (gssize) at, (gssize) MIN (n, text->len - at));
      break;
    case 2:
      g_string_insert (text, (gssize) at, piece);
      break;
    case 3: /* a stretch is doubled */
      {
        g_autofree char *stretch = g_strndup (text->str + at, MIN (n * 8, text->len - at));
        g_string_insert (text, (gssize) at, stretch);
      }
      break;
    case 4: /* a value is replaced */
      {
        const char *colon = strchr (text->str + at, ':');

        if (colon == NULL)
          break;
        at = (gsize) (colon - text->str) + 1;
        g_string_erase (text, (gssize) at, (gssize) strcspn (text->str + at, ",}]\n"));
        g_string_insert (text, (gssize) at, piece);
      }
      break;
    }
}

static void
test_mutated (void)
{
  g_autoptr (GRand) random = g_rand_new_with_seed (20260101);
  guint read = 0, rounds = 8000;

  for (guint i = 0; i < rounds; i++)
    {
      g_autoptr (GString) text = g_string_new (fixture);
      int changes = g_rand_int_range (random, 1, 4);

      for (int k = 0; k < changes; k++)
        mutate (text, random);
      read += try_text (text->str, text->len);
    }
  g_test_message ("%u of %u changed documents could still be read", read, rounds);
  g_assert_cmpuint (read, >, rounds / 100); /* both ways were tried */
  g_assert_cmpuint (read, <, rounds * 9 / 10);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/board/damage/truncated", test_truncated);
  g_test_add_func ("/board/damage/mutated", test_mutated);
  return g_test_run ();
}
