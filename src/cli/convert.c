/* convert: any board into a Leeward document, or a board out of one. */
#include <glib/gi18n.h>

#include "board/job-file.h"
#include "cli/options.h"
#include "cli/output.h"
#include "cli/verbs.h"
#include "exchange/export.h"

/* By the name: a document, or a format of other programs. */
static gboolean
write_out (const LwJob *job, GFile *out, const char *path, GError **error)
{
  g_autoptr (GPtrArray) left_out = lw_export_notes_new ();

  if (lw_export_kind (path) == LW_EXPORT_NONE)
    return lw_job_save (job, out, NULL, error);
  if (!lw_export (job, out, left_out, NULL, error))
    return FALSE;
  for (guint i = 0; i < left_out->len; i++)
    g_printerr (_("%s: left out: %s\n"), path, (const char *) left_out->pdata[i]);
  return TRUE;
}

/* What is there already is replaced only when that is asked for: OUT, and the library beside it, which was never
 * named. */
static gboolean
check_free (GFile *out, const char *path)
{
  g_autoptr (GFile) beside = lw_export_beside (out);
  g_autofree char *name = beside != NULL ? g_file_get_basename (beside) : NULL;

  if (g_file_query_exists (out, NULL))
    lw_cli_refuse (_("%s: is there already; --force replaces it"), path);
  else if (beside != NULL && g_file_query_exists (beside, NULL))
    lw_cli_refuse (_("%s: %s beside it is there already; --force replaces it"), path, name);
  else
    return TRUE;
  return FALSE;
}

static int
save (const LwImport *import, GFile *out, const char *path, gboolean json)
{
  g_autoptr (GError) error = NULL;
  JsonObject *root;

  if (!write_out (import->job, out, path, &error))
    return lw_cli_refuse_out (path, error);
  if (!json)
    {
      g_print (_("%s: %u parts\n"), path, import->job->parts->len);
      return LW_CLI_DONE;
    }
  root = json_object_new ();
  json_object_set_string_member (root, "format", import->format);
  json_object_set_int_member (root, "parts", import->job->parts->len);
  json_object_set_int_member (root, "warnings", import->warnings->len);
  lw_cli_print_json (root);
  return LW_CLI_DONE;
}

int
lw_cli_convert (char **argv)
{
  g_auto (LwCliInput) input = { 0 };
  gboolean force = FALSE;
  const GOptionEntry entries[] = { LW_CLI_SALVAGE_ENTRY (input),
                                   { "force", 'f', 0, G_OPTION_ARG_NONE, &force, N_("Replace what is there already"), NULL },
                                   { NULL } };
  g_auto (GStrv) files = NULL;
  g_autoptr (LwImport) import = NULL;
  g_autoptr (GFile) out = NULL;
  guint n;

  if (!lw_cli_parse (argv, _("IN… OUT"),
                     _("Turns a board in any supported format into a Leeward document or, by the name of OUT, into an\n"
                       "IDF pair (.emn, with .emp beside it) or a placement table (.csv). IN may be several files of\n"
                       "one board, a folder or an archive."),
                     entries, &input, NULL, LW_CLI_SOME, &files))
    return LW_CLI_REFUSED;
  n = g_strv_length (files) - 1;
  if (n == 0)
    return lw_cli_refuse (_("%s: expects %s; see leeward-cli %s --help"), argv[0], _("IN… OUT"), argv[0]);
  out = g_file_new_for_commandline_arg (files[n]);
  for (guint i = 0; i < n; i++)
    {
      g_autoptr (GFile) in = g_file_new_for_commandline_arg (files[i]);

      if (g_file_equal (in, out))
        return lw_cli_refuse (_("%s: would be written over itself"), files[n]);
    }
  if (!lw_cli_may_write (files[n]) || (!force && !check_free (out, files[n])))
    return LW_CLI_REFUSED;
  import = lw_cli_open_some (files, n, &input);
  if (import == NULL)
    return LW_CLI_REFUSED;
  lw_cli_warn (import);
  return save (import, out, files[n], input.json);
}
