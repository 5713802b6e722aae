/* What a soak did to its document, as commands that can be done again on another one without a window. */
#ifndef SOAK_COMMANDS_H
#define SOAK_COMMANDS_H

#include "board/document.h"

typedef enum {
  SOAK_MOVE_BY,      /* PARTS by X, Y; one step with those before it under KEY */
  SOAK_MOVE_TO,      /* the one of PARTS to X, Y: a drag, a step of its own */
  SOAK_TURN,         /* the one of PARTS by X degrees */
  SOAK_TURN_GROUP,   /* PARTS by X degrees */
  SOAK_FLIP,         /* the one of PARTS */
  SOAK_FLIP_GROUP,
  SOAK_LOCK,         /* PARTS, or free when all are locked */
  SOAK_REMOVE,       /* PARTS */
  SOAK_TARGET,       /* the one of PARTS is reworked, when it is not already */
  SOAK_THERMOCOUPLE, /* on the one of PARTS */
  SOAK_SHIELD,       /* over the one of PARTS */
  SOAK_NUMBER,       /* KEY is X; one step with those before it of the same KEY */
  SOAK_UNDO,
  SOAK_REDO
} SoakKind;

typedef struct {
  SoakKind kind;
  GArray *parts; /* of guint */
  double x, y;
  char *key;
} SoakCommand;

/* Copies PARTS (may be NULL) and KEY (may be NULL). */
SoakCommand *soak_command_new (SoakKind kind, const GArray *parts, double x, double y, const char *key);
void soak_command_free (SoakCommand *self);
/* What is refused changes nothing. */
void soak_command_do (const SoakCommand *self, LwDocument *document);

#endif
