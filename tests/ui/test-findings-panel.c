/* Choosing a finding shows its part, its side and its moment; fresh findings keep the choice. */
#include "ui-fixture.h"
#include "widgets/finding-groups.h"
#include "widgets/finding-item.h"
#include "widgets/finding-row.h"
#include "widgets/shown-units.h"

typedef struct {
  LwDesk *desk;
  LwFindingsPanel *panel;
  GtkWidget *window;
  int shown;
} Bench;

static void
show_part_cb (LwFindingsPanel *panel, int part, Bench *bench)
{
  bench->shown = part;
}

static void
set_up (Bench *bench, gconstpointer data)
{
  g_autoptr (LwDocument) document = lw_document_new (ui_planned_job (), NULL);
  g_autoptr (GPtrArray) findings = ui_findings ();
  g_autoptr (LwPrediction) answer = NULL;

  bench->shown = -1;
  bench->desk = lw_desk_new ();
  lw_desk_set_document (bench->desk, document);
  bench->window = gtk_window_new ();
  bench->panel = g_object_new (LW_TYPE_FINDINGS_PANEL, "desk", bench->desk, NULL);
  g_signal_connect (bench->panel, "show-part", G_CALLBACK (show_part_cb), bench);
  gtk_window_set_child (GTK_WINDOW (bench->window), GTK_WIDGET (bench->panel));
  gtk_window_present (GTK_WINDOW (bench->window));
  answer = ui_prediction (lw_desk_job (bench->desk), 200);
  g_assert_true (
    lw_desk_take_answer (bench->desk, lw_document_revision (document), answer, findings));
}

static void
tear_down (Bench *bench, gconstpointer data)
{
  gtk_window_destroy (GTK_WINDOW (bench->window));
  g_object_unref (bench->desk);
}

static void
test_listed_worst_first (Bench *bench, gconstpointer data)
{
  GListModel *list = G_LIST_MODEL (lw_findings_panel_selection (bench->panel));
  g_autoptr (LwFindingItem) first = g_list_model_get_item (list, 0);

  g_assert_cmpuint (g_list_model_get_n_items (list), ==, 2);
  g_assert_cmpint (lw_finding_item_finding (first)->grade, ==, LW_GRADE_STOP);
  g_assert_cmpint (lw_desk_selected_part (bench->desk), ==, -1); /* nothing is chosen for the person */
}

static void
test_choice_shows_part_and_moment (Bench *bench, gconstpointer data)
{
  GtkSingleSelection *selection = lw_findings_panel_selection (bench->panel);

  gtk_single_selection_set_selected (selection, 0);
  g_assert_cmpint (lw_desk_selected_part (bench->desk), ==, 1);
  g_assert_cmpfloat (lw_desk_moment (bench->desk), ==, 60);
  g_assert_cmpint (bench->shown, ==, 1);
  gtk_single_selection_set_selected (selection, 1);
  g_assert_cmpint (lw_desk_selected_part (bench->desk), ==, 3);
  g_assert_cmpint (lw_desk_side (bench->desk), ==, LW_SIDE_BOTTOM);
  g_assert_cmpfloat (lw_desk_moment (bench->desk), ==, 80);
}

static void
test_fresh_findings_keep_the_choice (Bench *bench, gconstpointer data)
{
  GtkSingleSelection *selection = lw_findings_panel_selection (bench->panel);
  g_autoptr (GPtrArray) fresh = ui_findings ();

  gtk_single_selection_set_selected (selection, 1);
  lw_desk_set_moment (bench->desk, 12);
  g_ptr_array_insert (fresh, 0, g_ptr_array_steal_index (fresh, 1)); /* R1 is the first now */
  lw_desk_take_answer (bench->desk, lw_document_revision (lw_desk_document (bench->desk)), NULL, fresh);
  g_assert_cmpuint (gtk_single_selection_get_selected (selection), ==, 0);
  g_assert_cmpfloat (lw_desk_moment (bench->desk), ==, 12); /* and the person's moment stays */
}

static gboolean
says (GtkWidget *within, const char *text)
{
  if (GTK_IS_LABEL (within) && g_str_equal (gtk_label_get_text (GTK_LABEL (within)), text))
    return TRUE;
  for (GtkWidget *child = gtk_widget_get_first_child (within); child != NULL; child = gtk_widget_get_next_sibling (child))
    if (says (child, text))
      return TRUE;
  return FALSE;
}

static gboolean
mentions (GtkWidget *within, const char *text)
{
  if (GTK_IS_LABEL (within) && gtk_widget_get_mapped (within) && strstr (gtk_label_get_text (GTK_LABEL (within)), text) != NULL)
    return TRUE;
  for (GtkWidget *child = gtk_widget_get_first_child (within); child != NULL; child = gtk_widget_get_next_sibling (child))
    if (mentions (child, text))
      return TRUE;
  return FALSE;
}

/* A finding that is the same reads otherwise in other units. */
static void
test_units_follow (Bench *bench, gconstpointer data)
{
  ui_spin (100);
  g_assert_true (mentions (GTK_WIDGET (bench->panel), "°C"));
  lw_set_shown_units ((LwUnits){ .fahrenheit = TRUE });
  ui_spin (50);
  g_assert_false (mentions (GTK_WIDGET (bench->panel), "°C"));
  g_assert_true (mentions (GTK_WIDGET (bench->panel), "°F"));
  lw_set_shown_units ((LwUnits){ 0 });
  ui_spin (50);
  g_assert_true (mentions (GTK_WIDGET (bench->panel), "°C"));
}

