/* The manual read as a person reads it: F1, the list, search, links, ways back, a finding's "Why?", and a manual that is
 * not there. Keys and clicks go through the X server. */
#include "app/manual-window.h"

#include <glib/gstdio.h>

#include "hands.h"

static LwManualWindow *
manual (void)
{
  for (GList *at = gtk_application_get_windows (ui_application ()); at != NULL; at = at->next)
    if (LW_IS_MANUAL_WINDOW (at->data))
      return at->data;
  return NULL;
}

static gboolean
reads (gpointer topic)
{
  return manual () != NULL && gtk_window_is_active (GTK_WINDOW (manual ()))
         && g_str_equal (lw_manual_window_topic (manual ()), topic);
}

#define ASSERT_READS(topic) g_assert_true (ui_wait (reads, (gpointer) (topic), 8000))

static gboolean
is_active (gpointer window)
{
  return gtk_window_is_active (window);
}

static gboolean
is_gone (gpointer data)
{
  return manual () == NULL;
}

static gboolean
is_laid_out (gpointer widget)
{
  return gtk_widget_get_width (widget) > 0;
}

static gboolean
is_scrolled (gpointer data)
{
  return gtk_adjustment_get_value (lw_manual_page_scroll (lw_manual_window_page (manual ()))) > 0;
}

/* The first label below WIDGET with this text. */
static GtkWidget *
find_text (GtkWidget *widget, const char *text)
{
  if (GTK_IS_LABEL (widget) && g_strcmp0 (gtk_label_get_text (GTK_LABEL (widget)), text) == 0)
    return widget;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL; child = gtk_widget_get_next_sibling (child)) {
    GtkWidget *found = gtk_widget_get_mapped (child) ? find_text (child, text) : NULL;

    if (found != NULL)
      return found;
  }
  return NULL;
}

static gboolean
has_text (gpointer text)
{
  return manual () != NULL && gtk_window_is_active (GTK_WINDOW (manual ())) && find_text (GTK_WIDGET (manual ()), text) != NULL;
}

static void
wait_active (gpointer window)
{
  gtk_window_present (window);
  g_assert_true (ui_wait (is_active, window, 8000));
  ui_spin (250); /* GTK hears of the focus before the window manager has done with it */
}

/* A key that does no more when it comes twice: one that came while the focus moved is lost. */
static void
key_until (const char *keys, UiTest test, gpointer data)
{
  for (guint i = 0; i < 4; i++) {
    key (keys);
    if (ui_wait (test, data, 3000))
      return;
  }
  g_error ("%s did nothing; the manual reads %s", keys, manual () == NULL ? "nothing" : lw_manual_window_topic (manual ()));
}

static LwWindow *
job_window (void)
{
  LwWindow *window = ui_window (ui_planned_job ());

  wait_active (window);
  return window;
}

/* F1 tells of what has the keyboard; the main window's going takes the manual along. */
static void
test_context (void)
{
  LwWindow *window = ui_window (NULL);

  wait_active (window);
  key_until ("F1", reads, (gpointer) "before");
  key ("Escape");
  g_assert_true (ui_wait (is_gone, NULL, 4000));
  ui_close (window);

  window = job_window ();
  gtk_widget_grab_focus (GTK_WIDGET (window->board_view));
  key_until ("F1", reads, (gpointer) "board");
  key ("Escape");
  g_assert_true (ui_wait (is_gone, NULL, 4000));
  wait_active (window);
  lw_lower_pane_show_page (window->lower, "stages");
  gtk_widget_child_focus (GTK_WIDGET (window->lower), GTK_DIR_TAB_FORWARD);
  key_until ("F1", reads, (gpointer) "plan#stages");
  g_assert_cmpuint (g_list_length (gtk_application_get_windows (ui_application ())), ==, 2);
  ui_close (window);
  g_assert_true (ui_wait (is_gone, NULL, 4000));
}

/* From a row of the findings to the rule behind it, by F1 and by a click. */
static void
test_why (void)
{
  LwWindow *window = job_window ();
  g_autoptr (GPtrArray) findings = ui_findings ();
  const char *kind = ((const LwFinding *) g_ptr_array_index (findings, 0))->kind;
  g_autofree char *topic = g_strconcat ("findings#", kind, NULL);
  GtkWidget *why;

  lw_desk_take_answer (lw_window_desk (window), lw_document_revision (lw_desk_document (lw_window_desk (window))), NULL,
                       findings);
  ui_spin (300);
  why = find_text (GTK_WIDGET (window->findings), "Why?");
  g_assert_nonnull (why);
  point_at (window, why);
  press ("1", "1");
  ASSERT_READS (topic);
  g_assert_true (ui_wait (is_scrolled, NULL, 8000));
  key ("Escape");
  g_assert_true (ui_wait (is_gone, NULL, 4000));
  wait_active (window);
  gtk_single_selection_set_selected (lw_findings_panel_selection (window->findings), 0);
  gtk_widget_child_focus (GTK_WIDGET (window->findings), GTK_DIR_TAB_FORWARD);
  key_until ("F1", reads, (gpointer) topic);
  ui_close (window);
}

