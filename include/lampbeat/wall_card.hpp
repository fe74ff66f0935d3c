#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "lampbeat/shutters.hpp"

namespace lampbeat {

/// What a wall card, the sheet a studio prints and pins up, shows of a plan: frame rates down,
/// shutters across.
struct WallCard {
  std::vector<FrameRate> frame_rates;  ///< in the order asked
  /// As on the dial, longest exposure first; not more than can be read from two metres. Those clean
  /// at most frame rates have their places before others, then those people set without thinking,
  /// then those with the widest margins.
  std::vector<std::string> shutters;
  std::size_t left_out = 0;                   ///< shutters of the plan without a place
  std::vector<FrameRate> hopeless;            ///< no shutter of the plan is clean there
  std::vector<std::string> clean_everywhere;  ///< of `shutters`
  bool all_clean = false;                     ///< of `shutters`, wherever they are possible
};

WallCard wall_card(const ShutterPlan& plan);

/// The setting of this label at this frame rate; null when the plan has none.
const Setting* setting_at(const ShutterPlan& plan, FrameRate fps, const std::string& label);

}  // namespace lampbeat