/* What is passed from below lies over the limit, what does not reach it is short of it. */
static void
test_over_and_short (void)
{
  static const struct {
    gboolean upper;
    double value, limit;
    const char *said;
  } rows[] = { { TRUE, 262, 250, "12 K over" }, { FALSE, 210, 217, "7 K short" },
               { TRUE, 240, 250, "10 K left" }, { FALSE, 230, 217, "13 K left" },
               { TRUE, 250.04, 250, "0.04 K over" }, { TRUE, 249.96, 250, "249.96 °C, limit 250 °C" },
               { TRUE, 250, 250, "at the limit" } };
  GtkWidget *row = g_object_ref_sink (lw_finding_row_new ());

  for (guint i = 0; i < G_N_ELEMENTS (rows); i++) {
    LwFinding f = { .kind = (char *) "joint-peak", .ref = (char *) "C1", .unit = (char *) "°C", .value = rows[i].value,
                    .limit = rows[i].limit, .upper = rows[i].upper, .doubt = NAN, .moment_s = NAN, .chance = NAN,
                    .source = (char *) "the test", .text = (char *) "C1.", .advice = (char *) "" };
    f.headroom = f.upper ? f.limit - f.value : f.value - f.limit;
    lw_finding_row_set (LW_FINDING_ROW (row), &f);
    g_assert_true (says (row, ui_shown (rows[i].said)));
  }
  g_object_unref (row);
}

/* ---- groups ---- */

/* C1 stops; six parts are to be watched for the same reason, two for another. */
static GPtrArray *
many_findings (void)
{
  GPtrArray *findings = ui_findings ();

  for (guint i = 0; i < 7; i++) {
    LwFinding *f = g_new0 (LwFinding, 1);

    f->grade = LW_GRADE_WATCH;
    f->kind = g_strdup (i < 5 ? "joint-peak" : "ramp-up");
    f->ref = g_strdup_printf ("R%u", i + 2);
    f->unit = g_strdup ("°C");
    f->value = 190 - i;
    f->limit = 200;
    f->headroom = 10 + i;
    f->doubt = f->moment_s = NAN;
    f->source = g_strdup ("the test");
    f->text = g_strdup_printf ("%s gets warm.", f->ref);
    f->advice = g_strdup ("");
    g_ptr_array_add (findings, f);
  }
  return findings;
}

static LwFindingItem *
item_at (Bench *bench, guint at)
{
  g_autoptr (LwFindingItem) item
    = g_list_model_get_item (G_LIST_MODEL (lw_findings_panel_selection (bench->panel)), at);

  return item; /* the list holds it */
}

static guint
n_listed (Bench *bench)
{
  return g_list_model_get_n_items (G_LIST_MODEL (lw_findings_panel_selection (bench->panel)));
}

static GtkWidget *
find_list (GtkWidget *within)
{
  GtkWidget *found = GTK_IS_LIST_VIEW (within) ? within : NULL;

  for (GtkWidget *child = gtk_widget_get_first_child (within); child != NULL && found == NULL;
       child = gtk_widget_get_next_sibling (child))
    found = find_list (child);
  return found;
}

static gboolean
settled (gpointer data)
{
  return FALSE;
}

static void
test_like_findings_fold (Bench *bench, gconstpointer data)
{
  g_autoptr (GPtrArray) findings = many_findings (), again = many_findings ();
  GtkWidget *list = NULL;
  g_autofree char *names = NULL;
  guint64 revision = lw_document_revision (lw_desk_document (bench->desk));

  lw_desk_take_answer (bench->desk, revision, NULL, findings);
  g_assert_cmpuint (n_listed (bench), ==, 4); /* C1, the head of six, two ramps */
  g_assert_cmpuint (lw_finding_item_members (item_at (bench, 1))->len, ==, 6);
  g_assert_cmpstr (lw_finding_item_finding (item_at (bench, 1))->ref, ==, "R1"); /* the worst stands for all */
  names = lw_finding_group_names (item_at (bench, 1));
  g_assert_cmpstr (names, ==, "R1, R2, R3, R4, R5, R6");
  /* Enter on the head opens it, and once more folds it */
  list = find_list (GTK_WIDGET (bench->panel));
  g_signal_emit_by_name (list, "activate", 1);
  g_assert_cmpuint (n_listed (bench), ==, 10);
  g_assert_true (lw_finding_item_head (item_at (bench, 2)) == item_at (bench, 1));
  ui_wait (settled, NULL, 50);
  /* open stays open when fresh findings come */
  lw_desk_take_answer (bench->desk, revision, NULL, again);
  g_assert_cmpuint (n_listed (bench), ==, 10);
  g_signal_emit_by_name (list, "activate", 1);
  g_assert_cmpuint (n_listed (bench), ==, 4);
  ui_wait (settled, NULL, 50);
}

int
main (int argc, char **argv)
{
  ui_test_init (&argc, &argv);
  g_test_add ("/findings/units-follow", Bench, NULL, set_up, test_units_follow, tear_down);
  g_test_add ("/findings/worst-first", Bench, NULL, set_up, test_listed_worst_first, tear_down);
  g_test_add ("/findings/part-and-moment", Bench, NULL, set_up, test_choice_shows_part_and_moment, tear_down);
  g_test_add ("/findings/keep-the-choice", Bench, NULL, set_up, test_fresh_findings_keep_the_choice, tear_down);
  g_test_add_func ("/findings/over-and-short", test_over_and_short);
  g_test_add ("/findings/like-ones-fold", Bench, NULL, set_up, test_like_findings_fold, tear_down);
  return g_test_run ();
}
