/* Records of fixed columns, as descriptions of the format and files of two exporters have them. */
#include "exchange/d356.h"

#include <glib/gi18n.h>
#include <math.h>
#include <string.h>

#include "exchange/listed.h"
#include "exchange/text.h"

#define MAX_LINE 4096
#define MAX_LANDS 2000000
#define LONGEST_REF 6
#define SAME_MM 0.003 /* the format's digit, 0.0001 inch, rounded up */

typedef struct {
  LwListedPin pin; /* on the board */
  gboolean top, bottom;
} Land;

typedef struct {
  char *ref;
  GArray *lands;    /* Land */
  GHashTable *pins; /* their numbers, set */
  gboolean twice;   /* some pin is there more than once */
  guint line;
} Group;

typedef struct {
  const char *file;
  GPtrArray *notes;
  double unit_mm; /* 0 = not stated yet */
  guint line, n_lands, n_bad;
  GPtrArray *groups; /* Group, in the order met */
  GHashTable *by_ref;
  GPtrArray *outline; /* LwListedLoop */
  LwListedLoop *open; /* of the outline */
  gboolean in_edge, has_pen, ended;
  double edge_x, edge_y;
} Reading;

static void
free_group (gpointer data)
{
  Group *self = data;

  g_free (self->ref);
  g_array_unref (self->lands);
  g_hash_table_unref (self->pins);
  g_free (self);
}

/* ---- columns ---- */

/* Columns FROM to TO (1-based, inclusive) without blanks around them. A column is a byte; what is no UTF-8 is read as
 * Latin-1, and so is a character cut in two. */
static char *
columns (const GString *line, guint from, guint to)
{
  g_autoptr (GString) text = g_string_new (NULL);

  if (from <= line->len)
    g_string_append_len (text, line->str + from - 1, MIN (to, line->len) - from + 1);
  lw_text_line_to_utf8 (text);
  return g_strstrip (g_strdup (text->str));
}

/* Digits behind a letter and a sign; blanks may stand for leading zeros. */
static gboolean
read_digits (const char **cursor, guint most, double *value)
{
  const char *p = *cursor;
  double sign = 1, sum = 0;
  guint digits = 0, read = 0;

  if (*p == '+' || *p == '-' || *p == ' ')
    sign = *p++ == '-' ? -1 : 1;
  for (; read < most && (g_ascii_isdigit (*p) || (*p == ' ' && digits == 0)); p++, read++)
    if (*p != ' ') {
      sum = sum * 10 + (*p - '0');
      digits++;
    }
  *cursor = p;
  *value = sign * sum;
  return digits > 0;
}

static const char *
find_letter (const char *from, char letter)
{
  return *from != '\0' ? strchr (from, letter) : NULL;
}

/* The box of a land that is turned by "R" and three digits, if they stand at P. */
static void
set_size (LwListedPin *pin, const char *p, double w, double h)
{
  double deg = 0, c, s;

  if (*p == 'R') {
    p++;
    read_digits (&p, 3, &deg);
  }
  c = fabs (cos (deg * G_PI / 180.0));
  s = fabs (sin (deg * G_PI / 180.0));
  pin->length_mm = c * w + s * h;
  pin->width_mm = s * w + c * h;
}

/* X, Y, and the land's size behind them. FALSE when there is no place. */
static gboolean
read_place (const GString *line, double unit, LwListedPin *pin)
{
  const char *p = line->len >= 42 ? find_letter (line->str + 40, 'X') : NULL;
  double w = 0, h = 0;

  if (p == NULL || p > line->str + 45 || (p++, !read_digits (&p, 6, &pin->x_mm)))
    return FALSE;
  p = find_letter (p, 'Y');
  if (p == NULL || (p++, !read_digits (&p, 6, &pin->y_mm)))
    return FALSE;
  if (*p == 'X' && (p++, read_digits (&p, 4, &w)) && *p == 'Y') {
    p++;
    read_digits (&p, 4, &h);
  }
  pin->x_mm *= unit;
  pin->y_mm *= unit;
  set_size (pin, p, w * unit, (h > 0 ? h : w) * unit); /* 0000 = round */
  return TRUE;
}

/* ---- records ---- */

static double
unit_of (Reading *self)
{
  if (self->unit_mm > 0)
    return self->unit_mm;
  lw_notes_add (self->notes, self->file, self->line,
                _ ("no unit is stated before this line: 0.0001 inch is taken"));
  self->unit_mm = 0.00254;
  return self->unit_mm;
}

