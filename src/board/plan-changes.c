#include "board/plan-changes.h"

#include <math.h>
#include <string.h>

#include <glib/gi18n.h>

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
  } names[] = { { "operation", N_("operation") },
                { "nozzle", N_("nozzle") },
                { "nozzle_height_mm", N_("nozzle height, mm") },
                { "nozzle_dx_mm", N_("nozzle aside along x, mm") },
                { "nozzle_dy_mm", N_("nozzle aside along y, mm") },
                { "nozzle_turn_deg", N_("nozzle turned, °") },
                { "preheat_area", N_("preheat area") },
                { "x_mm", N_("x, mm") },
                { "y_mm", N_("y, mm") },
                { "length_mm", N_("length, mm") },
                { "width_mm", N_("width, mm") },
                { "stages", N_("stage") },
                { "table", N_("row") },
                { "shields", N_("shield") },
                { "thermocouples", N_("thermocouple") },
                { "wanted", N_("wanted") },
                { "name", N_("name") },
                { "duration_s", N_("duration, s") },
                { "gas_c", N_("gas, °C") },
                { "flow_l_per_min", N_("flow, l/min") },
                { "preheat_c", N_("preheater, °C") },
                { "shape", N_("shape") },
                { "t_s", N_("time, s") },
                { "material", N_("material") },
                { "share", N_("share let through") },
                { "ref", N_("part") },
                { "side", N_("side") },
                { "loop", N_("outline") },
                { "corners", N_("corner") },
                { "above_liquidus_min_s", N_("least time above liquidus, s") },
                { "above_liquidus_max_s", N_("longest time above liquidus, s") },
                { "joint_min_c", N_("least joint peak, °C") },
                { "joint_max_c", N_("highest joint peak, °C") },
                { "spread_max_k", N_("largest spread, K") },
                { "ramp_max_c_per_s", N_("fastest ramp, °C/s") } };

  for (guint i = 0; i < G_N_ELEMENTS (names); i++)
    if (strcmp (names[i].key, key) == 0)
      return _(names[i].name);
  return key;
}

/* Transfer full; NULL for what holds other members. */
static char *
value_text (const LwField *field, gconstpointer self)
{
  char number[G_ASCII_DTOSTR_BUF_SIZE];

  switch (field->kind)
    {
    case LW_FIELD_NUMBER:
      if (isnan (MEMBER (double, self, field)))
        return g_strdup (NOTHING);
      return g_strdup (g_ascii_formatd (number, sizeof number, "%.10g", MEMBER (double, self, field)));
    case LW_FIELD_COUNT:
      return g_strdup_printf ("%u", MEMBER (guint, self, field));
    case LW_FIELD_FLAG:
      return g_strdup (MEMBER (gboolean, self, field) ? _("yes") : _("no"));
    case LW_FIELD_TEXT:
      return g_strdup (MEMBER (char *, self, field)[0] != '\0' ? MEMBER (char *, self, field) : NOTHING);
    case LW_FIELD_WORD:
      return g_strdup (field->words[MEMBER (guint, self, field)]);
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
        add (changes, g_steal_pointer (&at), _("there"), NOTHING);
    }
  for (guint i = 0; i < b.n; i++)
    if (by_name ? find (&a, name_of (&b, i)) < 0 : i >= a.n)
      add (changes, element_where (&b, i, where), NOTHING, _("new"));
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
    add (changes, g_strdup (where), a != NULL ? _("there") : NOTHING, b != NULL ? _("new") : NOTHING);
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
