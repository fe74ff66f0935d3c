#pragma once

#include <string>
#include <vector>

#include "lampbeat/footage.hpp"

// What text and page say of a clip in the same words.

namespace lampbeat::report::text {

/// The verdict as a heading.
std::string footage_sentence(const FootageResult& footage);
/// "100 frames at 25 a second, 1080 rows".
std::string frames_words(const FootageResult& footage);
/// Which way the bands roll and how fast; empty where that is not known.
std::string roll_words(const FootageResult& footage);
/// What to set instead.
std::vector<std::string> next_steps(const Remedy& remedy);

}  // namespace lampbeat::report::text
