/* Single structs from and to JSON, as they stand in a document. For the room's own files only (documents
 * and libraries are read the same way).
 *
 * Reading keeps where it is (a path such as "packages[3].height_mm") so that a fault is reported as
 * "NAME:LINE: packages[3].height_mm: must be above 0, is -2". The first fault ends the reading:
 *
 *   g_autoptr (JsonNode) root = lw_json_parse (name, data, length, &error);
 *   LwReadContext context;
 *   lw_read_begin (&context, name, data, length);
 *   lw_read_enter_member (&context, "packages");
 *   lw_read_enter_index (&context, i);
 *   LwPackage *package = lw_package_from_json (object, &context);   NULL: a fault
 *   lw_read_leave (&context); lw_read_leave (&context);
 *   if (!lw_read_end (&context, &error)) ...
 */
#ifndef LW_JOB_JSON_H
#define LW_JOB_JSON_H

#include "board/fields.h"
#include "board/job.h"

G_BEGIN_DECLS

typedef struct {
  const char *name; /* of the file, for messages */
  const char *data; /* its text, to find lines in */
  gsize length;
  GPtrArray *path;  /* char *: "parts", "[3]" */
  GError *error;    /* LW_FILE_ERROR */
} LwReadContext;

/* Checks TEXT (UTF-8, no NUL, strict JSON, nesting, repeated members) and parses it; the root is an object.
 * Errors are LW_FILE_ERROR with "NAME:LINE: reason". (transfer full) */
JsonNode *lw_json_parse (const char *name, const char *text, gsize length, GError **error);

void lw_read_begin (LwReadContext *context, const char *name, const char *data, gsize length);
void lw_read_enter_member (LwReadContext *context, const char *key);
void lw_read_enter_index (LwReadContext *context, guint index);
void lw_read_leave (LwReadContext *context);
/* Reports a fault at the place where reading stands, or at member KEY of it (NULL: none); only the first
 * counts. CODE is an LwFileError. */
void lw_read_fault (LwReadContext *context, int code, const char *key, const char *format, ...)
    G_GNUC_PRINTF (4, 5);
/* Frees the context; FALSE with ERROR when there was a fault. */
gboolean lw_read_end (LwReadContext *context, GError **error);

/* Plain values for those who read other objects (alloys, laminates): FALLBACK when absent; NaN allowed
 * only as fallback: null reads as FALLBACK. Out of [MIN, MAX] is a fault. */
double lw_read_number (LwReadContext *context, JsonObject *object, const char *key, double min, double max,
                       double fallback);
/* An array of objects: NULL when absent (no fault) or of another type (a fault). (transfer none) */
JsonArray *lw_read_array (LwReadContext *context, JsonObject *object, const char *key);
/* Element INDEX of such an array; a fault and NULL when it is no object. (transfer none) */
JsonObject *lw_read_object_at (LwReadContext *context, JsonArray *array, guint index);

/* NULL after a fault (transfer full). Unknown members go into `extra`. */
LwPackage *lw_package_from_json (JsonObject *object, LwReadContext *context);
LwPart *lw_part_from_json (JsonObject *object, LwReadContext *context);
LwJob *lw_job_from_json (JsonObject *object, LwReadContext *context);

/* (transfer full) */
JsonObject *lw_package_to_json (const LwPackage *package);
JsonObject *lw_part_to_json (const LwPart *part);
JsonObject *lw_plan_to_json (const LwPlan *plan);
JsonObject *lw_job_to_json (const LwJob *job);

/* Any struct by its table: fills in SELF (zero memory), or FALSE after a fault, with SELF to be cleared all
 * the same. KNOWN_ELSEWHERE (NULL-terminated, may be NULL) are keys that are not "unknown members". */
gboolean lw_read_struct (LwReadContext *context, const LwType *type, gpointer self, JsonObject *object,
                         const char *const *known_elsewhere);
/* Why VALUE may not stand in a number field (transfer full), or NULL. */
char *lw_field_refuses (const LwField *field, double value);

/* Pretty-printed text of a tree with a last newline: two spaces a level, short objects of scalars on one
 * line, numbers in the fewest digits that read back exactly. (transfer full) */
char *lw_json_print (JsonObject *root, gsize *length);

G_END_DECLS

#endif
