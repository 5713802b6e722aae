#include "app/manual-blocks.h"

#include <glib/gi18n.h>
#include <string.h>

#define INDENT 22 /* px an item stands in */
#define CELL_WIDTH 44 /* letters after which a cell wraps */

typedef struct {
  char **words;
  gboolean (*link) (GtkLabel *label, const char *target, gpointer user);
  gpointer user;
} Maker;

static void
mark_word (PangoAttrList *list, const char *text, const char *word)
{
  int at, length, from = 0;

  while ((at = lw_manual_find_word (text + from, word, &length)) >= 0) {
    PangoAttribute *back = pango_attr_background_new (0xffff, 0xdd00, 0x5500);
    PangoAttribute *ink = pango_attr_foreground_new (0x1000, 0x1000, 0x1000);

    back->start_index = ink->start_index = (guint) (from + at);
    back->end_index = ink->end_index = (guint) (from + at + length);
    pango_attr_list_insert (list, back);
    pango_attr_list_insert (list, ink);
    from += at + length;
  }
}

static void
mark_words (GtkLabel *label, char **words)
{
  PangoAttrList *list;

  if (words == NULL || words[0] == NULL)
    return;
  list = pango_attr_list_new ();
  for (guint i = 0; words[i] != NULL; i++)
    mark_word (list, gtk_label_get_text (label), words[i]);
  gtk_label_set_attributes (label, list);
  pango_attr_list_unref (list);
}

/* Markup that a picture has cut in two is shown as it stands. */
static GtkWidget *
label_in_role (const Maker *make, const char *markup, const char *class, GtkAccessibleRole role)
{
  GtkWidget *label = g_object_new (GTK_TYPE_LABEL, "accessible-role", role, NULL);

  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_markup (GTK_LABEL (label), markup);
  mark_words (GTK_LABEL (label), make->words);
  if (strstr (markup, "<a href") != NULL)
    g_signal_connect (label, "activate-link", G_CALLBACK (make->link), make->user);
  if (class != NULL)
    gtk_widget_add_css_class (label, class);
  return label;
}

static GtkWidget *
label_new (const Maker *make, const char *markup, const char *class)
{
  return label_in_role (make, markup, class, GTK_ACCESSIBLE_ROLE_LABEL);
}

static GtkWidget *
heading_new (const Maker *make, const LwManualBlock *block)
{
  g_autofree char *class = g_strdup_printf ("manual-h%d", CLAMP (block->level, 1, 4));
  GtkWidget *label = label_in_role (make, block->markup, class, GTK_ACCESSIBLE_ROLE_HEADING);

  gtk_accessible_update_property (GTK_ACCESSIBLE (label), GTK_ACCESSIBLE_PROPERTY_LEVEL, block->level, -1);
  return label;
}

static GtkWidget *
item_new (const Maker *make, const LwManualBlock *block)
{
  GtkWidget *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);
  GtkWidget *mark = gtk_label_new (block->mark), *text = label_new (make, block->markup, NULL);

  gtk_widget_set_size_request (mark, INDENT, -1);
  gtk_label_set_xalign (GTK_LABEL (mark), 1);
  gtk_widget_set_valign (mark, GTK_ALIGN_BASELINE);
  gtk_widget_set_valign (text, GTK_ALIGN_BASELINE);
  gtk_widget_set_hexpand (text, TRUE);
  gtk_widget_set_margin_start (line, block->level * INDENT);
  gtk_widget_add_css_class (line, "manual-item");
  gtk_box_append (GTK_BOX (line), mark);
  gtk_box_append (GTK_BOX (line), text);
  return line;
}

/* Lines of code are not broken; a long one is scrolled to. */
static GtkWidget *
code_new (const Maker *make, const LwManualBlock *block)
{
  GtkWidget *label = label_new (make, block->markup, "manual-code"), *scroll = gtk_scrolled_window_new ();

  gtk_label_set_wrap (GTK_LABEL (label), FALSE);
  gtk_label_set_selectable (GTK_LABEL (label), TRUE);
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (scroll), GTK_POLICY_AUTOMATIC, GTK_POLICY_NEVER);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scroll), label);
  return scroll;
}

static GtkWidget *
table_new (const Maker *make, const LwManualBlock *block)
{
  GtkWidget *grid = gtk_grid_new ();

  gtk_widget_add_css_class (grid, "manual-table");
  for (guint y = 0; y < block->rows->len; y++) {
    const GPtrArray *row = g_ptr_array_index (block->rows, y);

    for (guint x = 0; x < row->len; x++) {
      GtkWidget *cell = label_new (make, g_ptr_array_index (row, x), y == 0 ? "manual-head" : "manual-cell");

      gtk_label_set_max_width_chars (GTK_LABEL (cell), CELL_WIDTH);
      gtk_label_set_yalign (GTK_LABEL (cell), 0);
      if (x + 1 == row->len)
        gtk_widget_set_hexpand (cell, TRUE);
      gtk_grid_attach (GTK_GRID (grid), cell, (int) x, (int) y, 1, 1);
    }
  }
  return grid;
}

/* A picture that is missing leaves its words. */
static GtkWidget *
picture_new (const Maker *make, const LwManualBlock *block, const char *folder)
{
  g_autofree char *path = g_build_filename (folder, block->path, NULL);
  g_autoptr (GdkTexture) texture = gdk_texture_new_from_filename (path, NULL);
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 4);
  g_autofree char *said = NULL, *safe = NULL;

  if (texture != NULL) {
    GtkWidget *picture = gtk_picture_new_for_paintable (GDK_PAINTABLE (texture));

    gtk_picture_set_alternative_text (GTK_PICTURE (picture), block->text);
    gtk_widget_add_css_class (picture, "manual-picture");
    gtk_widget_set_halign (picture, GTK_ALIGN_START);
    gtk_box_append (GTK_BOX (box), picture);
    said = g_strdup (block->text);
  } else
    /* Translators: %s says what a picture would show. */
    said = g_strdup_printf (_("(The picture is missing: %s)"), block->text);
  safe = g_markup_escape_text (said, -1);
  gtk_box_append (GTK_BOX (box), label_new (make, safe, "manual-caption"));
  return box;
}

GtkWidget *
lw_manual_block_widget (const LwManualBlock *block, const char *folder, char **words,
                        gboolean (*link) (GtkLabel *label, const char *target, gpointer user), gpointer user)
{
  const Maker make = { words, link, user };

  switch (block->kind) {
  case LW_MANUAL_HEADING: return heading_new (&make, block);
  case LW_MANUAL_ITEM: return item_new (&make, block);
  case LW_MANUAL_QUOTE: return label_new (&make, block->markup, "manual-quote");
  case LW_MANUAL_CODE: return code_new (&make, block);
  case LW_MANUAL_TABLE: return table_new (&make, block);
  case LW_MANUAL_PICTURE: return picture_new (&make, block, folder);
  default: return label_new (&make, block->markup, "manual-text");
  }
}
