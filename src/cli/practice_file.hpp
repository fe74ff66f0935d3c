#pragma once

#include <cstdint>
#include <optional>
#include <string>

namespace lampbeat::cli {

/// What is asked of every practice file, capture or clip.
struct PracticeFile {
  std::string output;  ///< "-" is standard output
  double seconds = 3.0;
  std::optional<int> bits;              ///< default: a capture's readings unrounded, a clip's 8
  std::optional<double> noise_percent;  ///< default: none in a capture, 1 in a clip
  std::uint64_t seed = 1;
};

/// Whether the file is called so, in small letters or capitals: ".wav".
bool has_ending(const PracticeFile& file, const std::string& ending);

}  // namespace lampbeat::cli
