#pragma once

#include <optional>

#include "lampbeat/prediction.hpp"
#include "reasoning/judge/judge.hpp"

namespace lampbeat::reasoning::shutters {

/// How far clocks may be off before a shot is no longer clean, each while the others keep time.
/// Empty when it is not clean with every clock as it is, when nothing within 10 % breaks it, or
/// when no light has such a clock.
struct Margins {
  std::optional<double> mains_hz;
  std::optional<double> clock_percent;
};

Margins margins_of(const Prediction& p, const judge::Judge& judge);

}  // namespace lampbeat::reasoning::shutters
