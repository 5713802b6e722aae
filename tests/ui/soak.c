/* Hours of use in minutes: random edits, undos, redos, runs and cancels in the real window, most of them by keys and
 * pointer through the X server, with the real solver behind. Whatever the document goes through is done again on another
 * one without a window, and both must say the same. Memory must not grow.
 *
 *   soak [--tap] [STEPS [SEED]] */
#include <malloc.h>
#include <stdlib.h>

#include "board/edits.h"
#include "board/job-file.h"
#include "hands.h"
#include "soak-commands.h"
#include "widgets/field-row.h"
#include "widgets/sketch.h"

/* Compared with the replay every so many steps, so that what differs is found where it began. */
#define CHECK_EVERY 50
/* Memory is compared from here on: caches are filled, every page was seen. */
#define WARM 200
/* Growth of what the process holds from step WARM to the last, MB. The history alone keeps 500 states (board/document.c); the
 * bound is our own: half as much again as was measured (docs/hard.md). */
#define GROWTH_MB 40

typedef struct {
  LwWindow *window;
  LwDesk *desk;
  LwBoardView *view;
  GRand *rand;
  FILE *hands;               /* a running xdotool's input */
  guint released, pressed;   /* keys and buttons that came back from the X server */
  GPtrArray *done;           /* of SoakCommand */
  guint replayed;            /* of them, on TWIN */
  LwDocument *twin;
  guint runs, cancels, drags, abandoned, numbers;
} Soak;

static LwDocument *
document (Soak *self)
{
  return lw_desk_document (self->desk);
}

static void
note (Soak *self, SoakKind kind, const GArray *parts, double x, double y, const char *key)
{
  g_ptr_array_add (self->done, soak_command_new (kind, parts, x, y, key));
}

/* ---- hands ---- */

static gboolean
event_cb (Soak *self, GdkEvent *event)
{
  GdkEventType type = gdk_event_get_event_type (event);

  if (type == GDK_KEY_RELEASE || type == GDK_BUTTON_RELEASE)
    self->released++;
  if (type == GDK_BUTTON_PRESS)
    self->pressed++;
  return GDK_EVENT_PROPAGATE;
}

static void G_GNUC_PRINTF (2, 3)
hands (Soak *self, const char *format, ...)
{
  va_list args;

  va_start (args, format);
  g_assert_cmpint (vfprintf (self->hands, format, args), >, 0);
  va_end (args);
  g_assert_cmpint (fputc ('\n', self->hands), ==, '\n');
  g_assert_cmpint (fflush (self->hands), ==, 0);
}

typedef struct {
  const guint *count;
  guint wanted;
} Arrival;

static gboolean
has_come (gpointer data)
{
  const Arrival *arrival = data;

  return *arrival->count >= arrival->wanted;
}

static void
await (const guint *count, guint wanted)
{
  g_assert_true (ui_wait (has_come, &(Arrival){ count, wanted }, 20000));
}

/* Pressed on the board, and taken in. */
static void
tap (Soak *self, const char *keys)
{
  guint wanted = self->released + 1;

  for (const char *c = keys; *c != '\0'; c++)
    wanted += *c == '+';
  gtk_widget_grab_focus (GTK_WIDGET (self->view));
  hands (self, "key %s", keys);
  await (&self->released, wanted);
}

static void
act (Soak *self, const char *action)
{
  gtk_widget_activate_action (GTK_WIDGET (self->view), action, NULL);
}

/* ---- steps ---- */

static const GArray *
selected (Soak *self)
{
  return lw_desk_selected_parts (self->desk);
}

static const LwPart *
lead (Soak *self)
{
  int part = lw_desk_selected_part (self->desk);

  return part < 0 ? NULL : g_ptr_array_index (lw_desk_job (self->desk)->parts, part);
}

static void
note_lead (Soak *self, SoakKind kind, double x)
{
  guint part = (guint) lw_desk_selected_part (self->desk);
  g_autoptr (GArray) one = g_array_new (FALSE, FALSE, sizeof part);

  g_array_append_val (one, part);
  note (self, kind, one, x, 0, NULL);
}

static void
choose (Soak *self)
{
  static const char *const keys[] = { "n", "n", "p", "n", "ctrl+a", "Escape" };

  tap (self, keys[g_rand_int_range (self->rand, 0, G_N_ELEMENTS (keys))]);
}

