/* The document: history, merging, the saved mark, what it announces. */
#include <gio/gio.h>
#include <glib/gstdio.h>
#include <string.h>

#include "board/document.h"
#include "board/edits.h"
#include "board/job-file.h"
#include "job-fixture.h"

typedef struct {
  guint changed;
  guint64 revision;
  GString *notified;
} Ear;

static void
on_changed (LwDocument *document, guint64 revision, Ear *ear)
{
  ear->changed++;
  g_assert_cmpuint (revision, >, ear->revision);
  g_assert_cmpuint (revision, ==, lw_document_revision (document));
  ear->revision = revision;
}

static void
on_notify (LwDocument *document, GParamSpec *pspec, Ear *ear)
{
  g_string_append_printf (ear->notified, "%s ", pspec->name);
}

static LwJob *
fixture_job (void)
{
  g_autoptr (GError) error = NULL;
  LwJob *job = lw_job_from_data ("fixture", fixture, strlen (fixture), &error);

  g_assert_no_error (error);
  return job;
}

static LwDocument *
make_document (Ear *ear)
{
  LwDocument *document = lw_document_new (fixture_job (), NULL);

  ear->notified = g_string_new (NULL);
  g_signal_connect (document, "changed", G_CALLBACK (on_changed), ear);
  g_signal_connect (document, "notify", G_CALLBACK (on_notify), ear);
  return document;
}

static void
edit (LwDocument *document, double x_mm, const char *label, const char *key)
{
  g_autoptr (GError) error = NULL;
  LwJob *job = lw_edit_move_part (lw_document_job (document), 0, x_mm, 30, &error);

  g_assert_no_error (error);
  lw_document_edit (document, job, label, key);
}

static double
x_of (LwDocument *document)
{
  return lw_job_number (lw_document_job (document), "parts[0].x_mm");
}

static void
assert_notified (Ear *ear, const char *expected)
{
  g_assert_cmpstr (ear->notified->str, ==, expected);
  g_string_truncate (ear->notified, 0);
}

static void
test_history (void)
{
  Ear ear = { 0 };
  g_autoptr (LwDocument) d = make_document (&ear);

  g_assert_false (lw_document_modified (d));
  g_assert_null (lw_document_undo_label (d));
  g_assert_false (lw_document_undo (d));
  g_assert_false (lw_document_redo (d));
  edit (d, 41, "Move U1", NULL);
  assert_notified (&ear, "modified undo-label ");
  edit (d, 42, "Move U1 again", NULL);
  assert_notified (&ear, "undo-label ");
  g_assert_cmpstr (lw_document_undo_label (d), ==, "Move U1 again");
  g_assert_true (lw_document_undo (d));
  g_assert_cmpfloat (x_of (d), ==, 41);
  assert_notified (&ear, "undo-label redo-label ");
  g_assert_cmpstr (lw_document_redo_label (d), ==, "Move U1 again");
  g_assert_true (lw_document_undo (d));
  g_assert_cmpfloat (x_of (d), ==, 40);
  g_assert_false (lw_document_modified (d));
  g_assert_true (lw_document_redo (d));
  g_assert_cmpfloat (x_of (d), ==, 41);
  edit (d, 43, "Elsewhere", NULL); /* a new edit drops what could be redone */
  g_assert_null (lw_document_redo_label (d));
  g_assert_cmpuint (ear.changed, ==, 6);
  g_assert_cmpuint (lw_document_revision (d), ==, 6);
  g_string_free (ear.notified, TRUE);
}

static void
test_merging (void)
{
  Ear ear = { 0 };
  g_autoptr (LwDocument) d = make_document (&ear);

  for (int i = 0; i < 10; i++)
    edit (d, 41 + i * 0.1, "Drag", "drag U1");
  g_assert_cmpuint (ear.changed, ==, 10); /* every step is announced */
  lw_document_seal (d);
  edit (d, 45, "Drag", "drag U1"); /* another drag */
  edit (d, 46, "Drag", "drag U1");
  edit (d, 47, "Other", "other");
  edit (d, 48, "Drag", "drag U1"); /* not directly after one another */
  g_assert_true (lw_document_undo (d));
  g_assert_cmpfloat (x_of (d), ==, 47);
  g_assert_true (lw_document_undo (d));
  g_assert_cmpfloat (x_of (d), ==, 46);
  g_assert_true (lw_document_undo (d));
  g_assert_cmpfloat_with_epsilon (x_of (d), 41.9, 1e-12);
  edit (d, 50, "Drag", "drag U1"); /* after an undo a step of its own */
  g_assert_true (lw_document_undo (d));
  g_assert_cmpfloat_with_epsilon (x_of (d), 41.9, 1e-12);
  g_assert_true (lw_document_undo (d));
  g_assert_cmpfloat (x_of (d), ==, 40);
  g_assert_false (lw_document_undo (d));
  g_string_free (ear.notified, TRUE);
}