/* Search by typing, the first hit by Enter, a link by Tab and Enter, back and forward, the list by its arrows. */
static void
test_reading (void)
{
  LwWindow *window = job_window ();
  LwManualWindow *reader = lw_manual_window_open (ui_application (), "before");

  wait_active (reader);
  key ("ctrl+f");
  type ("undercooling");
  key ("Return");
  ASSERT_READS ("unknown#what-its-equations-leave-out");
  g_assert_true (ui_wait (is_scrolled, NULL, 8000));
  key ("Return"); /* from the hit into the text */
  key ("ctrl+f");
  key ("Escape"); /* the search is taken back, the window stays */
  g_assert_nonnull (manual ());
  key ("alt+Left");
  ASSERT_READS ("before");
  key ("Tab");
  key ("Return"); /* the chapter's first link */
  ASSERT_READS ("unknown");
  key ("alt+Left");
  ASSERT_READS ("before");
  key ("alt+Right");
  ASSERT_READS ("unknown");
  key ("ctrl+f");
  type ("zzqx");
  g_assert_true (ui_wait (has_text, (gpointer) "No place has all of these words.", 8000));
  key ("Escape");
  key ("Escape");
  g_assert_true (ui_wait (is_gone, NULL, 4000));
  ui_close (window);
}

/* Every link of every chapter leads to a chapter and a place there; every chapter can be shown. */
static void
test_links (void)
{
  g_autofree char *looked_in = NULL, *folder = lw_manual_folder (&looked_in);
  g_autoptr (GError) error = NULL;
  g_autoptr (LwManual) all = lw_manual_load (folder, &error);
  g_autoptr (GRegex) link = g_regex_new ("<a href=\"([^\"]+)\">", 0, 0, NULL);
  GtkWidget *page = g_object_ref_sink (lw_manual_page_new ());
  guint links = 0;

  g_assert_no_error (error);
  for (guint i = 0; i < all->chapters->len; i++) {
    const LwManualChapter *chapter = g_ptr_array_index (all->chapters, i);

    g_assert_cmpstr (chapter->problem, ==, NULL);
    lw_manual_page_show (LW_MANUAL_PAGE (page), chapter, -1, "the board");
    for (guint k = 0; k < chapter->blocks->len; k++) {
      const LwManualBlock *block = g_ptr_array_index (chapter->blocks, k);
      g_autoptr (GMatchInfo) match = NULL;

      if (block->markup == NULL)
        continue;
      for (g_regex_match (link, block->markup, 0, &match); g_match_info_matches (match); g_match_info_next (match, NULL)) {
        g_autofree char *target = g_match_info_fetch (match, 1), *anchor = NULL;
        const LwManualChapter *to = lw_manual_follow (all, chapter, target, &anchor);

        g_test_message ("%s: %s", chapter->name, target);
        g_assert_nonnull (to);
        g_assert_true (anchor == NULL || lw_manual_place (to, anchor) >= 0);
        links++;
      }
    }
  }
  g_assert_cmpuint (links, >, 30);
  g_object_unref (page);
}

