#include "board/library-entries.h"

#include <glib/gi18n.h>
#include <math.h>

#include "board/job-file.h"
#include "board/types.h"

/* ---- members ---- */

#define TEXT(Type, member, bits)                                                                         \
  { .key = #member, .kind = LW_FIELD_TEXT, .offset = offsetof (Type, member), .text = "", .flags = bits }
#define NUMBER(Type, member, low, high, bits)                                                            \
  {                                                                                                      \
    .key = #member, .kind = LW_FIELD_NUMBER, .offset = offsetof (Type, member), .min = low, .max = high, \
    .fallback = NAN, .flags = bits                                                                       \
  }
#define TABLE(name, Type, list) \
  static const LwType name = { sizeof (Type), LW_NO_EXTRA, list, G_N_ELEMENTS (list), NULL, NULL }
#define NEEDED LW_FIELD_REQUIRED
#define KNOWN_OR_NOT LW_FIELD_NULLABLE

/* Ranges: beyond any material; they catch a slip of the unit. */
static const LwField alloy_fields[] = {
  TEXT (LwAlloy, name, NEEDED),
  NUMBER (LwAlloy, solidus_c, 30, 1000, NEEDED),
  NUMBER (LwAlloy, liquidus_c, 30, 1000, NEEDED),
  NUMBER (LwAlloy, density_kg_per_m3, 1000, 25000, NEEDED),
  NUMBER (LwAlloy, k_w_per_mk, 0.01, 1000, NEEDED),
  NUMBER (LwAlloy, cp_j_per_kgk, 10, 5000, NEEDED),
  NUMBER (LwAlloy, latent_j_per_kg, 0, 1e6, NEEDED),
  TEXT (LwAlloy, source, 0),
};
TABLE (alloy_type, LwAlloy, alloy_fields);

static const LwField laminate_fields[] = {
  TEXT (LwLaminate, name, NEEDED),
  NUMBER (LwLaminate, density_kg_per_m3, 100, 25000, NEEDED),
  NUMBER (LwLaminate, cp_j_per_kgk, 10, 5000, NEEDED),
  NUMBER (LwLaminate, k_in_plane_w_per_mk, 0.01, 2000, NEEDED),
  NUMBER (LwLaminate, k_through_w_per_mk, 0.01, 2000, NEEDED),
  NUMBER (LwLaminate, tg_c, 0, 5000, KNOWN_OR_NOT),
  NUMBER (LwLaminate, td_c, 0, 5000, KNOWN_OR_NOT),
  TEXT (LwLaminate, source, 0),
};
TABLE (laminate_type, LwLaminate, laminate_fields);

static const LwField shield_fields[] = {
  TEXT (LwShieldMaterial, name, NEEDED),
  NUMBER (LwShieldMaterial, k_w_per_mk, 0.001, 2000, NEEDED),
  NUMBER (LwShieldMaterial, thickness_mm, 0.001, 100, NEEDED),
  NUMBER (LwShieldMaterial, share, 0, 1, NEEDED),
  TEXT (LwShieldMaterial, source, 0),
};
TABLE (shield_type, LwShieldMaterial, shield_fields);

/* Counted structs are those of a document. NAME: where a struct keeps its name. */
static const struct {
  const char *member;
  const LwType *type;
  gsize name;
} kinds[LW_LIBRARY_N_KINDS] = {
  [LW_LIBRARY_ALLOYS] = { "alloys", &alloy_type, offsetof (LwAlloy, name) },
  [LW_LIBRARY_LAMINATES] = { "laminates", &laminate_type, offsetof (LwLaminate, name) },
  [LW_LIBRARY_PACKAGES] = { "packages", &lw_package_type, offsetof (LwPackage, name) },
  [LW_LIBRARY_SHIELDS] = { "shields", &shield_type, offsetof (LwShieldMaterial, name) },
  [LW_LIBRARY_STATIONS] = { "stations", &lw_station_type, offsetof (LwStation, name) },
};

/* ---- entries ---- */

const char *
lw_library_member (guint kind)
{
  return kinds[kind].member;
}

gpointer
lw_library_entry_read (guint kind, LwReadContext *context, JsonObject *object)
{
  const LwType *type = kinds[kind].type;
  gpointer entry = type->unref != NULL ? g_atomic_rc_box_alloc0 (type->size) : g_malloc0 (type->size);

  if (!lw_read_struct (context, type, entry, object, NULL))
    return entry;
  if (kind == LW_LIBRARY_ALLOYS && ((LwAlloy *) entry)->liquidus_c < ((LwAlloy *) entry)->solidus_c)
    lw_read_fault (context, LW_FILE_ERROR_CONFLICT, "liquidus_c", _("is below the solidus"));
  return entry;
}

void
lw_library_entry_free (guint kind, gpointer entry)
{
  const LwType *type = kinds[kind].type;

  if (type->unref != NULL) {
    type->unref (entry);
    return;
  }
  lw_type_clear (type, entry);
  g_free (entry);
}

const char *
lw_library_entry_name (guint kind, gconstpointer entry)
{
  return G_STRUCT_MEMBER (const char *, entry, kinds[kind].name);
}
