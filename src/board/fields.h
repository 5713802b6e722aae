/* The members of a job's structs as tables. One table per struct says each member's key in the file, its
 * kind, range and default; making, copying, freeing, reading, writing, range checks and access by path
 * all follow it. Internal to the room.
 *
 * Kinds: a GROUP is a struct inside the struct (or a nesting of the file only, offset 0); ONE is a pointer
 * to a counted struct, MANY a GPtrArray of such; PLAIN is a GArray of small structs that keep no unknown
 * members themselves (their owner's `extra` does, by index). */
#ifndef LW_FIELDS_H
#define LW_FIELDS_H

#include <json-glib/json-glib.h>

G_BEGIN_DECLS

typedef enum {
  LW_FIELD_NUMBER, /* double */
  LW_FIELD_COUNT,  /* guint */
  LW_FIELD_FLAG,   /* gboolean */
  LW_FIELD_TEXT,   /* char *, never NULL */
  LW_FIELD_WORD,   /* enum, by its word */
  LW_FIELD_GROUP,
  LW_FIELD_ONE,
  LW_FIELD_MANY,
  LW_FIELD_PLAIN,
  LW_FIELD_SERIES /* GArray of double, as many as in the file; fallback: max elements */
} LwFieldKind;

enum {
  LW_FIELD_NULLABLE = 1 << 0,  /* NUMBER and each of a SERIES: null = NaN allowed; ONE and PLAIN: NULL when absent */
  LW_FIELD_ABOVE = 1 << 1,     /* min itself is refused */
  LW_FIELD_REQUIRED = 1 << 2,  /* a file without it is refused */
  LW_FIELD_ESSENTIAL = 1 << 3, /* written even at its default */
  LW_FIELD_PRESENCE = 1 << 4   /* GROUP: its first member is a flag that is TRUE because the group is there */
};

typedef struct _LwType LwType;

typedef struct {
  const char *key;
  LwFieldKind kind;
  gsize offset;
  guint flags;
  double min, max, fallback; /* NUMBER, COUNT, SERIES; FLAG and WORD use fallback; MANY and PLAIN: max elements */
  const char *text;          /* TEXT: default */
  const char *const *words;  /* WORD: NULL-terminated, in the order of the enum */
  const LwType *type;        /* GROUP, ONE, MANY, PLAIN */
} LwField;

#define LW_NO_EXTRA ((gsize) -1)

struct _LwType {
  gsize size;
  gsize extra; /* offset of the JsonObject *extra, or LW_NO_EXTRA */
  const LwField *fields;
  guint n_fields;
  GDestroyNotify unref;         /* counted types */
  GDestroyNotify clear_element; /* PLAIN types that own memory, else NULL */
};

/* On memory that is zero: fills in the defaults. */
void lw_type_init (const LwType *type, gpointer self);
void lw_type_clear (const LwType *type, gpointer self);
/* A counted struct (g_atomic_rc_box), with defaults or copied. */
gpointer lw_type_new (const LwType *type);
gpointer lw_type_dup (const LwType *type, gconstpointer source);
GArray *lw_type_new_array (const LwType *element);

/* Jobs are shared between threads, but json-glib counts references without atomics: `extra` members are counted under a lock, here
 * and where they are copied. */
void lw_extra_unref (JsonObject *extra);

/* The member with that key of the file (transfer none), or NULL. */
const LwField *lw_type_find (const LwType *type, const char *key);

G_END_DECLS

#endif
