#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "lampbeat/shutters.hpp"

namespace lampbeat {

/// What a wall card, the sheet a studio prints and pins up, shows of a plan: frame rates down,
/// shutters across.
///
/// Exposures within 2 % of each other are one shutter: no hand sets them apart, and a card that
/// lists 1/60.2 beside 1/60 is read twice. A shutter is proposed only where it is clean in the
/// worst case; of the others those have a place that people set without thinking.
struct WallCard {
  /// One column. Where a camera writes the same exposure otherwise at another frame rate ("1/50",
  /// "172.8°"), the setting of that cell has its own name.
  struct Shutter {
    std::string label;  ///< as on the dial, or the exposure where its names differ
    /// One for each of `frame_rates`: an index into the plan's settings, or nothing where the
    /// shutter is not possible.
    std::vector<std::optional<std::size_t>> cells;
  };
  std::vector<FrameRate> frame_rates;  ///< in the order asked
  /// Longest exposure first, not more than can be read from two metres. Those clean at most frame
  /// rates have their places before others, then those people set without thinking, then those with
  /// the widest margins.
  std::vector<Shutter> shutters;
  std::size_t left_out = 0;         ///< shutters of the plan without a place
  std::vector<FrameRate> hopeless;  ///< no shutter of the plan is clean there
  /// The shutters that are clean wherever any is, by the names they have there, best first.
  std::vector<std::string> serving;
  /// Where nothing is clean anywhere: those that are borderline at the most frame rates.
  std::vector<std::string> borderline_at_best;
  /// Where no shutter is clean under several lights: the one that alone spoils it, and what people
  /// could set without it, clean at every frame rate where they can; empty where no single one
  /// does.
  struct Spoiler {
    std::string name;
    std::vector<std::string> serving;
  };
  std::optional<Spoiler> spoiler;
  bool all_clean = false;  ///< of `shutters`, wherever they are possible
  Findings findings;       ///< of the plan, those that say the same of several frame rates as one
};

/// Throws what `plan_shutters` does.
WallCard wall_card(const ShutterPlan& plan);

}  // namespace lampbeat