static void
nudge (Soak *self)
{
  static const char *const arrows[] = { "Left", "Right", "Up", "Down" };
  int arrow = g_rand_int_range (self->rand, 0, 4), much = g_rand_int_range (self->rand, 0, 4);
  double step = lw_sketch_grid_mm (lw_desk_sketch (self->desk)) * (much == 0 ? 0.1 : 1);
  double handed = self->view->view.side == LW_SIDE_BOTTOM ? -1 : 1;
  g_autofree char *keys = g_strconcat (much == 0 ? "shift+" : "", arrows[arrow], NULL);
  g_autofree char *merge = NULL;

  if (lead (self) != NULL) {
    merge = g_strdup_printf ("nudge-%s-%u", lead (self)->ref, selected (self)->len);
    note (self, SOAK_MOVE_BY, selected (self), handed * step * ((arrow == 1) - (arrow == 0)),
          step * ((arrow == 2) - (arrow == 3)), merge);
  }
  tap (self, keys);
}

static void
turn (Soak *self)
{
  gboolean back = g_rand_boolean (self->rand);
  double turn = back ? -90 : 90;

  if (lead (self) != NULL && selected (self)->len > 1)
    note (self, SOAK_TURN_GROUP, selected (self), self->view->view.side == LW_SIDE_BOTTOM ? -turn : turn, 0, NULL);
  else if (lead (self) != NULL)
    note_lead (self, SOAK_TURN, turn);
  tap (self, back ? "shift+r" : "r");
}

static void
flip (Soak *self)
{
  if (lead (self) != NULL && selected (self)->len > 1)
    note (self, SOAK_FLIP_GROUP, selected (self), 0, 0, NULL);
  else if (lead (self) != NULL)
    note_lead (self, SOAK_FLIP, 0);
  tap (self, "f");
}

static void
lock (Soak *self)
{
  if (selected (self)->len > 0)
    note (self, SOAK_LOCK, selected (self), 0, 0, NULL);
  tap (self, "l");
}

/* Never the last two: there is to be something left to work on. */
static void
drop (Soak *self)
{
  if (lead (self) == NULL || selected (self)->len + 2 > lw_desk_job (self->desk)->parts->len)
    return;
  note (self, SOAK_REMOVE, selected (self), 0, 0, NULL);
  tap (self, "Delete");
}

static void
undo (Soak *self)
{
  int times = g_rand_int_range (self->rand, 1, 6);

  for (int i = 0; i < times; i++) {
    note (self, SOAK_UNDO, NULL, 0, 0, NULL);
    tap (self, "ctrl+z");
  }
}

static void
redo (Soak *self)
{
  note (self, SOAK_REDO, NULL, 0, 0, NULL);
  tap (self, "ctrl+shift+z");
}

static void
add (Soak *self)
{
  gboolean shield = g_rand_boolean (self->rand);

  if (lead (self) != NULL && lw_desk_plan (self->desk) >= 0)
    note_lead (self, shield ? SOAK_SHIELD : SOAK_THERMOCOUPLE, 0);
  act (self, shield ? "win.add-shield" : "win.add-thermocouple");
}

static void
target (Soak *self)
{
  if (lead (self) != NULL)
    note_lead (self, SOAK_TARGET, 0);
  act (self, "win.rework-selected");
}

static void
look (Soak *self)
{
  static const char *const keys[] = { "ctrl+b", "plus", "minus", "0", "alt+1", "alt+2", "alt+5", "alt+6", "alt+7", "alt+8" };

  tap (self, keys[g_rand_int_range (self->rand, 0, G_N_ELEMENTS (keys))]);
}

static void
run_once (Soak *self)
{
  tap (self, "F5");
  self->runs++;
  ui_spin ((guint) g_rand_int_range (self->rand, 0, 60));
  if (g_rand_boolean (self->rand)) {
    act (self, "win.cancel-run");
    self->cancels++;
  }
}

/* ---- a number in the inspector ---- */

static void
gather_rows (GtkWidget *widget, GPtrArray *rows)
{
  if (LW_IS_FIELD_ROW (widget) && gtk_widget_get_mapped (widget))
    g_ptr_array_add (rows, widget);
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL; child = gtk_widget_get_next_sibling (child))
    gather_rows (child, rows);
}

static void
show_something (Soak *self)
{
  static const LwThing things[] = { LW_THING_BOARD, LW_THING_NOZZLE, LW_THING_PREHEAT, LW_THING_STAGE, LW_THING_STATION };
  LwThing thing = things[g_rand_int_range (self->rand, 0, G_N_ELEMENTS (things))];

  if (lw_desk_plan (self->desk) >= 0)
    lw_desk_select (self->desk, thing, thing == LW_THING_STAGE ? g_rand_int_range (self->rand, 0, 3) : -1);
  ui_spin (20);
}

