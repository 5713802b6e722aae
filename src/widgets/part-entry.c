#include "widgets/part-entry.h"

#include <string.h>

#include <glib/gi18n.h>

#include "board/edits-group.h"
#include "board/edits.h"
#include "widgets/package-names.h"
#include "widgets/words.h"

#define SHOWN 12 /* names offered at once */

/* The letters a part of this kind is usually numbered under: IEEE 315 / IEC 81346 class letters as the trade
 * writes them. */
static const char *
letters_of (const LwPackage *package)
{
  switch (package == NULL ? LW_KIND_OTHER : package->kind) {
  case LW_KIND_AREA_ARRAY:
  case LW_KIND_LEADED:
  case LW_KIND_LEADLESS:
  case LW_KIND_MODULE:
  case LW_KIND_OPTOCOUPLER: return "U";
  case LW_KIND_CERAMIC_CAPACITOR:
  case LW_KIND_ELECTROLYTIC:
  case LW_KIND_POLYMER_CAPACITOR:
  case LW_KIND_TANTALUM:
  case LW_KIND_FILM_CAPACITOR:
  case LW_KIND_SUPERCAPACITOR: return "C";
  case LW_KIND_RESISTOR: return "R";
  case LW_KIND_INDUCTOR: return "L";
  case LW_KIND_TRANSFORMER: return "T";
  case LW_KIND_CRYSTAL: return "Y";
  case LW_KIND_LED: return "D";
  case LW_KIND_CONNECTOR: return "J";
  case LW_KIND_SWITCH: return "SW";
  case LW_KIND_RELAY: return "K";
  case LW_KIND_COIN_CELL:
  case LW_KIND_CELL_HOLDER: return "BT";
  case LW_KIND_MICROPHONE: return "MK";
  case LW_KIND_FUSE: return "F";
  case LW_KIND_MECHANICAL:
  case LW_KIND_SHIELD_CAN: return "MP";
  default: return "P";
  }
}

static char *
next_ref (const LwJob *job, const LwPackage *package)
{
  g_autofree char *first = g_strconcat (letters_of (package), "1", NULL);

  return lw_job_free_ref (job, first);
}

static LwPart *
part_new (const char *ref, const char *package, const char *value, LwPoint at, double rotation_deg, LwSide side)
{
  LwPart *part = lw_part_new ();
  char **texts[] = { &part->ref, &part->package, &part->value };
  const char *from[] = { ref, package, value };

  for (guint i = 0; i < G_N_ELEMENTS (texts); i++) {
    g_free (*texts[i]);
    *texts[i] = g_strdup (from[i]);
  }
  part->x_mm = at.x_mm;
  part->y_mm = at.y_mm;
  part->rotation_deg = lw_angle_normalise (rotation_deg);
  part->side = side;
  part->placed = TRUE;
  return part;
}

gboolean
lw_part_entry_place (LwDesk *desk, const char *ref, const char *package_name, const char *value, LwPoint at,
                     double rotation_deg, LwSide side, GError **error)
{
  LwJob *job = lw_desk_job (desk), *after;
  const LwPackage *package = lw_package_named (job, package_name);
  g_autofree char *name = ref != NULL && *ref != '\0' ? g_strdup (ref) : next_ref (job, package), *label = NULL;
  g_autoptr (GPtrArray) parts = g_ptr_array_new_with_free_func ((GDestroyNotify) lw_part_unref);
  g_autoptr (GArray) made = NULL;

  if (package == NULL) {
    g_set_error (error, LW_EDIT_ERROR, LW_EDIT_ERROR_REFERENCE, _("no package is named “%s”"), package_name);
    return FALSE;
  }
  if (lw_job_find_part (job, name) >= 0) {
    g_set_error (error, LW_EDIT_ERROR, LW_EDIT_ERROR_REFERENCE, _("there is a %s already"), name);
    return FALSE;
  }
  g_ptr_array_add (parts, part_new (name, package->name, value, at, rotation_deg, side));
  after = lw_edit_add_parts (job, parts, NULL, 0, 0, &made, error);
  if (after == NULL)
    return FALSE;
  /* Translators: %s is the reference of a part. */
  label = g_strdup_printf (_("Place %s"), name);
  lw_desk_edit (desk, after, label, NULL, NULL);
  lw_desk_set_side (desk, side);
  lw_desk_select_parts (desk, made, -1);
  return TRUE;
}

