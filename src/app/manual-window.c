#include "app/manual-window.h"

#include <glib/gi18n.h>
#include <string.h>

struct _LwManualWindow {
  GtkWindow parent_instance;
  GtkSearchEntry *search;
  GtkStack *lists;
  GtkListBox *chapters, *hits;
  GtkLabel *language;
  LwManualPage *page;

  GSimpleActionGroup *actions;
  LwManual *manual;     /* NULL when there is none */
  GPtrArray *found;     /* of LwManualHit; NULL while nothing is searched */
  GPtrArray *visited;   /* of char *, topics */
  guint at;             /* the one of them that is read */
  gboolean following;   /* the program, not the person, moves the selection */
};

G_DEFINE_FINAL_TYPE (LwManualWindow, lw_manual_window, GTK_TYPE_WINDOW)

const char *
lw_manual_window_topic (LwManualWindow *self)
{
  g_return_val_if_fail (LW_IS_MANUAL_WINDOW (self), "");
  return self->at < self->visited->len ? g_ptr_array_index (self->visited, self->at) : "";
}

LwManualPage *
lw_manual_window_page (LwManualWindow *self)
{
  g_return_val_if_fail (LW_IS_MANUAL_WINDOW (self), NULL);
  return self->page;
}

/* ---- what is read ---- */

static void
show_ways (LwManualWindow *self)
{
  GAction *back = g_action_map_lookup_action (G_ACTION_MAP (self->actions), "back");
  GAction *forward = g_action_map_lookup_action (G_ACTION_MAP (self->actions), "forward");

  g_simple_action_set_enabled (G_SIMPLE_ACTION (back), self->at > 0);
  g_simple_action_set_enabled (G_SIMPLE_ACTION (forward), self->at + 1 < self->visited->len);
}

static void
select_chapter (LwManualWindow *self, const LwManualChapter *chapter)
{
  guint at;

  self->following = TRUE;
  if (g_ptr_array_find (self->manual->chapters, chapter, &at))
    gtk_list_box_select_row (self->chapters, gtk_list_box_get_row_at_index (self->chapters, (int) at));
  self->following = FALSE;
}

static void
show_chapter (LwManualWindow *self, const LwManualChapter *chapter, int block)
{
  g_autofree char *title = NULL;

  /* Translators: %s is the title of a chapter. */
  title = g_strdup_printf (_("%s – Manual"), chapter->title);
  gtk_window_set_title (GTK_WINDOW (self), title);
  if (chapter->problem != NULL)
    lw_manual_page_show_problem (self->page, _("This chapter cannot be read"), chapter->problem);
  else
    lw_manual_page_show (self->page, chapter, block, self->found == NULL ? NULL : gtk_editable_get_text (GTK_EDITABLE (self->search)));
  select_chapter (self, chapter);
  show_ways (self);
}

/* Without a trace among what was visited. */
static void
show_topic (LwManualWindow *self, const char *topic)
{
  g_autofree char *anchor = NULL;
  const LwManualChapter *chapter = lw_manual_follow (self->manual, NULL, topic, &anchor);

  if (chapter == NULL)
    chapter = g_ptr_array_index (self->manual->chapters, 0);
  show_chapter (self, chapter, anchor == NULL ? -1 : lw_manual_place (chapter, anchor));
}

/* What lay ahead is forgotten, as where a path is left. */
static void
note_visit (LwManualWindow *self, const char *topic)
{
  if (g_strcmp0 (lw_manual_window_topic (self), topic) == 0)
    return;
  if (self->visited->len > 0)
    g_ptr_array_set_size (self->visited, (int) self->at + 1);
  g_ptr_array_add (self->visited, g_strdup (topic));
  self->at = self->visited->len - 1;
}

static void
visit (LwManualWindow *self, const char *topic)
{
  if (self->manual == NULL)
    return;
  note_visit (self, topic);
  show_topic (self, topic);
}