/* A drag that is called off was never there: neither to undo nor to redo. */
static void
test_abandon (void)
{
  Ear ear = { 0 };
  g_autoptr (LwDocument) d = make_document (&ear);

  edit (d, 41, "Move", NULL);
  edit (d, 42, "Move on", NULL);
  lw_document_mark_saved (d, NULL);
  lw_document_undo (d);
  for (int i = 0; i < 5; i++)
    edit (d, 50 + i, "Drag", "drag");
  g_assert_null (lw_document_redo_label (d));
  g_assert_false (lw_document_abandon (d, "another drag"));
  g_assert_cmpfloat (x_of (d), ==, 54);
  g_assert_true (lw_document_abandon (d, "drag"));
  g_assert_cmpfloat (x_of (d), ==, 41);
  g_assert_cmpstr (lw_document_undo_label (d), ==, "Move");
  g_assert_cmpstr (lw_document_redo_label (d), ==, "Move on");
  g_assert_false (lw_document_abandon (d, "drag"));
  g_assert_true (lw_document_redo (d));
  g_assert_cmpfloat (x_of (d), ==, 42);
  g_assert_false (lw_document_modified (d)); /* what was saved is found again */
  edit (d, 60, "Drag", "drag");
  lw_document_seal (d);
  g_assert_false (lw_document_abandon (d, "drag")); /* it has ended: a step like any other */
  g_assert_cmpfloat (x_of (d), ==, 60);
  g_string_free (ear.notified, TRUE);
}

static void
test_saved_mark (void)
{
  Ear ear = { 0 };
  g_autoptr (LwDocument) d = make_document (&ear);
  g_autofree char *folder = g_dir_make_tmp ("leeward-document-XXXXXX", NULL);
  g_autofree char *path = g_build_filename (folder, "a.leeward", NULL);
  g_autoptr (GFile) file = g_file_new_for_path (path);
  g_autoptr (GError) error = NULL;

  edit (d, 41, "Drag", "k");
  g_assert_true (lw_document_save (d, file, NULL, &error));
  g_assert_no_error (error);
  g_assert_false (lw_document_modified (d));
  g_assert_true (lw_document_file (d) == file);
  g_assert_nonnull (strstr (ear.notified->str, "file "));
  edit (d, 42, "Drag", "k"); /* what is on the disk is not merged away */
  g_assert_true (lw_document_modified (d));
  lw_document_undo (d);
  g_assert_false (lw_document_modified (d));
  g_assert_cmpfloat (x_of (d), ==, 41);
  lw_document_undo (d);
  g_assert_true (lw_document_modified (d));
  edit (d, 44, "Elsewhere", NULL); /* the saved state can no longer be reached */
  g_assert_true (lw_document_modified (d));
  lw_document_undo (d);
  g_assert_true (lw_document_modified (d));
  /* A failed save changes nothing. */
  g_autoptr (GFile) nowhere = g_file_new_for_path ("/nonexistent/b.leeward");
  g_assert_false (lw_document_save (d, nowhere, NULL, &error));
  g_assert_nonnull (error);
  g_assert_true (lw_document_file (d) == file);
  g_assert_true (lw_document_modified (d));
  g_remove (path);
  g_rmdir (folder);
  g_string_free (ear.notified, TRUE);
}

static void
test_limit (void)
{
  Ear ear = { 0 };
  g_autoptr (LwDocument) d = make_document (&ear);
  guint undone = 0;

  for (int i = 0; i < 700; i++)
    edit (d, 40 + i * 0.01, "Move", NULL);
  while (lw_document_undo (d))
    undone++;
  g_assert_cmpuint (undone, ==, 500);
  g_assert_true (lw_document_modified (d)); /* the state it was opened with is forgotten */
  g_assert_cmpfloat_with_epsilon (x_of (d), 40 + 199 * 0.01, 1e-9);
  g_string_free (ear.notified, TRUE);
}

static void
test_title (void)
{
  Ear ear = { 0 };
  g_autoptr (LwDocument) d = make_document (&ear);
  g_autofree char *title = NULL;
  g_autofree char *untitled = NULL;
  g_autofree char *named = NULL;
  g_autoptr (GFile) file = g_file_new_for_path ("/tmp/some board.leeward");

  g_object_get (d, "title", &title, NULL);
  g_assert_cmpstr (title, ==, "Bench é \"one\"");
  lw_document_edit (d, lw_edit_text (lw_document_job (d), "title", "", NULL), "Rename", NULL);
  assert_notified (&ear, "title modified undo-label ");
  g_object_get (d, "title", &untitled, NULL);
  g_assert_cmpstr (untitled, ==, "Untitled");
  lw_document_mark_saved (d, file);
  g_object_get (d, "title", &named, NULL);
  g_assert_cmpstr (named, ==, "some board.leeward");
  g_string_free (ear.notified, TRUE);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/board/document/history", test_history);
  g_test_add_func ("/board/document/merging", test_merging);
  g_test_add_func ("/board/document/abandon", test_abandon);
  g_test_add_func ("/board/document/saved-mark", test_saved_mark);
  g_test_add_func ("/board/document/limit", test_limit);
  g_test_add_func ("/board/document/title", test_title);
  return g_test_run ();
}
