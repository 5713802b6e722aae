/* Loops worth compiling twice: for the plain instruction set and for wide vectors, chosen when the
 * program starts. No operation is reordered or fused, so both give the same bits. */
#ifndef HEAT_WIDE_H
#define HEAT_WIDE_H

#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__) && !defined(__SANITIZE_ADDRESS__)   \
    && !defined(__SANITIZE_THREAD__) && defined(__gnu_linux__)
#define HEAT_WIDE __attribute__ ((target_clones ("avx2", "default")))
#else
#define HEAT_WIDE
#endif

/* Helpers of such loops, so that they are compiled along with them. */
#if defined(__GNUC__)
#define HEAT_INLINE static inline __attribute__ ((always_inline))
#else
#define HEAT_INLINE static inline
#endif

#endif
