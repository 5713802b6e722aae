/* The manual: a folder of Markdown files, of which README.md lists the chapters in their order. */
#ifndef LW_MANUAL_H
#define LW_MANUAL_H

#include "app/manual-read.h"

G_BEGIN_DECLS

typedef struct {
  char *file;   /* full path; what a chapter is known by */
  char *name;   /* of the file, without its ending: "plan" */
  char *title, *group; /* as README.md gives them; GROUP is the heading over its list */
  char *problem; /* why there is nothing to read; NULL = there is */
  GPtrArray *blocks; /* of LwManualBlock, maybe empty */
} LwManualChapter;

typedef struct {
  char *folder;
  GPtrArray *chapters; /* of LwManualChapter, in order */
} LwManual;

/* A section in which all words of a search stand. */
typedef struct {
  const LwManualChapter *chapter;
  guint heading, block; /* its heading, and the first block with one of the words in it */
  char *snippet;        /* of that block, around the word */
} LwManualHit;

/* The folder the manual is in: $LEEWARD_DOCS/manual; beside the installed program; where it is installed; in the
 * sources a build folder lies in. NULL: none has it, and LOOKED_IN says where it was looked for, a line each. */
char *lw_manual_folder (char **looked_in);
/* Reads all chapters. NULL with ERROR when README.md cannot be read or lists none; a chapter that cannot be read
 * says so itself. */
LwManual *lw_manual_load (const char *folder, GError **error);
void lw_manual_free (LwManual *manual);

/* The chapter a link leads to, and its place there (NULL = the top; free it). LINK is as a chapter FROM writes it
 * ("findings.md#body-peak", "#lee"), or of a chapter's name ("findings#body-peak"). NULL: there is none. */
const LwManualChapter *lw_manual_follow (const LwManual *manual, const LwManualChapter *from, const char *link,
                                         char **anchor);
/* The heading with that anchor; -1 = none. */
int lw_manual_place (const LwManualChapter *chapter, const char *anchor);
/* Up to 100 hits (of LwManualHit), those with a word in their heading first. */
GPtrArray *lw_manual_search (const LwManual *manual, const char *needle);
/* Where WORD stands in TEXT, letters of either case alike: its byte, and its LENGTH there. -1 = nowhere. */
int lw_manual_find_word (const char *text, const char *word, int *length);

G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwManual, lw_manual_free)

G_END_DECLS

#endif
