#pragma once

#include <optional>
#include <vector>

#include "footage/rows/cells.hpp"
#include "footage/stretches/stretch.hpp"
#include "lampbeat/shot.hpp"

namespace lampbeat::footage::stretches {

/// Frames that hold the picture before them once more.
struct Repeats {
  std::vector<bool> frame;
  /// Pictures differ enough from one another for equal ones to mean something.
  bool judged = false;
};

/// What a stretch shows once its frames stand where they were taken.
struct TimedEstimate {
  StretchEstimate estimate;
  std::optional<std::size_t> repeated;  ///< empty when not judged
  std::optional<std::size_t> lost;      ///< empty when not judged
  /// The rate the pictures were taken at when every so many of them was shown twice.
  std::optional<FrameRate> taken_at;
  /// Frames were taken at times that nothing tells: patterns have depth and number but no roll.
  bool uneven = false;
};

/// Puts repeated and lost frames where they belong and analyses what the rest shows. Repeats that
/// come regularly mean that a clip of fewer frames a second was brought to `rate` (empty for a
/// still); others stand for frames that were lost, as do steps of the pattern's phase of twice the
/// usual.
TimedEstimate analyse_in_time(const rows::Cells& cells, const Repeats& repeats,
                              std::optional<FrameRate> rate);

/// The same of frames that the file itself says were taken unevenly.
TimedEstimate analyse_untimed(const rows::Cells& cells);

}  // namespace lampbeat::footage::stretches
