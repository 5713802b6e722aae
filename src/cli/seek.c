/* seek: the plan with the most headroom, into a new document. */
#include <glib/gi18n.h>
#include <math.h>

#include "board/job-file.h"
#include "cli/options.h"
#include "cli/output.h"
#include "cli/verbs.h"
#include "plan/seek.h"

static JsonArray *
limits_json (const GPtrArray *limits)
{
  JsonArray *array = json_array_new ();

  for (guint i = 0; i < limits->len; i++)
    {
      const LwSeekLimit *limit = g_ptr_array_index (limits, i);
      JsonObject *object = json_object_new ();

      json_object_set_string_member (object, "kind", limit->kind);
      json_object_set_string_member (object, "ref", limit->ref);
      lw_cli_set_rounded (object, "value", limit->value, 4);
      lw_cli_set_rounded (object, "limit", limit->limit, 4);
      json_object_set_string_member (object, "unit", limit->unit);
      lw_cli_set_rounded (object, "headroom", limit->headroom, 4);
      lw_cli_set_rounded (object, "steps", limit->steps, 4);
      json_object_set_string_member (object, "text", limit->text);
      json_array_add_object_element (array, object);
    }
  return array;
}

static JsonArray *
changes_json (const GPtrArray *changes)
{
  JsonArray *array = json_array_new ();

  for (guint i = 0; i < changes->len; i++)
    {
      const LwSeekChange *change = g_ptr_array_index (changes, i);
      JsonObject *object = json_object_new ();

      json_object_set_string_member (object, "what", change->what);
      json_object_set_string_member (object, "before", change->before);
      json_object_set_string_member (object, "after", change->after);
      json_array_add_object_element (array, object);
    }
  return array;
}

static void
print_json (const LwSeek *seek)
{
  JsonObject *root = json_object_new ();
  JsonArray *help = json_array_new (), *off = json_array_new ();

  json_object_set_boolean_member (root, "better", seek->better);
  json_object_set_boolean_member (root, "satisfies", seek->satisfies);
  lw_cli_set_rounded (root, "steps_before", seek->steps_before, 4);
  lw_cli_set_rounded (root, "steps_after", seek->steps_after, 4);
  json_object_set_array_member (root, "limits_before", limits_json (seek->limits_before));
  json_object_set_array_member (root, "limits_after", limits_json (seek->limits_after));
  json_object_set_array_member (root, "changes", changes_json (seek->changes));
  for (guint i = 0; i < seek->would_help->len; i++)
    json_array_add_string_element (help, g_ptr_array_index (seek->would_help, i));
  json_object_set_array_member (root, "would_help", help);
  for (guint i = 0; i < seek->off_first->len; i++)
    json_array_add_string_element (off, g_ptr_array_index (seek->off_first, i));
  json_object_set_array_member (root, "off_first", off);
  json_object_set_int_member (root, "tried", seek->n_tried);
  json_object_set_int_member (root, "places", seek->n_places);
  json_object_set_boolean_member (root, "confirmed", seek->after != NULL);
  lw_cli_set_rounded (root, "apart_k", seek->apart_k, 3);
  lw_cli_set_rounded (root, "seconds_search", seek->seconds_search, 3);
  lw_cli_set_rounded (root, "seconds_confirm", seek->seconds_confirm, 3);
  lw_cli_print_json (root);
}

static void
print_limits (const char *title, const GPtrArray *limits)
{
  static const int widths[] = { 1, 6, 0, -10, 0 };

  g_print ("%s\n", title);
  for (guint i = 0; i < limits->len; i++)
    {
      const LwSeekLimit *limit = g_ptr_array_index (limits, i);
      g_autofree char *steps = lw_cli_number_text (limit->steps, 2);

      lw_cli_print_row (widths, "", steps, "", limit->ref,
                        *limit->text != '\0' ? limit->text : lw_finding_kind_label (limit->kind), NULL);
    }
}