/* ---- the form ---- */

typedef struct {
  LwDesk *desk;
  LwForm *form;      /* owns this */
  GtkWidget *offers; /* list box of names */
  char *suggested;   /* reference the person has not touched */
  gboolean choosing;
} Entry;

static void
entry_free (gpointer data)
{
  Entry *self = data;

  g_object_unref (self->desk);
  g_free (self->suggested);
  g_free (self);
}

static gboolean
place_cb (LwForm *form, gpointer user, GError **error)
{
  Entry *self = user;
  LwPoint at;
  double turn;
  g_autofree char *ref = g_strstrip (g_strdup (lw_form_text (form, "ref"))), *next = NULL, *told = NULL;
  LwSide side = lw_form_choice (form, "side") == 1 ? LW_SIDE_BOTTOM : LW_SIDE_TOP;

  if (lw_desk_job (self->desk) == NULL)
    return TRUE;
  if (!lw_form_number (form, "x", &at.x_mm, error) || !lw_form_number (form, "y", &at.y_mm, error)
      || !lw_form_number (form, "rotation", &turn, error))
    return FALSE;
  if (!lw_part_entry_place (self->desk, ref, lw_form_text (form, "package"), lw_form_text (form, "value"), at, turn,
                            side, error))
    return FALSE;
  /* Translators: a part has been put on the board; the form is ready for the next one. */
  told = g_strdup_printf (_("%s placed"), ref);
  next = lw_job_free_ref (lw_desk_job (self->desk), ref);
  lw_form_set_text (form, "ref", next);
  lw_form_say (form, told, FALSE);
  lw_form_focus (form, "ref");
  return TRUE;
}

static void
clear_offers (Entry *self)
{
  GtkWidget *row;

  while ((row = gtk_widget_get_first_child (self->offers)) != NULL)
    gtk_list_box_remove (GTK_LIST_BOX (self->offers), row);
}

static void
show_offers (Entry *self)
{
  const char *typed = lw_form_text (self->form, "package");
  const LwJob *job = lw_desk_job (self->desk);
  g_autoptr (GPtrArray) names = lw_package_names (job, typed, SHOWN);

  clear_offers (self);
  for (guint i = 0; i < names->len; i++) {
    const char *name = g_ptr_array_index (names, i);
    const LwPackage *package = lw_package_named (job, name);
    g_autofree char *about = package == NULL ? g_strdup ("") : lw_package_about (package);
    g_autofree char *text = g_strdup_printf ("%s\n%s", name, about), *heard = g_strdup_printf ("%s, %s", name, about);
    GtkWidget *label = gtk_label_new (name);

    gtk_label_set_xalign (GTK_LABEL (label), 0);
    gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
    gtk_widget_set_tooltip_text (label, text);
    gtk_list_box_append (GTK_LIST_BOX (self->offers), label);
    gtk_accessible_update_property (GTK_ACCESSIBLE (gtk_widget_get_parent (label)), GTK_ACCESSIBLE_PROPERTY_LABEL, heard, -1);
  }
}

/* A reference that was only suggested follows the kind of the package. */
static void
suggest_ref (Entry *self)
{
  const LwPackage *package = lw_package_named (lw_desk_job (self->desk), lw_form_text (self->form, "package"));

  if (package == NULL || g_strcmp0 (self->suggested, lw_form_text (self->form, "ref")) != 0)
    return;
  g_free (self->suggested);
  self->suggested = next_ref (lw_desk_job (self->desk), package);
  lw_form_set_text (self->form, "ref", self->suggested);
}

static void
typed_cb (Entry *self)
{
  suggest_ref (self);
  if (!self->choosing)
    show_offers (self);
}

static void
take_name (Entry *self, const char *name)
{
  self->choosing = TRUE;
  lw_form_set_text (self->form, "package", name);
  self->choosing = FALSE;
  show_offers (self);
}

static void
chosen_cb (GtkListBox *list, GtkListBoxRow *row, Entry *self)
{
  g_autofree char *name = g_strdup (gtk_label_get_text (GTK_LABEL (gtk_list_box_row_get_child (row))));

  take_name (self, name);
  lw_form_focus (self->form, "value");
}

