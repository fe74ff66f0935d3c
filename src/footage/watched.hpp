#pragma once

#include <cstdint>
#include <vector>

#include "footage/cells.hpp"
#include "footage/combine.hpp"
#include "lampbeat/footage.hpp"

namespace lampbeat::footage {

/// What one pass over a clip leaves in memory.
struct Watched {
  ClipFormat format;
  FrameRate rate;    ///< as stated or as the header says; numerator 0 for a still
  double fps = 0.0;  ///< the same as a number, 0 for a still
  std::uint64_t frames = 0;
  Combined combined;
  std::vector<double> frame_means;  ///< relative; patterns and exposure automatic in them
  std::vector<float> scene;         ///< per cell, the light that does not change
  Cells layout;
  double burnt_out = 0.0;  ///< share of the pixels, 0 ... 1

  double duration_s() const { return fps > 0.0 ? static_cast<double>(frames) / fps : 0.0; }
};

/// Reads a clip to its end, stretch by stretch. Throws InputError.
Watched watch(ClipSource& clip, const FootageSettings& settings);

/// Faults of the picture itself: burnt out, restless, dark.
Findings picture_faults(const Watched& watched);

}  // namespace lampbeat::footage
