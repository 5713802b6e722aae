#include "app/manual-read.h"

#include <gio/gio.h>
#include <glib/gi18n.h>
#include <md4c.h>
#include <string.h>

#define LARGEST (1024 * 1024)
#define DEEPEST 16 /* lists in lists */

typedef struct {
  gboolean ordered;
  guint number; /* of the next item */
} List;

/* What is open while the text is walked through. */
typedef struct {
  GPtrArray *blocks;
  LwManualKind kind;
  int level;
  GString *markup, *text;
  GPtrArray *codes; /* words of code in the heading at hand */
  List lists[DEEPEST];
  guint n_lists;
  char *mark; /* of the item at hand, until its first paragraph has taken it */
  guint n_quotes, n_images;
  gboolean in_code, too_deep;
  char *path; /* of the picture at hand */
  LwManualBlock *table;
} Walk;

static void
block_free (gpointer data)
{
  LwManualBlock *block = data;

  g_free (block->markup);
  g_free (block->text);
  g_free (block->mark);
  g_free (block->path);
  g_clear_pointer (&block->anchors, g_ptr_array_unref);
  g_clear_pointer (&block->rows, g_ptr_array_unref);
  g_free (block);
}

/* "Where a limit comes from" as "where-a-limit-comes-from". */
static char *
anchor_of (const char *heading)
{
  GString *out = g_string_new (NULL);

  for (const char *p = heading; *p != '\0'; p = g_utf8_next_char (p)) {
    gunichar c = g_utf8_get_char (p);

    if (g_unichar_isalnum (c) || c == '_' || c == '-')
      g_string_append_unichar (out, g_unichar_tolower (c));
    else if (c == ' ')
      g_string_append_c (out, '-');
  }
  return g_string_free (out, FALSE);
}

static void
empty (Walk *walk)
{
  g_string_truncate (walk->markup, 0);
  g_string_truncate (walk->text, 0);
}

static LwManualBlock *
add_block (Walk *walk, LwManualKind kind)
{
  LwManualBlock *block = g_new0 (LwManualBlock, 1);

  block->kind = kind;
  g_ptr_array_add (walk->blocks, block);
  return block;
}

/* What has been gathered becomes a block of its own. */
static void
flush (Walk *walk)
{
  LwManualBlock *block;

  if (walk->text->len == 0 || walk->table != NULL || walk->n_images > 0)
    return;
  block = add_block (walk, walk->kind == LW_MANUAL_TEXT && walk->n_lists > 0   ? LW_MANUAL_ITEM
                           : walk->kind == LW_MANUAL_TEXT && walk->n_quotes > 0 ? LW_MANUAL_QUOTE
                                                                               : walk->kind);
  block->level = block->kind == LW_MANUAL_ITEM ? (int) walk->n_lists - 1 : walk->level;
  block->markup = g_strdup (walk->markup->str);
  block->text = g_strdup (walk->text->str);
  if (block->kind == LW_MANUAL_ITEM)
    block->mark = walk->mark != NULL ? g_steal_pointer (&walk->mark) : g_strdup ("");
  if (block->kind == LW_MANUAL_HEADING) {
    block->anchors = g_ptr_array_ref (walk->codes);
    g_ptr_array_add (block->anchors, anchor_of (block->text));
  }
  empty (walk);
}

static void
enter_item (Walk *walk)
{
  List *list = &walk->lists[walk->n_lists - 1];

  g_free (walk->mark);
  walk->mark = list->ordered ? g_strdup_printf ("%u.", list->number++) : g_strdup ("•");
}

static void
enter_table (Walk *walk)
{
  walk->table = add_block (walk, LW_MANUAL_TABLE);
  walk->table->rows = g_ptr_array_new_with_free_func ((GDestroyNotify) g_ptr_array_unref);
}

static int
enter_block (MD_BLOCKTYPE type, void *detail, void *user)
{
  Walk *walk = user;

  flush (walk);
  switch (type) {
  case MD_BLOCK_H:
    walk->kind = LW_MANUAL_HEADING;
    walk->level = (int) ((MD_BLOCK_H_DETAIL *) detail)->level;
    g_clear_pointer (&walk->codes, g_ptr_array_unref);
    walk->codes = g_ptr_array_new_with_free_func (g_free);
    break;
  case MD_BLOCK_CODE: walk->kind = LW_MANUAL_CODE; break;
  case MD_BLOCK_QUOTE: walk->n_quotes++; break;
  case MD_BLOCK_UL:
  case MD_BLOCK_OL:
    walk->too_deep = walk->n_lists == DEEPEST; /* md_parse() ends then, but does not say why */
    if (walk->too_deep)
      return 1;
    walk->lists[walk->n_lists++]
      = (List){ type == MD_BLOCK_OL, type == MD_BLOCK_OL ? ((MD_BLOCK_OL_DETAIL *) detail)->start : 0 };
    break;
  case MD_BLOCK_LI: enter_item (walk); break;
  case MD_BLOCK_TABLE: enter_table (walk); break;
  case MD_BLOCK_TR: g_ptr_array_add (walk->table->rows, g_ptr_array_new_with_free_func (g_free)); break;
  default: break;
  }
  return 0;
}

static void
leave_cell (Walk *walk)
{
  GPtrArray *row = g_ptr_array_index (walk->table->rows, walk->table->rows->len - 1);
  char *all = walk->table->text;

  g_ptr_array_add (row, g_strdup (walk->markup->str));
  walk->table->text = all == NULL ? g_strdup (walk->text->str) : g_strconcat (all, "  ", walk->text->str, NULL);
  g_free (all);
  empty (walk);
}

