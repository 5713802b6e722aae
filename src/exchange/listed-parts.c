#include "exchange/listed.h"

#include <glib/gi18n.h>
#include <math.h>

#include "exchange/package-words.h"

#define IMPLAUSIBLE_HEIGHT_MM 50.0
#define MAX_HEIGHT_MM 500.0
#define REACH_MM 10000.0 /* farther away a part cannot be kept (board/types.c) */

typedef struct {
  LwJob *job;
  const LwListedLibrary *library;
  const char *file;
  GPtrArray *notes;
  GHashTable *packages;  /* name + entry + kind -> name of a package of the job */
  GHashTable *names;     /* of packages, set */
  GHashTable *file_refs; /* set of the designators as written */
  GHashTable *used_refs; /* designator -> how often so far */
  GHashTable *missed;    /* geometries without an entry, set */
  GHashTable *hints;     /* entry -> LwPackageWords of the first part that says what it is */
  GHashTable *told;      /* entries whose height has been remarked on, set */
} Builder;

/* ---- packages ---- */

/* Why a height is doubted (a format for the geometry and the height), or NULL. */
static const char *
height_remark (double height_mm, LwPackageKind kind)
{
  if (height_mm > MAX_HEIGHT_MM || height_mm < 0)
    return _("%.60s: a height of %.6g mm cannot be; taken as not known");
  if (height_mm == 0)
    return kind != LW_KIND_MECHANICAL ? _("%.60s: height %.0f means not known; enter it") : NULL;
  if (height_mm > IMPLAUSIBLE_HEIGHT_MM)
    return _("%.60s: a height of %.2f mm is hard to believe: check it");
  return NULL;
}

static void
set_height (Builder *self, LwPackage *package, const LwListedBody *entry)
{
  const char *remark = height_remark (entry->height_mm, package->kind);

  if (remark != NULL && g_hash_table_add (self->told, (gpointer) entry))
    lw_notes_add (self->notes, self->library->name, entry->line, remark, entry->geometry,
                  entry->height_mm);
  if (entry->height_mm > 0 && entry->height_mm <= MAX_HEIGHT_MM)
    package->height_mm = entry->height_mm;
}

/* Properties of the library have no member of their own yet: they are kept under "properties". */
static JsonObject *
properties_of (const LwListedBody *entry)
{
  JsonObject *extra, *list;

  if (entry->properties->len == 0)
    return NULL;
  extra = json_object_new ();
  list = json_object_new ();
  for (guint i = 0; i < entry->properties->len; i++)
    {
      const LwListedProperty *property = &g_array_index (entry->properties, LwListedProperty, i);

      json_object_set_string_member (list, property->name, property->value);
    }
  json_object_set_object_member (extra, "properties", list);
  return extra;
}

/* A name no other package of the job has: the geometry's, else with the part number, else counted. */
static char *
unique_package_name (Builder *self, const LwListedPart *part)
{
  char *name = g_strdup (*part->geometry != '\0' ? part->geometry : _("unnamed"));

  if (g_hash_table_contains (self->names, name))
    {
      g_free (name);
      name = g_strdup_printf ("%s / %s", part->geometry, part->number);
    }
  for (guint n = 2; g_hash_table_contains (self->names, name); n++)
    {
      g_free (name);
      name = g_strdup_printf ("%s / %s (%u)", part->geometry, part->number, n);
    }
  g_hash_table_add (self->names, g_strdup (name));
  return name;
}

static LwPackage *
package_new (Builder *self, const LwListedPart *part, const LwListedBody *entry,
             const LwPackageWords *words)
{
  g_autoptr (LwPackage) package = lw_package_new ();

  if (!lw_listed_set_body (package, entry, self->library->name, self->notes))
    return NULL;
  lw_package_words_apply (words, package);
  if (entry->mechanical && words->from == NULL)
    package->kind = LW_KIND_MECHANICAL;
  if (entry->kind != LW_KIND_OTHER)
    package->kind = entry->kind;
  lw_listed_set_joints (package, entry);
  set_height (self, package, entry);
  g_free (package->name);
  package->name = unique_package_name (self, part);
  g_free (package->source);
  package->source = entry->kind != LW_KIND_OTHER
                      ? g_strdup_printf (_("%s, line %u; kind taken from its type there"), self->library->name, entry->line)
                    : words->from != NULL ? g_strdup_printf (_("%s, line %u; kind taken from %s"),
                                                           self->library->name, entry->line, words->from)
                                        : g_strdup_printf (_("%s, line %u; kind not known"),
                                                           self->library->name, entry->line);
  package->extra = properties_of (entry);
  return g_steal_pointer (&package);
}

