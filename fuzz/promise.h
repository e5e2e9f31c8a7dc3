#pragma once

#include <cstdlib>

/// What must hold whatever the bytes: a broken promise stops the fuzzer with the input that broke it.
inline void promise(bool kept) {
    if (!kept) std::abort();
}