/* "P  UNITS CUST 0": 0.0001 inch; SI and CUST 1: 0.001 mm; CUST 2 differs from CUST 0 in its angles
 * only. */
static void
read_parameter (Reading *self, const GString *line)
{
  const char *units = strstr (line->str, "UNITS");

  if (units == NULL)
    return;
  self->unit_mm = strstr (units, "SI") != NULL || strstr (units, "CUST 1") != NULL ? 0.001 : 0.00254;
}

static Group *
group_of (Reading *self, const char *ref)
{
  Group *group = g_hash_table_lookup (self->by_ref, ref);

  if (group != NULL)
    return group;
  group = g_new0 (Group, 1);
  group->ref = g_strdup (ref);
  group->lands = g_array_new (FALSE, FALSE, sizeof (Land));
  group->pins = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  group->line = self->line;
  g_ptr_array_add (self->groups, group);
  g_hash_table_insert (self->by_ref, group->ref, group);
  return group;
}

/* A00 is reached from both sides, A01 from the top, every other number from the layer it names. */
static gboolean
read_land (Reading *self, const GString *line, GError **error)
{
  g_autofree char *ref = columns (line, 21, 26), *access = columns (line, 39, 41);
  Land land = { 0 };
  Group *group;

  if (*ref == '\0' || strcmp (ref, "VIA") == 0)
    return TRUE;
  if (!read_place (line, unit_of (self), &land.pin)) {
    self->n_bad++;
    lw_notes_add_loss (self->notes, self->file, self->line, _ ("no place in columns 42 to 57"),
                       _ ("the land is left out"));
    return TRUE;
  }
  if (self->groups->len > LW_LISTED_MAX_BODIES)
    return lw_notes_fail (error, LW_IMPORT_ERROR_TOO_LARGE, self->file, self->line,
                          _ ("more than %d parts"), LW_LISTED_MAX_BODIES);
  if (++self->n_lands > MAX_LANDS)
    return lw_notes_fail (error, LW_IMPORT_ERROR_TOO_LARGE, self->file, self->line,
                          _ ("more than %d lands"), MAX_LANDS);
  land.top = strcmp (access, "A00") == 0 || strcmp (access, "A01") == 0;
  land.bottom = strcmp (access, "A01") != 0;
  group = group_of (self, ref);
  g_array_append_val (group->lands, land);
  group->twice |= !g_hash_table_add (group->pins, columns (line, 28, 31));
  return TRUE;
}

/* ---- the edge ---- */

static void
lift_pen (Reading *self)
{
  LwListedLoop *loop = g_steal_pointer (&self->open);
  GArray *corners = loop != NULL ? loop->loop->corners : NULL;

  if (loop == NULL)
    return;
  if (corners->len > 2) {
    const LwVertex *a = &g_array_index (corners, LwVertex, 0),
                   *b = &g_array_index (corners, LwVertex, corners->len - 1);

    if (hypot (a->x_mm - b->x_mm, a->y_mm - b->y_mm) <= SAME_MM) {
      g_array_set_size (corners, corners->len - 1);
      g_array_set_size (loop->lines, corners->len);
    }
  }
  if (lw_listed_loop_encloses (loop))
    g_ptr_array_add (self->outline, loop);
  else
    lw_listed_loop_free (loop);
}

static gboolean
add_edge_point (Reading *self, GError **error)
{
  if (self->open == NULL)
    self->open = lw_listed_loop_new (self->outline->len, self->line);
  if (self->open->loop->corners->len > 50000)
    return lw_notes_fail (error, LW_IMPORT_ERROR_TOO_LARGE, self->file, self->line,
                          _ ("too many outline points"));
  lw_loop_add (self->open->loop, self->edge_x, self->edge_y, 0);
  g_array_append_val (self->open->lines, self->line);
  return TRUE;
}

/* "X..Y..": the first is the pen, a missing X or Y keeps the last; "*" lifts the pen. */
static gboolean
read_edge (Reading *self, const GString *line, GError **error)
{
  double unit = unit_of (self), value;

  for (const char *p = line->str + MIN (line->len, 17); *p != '\0';) {
    if (*p == '*')
      lift_pen (self);
    if (*p != 'X' && *p != 'Y') {
      p++;
      continue;
    }
    for (int k = 0; k < 2 && (*p == 'X' || *p == 'Y'); k++) {
      double *to = *p++ == 'X' ? &self->edge_x : &self->edge_y;

      if (read_digits (&p, 9, &value))
        *to = value * unit;
    }
    if (self->has_pen && !add_edge_point (self, error))
      return FALSE;
    self->has_pen = TRUE;
  }
  return TRUE;
}

