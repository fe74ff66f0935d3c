#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "footage/rows/cells.hpp"
#include "lampbeat/shot.hpp"

namespace lampbeat::footage::stretches {

/// What happened to each frame on its way.
struct FrameFates {
  std::vector<bool> repeated;     ///< shows the picture before it in place of its own
  std::vector<bool> inserted;     ///< shows it in between: the next one moves on from there
  std::vector<std::size_t> lost;  ///< so many are missing before it
};

/// The stretch without these frames.
rows::Cells without(const rows::Cells& cells, const std::vector<bool>& frame);

/// Frames that say nothing in place of the repeated ones and of those lost; the inserted left out.
rows::Cells with_gaps(const rows::Cells& cells, const FrameFates& fates);

/// The rate before every so many frames were shown twice; empty when the repeats follow no beat.
std::optional<FrameRate> rate_before(const std::vector<bool>& repeated, FrameRate rate);

}  // namespace lampbeat::footage::stretches
