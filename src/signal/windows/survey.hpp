#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace lampbeat::signal::windows {

/// What one pass over the samples of a window tells.
struct Survey {
  /// Samples of a stretch; the last may hold fewer.
  static constexpr std::size_t stretch = 32;
  struct Range {
    double lowest = 0.0;
    double highest = 0.0;
  };

  double lowest = 0.0;
  double highest = 0.0;
  double sum = 0.0;
  /// Between neighbours that differ; infinite where none do.
  double smallest_step = 0.0;
  /// Stretch by stretch, so that whoever asks for samples near an extreme need not look at all.
  std::vector<Range> range;
};

/// Of at least one sample.
Survey survey_of(std::span<const double> raw);

}  // namespace lampbeat::signal::windows