static void
number (Soak *self)
{
  g_autoptr (GPtrArray) rows = g_ptr_array_new ();
  g_autofree char *text = NULL, *path = NULL;
  guint64 before = lw_document_revision (document (self));
  LwFieldRow *row;
  double now;

  show_something (self);
  gather_rows (GTK_WIDGET (self->window->inspector), rows);
  if (rows->len == 0)
    return;
  row = g_ptr_array_index (rows, g_rand_int_range (self->rand, 0, (int) rows->len));
  path = g_strdup (lw_field_row_path (row));
  now = lw_job_number (lw_desk_job (self->desk), path);
  if (isnan (now))
    return;
  text = g_strdup_printf ("%.1f", now * g_rand_double_range (self->rand, 0.9, 1.1));
  gtk_editable_set_text (lw_field_row_editable (row), text);
  lw_field_row_commit (row);
  if (lw_document_revision (document (self)) != before) {
    note (self, SOAK_NUMBER, NULL, g_ascii_strtod (text, NULL), 0, path);
    self->numbers++;
  }
}

/* ---- a drag ---- */

static void
point (Soak *self, double x_mm, double y_mm)
{
  int x, y;

  to_screen (self->window, x_mm, y_mm, &x, &y);
  hands (self, "mousemove %d %d", x, y);
}

static gboolean
moves (gpointer view)
{
  return ((LwBoardView *) view)->drag.moved;
}

static const LwPart *
visible_part (Soak *self, guint *index)
{
  LwJob *job = lw_desk_job (self->desk);
  const LwPart *part;
  double x, y;

  *index = (guint) g_rand_int_range (self->rand, 0, (int) job->parts->len);
  part = g_ptr_array_index (job->parts, *index);
  lw_viewport_to_picture (&self->view->view, part->x_mm, part->y_mm, &x, &y);
  return part->side == self->view->view.side && x > 10 && y > 10 && x < self->view->view.width - 10
             && y < self->view->view.height - 10
           ? part : NULL;
}

/* What else was taken hold of than one part is let go again by Escape, and so are some parts. */
static void
let_go (Soak *self, guint64 before)
{
  gboolean one = self->view->drag.kind == LW_DRAG_PART
                 && (self->view->drag.group == NULL || self->view->drag.group->len <= 1);
  guint index = self->view->drag.index, wanted = self->released + 1;
  const LwPart *part;

  if (!one || g_rand_int_range (self->rand, 0, 4) == 0) {
    tap (self, "Escape");
    hands (self, "mouseup 1");
    await (&self->released, wanted + 1);
    self->abandoned++;
    return;
  }
  hands (self, "mouseup 1");
  await (&self->released, wanted);
  self->drags++;
  part = g_ptr_array_index (lw_desk_job (self->desk)->parts, index);
  if (lw_document_revision (document (self)) != before) {
    g_autoptr (GArray) moved = g_array_new (FALSE, FALSE, sizeof index);

    g_array_append_val (moved, index);
    note (self, SOAK_MOVE_TO, moved, part->x_mm, part->y_mm, NULL);
  }
}

static void
pull (Soak *self)
{
  guint64 before = lw_document_revision (document (self));
  guint index, wanted = self->pressed + 1;
  const LwPart *part;
  double x, y;

  tap (self, "0");
  part = visible_part (self, &index);
  if (part == NULL)
    return;
  x = part->x_mm, y = part->y_mm;
  point (self, x, y);
  hands (self, "mousedown 1");
  await (&self->pressed, wanted);
  point (self, x + g_rand_double_range (self->rand, 1, 4), y + g_rand_double_range (self->rand, -4, -1));
  point (self, x + g_rand_double_range (self->rand, -4, -2), y + g_rand_double_range (self->rand, 2, 4));
  ui_wait (moves, self->view, 1000);
  let_go (self, before);
}

/* ---- all ---- */

static const struct {
  void (*step) (Soak *self);
  int weight;
} STEPS[] = { { choose, 20 }, { nudge, 22 }, { turn, 8 },  { flip, 4 },   { lock, 3 },   { drop, 2 },     { undo, 10 },
              { redo, 10 },   { add, 4 },    { target, 3 }, { look, 6 }, { number, 8 }, { run_once, 4 }, { pull, 6 } };

static void
step (Soak *self)
{
  int all = 0, pick;
  guint i = 0;

  for (guint k = 0; k < G_N_ELEMENTS (STEPS); k++)
    all += STEPS[k].weight;
  pick = g_rand_int_range (self->rand, 0, all);
  while (pick >= STEPS[i].weight)
    pick -= STEPS[i++].weight;
  STEPS[i].step (self);
}

