#include "lampbeat/frequency_light.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "lampbeat/error.hpp"
#include "lampbeat/prediction.hpp"
#include "words/units.hpp"

namespace lampbeat {

namespace {

constexpr double slowest_hz = 1.0;
constexpr double fastest_hz = 1e6;

/// How many lines are listed, to tell which patterns there may be. How deep they may be is counted
/// in flashes (`bands/flash_train.hpp`), of which no number of harmonics is all.
constexpr int harmonics = 128;

/// What of the mains the light follows: its order, and the mains it was taken on.
struct Lock {
  int order = 1;
  double mains_hz = 0.0;
};

std::optional<Lock> lock_of(double hz, std::optional<double> mains_hz) {
  // Lamps follow the power, twice as fast as the mains; uneven half cycles follow the mains itself.
  const std::array<double, 3> supplies = {mains_hz.value_or(50.0), 50.0, 60.0};
  for (const double supply_hz : supplies) {
    for (const int order : {2, 1}) {
      if (std::abs(hz / order - supply_hz) <= default_mains_tolerance_hz(supply_hz)) {
        return Lock{order, hz / order};
      }
    }
  }
  return std::nullopt;
}

}  // namespace

Light light_of_frequency(double hz, std::optional<double> mains_hz) {
  if (!(hz >= slowest_hz && hz <= fastest_hz)) {
    throw UsageError(fmt::format(
        "a light's frequency lies between 1 Hz and 1 MHz, not {:g} Hz; twice the mains, 100 or "
        "120, is what lamps follow it with",
        hz));
  }
  const std::optional<Lock> lock = lock_of(hz, mains_hz);
  Light light;
  light.name = fmt::format("any light of {}", words::hertz(hz, 6));
  light.source = "its frequency alone";
  light.depth = DepthKnown::assumed_deepest;
  light.any_waveform = true;
  if (lock) light.mains_hz = lock->mains_hz;
  for (int order = 1; order <= harmonics; ++order) {
    LightComponent c{order * hz, 2.0, 0.0, std::nullopt};
    if (lock) c.mains_order = order * lock->order;
    light.components.push_back(c);
  }
  light.findings.push_back(
      {"assumed_deepest",
       "How deeply this light flickers is not known, so the worst is assumed: very short flashes. "
       "Record it with any sensor ('lampbeat measure --save'): if it is milder, more shutters will "
       "be safe."});
  return light;
}

bool some_by_frequency_alone(std::span<const LightShare> lights) {
  return std::any_of(lights.begin(), lights.end(),
                     [](const LightShare& l) { return l.light.any_waveform; });
}

}  // namespace lampbeat