/* What CommonMark says of a text (spec 0.31: lists, code, emphasis, images), and text that is none. */
static void
test_markdown (void)
{
  const char *text = "# A `code-word` *here*\n\nOne <b>.\n\n2. two\n3. three\n   - deep\n\n![What](a.png)\n\n| a | b |\n|---|---|\n| 1 | 2 |\n";
  g_autoptr (GError) error = NULL;
  g_autoptr (GPtrArray) blocks = lw_manual_read (text, strlen (text), "x.md", &error);
  g_autofree char *deep = g_strnfill (200, '>'), *large = g_strnfill (1024 * 1024 + 1, 'x');
  g_autoptr (GString) nested = g_string_new (NULL);
  const LwManualKind kinds[] = { LW_MANUAL_HEADING, LW_MANUAL_TEXT, LW_MANUAL_ITEM, LW_MANUAL_ITEM, LW_MANUAL_ITEM,
                                 LW_MANUAL_PICTURE, LW_MANUAL_TABLE };

  g_assert_no_error (error);
  g_assert_cmpuint (blocks->len, ==, G_N_ELEMENTS (kinds));
  for (guint i = 0; i < blocks->len; i++)
    g_assert_cmpint (((LwManualBlock *) g_ptr_array_index (blocks, i))->kind, ==, kinds[i]);
  g_assert_cmpstr (g_ptr_array_index (((LwManualBlock *) g_ptr_array_index (blocks, 0))->anchors, 0), ==, "code-word");
  g_assert_cmpstr (g_ptr_array_index (((LwManualBlock *) g_ptr_array_index (blocks, 0))->anchors, 1), ==, "a-code-word-here");
  g_assert_cmpstr (((LwManualBlock *) g_ptr_array_index (blocks, 1))->markup, ==, "One &lt;b&gt;.");
  g_assert_cmpstr (((LwManualBlock *) g_ptr_array_index (blocks, 3))->mark, ==, "3.");
  g_assert_cmpint (((LwManualBlock *) g_ptr_array_index (blocks, 4))->level, ==, 1);
  g_assert_cmpuint (((LwManualBlock *) g_ptr_array_index (blocks, 6))->rows->len, ==, 2);

  g_assert_null (lw_manual_read ("a\xff", 2, "bad.md", &error));
  g_assert_nonnull (strstr (error->message, "bad.md: byte 2"));
  g_clear_error (&error);
  g_assert_null (lw_manual_read (large, strlen (large), "large.md", &error));
  g_clear_error (&error);
  g_ptr_array_unref (lw_manual_read (deep, strlen (deep), "deep.md", NULL));
  for (guint i = 0; i < 40; i++)
    g_string_append (nested, "- ");
  g_string_append_c (nested, 'x'); /* without it they would be a rule */
  g_assert_null (lw_manual_read (nested->str, nested->len, "nested.md", &error));
  g_assert_nonnull (strstr (error->message, "nested.md"));
}

/* A manual that is not there, one without chapters, and one of which a chapter is missing: said, and nothing falls over. */
static void
test_missing (void)
{
  g_autofree char *docs = g_dir_make_tmp ("leeward-manual-XXXXXX", NULL), *folder = g_build_filename (docs, "manual", NULL);
  g_autofree char *index = g_build_filename (folder, "README.md", NULL), *before = g_strdup (g_getenv ("LEEWARD_DOCS"));
  LwWindow *window = job_window ();

  g_setenv ("LEEWARD_DOCS", docs, TRUE);
  key_until ("F1", has_text, (gpointer) "The manual is not there");
  g_assert_cmpstr (lw_manual_window_topic (manual ()), ==, "");
  key ("alt+Left");
  key ("Escape");
  g_assert_true (ui_wait (is_gone, NULL, 4000));

  g_mkdir (folder, 0700);
  g_file_set_contents (index, "# Nothing\n", -1, NULL);
  wait_active (window);
  key_until ("F1", has_text, (gpointer) "The manual cannot be read");
  key ("Escape");
  g_assert_true (ui_wait (is_gone, NULL, 4000));

  g_file_set_contents (index, "# Some\n\n- [Gone](gone.md)\n- [Out](https://example.org/a)\n", -1, NULL);
  wait_active (window);
  key_until ("F1", has_text, (gpointer) "This chapter cannot be read");
  ui_close (window);
  g_setenv ("LEEWARD_DOCS", before, TRUE);
  g_unlink (index);
  g_rmdir (folder);
  g_rmdir (docs);
}

/* The first page: what it offers, and a file that was opened lately. */
static void
test_first_page (void)
{
  LwWindow *window = ui_window (NULL);

  wait_active (window);
  g_assert_true (ui_wait (is_laid_out, window->content, 8000));
  ui_spin (300);
  g_assert_nonnull (find_text (GTK_WIDGET (window), "Demo Job"));
  g_assert_nonnull (find_text (GTK_WIDGET (window), "New Board…"));
  point_at (window, find_text (GTK_WIDGET (window), "Manual"));
  press ("1", "1");
  ASSERT_READS ("first-job");
  ui_close (window);
}

int
main (int argc, char **argv)
{
  GPid wm;

  ui_test_init (&argc, &argv);
  wm = hands_start ();
  g_test_add_func ("/manual/markdown", test_markdown);
  g_test_add_func ("/manual/links", test_links);
  g_test_add_func ("/manual/context", test_context);
  g_test_add_func ("/manual/why", test_why);
  g_test_add_func ("/manual/reading", test_reading);
  g_test_add_func ("/manual/missing", test_missing);
  g_test_add_func ("/manual/first-page", test_first_page);
  return hands_run (wm);
}
