/* Markdown read into what a page shows: headings, text, items, tables, pictures, one after another. */
#ifndef LW_MANUAL_READ_H
#define LW_MANUAL_READ_H

#include <glib.h>

G_BEGIN_DECLS

typedef enum {
  LW_MANUAL_HEADING,
  LW_MANUAL_TEXT,
  LW_MANUAL_ITEM,
  LW_MANUAL_QUOTE,
  LW_MANUAL_CODE,
  LW_MANUAL_TABLE,
  LW_MANUAL_PICTURE
} LwManualKind;

typedef struct {
  LwManualKind kind;
  int level;       /* of a heading, 1 the title; of an item how deep it stands, 0 outermost */
  char *markup;    /* for Pango; of a table and a picture NULL */
  char *text;      /* the same as plain words; of a table all its cells, of a picture what it shows */
  char *mark;      /* before an item: "•", "2."; "" for a second paragraph of one item */
  GPtrArray *anchors; /* of char *, of a heading: its words as a link writes them, and each of its words of code */
  char *path;      /* of a picture, as the file says it */
  GPtrArray *rows; /* of a table, the first its heading: of GPtrArray of char *, markup */
} LwManualBlock;

/* TEXT as blocks (of LwManualBlock). NULL with ERROR, which names NAME, when it is no text (UTF-8, 1 MB at most). */
GPtrArray *lw_manual_read (const char *text, gsize length, const char *name, GError **error);

G_END_DECLS

#endif
