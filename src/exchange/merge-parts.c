/* Parts of the merged job: placed by the best piece, with bodies and heights from the best that knows. */
#include <glib/gi18n.h>
#include <math.h>

#include "exchange/merge-private.h"
#include "exchange/notes.h"

#define SAME_PLACE_MM 0.05
#define SAME_TURN_DEG 0.5
#define SAME_HEIGHT_MM 0.05

static const LwPieceKind part_order[LW_N_PIECES] = { LW_PIECE_IPC2581, LW_PIECE_PLOTS, LW_PIECE_IDF, LW_PIECE_TABLE,
                                                     LW_PIECE_NETLIST };
static const LwPieceKind body_order[LW_N_PIECES] = { LW_PIECE_IDF, LW_PIECE_IPC2581, LW_PIECE_PLOTS, LW_PIECE_TABLE,
                                                     LW_PIECE_NETLIST };
static const LwPieceKind height_order[LW_N_PIECES] = { LW_PIECE_IDF, LW_PIECE_IPC2581, LW_PIECE_TABLE, LW_PIECE_PLOTS,
                                                       LW_PIECE_NETLIST };

typedef struct {
  const LwMergeView *view;
  guint bodies, heights, parts;
} Tally;

typedef struct {
  LwMerge *merge;
  GHashTable *names; /* of packages in the job -> LwPackage *, borrowed */
  GHashTable *moved; /* package of a piece -> its name in the job */
  GArray *tallies;   /* Tally */
} Parts;

static Tally *
tally_of (Parts *self, const LwMergeView *view)
{
  for (guint i = 0; i < self->tallies->len; i++)
    if (g_array_index (self->tallies, Tally, i).view == view)
      return &g_array_index (self->tallies, Tally, i);
  g_array_set_size (self->tallies, self->tallies->len + 1);
  g_array_index (self->tallies, Tally, self->tallies->len - 1).view = view;
  return &g_array_index (self->tallies, Tally, self->tallies->len - 1);
}

/* ---- packages ---- */

/* The package of a piece in the merged job, under a name of its own. JOINTS: a package to take the joints
 * from when this one has none, or NULL. */
static const char *
take_package (Parts *self, const LwPackage *package, const LwPackage *joints)
{
  const char *known = g_hash_table_lookup (self->moved, package);
  char *name;
  LwPackage *own;

  if (known != NULL)
    return known;
  name = g_strdup (package->name);
  for (guint n = 2; g_hash_table_contains (self->names, name); n++)
    {
      g_free (name);
      name = g_strdup_printf ("%s (%u)", package->name, n);
    }
  own = lw_package_copy (package);
  g_free (own->name);
  own->name = name;
  if (joints != NULL && own->joints.pattern == LW_JOINTS_NONE)
    {
      g_clear_pointer (&own->joints.positions, g_array_unref);
      own->joints = joints->joints;
      own->joints.positions = joints->joints.positions != NULL ? g_array_copy (joints->joints.positions) : NULL;
      if (own->kind == LW_KIND_OTHER)
        own->kind = joints->kind;
    }
  g_ptr_array_add (self->merge->job->packages, own);
  g_hash_table_insert (self->names, own->name, own);
  g_hash_table_insert (self->moved, (gpointer) package, own->name);
  return own->name;
}

static gboolean
is_courtyard (const LwPackage *package)
{
  JsonNode *node = package->extra != NULL ? json_object_get_member (package->extra, "properties") : NULL;

  return node != NULL && JSON_NODE_HOLDS_OBJECT (node)
         && json_object_has_member (json_node_get_object (node), "body_from");
}

/* ---- comparing ---- */

static double
turn_apart (double a, double b)
{
  double d = lw_angle_normalise (a - b);

  return fmin (d, 360 - d);
}

