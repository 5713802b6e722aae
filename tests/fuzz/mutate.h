/* Damage at random, the same for the same seed. */
#ifndef MUTATE_H
#define MUTATE_H

#include <glib.h>

typedef struct {
  GPtrArray *seeds; /* GBytes */
  GPtrArray *words; /* GBytes: what the format is made of */
  GRand *random;
  gsize max_length;
} Mutator;

/* The words of a dictionary in libFuzzer's form: lines of NAME="TEXT" or "TEXT" with \\, \" and \xHH; # comments. */
void mutator_read_words (Mutator *self, const char *path);
/* A seed with one to eight changes (transfer full). */
GByteArray *mutator_next (Mutator *self);

#endif