static int
leave_block (MD_BLOCKTYPE type, void *detail, void *user)
{
  Walk *walk = user;

  if (type == MD_BLOCK_CODE)
    while (walk->text->len > 0 && walk->text->str[walk->text->len - 1] == '\n') {
      g_string_truncate (walk->text, walk->text->len - 1);
      g_string_truncate (walk->markup, walk->markup->len - 1);
    }
  if (type == MD_BLOCK_TH || type == MD_BLOCK_TD)
    leave_cell (walk);
  flush (walk);
  if (type == MD_BLOCK_TABLE)
    walk->table = NULL;
  if (type == MD_BLOCK_H || type == MD_BLOCK_CODE)
    walk->kind = LW_MANUAL_TEXT;
  if (type == MD_BLOCK_QUOTE)
    walk->n_quotes--;
  if (type == MD_BLOCK_UL || type == MD_BLOCK_OL)
    walk->n_lists--;
  return 0;
}

static char *
attribute (const MD_ATTRIBUTE *value)
{
  return g_strndup (value->text, value->size);
}

static void
enter_picture (Walk *walk, const MD_ATTRIBUTE *source)
{
  if (walk->n_images == 0) {
    flush (walk);
    empty (walk);
    walk->path = attribute (source);
  }
  walk->n_images++;
}

static void
leave_picture (Walk *walk)
{
  LwManualBlock *block;

  if (--walk->n_images > 0)
    return;
  block = add_block (walk, LW_MANUAL_PICTURE);
  block->path = g_steal_pointer (&walk->path);
  block->text = g_strdup (walk->text->str);
  empty (walk);
}

static int
enter_span (MD_SPANTYPE type, void *detail, void *user)
{
  Walk *walk = user;

  if (type == MD_SPAN_IMG)
    enter_picture (walk, &((MD_SPAN_IMG_DETAIL *) detail)->src);
  else if (type == MD_SPAN_A) {
    g_autofree char *target = attribute (&((MD_SPAN_A_DETAIL *) detail)->href);
    g_autofree char *safe = g_markup_escape_text (target, -1);

    g_string_append_printf (walk->markup, "<a href=\"%s\">", safe);
  } else
    g_string_append (walk->markup, type == MD_SPAN_STRONG ? "<b>" : type == MD_SPAN_CODE ? "<tt>" : "<i>");
  walk->in_code = walk->in_code || type == MD_SPAN_CODE;
  return 0;
}

static int
leave_span (MD_SPANTYPE type, void *detail, void *user)
{
  Walk *walk = user;

  if (type == MD_SPAN_IMG)
    leave_picture (walk);
  else
    g_string_append (walk->markup, type == MD_SPAN_A        ? "</a>"
                                   : type == MD_SPAN_STRONG ? "</b>"
                                   : type == MD_SPAN_CODE   ? "</tt>"
                                                            : "</i>");
  if (type == MD_SPAN_CODE)
    walk->in_code = FALSE;
  return 0;
}

static int
take_text (MD_TEXTTYPE type, const MD_CHAR *text, MD_SIZE size, void *user)
{
  Walk *walk = user;
  g_autofree char *plain = type == MD_TEXT_SOFTBR     ? g_strdup (" ")
                           : type == MD_TEXT_BR       ? g_strdup ("\n")
                           : type == MD_TEXT_NULLCHAR ? g_strdup ("\357\277\275")
                                                      : g_strndup (text, size);
  g_autofree char *safe = g_markup_escape_text (plain, -1);

  g_string_append (walk->markup, safe);
  g_string_append (walk->text, plain);
  if (walk->in_code && walk->kind == LW_MANUAL_HEADING)
    g_ptr_array_add (walk->codes, g_strdup (plain));
  return 0;
}

static GPtrArray *
walk_through (const char *text, gsize length)
{
  static const MD_PARSER parser = { 0, MD_FLAG_TABLES | MD_FLAG_NOHTML, enter_block, leave_block, enter_span,
                                    leave_span, take_text, NULL, NULL };
  Walk walk = { .blocks = g_ptr_array_new_with_free_func (block_free), .kind = LW_MANUAL_TEXT,
                .markup = g_string_new (NULL), .text = g_string_new (NULL) };
  int status = md_parse (text, (MD_SIZE) length, &parser, &walk);

  g_string_free (walk.markup, TRUE);
  g_string_free (walk.text, TRUE);
  g_clear_pointer (&walk.codes, g_ptr_array_unref);
  g_free (walk.mark);
  g_free (walk.path);
  if (status != 0 || walk.too_deep)
    g_clear_pointer (&walk.blocks, g_ptr_array_unref);
  return walk.blocks;
}

GPtrArray *
lw_manual_read (const char *text, gsize length, const char *name, GError **error)
{
  const char *bad;
  GPtrArray *blocks = NULL;

  if (length > LARGEST)
    g_set_error (error, G_IO_ERROR, G_IO_ERROR_INVALID_DATA, _("%s: more than 1 MB is no chapter"), name);
  else if (!g_utf8_validate (text, (gssize) length, &bad))
    g_set_error (error, G_IO_ERROR, G_IO_ERROR_INVALID_DATA, _("%s: byte %u is not UTF-8"), name, (guint) (bad - text) + 1);
  else {
    blocks = walk_through (text, length);
    if (blocks == NULL)
      g_set_error (error, G_IO_ERROR, G_IO_ERROR_INVALID_DATA, _("%s: lists stand too deep in one another"), name);
  }
  return blocks;
}