/* TRUE when both place the part alike. */
static gboolean
compare_places (Parts *self, const LwMergeView *used, const LwPart *a, const LwMergeView *other, const LwPart *b)
{
  double x = a->x_mm + used->dx_mm, y = a->y_mm + used->dy_mm, u = b->x_mm + other->dx_mm, v = b->y_mm + other->dy_mm;
  gboolean alike = TRUE;

  if (!a->placed || !b->placed)
    return TRUE;
  if (hypot (x - u, y - v) > SAME_PLACE_MM)
    {
      alike = FALSE;
      lw_notes_add_text (self->merge->notes, other->piece->name,
                         g_strdup_printf (_("%.60s lies at %.3f, %.3f mm here, at %.3f, %.3f mm in %s, which is used"), a->ref,
                                          u, v, x, y, used->piece->name));
    }
  if (a->side != b->side)
    {
      alike = FALSE;
      lw_notes_add_text (self->merge->notes, other->piece->name,
                         g_strdup_printf (_("%.60s is on the %s here, on the %s in %s, which is used"), a->ref,
                                          b->side == LW_SIDE_TOP ? _("top") : _("bottom"),
                                          a->side == LW_SIDE_TOP ? _("top") : _("bottom"), used->piece->name));
    }
  if (turn_apart (a->rotation_deg, b->rotation_deg) <= SAME_TURN_DEG)
    return alike;
  /* Where a table's turn of zero lies is nowhere laid down, and a netlist has none. */
  if (other->kind != LW_PIECE_TABLE && other->kind != LW_PIECE_NETLIST && used->kind != LW_PIECE_TABLE
      && used->kind != LW_PIECE_NETLIST)
    lw_notes_add_text (self->merge->notes, other->piece->name,
                       g_strdup_printf (_("%.60s is turned by %.1f° here, by %.1f° in %s, which is used"), a->ref,
                                        b->rotation_deg, a->rotation_deg, used->piece->name));
  return FALSE;
}

/* ---- one part ---- */

static const LwPart *
part_in (const LwMergeView *view, const char *ref)
{
  return g_hash_table_lookup (view->refs, ref);
}

/* Body of its part in a piece that places it as USED does. */
static void
merge_body (Parts *self, const LwMergeView *used, LwPart *part, const LwPart *placed)
{
  const LwPackage *own = lw_job_package_of (used->job, placed);
  const LwMergeView *view;

  for (guint i = 0; (view = lw_merge_view (self->merge, body_order, i)) != NULL; i++)
    {
      const LwPart *there = view == used ? placed : part_in (view, part->ref);
      const LwPackage *package = there != NULL ? g_hash_table_lookup (view->packages, there->package) : NULL;

      if (package == NULL || (is_courtyard (package) && own != NULL && view != used))
        continue;
      if (view != used && (hypot (placed->x_mm + used->dx_mm - there->x_mm - view->dx_mm,
                                  placed->y_mm + used->dy_mm - there->y_mm - view->dy_mm) > SAME_PLACE_MM
                           || turn_apart (placed->rotation_deg, there->rotation_deg) > SAME_TURN_DEG))
        continue;
      g_free (part->package);
      part->package = g_strdup (take_package (self, package, own != package ? own : NULL));
      tally_of (self, view)->bodies++;
      return;
    }
}

static double
own_height (const LwMergeView *view, const LwPart *part)
{
  gboolean known;
  double height = lw_part_height_mm (part, lw_job_package_of (view->job, part), &known);

  return known ? height - part->offset_mm : NAN;
}

static double
height_in_job (Parts *self, const LwPart *part)
{
  const LwPackage *package = g_hash_table_lookup (self->names, part->package);

  if (!isnan (part->height_mm))
    return part->height_mm;
  return package != NULL ? package->height_mm : NAN;
}

static void
merge_height (Parts *self, LwPart *part)
{
  const LwMergeView *best = NULL, *view;
  double height = NAN;

  for (guint i = 0; (view = lw_merge_view (self->merge, height_order, i)) != NULL; i++)
    {
      const LwPart *there = part_in (view, part->ref);
      double own = there != NULL ? own_height (view, there) : NAN;

      if (isnan (own))
        continue;
      if (best == NULL)
        {
          best = view;
          height = own;
        }
      else if (fabs (own - height) > SAME_HEIGHT_MM)
        lw_notes_add_text (self->merge->notes, view->piece->name,
                           g_strdup_printf (_("%.60s is %.3f mm high here, %.3f mm in %s, which is used"), part->ref, own,
                                            height, best->piece->name));
    }
  if (best == NULL)
    return;
  tally_of (self, best)->heights++;
  part->height_mm = NAN;
  if (!(fabs (height_in_job (self, part) - height) < 1e-6))
    part->height_mm = height;
}

