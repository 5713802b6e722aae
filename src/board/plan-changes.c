#include "board/plan-changes.h"

#include <math.h>
#include <string.h>

#include <glib/gi18n.h>

#include "board/names.h"
#include "board/types.h"

#define MEMBER(Type, self, field) (*(Type const *) (const void *) ((const char *) (self) + (field)->offset))
#define NOTHING "–"

static void
change_free (gpointer data)
{
  LwPlanChange *change = data;

  g_free (change->what);
  g_free (change->before);
  g_free (change->after);
  g_free (change);
}

/* ---- words ---- */

static const char *
member_name (const char *key)
{
  static const struct {
    const char *key, *name;
  } names[] = { { "operation", NC_ ("part of a plan", "operation") },
                { "nozzle", NC_ ("part of a plan", "nozzle") },
                { "nozzle_height_mm", NC_ ("part of a plan", "nozzle height, mm") },
                { "nozzle_dx_mm", NC_ ("part of a plan", "nozzle aside along x, mm") },
                { "nozzle_dy_mm", NC_ ("part of a plan", "nozzle aside along y, mm") },
                { "nozzle_turn_deg", NC_ ("part of a plan", "nozzle turned, °") },
                { "preheat_area", NC_ ("part of a plan", "preheat area") },
                { "x_mm", NC_ ("part of a plan", "x, mm") },
                { "y_mm", NC_ ("part of a plan", "y, mm") },
                { "length_mm", NC_ ("part of a plan", "length, mm") },
                { "width_mm", NC_ ("part of a plan", "width, mm") },
                { "stages", NC_ ("part of a plan", "stage") },
                { "table", NC_ ("part of a plan", "row") },
                { "shields", NC_ ("part of a plan", "shield") },
                { "thermocouples", NC_ ("part of a plan", "thermocouple") },
                { "wanted", NC_ ("part of a plan", "wanted") },
                { "name", NC_ ("part of a plan", "name") },
                { "duration_s", NC_ ("part of a plan", "duration, s") },
                { "gas_c", NC_ ("part of a plan", "gas, °C") },
                { "flow_l_per_min", NC_ ("part of a plan", "flow, L/min") },
                { "preheat_c", NC_ ("part of a plan", "preheater, °C") },
                { "alloy", NC_ ("part of a plan", "alloy of the paste") },
                { "notes", NC_ ("part of a plan", "notes") },
                { "shape", NC_ ("part of a plan", "shape") },
                { "t_s", NC_ ("part of a plan", "time, s") },
                { "material", NC_ ("part of a plan", "material") },
                { "share", NC_ ("part of a plan", "share let through") },
                { "ref", NC_ ("part of a plan", "part") },
                { "side", NC_ ("part of a plan", "side") },
                { "loop", NC_ ("part of a plan", "outline") },
                { "corners", NC_ ("part of a plan", "corner") },
                { "above_liquidus_min_s", NC_ ("part of a plan", "least time above liquidus, s") },
                { "above_liquidus_max_s", NC_ ("part of a plan", "longest time above liquidus, s") },
                { "joint_min_c", NC_ ("part of a plan", "least joint peak, °C") },
                { "joint_max_c", NC_ ("part of a plan", "highest joint peak, °C") },
                { "spread_max_k", NC_ ("part of a plan", "largest spread, K") },
                { "ramp_max_c_per_s", NC_ ("part of a plan", "fastest ramp, °C/s") } };

  for (guint i = 0; i < G_N_ELEMENTS (names); i++)
    if (strcmp (names[i].key, key) == 0)
      return g_dpgettext2 (NULL, "part of a plan", names[i].name);
  return key;
}

/* The words that a plan has. */
static const char *
word_label (const LwField *field, guint value)
{
  if (strcmp (field->key, "operation") == 0)
    return lw_operation_label (value);
  if (strcmp (field->key, "side") == 0)
    return lw_side_label (value);
  if (strcmp (field->key, "shape") == 0)
    return lw_shape_label (value);
  return field->words[value];
}

/* As it is shown: in the person's locale. Transfer full; NULL for what holds other members. */
static char *
value_text (const LwField *field, gconstpointer self)
{
  switch (field->kind)
    {
    case LW_FIELD_NUMBER:
      if (isnan (MEMBER (double, self, field)))
        return g_strdup (NOTHING);
      return g_strdup_printf ("%.10g", MEMBER (double, self, field));
    case LW_FIELD_COUNT:
      return g_strdup_printf ("%u", MEMBER (guint, self, field));
    case LW_FIELD_FLAG:
      return g_strdup (MEMBER (gboolean, self, field) ? _("yes") : _("no"));
    case LW_FIELD_TEXT:
      return g_strdup (MEMBER (char *, self, field)[0] != '\0' ? MEMBER (char *, self, field) : NOTHING);
    case LW_FIELD_WORD:
      return g_strdup (word_label (field, MEMBER (guint, self, field)));
    default:
      return NULL;
    }
}

static void
add (GPtrArray *changes, char *what, const char *before, const char *after)
{
  LwPlanChange *change = g_new0 (LwPlanChange, 1);

  change->what = what;
  change->before = g_strdup (before);
  change->after = g_strdup (after);
  g_ptr_array_add (changes, change);
}

