#pragma once

#include <optional>

#include "lampbeat/finding.hpp"
#include "lampbeat/tones.hpp"

namespace lampbeat::signal::tones {

/// Brightness read once a frame by a camera cannot show mains ripple, but holds its beat with the
/// frame rate, |f − n · rate|. Says which ripple the strongest beat would be, when one of 50 or
/// 60 Hz mains fits; its depth is lost in the exposures. mains_beat.
std::optional<Finding> mains_beat(const ToneAnalysis& tones, double rate_hz);

}  // namespace lampbeat::signal::tones