static gboolean
start_edge (Reading *self, const GString *line, GError **error)
{
  g_autofree char *name = columns (line, 4, 17);

  lift_pen (self);
  self->has_pen = FALSE;
  self->in_edge = g_str_has_prefix (name, "BOARD_EDGE");
  self->edge_x = self->edge_y = 0;
  return !self->in_edge || read_edge (self, line, error);
}

/* ---- the file ---- */

static void
tell_no_record (Reading *self, const GString *line)
{
  g_autofree char *start = g_utf8_substring (line->str, 0, MIN (10, g_utf8_strlen (line->str, -1)));
  g_autofree char *reason = g_strdup_printf (_ ("no record begins with “%s”"), start);

  lw_notes_add_loss (self->notes, self->file, self->line, reason, _ ("the line is left out"));
}

static gboolean
read_record (Reading *self, const GString *line, GError **error)
{
  g_autofree char *code = columns (line, 1, 3);

  if (line->len == 0 || *line->str == 'C')
    return TRUE;
  if (*line->str == 'P')
    read_parameter (self, line);
  else if (strcmp (code, "317") == 0 || strcmp (code, "327") == 0)
    return read_land (self, line, error);
  else if (strcmp (code, "389") == 0)
    return start_edge (self, line, error);
  else if (strcmp (code, "089") == 0)
    return !self->in_edge || read_edge (self, line, error);
  else if (strcmp (code, "999") == 0)
    self->ended = TRUE;
  else if (strlen (code) != 3 || strspn (code, "0123456789") != 3) {
    self->n_bad++;
    tell_no_record (self, line);
  }
  return TRUE;
}

static gboolean
read_text (Reading *self, const char *text, gsize length, GError **error)
{
  g_autoptr (GString) line = g_string_new (NULL);
  const char *cursor = text;

  while (!self->ended && lw_text_next_line (&cursor, text + length, MAX_LINE, line)) {
    self->line++;
    if (line->len > MAX_LINE)
      return lw_notes_fail (error, LW_IMPORT_ERROR_SYNTAX, self->file, self->line,
                            _ ("a line of more than %d bytes"), MAX_LINE);
    if (!read_record (self, line, error))
      return FALSE;
  }
  lift_pen (self);
  if (!self->ended)
    lw_notes_add_loss (self->notes, self->file, self->line,
                       _ ("no 999 record ends the file: it may have been cut off"),
                       _ ("what stands there is used"));
  if (self->n_lands > 0 && self->n_lands >= self->n_bad)
    return TRUE;
  return lw_notes_fail (error, LW_IMPORT_ERROR_SYNTAX, self->file, 0,
                        _ ("%u lands of parts and %u lines that cannot be read"), self->n_lands,
                        self->n_bad);
}

/* ---- lands to parts ---- */

static LwBox
box_of (const GArray *lands)
{
  LwBox box = { HUGE_VAL, HUGE_VAL, -HUGE_VAL, -HUGE_VAL };

  for (guint i = 0; i < lands->len; i++) {
    const LwListedPin *pin = &g_array_index (lands, Land, i).pin;
    double w = MAX (pin->length_mm, 0.1) / 2, h = MAX (pin->width_mm, 0.1) / 2;

    lw_box_extend (&box, pin->x_mm - w, pin->y_mm - h);
    lw_box_extend (&box, pin->x_mm + w, pin->y_mm + h);
  }
  return box;
}

/* Lands reached from below alone make a bottom part. */
static LwSide
side_of (const GArray *lands)
{
  guint bottom_only = 0;

  for (guint i = 0; i < lands->len; i++)
    bottom_only += !g_array_index (lands, Land, i).top;
  return 2 * bottom_only > lands->len ? LW_SIDE_BOTTOM : LW_SIDE_TOP;
}

/* Longer designators are cut, so that several parts may go by one: then a pin comes twice. */
static gboolean
is_several (Reading *self, const Group *group)
{
  if (!group->twice || strlen (group->ref) < LONGEST_REF)
    return FALSE;
  lw_notes_add (self->notes, self->file, group->line,
                _ ("%s has a pin more than once: it may stand for several parts of longer names, and is "
                   "kept as not placed"),
                group->ref);
  return TRUE;
}