/* The name by which README.md would know it: those beside the manual begin with "../". */
static char *
topic_of (LwManualWindow *self, const LwManualChapter *chapter, const char *anchor)
{
  g_autofree char *folder = g_path_get_dirname (chapter->file);
  const char *way = g_str_equal (folder, self->manual->folder) ? "" : "../", *end = *way == '\0' ? "" : ".md";

  return anchor == NULL ? g_strconcat (way, chapter->name, end, NULL)
                        : g_strconcat (way, chapter->name, end, "#", anchor, NULL);
}

static void
on_link (LwManualPage *page, const char *target, LwManualWindow *self)
{
  g_autofree char *here = NULL, *anchor = NULL, *topic = NULL;
  const LwManualChapter *from, *to;

  if (g_str_has_prefix (target, "https://")) {
    gtk_show_uri (GTK_WINDOW (self), target, GDK_CURRENT_TIME);
    return;
  }
  from = lw_manual_follow (self->manual, NULL, lw_manual_window_topic (self), &here);
  to = lw_manual_follow (self->manual, from, target, &anchor);
  if (to == NULL)
    return;
  topic = topic_of (self, to, anchor);
  visit (self, topic);
  gtk_widget_grab_focus (GTK_WIDGET (self->page));
}

/* ---- the list of chapters ---- */

static GtkWidget *
list_label (const char *text, const char *class)
{
  GtkWidget *label = gtk_label_new (text);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  if (class != NULL)
    gtk_widget_add_css_class (label, class);
  return label;
}

static void
header_cb (GtkListBoxRow *row, GtkListBoxRow *before, gpointer user)
{
  LwManualWindow *self = user;
  const LwManualChapter *chapter = g_ptr_array_index (self->manual->chapters, gtk_list_box_row_get_index (row));
  const LwManualChapter *above
    = before == NULL ? NULL : g_ptr_array_index (self->manual->chapters, gtk_list_box_row_get_index (before));

  gtk_list_box_row_set_header (row, above != NULL && g_str_equal (above->group, chapter->group)
                                      ? NULL
                                      : list_label (chapter->group, "manual-group"));
}

/* A row that is heard as TITLE: GTK does not name it after what it holds. */
static void
append_row (GtkListBox *list, GtkWidget *child, const char *title)
{
  GtkWidget *row = gtk_list_box_row_new ();

  gtk_list_box_row_set_child (GTK_LIST_BOX_ROW (row), child);
  gtk_accessible_update_property (GTK_ACCESSIBLE (row), GTK_ACCESSIBLE_PROPERTY_LABEL, title, -1);
  gtk_list_box_append (list, row);
}

static void
fill_chapters (LwManualWindow *self)
{
  gtk_list_box_set_header_func (self->chapters, header_cb, self, NULL);
  for (guint i = 0; i < self->manual->chapters->len; i++) {
    const LwManualChapter *chapter = g_ptr_array_index (self->manual->chapters, i);

    append_row (self->chapters, list_label (chapter->title, NULL), chapter->title);
  }
}

static void
on_chapter (GtkListBox *list, GtkListBoxRow *row, LwManualWindow *self)
{
  g_autofree char *topic = NULL;

  if (row == NULL || self->following)
    return;
  topic = topic_of (self, g_ptr_array_index (self->manual->chapters, gtk_list_box_row_get_index (row)), NULL);
  visit (self, topic);
}

/* From the list into what it has opened. */
static void
on_enter (GtkListBox *list, GtkListBoxRow *row, LwManualWindow *self)
{
  gtk_widget_grab_focus (GTK_WIDGET (self->page));
}

/* ---- search ---- */

static void
append_hit (LwManualWindow *self, const LwManualHit *hit)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 1);
  const LwManualBlock *heading = g_ptr_array_index (hit->chapter->blocks, hit->heading);

  gtk_box_append (GTK_BOX (box), list_label (heading->text, "chosen"));
  if (!g_str_equal (heading->text, hit->chapter->title))
    gtk_box_append (GTK_BOX (box), list_label (hit->chapter->title, "source"));
  gtk_box_append (GTK_BOX (box), list_label (hit->snippet, "quiet"));
  append_row (self->hits, box, heading->text);
}