/* Down goes into the list; Tab and Enter take its first name for what is typed so far. */
static gboolean
package_key_cb (GtkEventControllerKey *keys, guint keyval, guint code, GdkModifierType state, Entry *self)
{
  GtkListBoxRow *first = gtk_list_box_get_row_at_index (GTK_LIST_BOX (self->offers), 0);
  const char *typed = lw_form_text (self->form, "package");
  g_autofree char *name = NULL;

  if (first == NULL)
    return FALSE; /* nothing fits: the keys do what they always do */
  if (keyval == GDK_KEY_Down) {
    gtk_widget_grab_focus (GTK_WIDGET (first));
    return TRUE;
  }
  if ((keyval != GDK_KEY_Tab && keyval != GDK_KEY_Return) || (state & GDK_SHIFT_MASK) != 0)
    return FALSE;
  name = g_strdup (gtk_label_get_text (GTK_LABEL (gtk_list_box_row_get_child (first))));
  if (*typed != '\0' && lw_package_named (lw_desk_job (self->desk), typed) == NULL)
    take_name (self, name);
  if (keyval == GDK_KEY_Return)
    return FALSE;
  lw_form_focus (self->form, "value"); /* past the list: it is there for the Down key */
  return TRUE;
}

static void
add_offers (Entry *self)
{
  GtkWidget *package = lw_form_widget (self->form, "package"), *room = gtk_scrolled_window_new ();
  GtkEventController *keys = gtk_event_controller_key_new ();

  self->offers = gtk_list_box_new ();
  gtk_widget_add_css_class (self->offers, "offers");
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->offers), GTK_ACCESSIBLE_PROPERTY_LABEL, _("Packages that fit"),
                                  -1);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (room), self->offers);
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (room), GTK_POLICY_NEVER, GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_min_content_height (GTK_SCROLLED_WINDOW (room), 84); /* the form keeps its size */
  gtk_scrolled_window_set_max_content_height (GTK_SCROLLED_WINDOW (room), 84);
  gtk_widget_add_css_class (room, "offers-room");
  lw_form_add_widget (self->form, room);
  gtk_event_controller_set_propagation_phase (keys, GTK_PHASE_CAPTURE);
  g_signal_connect (keys, "key-pressed", G_CALLBACK (package_key_cb), self);
  gtk_widget_add_controller (package, keys);
  g_signal_connect_swapped (package, "changed", G_CALLBACK (typed_cb), self);
  g_signal_connect (self->offers, "row-activated", G_CALLBACK (chosen_cb), self);
  show_offers (self);
}

LwForm *
lw_part_entry_new (GtkWidget *parent, LwDesk *desk, const char *package, LwPoint at)
{
  const char *sides[] = { lw_side_label (LW_SIDE_TOP), lw_side_label (LW_SIDE_BOTTOM), NULL };
  const LwJob *job = lw_desk_job (desk);
  Entry *self = g_new0 (Entry, 1);
  const LwPackage *known = package == NULL ? NULL : lw_package_named (job, package);
  g_autofree char *ref = next_ref (job, known);

  self->desk = g_object_ref (desk);
  self->suggested = g_strdup (ref);
  self->form = lw_form_new (parent, _("Place parts"), _("_Place"), place_cb, self);
  g_object_set_data_full (G_OBJECT (self->form), "entry", self, entry_free);
  lw_form_keep_open (self->form);
  lw_form_add_text (self->form, "ref", _("_Reference"), ref);
  lw_form_add_text (self->form, "package", _("Pac_kage"), package);
  add_offers (self);
  lw_form_add_text (self->form, "value", _("_Value"), NULL);
  lw_form_add_number (self->form, "x", _("_x"), "mm", 3, at.x_mm);
  lw_form_add_number (self->form, "y", _("_y"), "mm", 3, at.y_mm);
  lw_form_add_number (self->form, "rotation", _("R_otation"), "°", 1, 0);
  lw_form_add_choice (self->form, "side", _("_Side"), sides, lw_desk_side (desk) == LW_SIDE_BOTTOM);
  return self->form;
}
