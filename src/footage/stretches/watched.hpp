#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "footage/rows/cells.hpp"
#include "footage/stretches/combine.hpp"
#include "lampbeat/footage.hpp"

namespace lampbeat::footage::stretches {

/// A stretch that was analysed, in frames.
struct Passed {
  std::uint64_t from = 0;
  std::uint64_t to = 0;
  std::vector<waves::Wave> waves;  ///< its own, strongest first
};

/// What one pass over a clip leaves in memory.
struct Watched {
  ClipFormat format;
  std::optional<FrameRate> delivered;     ///< as stated, else as the header says
  std::optional<FrameRate> rate;          ///< at which the pictures were taken
  std::optional<double> fps;              ///< the same as a number; empty for a still
  std::uint64_t frames = 0;               ///< delivered
  std::uint64_t taken = 0;                ///< pictures taken at `rate`, gaps where some were lost
  std::optional<std::uint64_t> repeated;  ///< empty when not judged
  std::optional<std::uint64_t> lost;
  bool converted = false;  ///< repeats brought the clip to the delivered rate; `rate` is the former
  bool uneven = false;     ///< taken at times that nothing tells
  std::uint64_t gaps = 0;  ///< frames whose place the file's own times leave empty
  bool uneven_by_file = false;  ///< the file's own times are uneven
  Findings of_file;             ///< what its reader noticed
  Combined combined;
  std::vector<double> frame_means;  ///< relative; patterns and exposure automatic in them
  std::vector<float> scene;         ///< per cell, the light that does not change
  rows::Cells layout;
  ClipPicture picture;             ///< the first frame
  std::vector<float> first_frame;  ///< its cells
  std::vector<Passed> course;
  double burnt_out = 0.0;  ///< share of the pixels, 0 ... 1

  double duration_s() const { return fps ? static_cast<double>(taken) / *fps : 0.0; }
};

/// Reads a clip to its end, stretch by stretch. Throws InputError.
Watched watch(ClipSource& clip, const FootageSettings& settings);

}  // namespace lampbeat::footage::stretches
