/* What the window's tests share: a small job, a bounded wait, an engine whose answers the test decides. */
#ifndef LW_UI_FIXTURE_H
#define LW_UI_FIXTURE_H

#include "app/runner.h"
#include "app/window-private.h"

/* gtk_test_init(), the room's resources, and a clean folder for what the program remembers. */
void ui_test_init (int *argc, char ***argv);
/* Runs the main loop until TEST holds or LIMIT_MS is over; whether it holds. */
typedef gboolean (*UiTest) (gpointer data);
gboolean ui_wait (UiTest test, gpointer data, guint limit_ms);
/* LW_PATIENCE: so many times as long, under a sanitizer that makes everything slow. */
gint64 ui_patience (void);
/* Runs the main loop for a while: for things that must not happen. */
void ui_spin (guint ms);
/* Of a desk, for ui_wait(): something computes; the full answer is there, of the job as it is. */
gboolean ui_is_busy (gpointer desk);
gboolean ui_is_answered (gpointer desk);

/* Four parts, 40 x 30 mm: U1 (leadless), C1 beside it, C2 (electrolytic), R1 below. No plan. */
LwJob *ui_small_job (void);
/* The same with a plan for U1. */
LwJob *ui_planned_job (void);
/* TEXT, in which a number has a point, as the locale shows that number. */
const char *ui_shown (const char *text);
/* Written to a new folder. */
GFile *ui_job_file (const char *name);
char *ui_read (GFile *file);

/* A prediction for JOB with flat curves: every body at BODY_C, joints 10 K below, over 100 s. */
LwPrediction *ui_prediction (const LwJob *job, double body_c);
/* Two findings: stop for C1 at 60 s, watch for R1 (bottom) at 80 s. */
GPtrArray *ui_findings (void);

/* Runs started are kept until the test ends them. */
typedef struct {
  GTask *task;
  GCancellable *cancellable;
  gboolean no_doubt;
  LwJob *job;
} UiRun;
extern GPtrArray *ui_runs; /* of UiRun */
extern const LwRunnerEngine ui_engine;
/* Ends run INDEX with a prediction of BODY_C. */
void ui_finish_run (guint index, double body_c);
void ui_fail_run (guint index, const char *reason);
void ui_drop_runs (void);

/* An application that is registered, and a window with the small job whose runs stay unfinished. */
GtkApplication *ui_application (void);
LwWindow *ui_window (LwJob *job);
/* An empty window of 1024 x 700, as large as a small screen. */
LwWindow *ui_small_window (void);
void ui_close (LwWindow *window);
/* WIDGET is destroyed and freed: nothing else may hold it. */
void ui_assert_gone (GtkWidget *widget);

#endif
