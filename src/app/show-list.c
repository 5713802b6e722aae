#include "app/show-list.h"

#include <glib/gi18n.h>
#include <math.h>

/* In the person's units; "" where there is none. */
static char *
figure (const LwShowPage *page, const LwPrediction *prediction, const double *series, double t_s)
{
  double value_c = series != NULL ? lw_prediction_at (prediction, series, t_s) : NAN;
  g_autofree char *text = isfinite (value_c) ? g_strdup_printf ("%.0f °C", value_c) : NULL;

  return text != NULL ? lw_units_sentence (page->units, text) : g_strdup ("");
}

static void
tell_part (LwToldList *list, const LwShowPage *page, const LwPrediction *prediction, const LwPartTrace *part, double t_s)
{
  g_autofree char *coldest = figure (page, prediction, part->joint_min, t_s);
  g_autofree char *hottest = figure (page, prediction, part->joint_max, t_s);
  g_autofree char *body = figure (page, prediction, part->body_top, t_s);

  lw_told_list_add (list, (const char *const[]){ part->ref, coldest, hottest, body, NULL });
}

static void
tell_plan (LwToldList *list, const LwShowPage *page, const LwShown *shown, double t_s)
{
  const LwPassage *passage = shown->story != NULL ? lw_story_at (shown->story, t_s) : NULL;
  g_autofree char *figures = lw_show_figures (shown, page->units, t_s);

  if (passage != NULL) {
    g_autofree char *said = lw_units_sentence (page->units, passage->text);
    g_autofree char *whole = g_strdup_printf ("%s\n%s", passage->title, said);

    lw_told_list_add_text (list, whole);
  }
  lw_told_list_add_text (list, figures);
  for (guint i = 0; i < shown->prediction->parts->len; i++) {
    const LwPartTrace *part = g_ptr_array_index (shown->prediction->parts, i);

    if (part->side == page->side)
      tell_part (list, page, shown->prediction, part, t_s);
  }
}

void
lw_show_list_tell (LwToldList *list, const LwShowPage *page, double t_s)
{
  lw_told_list_begin (list, (const char *const[]){ "", _("Coldest joint"), _("Hottest joint"), _("Body top"), NULL });
  tell_plan (list, page, &page->main, t_s);
  if (page->other.job != NULL)
    tell_plan (list, page, &page->other, t_s);
  lw_told_list_end (list);
}