static void
assert_same (LwDocument *a, LwDocument *b, guint at)
{
  g_autofree char *one = lw_job_to_data (lw_document_job (a), NULL), *other = lw_job_to_data (lw_document_job (b), NULL);

  if (!g_str_equal (one, other))
    g_test_message ("differs between step %u and %u", at - CHECK_EVERY, at);
  g_assert_cmpstr (one, ==, other);
  g_assert_cmpstr (lw_document_undo_label (a) == NULL ? "no" : "yes", ==, lw_document_undo_label (b) == NULL ? "no" : "yes");
  g_assert_cmpstr (lw_document_redo_label (a) == NULL ? "no" : "yes", ==, lw_document_redo_label (b) == NULL ? "no" : "yes");
}

static void
catch_up (Soak *self, guint at)
{
  while (self->replayed < self->done->len)
    soak_command_do (g_ptr_array_index (self->done, self->replayed++), self->twin);
  assert_same (document (self), self->twin, at);
}

/* What the process holds, MB, after what is free was given back. */
static double
held_mb (void)
{
  g_autofree char *text = NULL;
  long pages = 0;

  malloc_trim (0);
  g_assert_true (g_file_get_contents ("/proc/self/statm", &text, NULL, NULL));
  g_assert_cmpint (sscanf (text, "%*d %ld", &pages), ==, 1);
  return (double) pages * (double) sysconf (_SC_PAGESIZE) / 1e6;
}

static void
open_window (Soak *self)
{
  GtkEventController *ears = gtk_event_controller_legacy_new ();
  g_autoptr (LwDocument) opened = lw_document_new (ui_planned_job (), NULL);

  self->twin = lw_document_new (ui_planned_job (), NULL);
  self->done = g_ptr_array_new_with_free_func ((GDestroyNotify) soak_command_free);
  self->window = lw_window_new (ui_application ());
  self->desk = lw_window_desk (self->window);
  self->view = self->window->board_view;
  gtk_event_controller_set_propagation_phase (ears, GTK_PHASE_CAPTURE);
  g_signal_connect_swapped (ears, "event", G_CALLBACK (event_cb), self);
  gtk_widget_add_controller (GTK_WIDGET (self->window), ears);
  gtk_window_present (GTK_WINDOW (self->window));
  ui_spin (400);
  run ("search", "--onlyvisible", "--sync", "--name", "Leeward", "windowfocus", NULL);
  lw_session_take_document (lw_window_session (self->window), opened);
  ui_spin (400);
}

static guint steps = 100, seed = 1;

static gboolean
is_answered (gpointer desk)
{
  return !lw_desk_busy (desk) && !lw_desk_stale (desk);
}

static void
close_window (Soak *self)
{
  tap (self, "F5");
  g_assert_true (lw_desk_plan (self->desk) < 0 || ui_wait (is_answered, self->desk, 120000));
  ui_close (self->window);
  pclose (self->hands);
  g_clear_object (&self->twin);
  g_ptr_array_unref (self->done);
  g_rand_free (self->rand);
}

static void
test_soak (void)
{
  GPid wm = hands_start ();
  Soak self = { .rand = g_rand_new_with_seed (seed), .hands = popen ("xdotool -", "w") };
  double warm = NAN, last;

  g_assert_nonnull (self.hands);
  open_window (&self);
  for (guint i = 1; i <= steps; i++) {
    step (&self);
    if (i % CHECK_EVERY == 0 || i == steps)
      catch_up (&self, i);
    if (i % WARM == 0)
      g_test_message ("%.1f MB after %u steps", held_mb (), i);
    if (i == WARM)
      warm = held_mb ();
  }
  g_test_message ("seed %u: %u steps, %u commands (%u drags, %u called off, %u typed numbers, %u runs, %u cancelled)", seed,
                  steps, self.done->len, self.drags, self.abandoned, self.numbers, self.runs, self.cancels);
  last = held_mb ();
  g_test_message ("%.1f MB after %u steps", last, steps);
  if (steps > WARM)
    g_assert_cmpfloat (last - warm, <, GROWTH_MB);
  close_window (&self);
  kill (wm, SIGTERM);
}

int
main (int argc, char **argv)
{
  ui_test_init (&argc, &argv);
  if (argc > 1)
    steps = (guint) atoi (argv[1]);
  if (argc > 2)
    seed = (guint) atoi (argv[2]);
  g_test_add_func ("/soak", test_soak);
  return g_test_run ();
}
