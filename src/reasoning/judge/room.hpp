#pragma once

#include <optional>
#include <span>
#include <vector>

#include "lampbeat/prediction.hpp"
#include "reasoning/judge/judge.hpp"

namespace lampbeat::reasoning::judge {

/// The lights of a room, ready for any number of shots.
struct Room {
  std::vector<LightShare> lights;  ///< on one mains, shares summing to 1
  std::optional<double> mains_hz;
  double mains_tolerance_hz = 0.0;
  std::optional<double> clock_tolerance_percent;  ///< the largest of the lights'; empty: none free
  Tolerances tolerances;                          ///< what the judge is given
  Findings findings;
  PredictionOptions options;  ///< as asked
};

/// Throws UsageError for lights or options that make no sense.
Room room_of(std::span<const LightShare> lights, const PredictionOptions& options);

/// The judge of these lights for one camera, whose readout may be unknown. Throws UsageError for a
/// senseless readout or rows.
Judge judge_of(const Room& room, std::optional<double> readout_s, int rows);

}  // namespace lampbeat::reasoning::judge
