#include "board/library-read.h"

#include <glib/gi18n.h>

#include "board/job-file.h"
#include "board/library-private.h"

typedef struct {
  const char *name, *data;
  gsize length;
  LwLibraryTake take;
  LwLibraryComplain complain;
  gpointer user_data;
  guint faults;
} Reading;

static void
read_entry (Reading *self, guint kind, JsonArray *array, guint index)
{
  LwReadContext context;
  GError *error = NULL;
  gpointer entry = NULL;

  lw_read_begin (&context, self->name, self->data, self->length);
  lw_read_enter_member (&context, lw_library_member (kind));
  lw_read_enter_index (&context, index);
  JsonNode *node = json_array_get_element (array, index);
  if (!JSON_NODE_HOLDS_OBJECT (node))
    lw_read_fault (&context, LW_FILE_ERROR_VALUE, NULL, _("must be an object"));
  else
    entry = lw_library_entry_read (kind, &context, json_node_get_object (node));
  lw_read_leave (&context);
  lw_read_leave (&context);
  if (lw_read_end (&context, &error)) {
    self->take (kind, entry, self->user_data);
    return;
  }
  if (entry != NULL)
    lw_library_entry_free (kind, entry);
  self->faults++;
  self->complain (error, self->user_data);
}

static void
read_tables (Reading *self, JsonArray *const *arrays)
{
  for (guint t = 0; t < LW_LIBRARY_N_KINDS; t++)
    for (guint i = 0; arrays[t] != NULL && i < json_array_get_length (arrays[t]); i++) {
      if (self->faults >= LW_LIBRARY_FAULTS_MAX) {
        self->complain (g_error_new (LW_FILE_ERROR, LW_FILE_ERROR_VALUE, _("%s: too many faults: the rest is left out"),
                                     self->name),
                        self->user_data);
        return;
      }
      read_entry (self, t, arrays[t], i);
    }
}

void
lw_library_check_format (LwReadContext *context, JsonObject *root)
{
  double version = lw_read_number (context, root, LW_LIBRARY_KEY, 0, 1e6, 0);

  if (version == 0)
    lw_read_fault (context, LW_FILE_ERROR_FORMAT, NULL, _("is no library: %s is missing"), LW_LIBRARY_KEY);
  else if (version != LW_LIBRARY_VERSION)
    lw_read_fault (context, LW_FILE_ERROR_FORMAT, LW_LIBRARY_KEY, _("must be the number %d"), LW_LIBRARY_VERSION);
}

void
lw_library_read (const char *name, const char *data, gsize length, LwLibraryTake take, LwLibraryComplain complain,
                 gpointer user_data)
{
  Reading self = { name, data, length, take, complain, user_data, 0 };
  GError *error = NULL;
  LwReadContext context;
  JsonArray *arrays[LW_LIBRARY_N_KINDS];
  g_autoptr (JsonNode) root = lw_json_parse (name, data, length, &error);

  if (root == NULL) {
    complain (error, user_data);
    return;
  }
  JsonObject *object = json_node_get_object (root);
  lw_read_begin (&context, name, data, length);
  lw_library_check_format (&context, object);
  for (guint t = 0; t < LW_LIBRARY_N_KINDS; t++)
    arrays[t] = lw_read_array (&context, object, lw_library_member (t));
  if (lw_read_end (&context, &error))
    read_tables (&self, arrays);
  else
    complain (error, user_data);
}