static char *
join (const char *where, const char *member)
{
  return where[0] == '\0' ? g_strdup (member) : g_strdup_printf ("%s, %s", where, member);
}

/* ---- lists ---- */

static void compare (GPtrArray *changes, const LwType *type, gconstpointer before, gconstpointer after, const char *where);

typedef struct {
  const LwField *field;
  const LwField *name; /* of an element, or NULL */
  guint n;
  gconstpointer *elements;
} List;

static List
list_of (const LwField *field, gconstpointer self)
{
  List list = { field, lw_type_find (field->type, "name"), 0, NULL };

  if (field->kind == LW_FIELD_MANY)
    {
      const GPtrArray *array = MEMBER (GPtrArray *, self, field);

      list.n = array->len;
      list.elements = g_memdup2 (array->pdata, array->len * sizeof (gpointer));
      return list;
    }
  const GArray *array = MEMBER (GArray *, self, field);
  list.n = array != NULL ? array->len : 0;
  list.elements = g_new (gconstpointer, MAX (list.n, 1));
  for (guint i = 0; i < list.n; i++)
    list.elements[i] = array->data + i * field->type->size;
  return list;
}

static const char *
name_of (const List *list, guint i)
{
  return list->name != NULL ? MEMBER (char *, list->elements[i], list->name) : "";
}

static gboolean
names_are_their_own (const List *list)
{
  g_autoptr (GHashTable) names = g_hash_table_new (g_str_hash, g_str_equal);

  for (guint i = 0; i < list->n; i++)
    if (name_of (list, i)[0] == '\0' || !g_hash_table_add (names, (gpointer) name_of (list, i)))
      return FALSE;
  return TRUE;
}

static int
find (const List *list, const char *name)
{
  for (guint i = 0; i < list->n; i++)
    if (strcmp (name_of (list, i), name) == 0)
      return (int) i;
  return -1;
}

static char *
element_where (const List *list, guint i, const char *where)
{
  const char *name = name_of (list, i);
  g_autofree char *one = name[0] != '\0' ? g_strdup_printf (_("%s %u (%s)"), member_name (list->field->key), i + 1, name)
                                         : g_strdup_printf (_("%s %u"), member_name (list->field->key), i + 1);

  return join (where, one);
}

static void
compare_lists (GPtrArray *changes, const LwField *field, gconstpointer before, gconstpointer after, const char *where)
{
  List a = list_of (field, before), b = list_of (field, after);
  gboolean by_name = names_are_their_own (&a) && names_are_their_own (&b);

  for (guint i = 0; i < a.n; i++)
    {
      int k = by_name ? find (&b, name_of (&a, i)) : i < b.n ? (int) i : -1;
      g_autofree char *at = element_where (&a, i, where);

      if (k >= 0)
        compare (changes, field->type, a.elements[i], b.elements[k], at);
      else
        add (changes, g_steal_pointer (&at), C_ ("part of a plan", "there"), NOTHING);
    }
  for (guint i = 0; i < b.n; i++)
    if (by_name ? find (&a, name_of (&b, i)) < 0 : i >= a.n)
      add (changes, element_where (&b, i, where), NOTHING, C_ ("part of a plan", "new"));
  g_free (a.elements);
  g_free (b.elements);
}

/* ---- members ---- */

static void
compare_one (GPtrArray *changes, const LwField *field, gconstpointer before, gconstpointer after, const char *where)
{
  gconstpointer a = MEMBER (gpointer, before, field), b = MEMBER (gpointer, after, field);

  if (a != NULL && b != NULL)
    compare (changes, field->type, a, b, where);
  else if (a != b)
    add (changes, g_strdup (where), a != NULL ? C_ ("part of a plan", "there") : NOTHING, b != NULL ? C_ ("part of a plan", "new") : NOTHING);
}

static void
compare_member (GPtrArray *changes, const LwField *field, gconstpointer before, gconstpointer after, const char *where)
{
  g_autofree char *at = join (where, member_name (field->key));
  g_autofree char *a = value_text (field, before), *b = value_text (field, after);

  if (a != NULL && strcmp (a, b) != 0)
    add (changes, g_steal_pointer (&at), a, b);
  else if (field->kind == LW_FIELD_GROUP)
    compare (changes, field->type, (const char *) before + field->offset, (const char *) after + field->offset, at);
  else if (field->kind == LW_FIELD_ONE)
    compare_one (changes, field, before, after, at);
  else if (field->kind == LW_FIELD_MANY || field->kind == LW_FIELD_PLAIN)
    compare_lists (changes, field, before, after, where);
}

static void
compare (GPtrArray *changes, const LwType *type, gconstpointer before, gconstpointer after, const char *where)
{
  if (before == after)
    return;
  for (guint i = 0; i < type->n_fields; i++)
    compare_member (changes, &type->fields[i], before, after, where);
}

GPtrArray *
lw_plan_changes (const LwPlan *before, const LwPlan *after)
{
  GPtrArray *changes = g_ptr_array_new_with_free_func (change_free);

  compare (changes, &lw_plan_type, before, after, "");
  return changes;
}
