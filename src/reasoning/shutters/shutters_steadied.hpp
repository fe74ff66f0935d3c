#pragma once

#include <optional>

#include "reasoning/judge/judge.hpp"

namespace lampbeat::reasoning::shutters {

/// The deepest modulation at which an exposure is clean, as a multiple of what the lights have, to
/// a quarter of a per cent and never more; no further than `deepest` is looked. Empty when none
/// worth the name is. `near`: about where it is expected.
std::optional<double> deepest_clean(const judge::Judge& judge, double exposure_s, FrameRate fps,
                                    double near, double deepest);

/// With so large a share of steady light the modulation of a mixture is `scale` (0 ... 1) times
/// that of its other lights alone. Rounded up to a thousandth; empty beyond 99.9 %.
std::optional<double> steady_share_for(double scale);

/// The part of the subject's light that would have to be steady, the rest coming from these lights,
/// for this exposure to be clean: 0 when it is as it is; empty when more than 99.9 % would have to
/// be. `visibility`: of the worst, as known.
std::optional<double> steady_share(const judge::Judge& judge, double exposure_s, FrameRate fps,
                                   double visibility);

}  // namespace lampbeat::reasoning::shutters
