#include <algorithm>
#include <cmath>
#include <cstdint>
#include <span>
#include <utility>

#include "lampbeat/live.hpp"
#include "lampbeat/meter.hpp"
#include "signal/windows/readings.hpp"

namespace lampbeat {

namespace windows = signal::windows;

namespace {

/// A reading is of so much; a cycle of 25 Hz, the slowest that bands, is in it often enough.
constexpr double reading_s = 1.0;
/// Samples are dropped by the second, so that keeping them costs little.
constexpr double kept_s = 2.0;
/// A clock that stands still must not fill the memory.
constexpr std::size_t most_samples = std::size_t{1} << 21;
/// Percent flicker is read to about one in so many of the converter's steps.
constexpr double fewest_steps = 32.0;
/// A sample's noise, in % of the mean, beyond which there is hardly any light.
constexpr double mostly_noise_percent = 25.0;

}  // namespace

struct LiveMeter::State {
  CaptureFormat format;
  MeasurementSettings settings;
  std::vector<double> value;
  std::vector<double> time_s;  ///< as written; empty when evenly sampled
  std::uint64_t dropped = 0;   ///< samples before those kept
  double brightest = 0.0;      ///< sample so far, above dark; of a coupled recording, the largest

  double sample_s(std::size_t i) const {
    return format.evenly_sampled ? static_cast<double>(dropped + i) / *format.rate_hz : time_s[i];
  }
  double last_s() const { return value.empty() ? 0.0 : sample_s(value.size() - 1); }

  void drop(std::size_t count);
  /// The first sample of the last `seconds`.
  std::size_t first_of_last(double seconds) const;
  Measurement measured(std::size_t first) const;
  windows::Readings seen(std::size_t first) const;
};

void LiveMeter::State::drop(std::size_t count) {
  const auto by = static_cast<std::ptrdiff_t>(count);
  value.erase(value.begin(), value.begin() + by);
  if (!format.evenly_sampled) time_s.erase(time_s.begin(), time_s.begin() + by);
  dropped += count;
}

std::size_t LiveMeter::State::first_of_last(double seconds) const {
  const double from_s = last_s() - seconds;
  if (format.evenly_sampled) {
    const double first = std::ceil(from_s * *format.rate_hz) - static_cast<double>(dropped);
    return static_cast<std::size_t>(std::max(0.0, first));
  }
  return static_cast<std::size_t>(std::lower_bound(time_s.begin(), time_s.end(), from_s) -
                                  time_s.begin());
}

/// By the very way a whole capture is measured, the times of a coarse clock rebuilt.
Measurement LiveMeter::State::measured(std::size_t first) const {
  const auto tail = [&](const std::vector<double>& all) {
    return std::vector<double>(all.begin() + static_cast<std::ptrdiff_t>(first), all.end());
  };
  const auto source =
      capture_from_samples(format.name, tail(value), format.rate_hz.value_or(0.0),
                           format.evenly_sampled ? std::vector<double>() : tail(time_s));
  Meter meter(format, settings);
  for (SampleBlock block = source->next(); !block.value.empty(); block = source->next()) {
    meter.feed(block);
  }
  return meter.finish(source->findings(), source->clock());
}

windows::Readings LiveMeter::State::seen(std::size_t first) const {
  windows::PlacedWindow window;
  window.window.value = std::span<const double>(value).subspan(first);
  windows::Readings readings;
  windows::count(readings, window, format, settings.dark_level.value_or(0.0));
  return readings;
}

LiveMeter::LiveMeter(const CaptureFormat& format, const MeasurementSettings& settings)
    : state_(std::make_unique<State>()) {
  state_->format = format;
  state_->settings = settings;
}
LiveMeter::~LiveMeter() = default;
LiveMeter::LiveMeter(LiveMeter&&) noexcept = default;
LiveMeter& LiveMeter::operator=(LiveMeter&&) noexcept = default;

void LiveMeter::hear(const SampleBlock& block) {
  State& s = *state_;
  s.value.insert(s.value.end(), block.value.begin(), block.value.end());
  if (!s.format.evenly_sampled) {
    for (const double t : block.time_s) {
      s.time_s.push_back(s.time_s.empty() ? t : std::max(t, s.time_s.back()));
    }
  }
  const bool long_enough = s.last_s() - s.sample_s(0) > kept_s;
  if (long_enough) s.drop(s.first_of_last(reading_s));
  if (s.value.size() > most_samples) s.drop(s.value.size() / 2);
}

double LiveMeter::heard_s() const { return state_->last_s(); }

std::optional<LiveReading> LiveMeter::reading() const {
  State& s = *state_;
  if (s.value.size() < 2) return std::nullopt;
  const std::size_t first = s.first_of_last(reading_s);
  if (s.value.size() - first < 2) return std::nullopt;
  const Measurement m = s.measured(first);
  const windows::Readings seen = s.seen(first);

  LiveReading reading;
  reading.at_s = s.last_s();
  reading.lasts_s = s.last_s() - s.sample_s(first);
  reading.percent_flicker = m.percent_flicker;
  reading.percent_flicker_sd = m.percent_flicker_sd;
  reading.dominant_hz = m.dominant_hz;
  reading.dominant_hz_sd = m.dominant_hz_sd;
  reading.steady_below_percent = m.steady_below_percent;
  reading.mean = m.mean;
  reading.clipped = has_finding(m.warnings, "clipped");
  reading.coupled = has_finding(m.warnings, "no_dc_level");
  if (m.cycle) reading.cycle = m.cycle->shape;

  // A recording without a steady level swings around zero: its swing is all there is of a level.
  const double dark = reading.coupled ? 0.0 : s.settings.dark_level.value_or(0.0);
  const double highest = seen.highest - dark;
  const double reach = reading.coupled ? std::max(highest, dark - seen.lowest) : highest;
  s.brightest = std::max(s.brightest, reach);
  reading.range_known = s.format.rail_high.has_value();
  const double range = s.format.rail_high ? *s.format.rail_high - dark : s.brightest;
  reading.level = range > 0.0 ? std::clamp(reach / range, 0.0, 1.0) : 0.0;
  reading.too_dark = (seen.step && reach < fewest_steps * *seen.step) ||
                     m.noise_percent.value_or(0.0) > mostly_noise_percent || !(reach > 0.0);
  return reading;
}

}  // namespace lampbeat
