#pragma once

namespace lampbeat::cli {

/// From here on the first Ctrl-C is only remembered, so that work in flight is finished; a second
/// one ends the program.
void heed_interrupts();

bool interrupted();

inline constexpr int exit_interrupted = 130;  // 128 + SIGINT, as shells report it

}  // namespace lampbeat::cli
