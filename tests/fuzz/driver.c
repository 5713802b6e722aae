/* Runs a fuzz target without libFuzzer: every file it is given as it stands, then damaged ones for a while, all within
 * the limits that hold for every reader: two seconds of processor time and 500 MB. The damage is the same on every
 * run; only how far it gets depends on the machine.
 *
 *   fuzz-NAME [--seconds S] [--seed N] [--words FILE] [--max BYTES] FILE|FOLDER...
 *
 * The input that made it fail is left in fuzz-NAME.failed in the current folder. */
#include <fcntl.h>
#include <signal.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/time.h>
#include <time.h>
#include <unistd.h>

#include <glib/gstdio.h>

#include "fuzz.h"
#include "mutate.h"

#if defined(__SANITIZE_ADDRESS__)
#define SLOWER 4 /* what the sanitizer costs, in time; it needs the whole address space */
#else
#define SLOWER 3 /* a machine busy with other tests */
#endif
enum { LIMIT_S = 2, LIMIT_MB = 500 };

/* For the handler of signals. */
static struct {
  const guint8 *data;
  gsize size;
  char path[256];
} now;

static double slowest_s;
static guint runs;

static void
keep_input (void)
{
  int fd = open (now.path, O_WRONLY | O_CREAT | O_TRUNC, 0644);

  if (fd >= 0 && now.data != NULL && write (fd, now.data, now.size) < 0)
    return;
  close (fd);
}

static void
failed_cb (int number)
{
  static const char told[] = "# failed; the input is kept in fuzz-NAME.failed\n";

  keep_input ();
  if (write (STDOUT_FILENO, told, sizeof told - 1) < 0)
    _exit (2);
  signal (number, SIG_DFL);
  raise (number);
}

static void
watch (void)
{
  static const int numbers[] = { SIGABRT, SIGSEGV, SIGBUS, SIGFPE, SIGILL, SIGPROF };

  for (guint i = 0; i < G_N_ELEMENTS (numbers); i++)
    signal (numbers[i], failed_cb);
#if !defined(__SANITIZE_ADDRESS__)
  struct rlimit memory = { (rlim_t) LIMIT_MB << 20, (rlim_t) LIMIT_MB << 20 };
  setrlimit (RLIMIT_AS, &memory); /* GLib ends the program when memory runs out */
#endif
}

static double
processor_s (void)
{
  struct timespec t;

  clock_gettime (CLOCK_PROCESS_CPUTIME_ID, &t);
  return (double) t.tv_sec + 1e-9 * (double) t.tv_nsec;
}

/* The bytes alone in a block of their own, so that a look beyond them shows. */
static void
run (const guint8 *data, gsize size)
{
  const struct itimerval limit = { { 0, 0 }, { LIMIT_S * SLOWER, 0 } }, none = { { 0, 0 }, { 0, 0 } };
  g_autofree guint8 *copy = g_malloc (MAX (size, 1));
  double start = processor_s ();

  if (size > 0)
    memcpy (copy, data, size);
  now.data = copy;
  now.size = size;
  setitimer (ITIMER_PROF, &limit, NULL);
  LLVMFuzzerTestOneInput (copy, size);
  setitimer (ITIMER_PROF, &none, NULL);
  now.data = NULL;
  slowest_s = MAX (slowest_s, processor_s () - start);
  runs++;
}

static void
add_file (Mutator *mutator, const char *path)
{
  char *data;
  gsize size;
  g_autoptr (GError) error = NULL;

  g_file_get_contents (path, &data, &size, &error);
  g_assert_no_error (error);
  run ((const guint8 *) data, size);
  if (size <= mutator->max_length)
    g_ptr_array_add (mutator->seeds, g_bytes_new_take (data, size));
  else
    g_free (data);
}

static int
by_name (gconstpointer a, gconstpointer b)
{
  return strcmp (*(char *const *) a, *(char *const *) b);
}

static void
add_path (Mutator *mutator, const char *path)
{
  g_autoptr (GDir) folder = g_dir_open (path, 0, NULL);
  g_autoptr (GPtrArray) names = g_ptr_array_new_with_free_func (g_free);
  const char *name;

  if (folder == NULL)
    {
      add_file (mutator, path);
      return;
    }
  while ((name = g_dir_read_name (folder)) != NULL)
    g_ptr_array_add (names, g_build_filename (path, name, NULL));
  g_ptr_array_sort (names, by_name);
  for (guint i = 0; i < names->len; i++)
    add_file (mutator, names->pdata[i]);
}

static void
damage (Mutator *mutator, double seconds)
{
  double until = processor_s () + seconds;

  while (processor_s () < until)
    {
      g_autoptr (GByteArray) text = mutator_next (mutator);

      run (text->data, text->len);
    }
}

int
main (int argc, char **argv)
{
  double seconds = 1;
  int seed = 1, max = 1 << 16;
  g_autofree char *words = NULL;
  const GOptionEntry entries[] = { { "seconds", 0, 0, G_OPTION_ARG_DOUBLE, &seconds, NULL, NULL },
                                   { "seed", 0, 0, G_OPTION_ARG_INT, &seed, NULL, NULL },
                                   { "words", 0, 0, G_OPTION_ARG_FILENAME, &words, NULL, NULL },
                                   { "max", 0, 0, G_OPTION_ARG_INT, &max, NULL, NULL },
                                   { NULL } };
  g_autoptr (GOptionContext) context = g_option_context_new ("FILE|FOLDER...");
  g_autoptr (GError) error = NULL;
  g_autofree char *base = g_path_get_basename (argv[0]);
  g_autoptr (GPtrArray) seeds = g_ptr_array_new_with_free_func ((GDestroyNotify) g_bytes_unref);
  g_autoptr (GPtrArray) found = g_ptr_array_new_with_free_func ((GDestroyNotify) g_bytes_unref);
  g_autoptr (GRand) random = NULL;

  g_option_context_add_main_entries (context, entries, NULL);
  g_option_context_parse (context, &argc, &argv, &error);
  g_assert_no_error (error);
  random = g_rand_new_with_seed ((guint32) seed);
  Mutator mutator = { seeds, found, random, (gsize) max };
  if (words != NULL)
    mutator_read_words (&mutator, words);
  g_snprintf (now.path, sizeof now.path, "%s.failed", base);
  g_log_set_always_fatal (G_LOG_LEVEL_CRITICAL | G_LOG_LEVEL_WARNING | G_LOG_FATAL_MASK);
  watch ();
  g_print ("TAP version 13\n1..2\n");
  for (int i = 1; i < argc; i++)
    add_path (&mutator, argv[i]);
  g_print ("%s 1 the kept inputs: %u\n", seeds->len > 0 ? "ok" : "not ok", runs);
  runs = 0;
  if (seeds->len > 0)
    damage (&mutator, seconds);
  g_print ("# the slowest took %.2f s\n%s 2 damaged inputs: %u\n", slowest_s, runs > 0 ? "ok" : "not ok", runs);
  return seeds->len > 0 && runs > 0 ? 0 : 1;
}
