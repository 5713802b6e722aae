/* A fuzz target: any bytes are given to one reader, which must read or refuse them, and may do nothing else. What a
 * target asserts holds for every input. The name of the one function is libFuzzer's; driver.c calls it too. */
#ifndef FUZZ_H
#define FUZZ_H

#include <gio/gio.h>
#include <stddef.h>
#include <stdint.h>

int LLVMFuzzerTestOneInput (const uint8_t *data, size_t size);

/* A reader either gives something or says why not, with the file's name in front. */
static inline void
fuzz_check (gboolean given, const GError *error)
{
  if (given)
    g_assert_no_error (error);
  else
    {
      g_assert_nonnull (error);
      g_assert_nonnull (strchr (error->message, ':'));
      g_assert_true (g_utf8_validate (error->message, -1, NULL));
    }
}

#endif
