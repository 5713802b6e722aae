#include "board/package-book.h"

#include <string.h>

#include "board/land-name.h"
#include "board/library-private.h"

/* What a name means that is none of the job's own packages. */
typedef struct {
  gint age; /* of the library when it was asked */
  const LwPackage *library; /* NULL: it has none */
  gboolean is_read;
  LwPackage *read; /* from the name itself, NULL when that says nothing */
} Meaning;

/* By name, as long as the job and its copies live. */
typedef struct {
  GMutex lock;
  GHashTable *by_name;
} Names;

typedef struct {
  GHashTable *packages; /* the job's own, by name */
  guint n_packages;     /* when the table was made */
  GMutex lock;
  GHashTable *own;      /* LwPart: LwPackage with its overrides */
} Book;

static void
names_clear (gpointer data)
{
  Names *names = data;

  g_hash_table_unref (names->by_name);
  g_mutex_clear (&names->lock);
}

static void
names_unref (Names *names)
{
  g_atomic_rc_box_release_full (names, names_clear);
}

static void
meaning_free (gpointer data)
{
  Meaning *meaning = data;

  lw_package_unref (meaning->read);
  g_free (meaning);
}

static Names *
names_new (void)
{
  Names *names = g_atomic_rc_box_new0 (Names);

  g_mutex_init (&names->lock);
  names->by_name = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, meaning_free);
  return names;
}

static void
look_up (Meaning *meaning, const char *name)
{
  gint age = lw_library_age ();

  meaning->library = lw_library_package (name);
  meaning->age = age;
  if (meaning->library != NULL || meaning->is_read)
    return;
  meaning->read = lw_land_name_package (name);
  meaning->is_read = TRUE;
}

/* The library is asked once for a name, and again when something has come into it. */
static const LwPackage *
names_find (Names *names, const char *name)
{
  const LwPackage *found;
  Meaning *meaning;

  g_mutex_lock (&names->lock);
  meaning = g_hash_table_lookup (names->by_name, name);
  if (meaning == NULL) {
    meaning = g_new0 (Meaning, 1);
    look_up (meaning, name);
    g_hash_table_insert (names->by_name, g_strdup (name), meaning);
  }
  else if (meaning->age != lw_library_age ())
    look_up (meaning, name);
  found = meaning->library != NULL ? meaning->library : meaning->read;
  g_mutex_unlock (&names->lock);
  return found;
}

/* ---- one job's ---- */

static void
book_free (Book *book)
{
  g_hash_table_unref (book->packages);
  g_hash_table_unref (book->own);
  g_mutex_clear (&book->lock);
  g_free (book);
}

static Book *
book_new (const LwJob *job)
{
  Book *book = g_new0 (Book, 1);

  g_mutex_init (&book->lock);
  book->packages = g_hash_table_new (g_str_hash, g_str_equal);
  book->n_packages = job->packages->len;
  book->own = g_hash_table_new_full (NULL, NULL, (GDestroyNotify) lw_part_unref, (GDestroyNotify) lw_package_unref);
  for (guint i = job->packages->len; i-- > 0;) { /* backwards: the first of a name counts */
    LwPackage *package = job->packages->pdata[i];

    g_hash_table_insert (book->packages, package->name, package);
  }
  return book;
}

/* A job that is still being put together may have got more packages since. */
static Book *
book_of (LwJob *job)
{
  Book *book = g_atomic_pointer_get (&job->package_book);

  if (book != NULL && book->n_packages == job->packages->len)
    return book;
  lw_package_book_drop (job);
  book = book_new (job);
  if (g_atomic_pointer_compare_and_exchange (&job->package_book, NULL, book))
    return book;
  book_free (book); /* another thread was first */
  return g_atomic_pointer_get (&job->package_book);
}

void
lw_package_book_drop (LwJob *job)
{
  Book *book = g_atomic_pointer_exchange (&job->package_book, NULL);

  if (book != NULL)
    book_free (book);
}

void
lw_package_book_forget (LwJob *job)
{
  lw_package_book_drop (job);
  g_clear_pointer (&job->package_names, names_unref);
}

/* Names that one job of a family has had read are read for all of them. */
static Names *
names_of (LwJob *job)
{
  Names *names = g_atomic_pointer_get (&job->package_names);

  if (names != NULL)
    return names;
  names = names_new ();
  if (g_atomic_pointer_compare_and_exchange (&job->package_names, NULL, names))
    return names;
  names_unref (names); /* another thread was first */
  return g_atomic_pointer_get (&job->package_names);
}

void
lw_package_book_share (LwJob *copy, const LwJob *source)
{
  copy->package_names = g_atomic_rc_box_acquire (names_of ((LwJob *) source));
}

static const LwPackage *
base_of (LwJob *job, const Book *book, const char *name)
{
  const LwPackage *package = book->n_packages > 0 ? g_hash_table_lookup (book->packages, name) : NULL;

  return package != NULL ? package : names_find (names_of (job), name);
}

/* The part is held, so that no other one takes its address. */
static const LwPackage *
own_of (Book *book, const LwPart *part, const LwPackage *base)
{
  LwPackage *own;

  g_mutex_lock (&book->lock);
  own = g_hash_table_lookup (book->own, part);
  if (own == NULL) {
    own = lw_part_own_package (part, base);
    if (own != NULL)
      g_hash_table_insert (book->own, lw_part_ref ((LwPart *) part), own);
  }
  g_mutex_unlock (&book->lock);
  return own != NULL ? own : base;
}

const LwPackage *
lw_package_book_find (LwJob *job, const LwPart *part)
{
  Book *book = book_of (job);
  const LwPackage *base = part->package[0] != '\0' ? base_of (job, book, part->package) : NULL;

  return base != NULL && lw_part_overrides (part) ? own_of (book, part, base) : base;
}
