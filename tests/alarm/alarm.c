/* Does on purpose what a sanitizer is to tell of, and ends as if all was well: whoever builds with one sees that it tells.
 *
 *   alarm overflow | stray | leak | race */
#include <pthread.h>
#include <stdlib.h>
#include <string.h>

static volatile int shared;

static int
overflow (int n)
{
  volatile int large = 0x7fffffff;

  large += n;
  return large == 0;
}

static int
stray (int n)
{
  volatile char *memory = calloc ((size_t) n, 1);

  if (memory != NULL)
    memory[n] = 1;
  free ((void *) memory);
  return 0;
}

/* Without a trace of the pointer in a register or on the stack that the sanitizer would take for an owner. */
static int
leak (int n)
{
  void *volatile memory = malloc ((size_t) n);

  memory = NULL;
  return memory != NULL;
}

static void *
count (void *data)
{
  for (int i = 0; i < 1000; i++)
    shared += 1;
  return data;
}

static int
race (int n)
{
  pthread_t other;

  if (pthread_create (&other, NULL, count, NULL) != 0)
    return 0;
  count (NULL);
  pthread_join (other, NULL);
  return n == 0;
}

int
main (int argc, char **argv)
{
  static const struct {
    const char *name;
    int (*act) (int n);
  } acts[] = { { "overflow", overflow }, { "stray", stray }, { "leak", leak }, { "race", race } };

  for (size_t i = 0; i < sizeof acts / sizeof *acts; i++)
    if (argc == 2 && strcmp (argv[1], acts[i].name) == 0)
      return acts[i].act (argc * 500);
  return 0;
}
