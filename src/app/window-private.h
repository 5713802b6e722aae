/* Shared by the files of the window. */
#ifndef LW_WINDOW_PRIVATE_H
#define LW_WINDOW_PRIVATE_H

#include "app/reading.h"
#include "app/recovery.h"
#include "app/window.h"
#include "exchange/export.h"
#include "widgets/board-view.h"
#include "widgets/findings-panel.h"
#include "widgets/inspector.h"
#include "widgets/lower-pane.h"
#include "widgets/run-state.h"
#include "widgets/target-chooser.h"
#include "widgets/toast.h"

G_BEGIN_DECLS

/* As the keyboard goes round. */
enum { LW_PANEL_BOARD, LW_PANEL_PAGES, LW_PANEL_FINDINGS, LW_PANEL_INSPECTOR, LW_N_PANELS };

struct _LwWindow {
  GtkApplicationWindow parent_instance;

  /* Template. */
  GtkLabel *title, *subtitle;
  GtkMenuButton *recent_button, *menu_button, *view_button, *parts_button, *draw_button;
  GtkToggleButton *side_top, *side_bottom;
  LwTargetChooser *target_chooser;
  LwRunState *run_state;
  GtkButton *undo_button, *redo_button;
  GtkStack *content;
  GtkPaned *main_paned, *center_paned, *side_paned;
  GtkOverlay *board_overlay;
  GtkWidget *board_tools;
  LwFindingsPanel *findings;
  LwInspector *inspector;
  LwLowerPane *lower;
  LwToast *toast;
  GtkInfoBar *disk_bar, *recovery_bar;
  GtkLabel *recovery_label, *disk_label;
  GtkBox *reading_box;
  GtkSpinner *reading_spinner;
  GtkLabel *reading_label;

  /* Owned. */
  LwSession *session;
  LwBoardView *board_view; /* in the overlay */
  GtkWidget *part_menu;    /* popover over the board */
  GtkWidget *left_at[LW_N_PANELS]; /* weak: what had the keyboard when a panel was left by its key */
  GtkWidget *find_bar, *tool_hint; /* in the overlay */
  GSignalGroup *desk_signals, *document_signals;
  GtkFileChooserNative *chooser;
  LwReading *reading; /* in flight, or NULL */
  guint reading_timer;
  GFile *last_file; /* what the document was read from */
  LwLeftover *leftover;
  char *last_problem;
  gboolean closing;   /* the person has answered */
  gboolean close_after_save;
  gboolean panes_restored;
  guint inhibit_cookie; /* 0 = none */
};

/* window.c */
LwDesk *lw_window_desk (LwWindow *self);
void lw_window_show_document (LwWindow *self);
void lw_window_show_part (LwWindow *self, int part);
/* A dialog with TITLE and what happened; also kept as the last problem. The dialog destroys itself when
 * answered. (transfer none) */
GtkWidget *lw_window_report (LwWindow *self, const char *title, const char *detail);

/* window-actions.c */
void lw_window_init_actions (LwWindow *self);
void lw_window_update_actions (LwWindow *self);

/* window-focus.c: to the next panel (STEP 1) or the one before (-1); into a page below the board; to the first field of what is
 * inspected */
void lw_window_init_focus (LwWindow *self);
void lw_window_drop_focus (LwWindow *self); /* for dispose */
void lw_window_step_panel (LwWindow *self, int step);
void lw_window_enter_page (LwWindow *self, const char *name);
void lw_window_enter_inspector (LwWindow *self);

/* window-part-menu.c */
void lw_window_init_part_menu (LwWindow *self);

/* window-open.c */
void lw_window_choose_open (LwWindow *self);
void lw_window_choose_folder (LwWindow *self);
void lw_window_stop_reading (LwWindow *self);
void lw_window_remember_recent (GFile *file);
/* This window when it is empty, else a new one. */
LwWindow *lw_window_to_fill (LwWindow *self);
/* The same file read in another way takes the document's place (transfer full). */
void lw_window_take_import (LwWindow *self, LwImport *import);
void lw_window_init_files (LwWindow *self);

/* window-files.c */
void lw_window_save (LwWindow *self);
void lw_window_choose_save_as (LwWindow *self);
void lw_window_reload (LwWindow *self);
void lw_window_offer_recovery (LwWindow *self, LwLeftover *leftover); /* takes it */
void lw_window_recover (LwWindow *self);
void lw_window_discard_recovery (LwWindow *self);
/* NAME is what the filter is called; SUFFIXES end with NULL, NULL alone = every file. */
void lw_window_add_filter (GtkFileChooser *chooser, const char *name, const char *const *suffixes);
/* A modal chooser that begins in the folder of last time (transfer none: the window holds it until it is answered); ANSWERED
 * is a "response" handler with the window as its data. */
GtkFileChooser *lw_window_new_chooser (LwWindow *self, const char *title, GtkFileChooserAction action,
                                       const char *accept, GCallback answered);
/* The folder of FILE for the next chooser; makes one begin there if it still exists. */
void lw_window_remember_folder (GFile *file);
void lw_window_restore_folder (GtkFileChooser *chooser);

/* window-draw.c */
void lw_window_init_drawing (LwWindow *self);
void lw_window_update_drawing (LwWindow *self);

/* window-runs.c: a recorded run for the plan in hand */
void lw_window_init_runs (LwWindow *self);
void lw_window_choose_run (LwWindow *self);
/* Shows how FILE reads; FALSE with ERROR when it does not at all. */
gboolean lw_window_import_run (LwWindow *self, GFile *file, GError **error);
void lw_window_show_run (LwWindow *self, int run);

/* window-close.c: FALSE when the window may close at once */
gboolean lw_window_ask_before_close (LwWindow *self);

/* window-export.c */
typedef enum { LW_PICTURE_BOARD, LW_PICTURE_PROFILE } LwPicture;
void lw_window_choose_export (LwWindow *self, LwPicture picture);
gboolean lw_window_export (LwWindow *self, LwPicture picture, GFile *file, GError **error);
/* The board for other programs: asks for a name, or writes FILE. What the format has no place for is told in a
 * dialog, failure is reported. */
void lw_window_choose_write_board (LwWindow *self, LwExportKind kind);
void lw_window_write_board (LwWindow *self, LwExportKind kind, GFile *file);

G_END_DECLS

#endif
