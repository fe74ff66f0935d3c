#include "signal/tones/mains_beat.hpp"

#include <cmath>

#include <fmt/format.h>

#include "signal/tones/rhythm.hpp"
#include "words/numbers.hpp"

namespace lampbeat::signal::tones {
namespace {

/// Rates at which cameras read brightness, 24 to 200 a second, with room for their clocks.
constexpr double slowest_camera_hz = 20.0;
constexpr double fastest_camera_hz = 202.0;
/// Slower changes are a hand on the dimmer as likely as a beat.
constexpr double slowest_beat_hz = 0.05;
/// Mains strays by so much of itself (common practice, no source).
constexpr double mains_strays = 0.004;

}  // namespace

std::optional<Finding> mains_beat(const ToneAnalysis& tones, double rate_hz) {
  if (rate_hz < slowest_camera_hz || rate_hz > fastest_camera_hz) return std::nullopt;
  const Tone* beat = strongest_tone(tones);
  if (!beat || beat->hz < slowest_beat_hz) return std::nullopt;
  for (const double ripple_hz : {100.0, 120.0}) {
    const double folds = std::round(ripple_hz / rate_hz);
    for (const double side : {-1.0, 1.0}) {
      const double light_hz = folds * rate_hz + side * beat->hz;
      if (std::abs(light_hz - ripple_hz) > mains_strays * ripple_hz) continue;
      return Finding{
          "mains_beat",
          fmt::format("The readings swing {:.2f} times a second. That would be the beat of a light "
                      "that flickers at {:.2f} Hz (twice {:.0f} Hz mains), folded by {} readings "
                      "a second. Its depth cannot be told from them: each exposure has averaged "
                      "over part of the cycle.",
                      beat->hz, light_hz, ripple_hz / 2.0, words::in_digits_at_most(rate_hz, 6))};
    }
  }
  return std::nullopt;
}

}  // namespace lampbeat::signal::tones
