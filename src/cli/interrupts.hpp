#pragma once

namespace lampbeat::cli {

/// From here on the first Ctrl-C is only remembered, so that work in flight is finished; a second
/// one ends the program.
void heed_interrupts();

bool interrupted();

/// The same, and a descriptor that can be read as soon as there was one: for whoever waits for
/// something else.
int interrupts_descriptor();

inline constexpr int exit_interrupted = 130;  // 128 + SIGINT, as shells report it

}  // namespace lampbeat::cli