static void
add_group (Reading *self, const Group *group, LwListedBoard *board, LwListedLibrary *library)
{
  g_autofree char *name = g_strdup_printf (_ ("lands of %s"), group->ref);
  LwListedPart *part = lw_listed_part_new (name, "", group->ref, group->line);
  LwListedBody *body = lw_listed_body_new (name, "", NAN, group->line);
  LwListedLoop *loop = lw_listed_loop_new (0, group->line);
  LwBox box = box_of (group->lands);
  double w = (box.x1_mm - box.x0_mm) / 2, h = (box.y1_mm - box.y0_mm) / 2;

  part->x_mm = (box.x0_mm + box.x1_mm) / 2;
  part->y_mm = (box.y0_mm + box.y1_mm) / 2;
  part->side = side_of (group->lands);
  part->placed = !is_several (self, group);
  lw_loop_unref (loop->loop);
  loop->loop = lw_loop_new_rectangle (-w, -h, w, h);
  body->loops = lw_listed_loops_new ();
  g_ptr_array_add (body->loops, loop);
  for (guint i = 0; i < group->lands->len; i++) {
    LwListedPin pin = g_array_index (group->lands, Land, i).pin;

    pin.x_mm = part->side == LW_SIDE_BOTTOM ? part->x_mm - pin.x_mm : pin.x_mm - part->x_mm;
    pin.y_mm -= part->y_mm;
    g_array_append_val (body->pins, pin);
  }
  g_ptr_array_add (board->parts, part);
  g_ptr_array_add (library->entries, body);
}

static gboolean
make_job (Reading *self, LwImport *import, GError **error)
{
  LwListedBoard board;
  LwListedLibrary library;
  gboolean ok;

  lw_listed_board_init (&board);
  lw_listed_library_init (&library, self->file);
  for (guint i = 0; i < self->groups->len; i++)
    add_group (self, self->groups->pdata[i], &board, &library);
  g_ptr_array_extend_and_steal (board.outline, g_steal_pointer (&self->outline));
  self->outline = lw_listed_loops_new ();
  lw_listed_library_index (&library, self->notes);
  lw_notes_add (self->notes, self->file, 0,
                _ ("a test netlist knows lands only: places are the middles of each part’s lands, "
                   "bodies their boxes, "
                   "angles not known, designators cut to six characters"));
  ok = lw_listed_to_job (import->job, &board, &library, self->file, self->notes, error);
  lw_listed_board_clear (&board);
  lw_listed_library_clear (&library);
  return ok;
}

LwImport *
lw_import_d356 (const char *name, const char *data, gsize size, GError **error)
{
  g_autoptr (LwImport) import = g_new0 (LwImport, 1);
  Reading self = { .file = name };
  gsize length;
  g_autoptr (GError) damage = NULL;
  g_autofree char *text = lw_text_decode_start (name, data, size, &length, &damage);
  gboolean ok;

  if (text == NULL) {
    g_propagate_error (error, g_steal_pointer (&damage));
    return NULL;
  }
  self.notes = import->warnings = lw_notes_new ();
  if (damage != NULL)
    lw_notes_add_damage (self.notes, name, damage);
  import->job = lw_job_new ();
  import->format = g_strdup ("IPC-D-356");
  self.groups = g_ptr_array_new_with_free_func (free_group);
  self.by_ref = g_hash_table_new (g_str_hash, g_str_equal);
  self.outline = lw_listed_loops_new ();
  ok = read_text (&self, text, length, error) && make_job (&self, import, error);
  g_hash_table_unref (self.by_ref);
  g_ptr_array_unref (self.groups);
  g_ptr_array_unref (self.outline);
  g_clear_pointer (&self.open, lw_listed_loop_free);
  return ok ? g_steal_pointer (&import) : NULL;
}

/* Most lines are comments, parameters or records of three digits, and one is a land. */
gboolean
lw_d356_sniff (const char *data, gsize size)
{
  g_autoptr (GString) line = g_string_new (NULL);
  const char *cursor = data;
  guint n = 0, fit = 0, lands = 0;

  while (lw_text_next_line (&cursor, data + size, MAX_LINE, line)) {
    gboolean code = line->len > 3 && strspn (line->str, "0123456789") >= 3;

    n += *line->str != '\0'; /* zeros behind a torn end are no line */
    fit += code || (line->len > 2 && (*line->str == 'C' || *line->str == 'P') && line->str[1] == ' ');
    lands += code && line->len > 41 && line->str[2] == '7' && strchr (line->str + 31, 'X') != NULL;
  }
  return lands > 0 && 10 * fit >= 8 * n;
}