static void
merge_part (Parts *self, const LwMergeView *used, const LwPart *placed)
{
  LwPart *part = lw_part_copy (placed);
  const LwMergeView *view;

  part->x_mm += used->dx_mm;
  part->y_mm += used->dy_mm;
  for (guint i = 0; (view = lw_merge_view (self->merge, part_order, i)) != NULL; i++)
    {
      const LwPart *there = view != used ? part_in (view, part->ref) : NULL;

      if (there == NULL || view->kind == LW_PIECE_NETLIST) /* whose places are the middle of the pads */
        continue;
      compare_places (self, used, placed, view, there);
      if (*part->value == '\0')
        {
          g_free (part->value);
          part->value = g_strdup (there->value);
        }
      if (*part->package == '\0')
        {
          g_free (part->package);
          part->package = g_strdup (there->package);
        }
      if (part->offset_mm == 0)
        part->offset_mm = there->offset_mm;
    }
  merge_body (self, used, part, placed);
  merge_height (self, part);
  tally_of (self, used)->parts++;
  g_ptr_array_add (self->merge->job->parts, part);
}

/* ---- all ---- */

static void
tell_added (Parts *self, const LwMergeView *view, const GPtrArray *refs)
{
  g_autoptr (GString) list = g_string_new (NULL);

  for (guint i = 0; i < refs->len && i < 12; i++)
    g_string_append_printf (list, "%s%s", i > 0 ? ", " : "", (const char *) refs->pdata[i]);
  if (refs->len > 12)
    g_string_append (list, ", …");
  lw_notes_add_text (self->merge->notes, view->piece->name,
                     g_strdup_printf (_("%u parts stand in this file alone and are added: %s"), refs->len, list->str));
}

static void
add_all (Parts *self)
{
  g_autoptr (GHashTable) there = g_hash_table_new (g_str_hash, g_str_equal);
  const LwMergeView *view;

  for (guint i = 0; (view = lw_merge_view (self->merge, part_order, i)) != NULL; i++)
    {
      g_autoptr (GPtrArray) added = g_ptr_array_new ();
      gboolean first = g_hash_table_size (there) == 0;

      if (!first && view->kind == LW_PIECE_NETLIST) /* it cuts names to six characters */
        continue;
      for (guint k = 0; k < view->job->parts->len; k++)
        {
          LwPart *part = view->job->parts->pdata[k];

          if (!g_hash_table_add (there, part->ref))
            continue;
          merge_part (self, view, part);
          g_ptr_array_add (added, part->ref);
        }
      if (!first && added->len > 0)
        tell_added (self, view, added);
    }
}

static void
tell_tallies (const Parts *self)
{
  for (guint i = 0; i < self->tallies->len; i++)
    {
      const Tally *tally = &g_array_index (self->tallies, Tally, i);
      g_autofree char *parts = g_strdup_printf (_("%u parts"), tally->parts);
      g_autofree char *bodies = g_strdup_printf (_("bodies of %u parts"), tally->bodies);
      g_autofree char *heights = g_strdup_printf (_("heights of %u parts"), tally->heights);

      if (tally->parts > 0)
        lw_merge_taken (tally->view, parts);
      if (tally->bodies > 0)
        lw_merge_taken (tally->view, bodies);
      if (tally->heights > 0)
        lw_merge_taken (tally->view, heights);
    }
}

void
lw_merge_parts (LwMerge *self)
{
  Parts parts = { self, g_hash_table_new (g_str_hash, g_str_equal), g_hash_table_new (NULL, NULL),
                  g_array_new (FALSE, TRUE, sizeof (Tally)) };

  add_all (&parts);
  tell_tallies (&parts);
  g_hash_table_unref (parts.names);
  g_hash_table_unref (parts.moved);
  g_array_unref (parts.tallies);
}