static gboolean
same_shape (const LwListedBody *a, const LwListedBody *b)
{
  LwBox p, q;

  if (a->height_mm != b->height_mm || a->mechanical != b->mechanical || a->loops->len != b->loops->len
      || a->properties->len > 0 || b->properties->len > 0)
    return FALSE;
  for (guint i = 0; i < a->loops->len; i++)
    {
      const LwLoop *x = ((LwListedLoop *) a->loops->pdata[i])->loop,
                   *y = ((LwListedLoop *) b->loops->pdata[i])->loop;

      p = lw_loop_box (x);
      q = lw_loop_box (y);
      if (x->corners->len != y->corners->len || lw_loop_area (x) != lw_loop_area (y)
          || p.x0_mm != q.x0_mm || p.y0_mm != q.y0_mm || p.x1_mm != q.x1_mm || p.y1_mm != q.y1_mm)
        return FALSE;
    }
  return TRUE;
}

/* Entries that differ in the part number alone share one package. */
static const LwListedBody *
representative (Builder *self, const LwListedBody *entry)
{
  const LwListedBody *first = g_hash_table_lookup (self->library->by_geometry, entry->geometry);

  return first != NULL && same_shape (first, entry) ? first : entry;
}

static const LwListedBody *
entry_of (Builder *self, const LwListedPart *part)
{
  const LwListedBody *entry = NULL;

  if (self->library != NULL)
    entry = lw_listed_library_find (self->library, part->geometry, part->number);
  return entry != NULL ? representative (self, entry) : NULL;
}

/* Before any package is made: parts of one entry are of one kind, and one of them may say which. */
static void
collect_hint (Builder *self, const LwListedPart *part)
{
  const LwListedBody *entry = entry_of (self, part);
  LwPackageWords words;

  if (entry == NULL || g_hash_table_contains (self->hints, entry))
    return;
  words = lw_package_words_read (part->geometry, part->number, part->ref);
  if (words.from != NULL)
    g_hash_table_insert (self->hints, (gpointer) entry, g_memdup2 (&words, sizeof words));
}

static LwPackageWords
words_of (Builder *self, const LwListedPart *part, const LwListedBody *entry)
{
  LwPackageWords words = lw_package_words_read (part->geometry, part->number, part->ref);
  const LwPackageWords *hint = g_hash_table_lookup (self->hints, entry);

  return words.from == NULL && hint != NULL ? *hint : words;
}

static void
note_missing (Builder *self, const LwListedPart *part)
{
  if (g_hash_table_add (self->missed, g_strdup (part->geometry)) && self->library != NULL)
    lw_notes_add (self->notes, self->file, part->line,
                  _("%.60s (%.60s) is not in the library: body and height not known"), part->geometry,
                  part->ref);
}

/* Name of the part's package; the geometry's when its body is not known (there is no such package
 * then). */
static const char *
package_of (Builder *self, const LwListedPart *part)
{
  const LwListedBody *entry = entry_of (self, part);
  LwPackageWords words;
  g_autofree char *key = NULL;
  LwPackage *package;
  const char *name;

  if (entry == NULL)
    {
      note_missing (self, part);
      return part->geometry;
    }
  words = words_of (self, part, entry);
  key = g_strdup_printf ("%u/%d", entry->line, words.kind);
  name = g_hash_table_lookup (self->packages, key);
  if (name != NULL)
    return name;
  package = package_new (self, part, entry, &words);
  if (package != NULL)
    g_ptr_array_add (self->job->packages, package);
  name = package != NULL ? package->name : part->geometry;
  g_hash_table_insert (self->packages, g_steal_pointer (&key), (gpointer) name);
  return name;
}

/* ---- parts ---- */

static gboolean
is_mechanical_ref (const char *ref)
{
  return *ref == '\0' || g_ascii_strcasecmp (ref, "NOREFDES") == 0;
}

/* The designator, made unique by a count; the file's own text is kept beside it when it had to
 * change. */