static void
clear_hits (LwManualWindow *self)
{
  GtkListBoxRow *row;

  self->following = TRUE;
  while ((row = gtk_list_box_get_row_at_index (self->hits, 0)) != NULL)
    gtk_list_box_remove (self->hits, GTK_WIDGET (row));
  self->following = FALSE;
  g_clear_pointer (&self->found, g_ptr_array_unref);
}

static void
on_search (GtkSearchEntry *entry, LwManualWindow *self)
{
  g_autofree char *needle = g_strstrip (g_strdup (gtk_editable_get_text (GTK_EDITABLE (entry))));

  if (self->manual == NULL)
    return;
  clear_hits (self);
  if (*needle == '\0') {
    gtk_stack_set_visible_child_name (self->lists, "chapters");
    return;
  }
  self->found = lw_manual_search (self->manual, needle);
  for (guint i = 0; i < self->found->len; i++)
    append_hit (self, g_ptr_array_index (self->found, i));
  gtk_stack_set_visible_child_name (self->lists, self->found->len > 0 ? "hits" : "none");
}

static void
on_hit (GtkListBox *list, GtkListBoxRow *row, LwManualWindow *self)
{
  const LwManualHit *hit;
  const LwManualBlock *heading;
  g_autofree char *topic = NULL;

  if (row == NULL || self->following)
    return;
  hit = g_ptr_array_index (self->found, gtk_list_box_row_get_index (row));
  heading = g_ptr_array_index (hit->chapter->blocks, hit->heading);
  topic = topic_of (self, hit->chapter, heading->anchors == NULL ? NULL : g_ptr_array_index (heading->anchors, 0));
  note_visit (self, topic);
  show_chapter (self, hit->chapter, (int) hit->block);
}

/* Enter in the search goes to the first hit. */
static void
on_search_enter (GtkSearchEntry *entry, LwManualWindow *self)
{
  GtkListBoxRow *first;

  on_search (entry, self); /* the entry waits for typing to end; Enter does not */
  first = gtk_list_box_get_row_at_index (self->hits, 0);
  if (first == NULL)
    return;
  gtk_list_box_select_row (self->hits, first);
  gtk_widget_grab_focus (GTK_WIDGET (first));
}

static void
on_stop_search (GtkSearchEntry *entry, LwManualWindow *self)
{
  if (*gtk_editable_get_text (GTK_EDITABLE (entry)) == '\0')
    gtk_window_close (GTK_WINDOW (self));
  else
    gtk_editable_set_text (GTK_EDITABLE (entry), "");
}

/* ---- ways ---- */

static void
search_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  gtk_widget_grab_focus (GTK_WIDGET (((LwManualWindow *) user)->search));
}

static void
back_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  LwManualWindow *self = user;

  self->at--;
  show_topic (self, lw_manual_window_topic (self));
  gtk_widget_grab_focus (GTK_WIDGET (self->page));
}

static void
forward_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  LwManualWindow *self = user;

  self->at++;
  show_topic (self, lw_manual_window_topic (self));
  gtk_widget_grab_focus (GTK_WIDGET (self->page));
}

/* ---- the object ---- */

/* Whether what is on the screen is in a language other than the manual's. */
static gboolean
other_language (void)
{
  const char *language = g_get_language_names ()[0];

  return !g_str_has_prefix (language, "en") && !g_str_equal (language, "C") && !g_str_has_prefix (language, "C.")
         && !g_str_equal (language, "POSIX");
}

static void
load (LwManualWindow *self)
{
  g_autofree char *looked_in = NULL, *folder = lw_manual_folder (&looked_in), *detail = NULL;
  g_autoptr (GError) error = NULL;

  self->manual = folder == NULL ? NULL : lw_manual_load (folder, &error);
  if (self->manual != NULL) {
    fill_chapters (self);
    return;
  }
  if (folder == NULL)
    /* Translators: %s are folders, a line each. */
    detail = g_strdup_printf (_("It comes with the program; installing the program again brings it back. "
                                "It was looked for in:\n\n%s"), looked_in);
  lw_manual_page_show_problem (self->page, folder == NULL ? _("The manual is not there") : _("The manual cannot be read"),
                               folder == NULL ? detail : error->message);
  gtk_widget_set_sensitive (GTK_WIDGET (self->search), FALSE);
}

