#pragma once

namespace seamwright::bench {

/// Registers what a program measures. Each program has its own.
void register_all();

}  // namespace seamwright::bench