static char *
unique_ref (Builder *self, const LwListedPart *part)
{
  const char *ref = *part->ref != '\0' ? part->ref : "NOREFDES";
  guint used = GPOINTER_TO_UINT (g_hash_table_lookup (self->used_refs, ref));
  char *name = g_strdup (ref);

  while (used > 0)
    {
      g_free (name);
      name = g_strdup_printf ("%s-%u", ref, ++used);
      if (!g_hash_table_contains (self->file_refs, name)
          && !g_hash_table_contains (self->used_refs, name))
        break;
    }
  g_hash_table_insert (self->used_refs, g_strdup (ref), GUINT_TO_POINTER (MAX (used, 1)));
  if (used > 0)
    g_hash_table_insert (self->used_refs, g_strdup (name), GUINT_TO_POINTER (1));
  return name;
}

static void
note_ref (Builder *self, const LwListedPart *from, LwPart *part)
{
  if (g_str_equal (part->ref, from->ref))
    return;
  part->extra = json_object_new ();
  json_object_set_string_member (part->extra, "file_ref", from->ref);
  if (*from->ref == '\0')
    lw_notes_add (self->notes, self->file, from->line,
                  _("a part without a reference designator is called %.60s"), part->ref);
  else if (!is_mechanical_ref (from->ref))
    lw_notes_add (self->notes, self->file, from->line, _("a second %.60s: called %.80s here"),
                  from->ref, part->ref);
}

/* A part that is nowhere near the board stays in the list, as not placed. */
static void
check_reach (Builder *self, const LwListedPart *from, LwPart *part)
{
  if (MAX (fabs (part->x_mm), fabs (part->y_mm)) <= REACH_MM && part->offset_mm <= MAX_HEIGHT_MM)
    return;
  if (part->placed)
    lw_notes_add (self->notes, self->file, from->line,
                  _("%.60s lies more than 10 m away: taken as not placed"), part->ref);
  part->placed = FALSE;
  part->x_mm = CLAMP (part->x_mm, -REACH_MM, REACH_MM);
  part->y_mm = CLAMP (part->y_mm, -REACH_MM, REACH_MM);
  part->offset_mm = MIN (part->offset_mm, MAX_HEIGHT_MM);
}

static void
set_part_height (Builder *self, const LwListedPart *from, LwPart *part)
{
  if (isnan (from->height_mm))
    return;
  if (from->height_mm > 0 && from->height_mm <= MAX_HEIGHT_MM)
    part->height_mm = from->height_mm;
  else
    lw_notes_add (self->notes, self->file, from->line,
                  _("%.60s: a height of %.6g mm cannot be; taken as not known"), from->ref,
                  from->height_mm);
}

static void
add_part (Builder *self, const LwListedPart *from)
{
  LwPart *part = lw_part_new ();

  g_free (part->ref);
  g_free (part->package);
  g_free (part->value);
  part->ref = unique_ref (self, from);
  part->package = g_strdup (package_of (self, from));
  part->value = g_strdup (from->number);
  part->x_mm = from->x_mm;
  part->y_mm = from->y_mm;
  part->rotation_deg = from->rotation_deg;
  part->side = from->side;
  part->placed = from->placed;
  part->offset_mm = from->offset_mm;
  set_part_height (self, from, part);
  note_ref (self, from, part);
  check_reach (self, from, part);
  g_ptr_array_add (self->job->parts, part);
}

static void
builder_clear (Builder *self)
{
  g_hash_table_unref (self->packages);
  g_hash_table_unref (self->names);
  g_hash_table_unref (self->file_refs);
  g_hash_table_unref (self->used_refs);
  g_hash_table_unref (self->missed);
  g_hash_table_unref (self->hints);
  g_hash_table_unref (self->told);
}

void
lw_listed_add_parts (LwJob *job, const LwListedBoard *board, const LwListedLibrary *library, const char *file,
                  GPtrArray *notes)
{
  Builder self = { .job = job, .library = library, .file = file, .notes = notes };

  self.packages = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  self.names = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  self.used_refs = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  self.missed = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  self.hints = g_hash_table_new_full (NULL, NULL, NULL, g_free);
  self.told = g_hash_table_new (NULL, NULL);
  self.file_refs = g_hash_table_new (g_str_hash, g_str_equal);
  for (guint i = 0; i < board->parts->len; i++)
    g_hash_table_add (self.file_refs, ((LwListedPart *) board->parts->pdata[i])->ref);
  for (guint i = 0; i < board->parts->len; i++)
    collect_hint (&self, board->parts->pdata[i]);
  for (guint i = 0; i < board->parts->len; i++)
    add_part (&self, board->parts->pdata[i]);
  builder_clear (&self);
}