static void
lw_manual_window_dispose (GObject *object)
{
  LwManualWindow *self = LW_MANUAL_WINDOW (object);

  self->following = TRUE;
  gtk_widget_dispose_template (GTK_WIDGET (self), LW_TYPE_MANUAL_WINDOW);
  g_clear_object (&self->actions);
  G_OBJECT_CLASS (lw_manual_window_parent_class)->dispose (object);
}

static void
lw_manual_window_finalize (GObject *object)
{
  LwManualWindow *self = LW_MANUAL_WINDOW (object);

  g_clear_pointer (&self->found, g_ptr_array_unref);
  g_clear_pointer (&self->manual, lw_manual_free);
  g_ptr_array_unref (self->visited);
  G_OBJECT_CLASS (lw_manual_window_parent_class)->finalize (object);
}

static void
lw_manual_window_class_init (LwManualWindowClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  G_OBJECT_CLASS (class)->dispose = lw_manual_window_dispose;
  G_OBJECT_CLASS (class)->finalize = lw_manual_window_finalize;
  g_type_ensure (LW_TYPE_MANUAL_PAGE);
  gtk_widget_class_set_template_from_resource (widget_class, "/org/leeward/Leeward/ui/manual-window.ui");
  gtk_widget_class_bind_template_child (widget_class, LwManualWindow, search);
  gtk_widget_class_bind_template_child (widget_class, LwManualWindow, lists);
  gtk_widget_class_bind_template_child (widget_class, LwManualWindow, chapters);
  gtk_widget_class_bind_template_child (widget_class, LwManualWindow, hits);
  gtk_widget_class_bind_template_child (widget_class, LwManualWindow, language);
  gtk_widget_class_bind_template_child (widget_class, LwManualWindow, page);
  gtk_widget_class_bind_template_callback (widget_class, on_chapter);
  gtk_widget_class_bind_template_callback (widget_class, on_enter);
  gtk_widget_class_bind_template_callback (widget_class, on_hit);
  gtk_widget_class_bind_template_callback (widget_class, on_link);
  gtk_widget_class_bind_template_callback (widget_class, on_search);
  gtk_widget_class_bind_template_callback (widget_class, on_search_enter);
  gtk_widget_class_bind_template_callback (widget_class, on_stop_search);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Escape, 0, "window.close", NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_w, GDK_CONTROL_MASK, "window.close", NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_f, GDK_CONTROL_MASK, "manual.search", NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Left, GDK_ALT_MASK, "manual.back", NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Right, GDK_ALT_MASK, "manual.forward", NULL);
}

static void
lw_manual_window_init (LwManualWindow *self)
{
  static const GActionEntry entries[] = { { "search", search_cb }, { "back", back_cb }, { "forward", forward_cb } };

  self->visited = g_ptr_array_new_with_free_func (g_free);
  self->actions = g_simple_action_group_new ();
  g_action_map_add_action_entries (G_ACTION_MAP (self->actions), entries, G_N_ELEMENTS (entries), self);
  gtk_widget_insert_action_group (GTK_WIDGET (self), "manual", G_ACTION_GROUP (self->actions));
  gtk_widget_init_template (GTK_WIDGET (self));
  gtk_search_entry_set_key_capture_widget (self->search, GTK_WIDGET (self->chapters));
  gtk_widget_set_visible (GTK_WIDGET (self->language), other_language ());
  show_ways (self);
  load (self);
}

LwManualWindow *
lw_manual_window_open (GtkApplication *app, const char *topic)
{
  LwManualWindow *window = NULL;

  for (GList *at = gtk_application_get_windows (app); at != NULL && window == NULL; at = at->next)
    if (LW_IS_MANUAL_WINDOW (at->data))
      window = at->data;
  if (window == NULL)
    window = g_object_new (LW_TYPE_MANUAL_WINDOW, "application", app, NULL);
  visit (window, topic);
  gtk_window_present (GTK_WINDOW (window));
  gtk_widget_grab_focus (GTK_WIDGET (window->page));
  return window;
}
