#pragma once

// Before a function whose loops run over many numbers: it is built twice, for processors that take
// eight floats at once and for all others, and the program takes the one that fits when it starts.
// Neither fuses a product and a sum, so that both give the same to the last bit. Where the compiler
// or a sanitizer cannot do that it is built once.

#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__) && \
    !defined(__SANITIZE_ADDRESS__)
#define LAMPBEAT_WIDE [[gnu::target_clones("avx2", "default")]]
#else
#define LAMPBEAT_WIDE
#endif
