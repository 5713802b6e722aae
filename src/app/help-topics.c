#include "app/help-topics.h"

#include "app/fit-window.h"
#include "app/log-window.h"
#include "app/preferences.h"
#include "app/seek-window.h"
#include "app/show-window.h"
#include "app/table-window.h"
#include "app/window-private.h"
#include "widgets/finding-item.h"
#include "widgets/package-maker.h"

#define START "before"

/* That of the chosen finding, else the list's. */
static char *
findings_topic (LwFindingsPanel *panel)
{
  LwFindingItem *item = gtk_single_selection_get_selected_item (lw_findings_panel_selection (panel));

  return item == NULL ? g_strdup ("answer#findings")
                      : g_strconcat ("findings#", lw_finding_item_finding (item)->kind, NULL);
}

static const char *
thing_topic (LwThing thing)
{
  switch (thing) {
  case LW_THING_PART: return "board#parts";
  case LW_THING_NOZZLE:
  case LW_THING_PREHEAT: return "plan#nozzle-and-preheat-area";
  case LW_THING_STAGE: return "plan#stages";
  case LW_THING_STATION: return "station";
  case LW_THING_SHIELD: return "plan#shields";
  case LW_THING_THERMOCOUPLE: return "plan#thermocouples";
  case LW_THING_READINESS: return "readiness";
  case LW_THING_OPERATIONS: return "plan#operations";
  default: return "board";
  }
}

static const char *
page_topic (const char *page)
{
  static const struct {
    const char *page, *topic;
  } pages[] = {
    { "profile", "answer#profile" }, { "doubt", "answer#doubt" },
    { "runs", "run" },               { "history", "run#history" },
    { "parts", "board#parts" },      { "stages", "plan#stages" },
    { "thermocouples", "plan#thermocouples" }, { "shields", "plan#shields" },
    { "outline", "board#outline-copper-vias" }, { "stack-up", "board#stack-up" },
    { "packages", "board#packages" },
  };

  for (guint i = 0; i < G_N_ELEMENTS (pages); i++)
    if (g_strcmp0 (pages[i].page, page) == 0)
      return pages[i].topic;
  return START;
}

static char *
main_window_topic (LwWindow *window)
{
  GtkWidget *focus = gtk_window_get_focus (GTK_WINDOW (window));

  if (lw_desk_document (lw_window_desk (window)) == NULL)
    return g_strdup (START);
  for (GtkWidget *at = focus; at != NULL; at = gtk_widget_get_parent (at)) {
    if (at == GTK_WIDGET (window->findings))
      return findings_topic (window->findings);
    if (at == GTK_WIDGET (window->inspector))
      return g_strdup (thing_topic (lw_desk_selection (lw_window_desk (window), NULL)));
    if (at == GTK_WIDGET (window->lower))
      return g_strdup (page_topic (lw_lower_pane_page (window->lower)));
    if (at == GTK_WIDGET (window->board_view))
      return g_strdup ("board");
  }
  return g_strdup (START);
}

char *
lw_help_topic (GtkWindow *window)
{
  if (LW_IS_WINDOW (window))
    return main_window_topic (LW_WINDOW (window));
  return g_strdup (LW_IS_SEEK_WINDOW (window)     ? "seek"
                   : LW_IS_SHOW_WINDOW (window)   ? "show"
                   : LW_IS_LOG_WINDOW (window)    ? "run"
                   : LW_IS_FIT_WINDOW (window)    ? "run#the-fit"
                   : LW_IS_TABLE_WINDOW (window)  ? "board#opening-a-board"
                   : LW_IS_PACKAGE_MAKER (window) ? "board#packages"
                   : LW_IS_PREFERENCES (window)   ? "files#preferences"
                                                  : START);
}
