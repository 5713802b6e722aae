/* A strict look over JSON text before json-glib parses it (which recurses without bound, forgives comments
 * and drops repeated members silently), and afterwards to find the line of a member. Internal to the room. */
#ifndef LW_JSON_SCAN_H
#define LW_JSON_SCAN_H

#include <glib.h>

G_BEGIN_DECLS

enum { LW_JSON_DEPTH_MAX = 100 };
/* What all values together may weigh: 1 each, 1 more for a member's name, 5 more for an array or object. It bounds the
 * parser's time (some 1.5 s) and memory (some 200 MB); a job of 10,000 parts weighs 300,000. */
enum { LW_JSON_WEIGHT_MAX = 1500000, LW_JSON_WEIGHT_NAME = 1, LW_JSON_WEIGHT_CONTAINER = 5 };

/* NULL when TEXT is one JSON value and nothing else; otherwise the reason (transfer full, translated) and the
 * 1-based LINE. */
char *lw_json_scan (const char *text, gsize length, guint *line);
/* Line on which the value at PATH (GPtrArray of char *: "parts", "[3]", ...) starts, or that of the nearest
 * value around it; 0 when there is none. TEXT has passed lw_json_scan(). */
guint lw_json_line_of (const char *text, gsize length, const GPtrArray *path);

G_END_DECLS

#endif
