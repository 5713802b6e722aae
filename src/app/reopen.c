#include "app/reopen.h"

#include "app/settings.h"

static gboolean leaving;

static void
note (GtkApplication *app)
{
  g_autoptr (GStrvBuilder) builder = g_strv_builder_new ();
  g_auto (GStrv) uris = NULL;

  for (GList *l = gtk_application_get_windows (app); l != NULL; l = l->next) {
    LwDocument *document = LW_IS_WINDOW (l->data) ? lw_desk_document (lw_session_desk (lw_window_session (l->data))) : NULL;
    GFile *file = document == NULL ? NULL : lw_document_file (document);
    g_autofree char *uri = file == NULL ? NULL : g_file_get_uri (file);

    if (uri != NULL)
      g_strv_builder_add (builder, uri);
  }
  uris = g_strv_builder_end (builder);
  lw_settings_set_list ("last-files", (const char *const *) uris);
}

void
lw_reopen_note (GtkApplication *app)
{
  if (!leaving)
    note (app);
}

void
lw_reopen_leave (GtkApplication *app)
{
  note (app);
  leaving = TRUE;
}

void
lw_reopen (LwWindow *window)
{
  g_auto (GStrv) uris = lw_settings_list ("last-files");
  g_autoptr (GPtrArray) files = g_ptr_array_new_with_free_func (g_object_unref);

  leaving = FALSE;
  for (guint i = 0; lw_settings_flag ("reopen", TRUE) && uris[i] != NULL; i++) {
    GFile *file = g_file_new_for_uri (uris[i]);

    /* Only what is on this machine: a start must not wait for a network. */
    if (g_file_is_native (file) && g_file_query_exists (file, NULL))
      g_ptr_array_add (files, file);
    else
      g_object_unref (file);
  }
  if (files->len > 0)
    lw_window_open_many (window, (GFile *const *) files->pdata, files->len);
}