static void
print_text (const LwSeek *seek)
{
  g_print (_("Plans tried: %u, places: %u, %.1f s\n"), seek->n_tried, seek->n_places, seek->seconds_search);
  g_print (_("Least headroom, in steps of doubt: %.2f before, %.2f after\n"), seek->steps_before,
           seek->steps_after);
  if (!seek->better)
    g_print (_("No better plan was found.\n"));
  for (guint i = 0; i < seek->changes->len; i++)
    {
      const LwSeekChange *change = g_ptr_array_index (seek->changes, i);

      g_print (_("  %s: %s, was %s\n"), change->what, change->after, change->before);
    }
  print_limits (seek->satisfies ? _("What limits the plan now:")
                                : _("No plan within reach keeps every limit. These stand against each other:"),
                seek->limits_after);
  for (guint i = 0; i < seek->off_first->len; i++)
    g_print (_("  It counts on %s being taken off first.\n"), (const char *) g_ptr_array_index (seek->off_first, i));
  for (guint i = 0; i < seek->would_help->len; i++)
    g_print ("  %s\n", (const char *) g_ptr_array_index (seek->would_help, i));
  if (seek->after != NULL)
    g_print (_("Confirmed by the full solution, %.1f K apart at most.\n"), seek->apart_k);
}

static gboolean
save (const LwSeek *seek, const char *path)
{
  g_autoptr (GFile) out = g_file_new_for_commandline_arg (path);
  g_autoptr (GError) error = NULL;

  if (lw_job_save (seek->job, out, NULL, &error))
    return TRUE;
  lw_cli_refuse_out (path, error);
  return FALSE;
}

/* What the command line asks for. */
typedef struct {
  char *out;
  int seed, effort;
  LwSeekOptions options;
} Asked;

static gboolean
is_sound (Asked *asked)
{
  if (asked->out == NULL)
    lw_cli_refuse (_("seek: -o OUT is missing"));
  else if (asked->seed < 0)
    lw_cli_refuse (_("--seed: 0 or more"));
  else if (asked->effort < 0 || asked->effort > 9)
    lw_cli_refuse (_("--effort: from 1 to 9"));
  else
    {
      asked->options.seed = (guint32) asked->seed;
      asked->options.effort = (guint) asked->effort;
      return lw_cli_may_write (asked->out);
    }
  return FALSE;
}

static int
run (const char *path, const LwCliInput *input, const LwCliTarget *target, const Asked *asked)
{
  g_autoptr (LwImport) import = lw_cli_open (path, input);
  g_autoptr (LwSeek) seek = NULL;
  g_autoptr (GError) error = NULL;
  guint plan;

  if (import == NULL || !lw_cli_choose_plan (&import->job, path, target, &plan))
    return LW_CLI_REFUSED;
  lw_cli_warn (import);
  seek = lw_seek (import->job, plan, &asked->options, NULL, NULL, NULL, &error);
  if (seek == NULL)
    return lw_cli_refuse ("%s: %s", path, error->message);
  if (!save (seek, asked->out))
    return LW_CLI_REFUSED;
  if (input->json)
    print_json (seek);
  else
    print_text (seek);
  return seek->satisfies ? LW_CLI_DONE : LW_CLI_STOP;
}

int
lw_cli_seek (char **argv)
{
  g_auto (LwCliInput) input = { 0 };
  g_auto (LwCliTarget) target = { 0 };
  Asked asked = { 0 };
  LwSeekOptions *o = &asked.options;
  const GOptionEntry entries[]
      = { { "output", 'o', 0, G_OPTION_ARG_FILENAME, &asked.out, N_("Document to write"), N_("OUT") },
          { "effort", 0, 0, G_OPTION_ARG_INT, &asked.effort, N_("How long to look, 1 to 9 (3)"), "N" },
          { "seed", 0, 0, G_OPTION_ARG_INT, &asked.seed, N_("Where the samples begin (0)"), "N" },
          { "keep-nozzle", 0, 0, G_OPTION_ARG_NONE, &o->keep_nozzle, N_("Keep the plan’s nozzle"), NULL },
          { "keep-height", 0, 0, G_OPTION_ARG_NONE, &o->keep_height, N_("Keep the nozzle’s height"), NULL },
          { "keep-area", 0, 0, G_OPTION_ARG_NONE, &o->keep_area, N_("Keep the preheat area"), NULL },
          { "keep-shields", 0, 0, G_OPTION_ARG_NONE, &o->keep_shields, N_("Add no shields"), NULL },
          { "unconfirmed", 0, 0, G_OPTION_ARG_NONE, &o->unconfirmed, N_("Leave out the full solution"), NULL },
          { NULL } };
  g_auto (GStrv) files = NULL;
  gboolean parsed = lw_cli_parse (argv, _("JOB -o OUT"), _("Searches for the plan with the most headroom."), entries,
                                  &input, &target, 1, &files);
  int status = parsed && is_sound (&asked) ? run (files[0], &input, &target, &asked) : LW_CLI_REFUSED;

  g_free (asked.out);
  return status;
}
