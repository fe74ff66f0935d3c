#pragma once

#include <algorithm>
#include <cmath>
#include <memory>
#include <optional>
#include <utility>
#include <vector>

#include "lampbeat/capture.hpp"
#include "lampbeat/measurement.hpp"
#include "support/lamp_kinds.hpp"
#include "support/metering.hpp"
#include "support/signals.hpp"

// How the ± of a measurement holds over kinds of light, rates, noises and recorders' clocks drawn
// anew: what tests/signal/uncertainties.cpp holds to and tests/bench/coverage.cpp prints.

namespace trials {

/// Of one figure: by how many of its stated uncertainties each trial was off.
struct Figure {
  std::vector<double> off;
  int withheld = 0;

  void take(const std::optional<double>& value, const std::optional<double>& sd, double truth) {
    if (!value || !sd) {
      ++withheld;
      return;
    }
    off.push_back(std::abs(*value - truth) / std::max(*sd, 1e-300));
  }
  double share_within(double sds) const {
    const auto within = std::count_if(off.begin(), off.end(), [&](double x) { return x <= sds; });
    return off.empty() ? 1.0 : static_cast<double>(within) / static_cast<double>(off.size());
  }
  /// The value that this share of the trials stays below.
  double quantile(double share) const {
    if (off.empty()) return 0.0;
    std::vector<double> ranked = off;
    std::sort(ranked.begin(), ranked.end());
    const auto last = static_cast<double>(ranked.size() - 1);
    return ranked[static_cast<std::size_t>(share * last)];
  }
};

struct OfKind {
  Figure percent, index, hz;
};

/// What one drawn trial came to.
struct Trial {
  lamp_kinds::Drawn light;
  double rate_hz = 0.0;
  double seconds = 0.0;
  double noise = 0.0;
  /// The capture has the five cycles and the twelve samples a cycle that figures are promised for.
  bool promised = false;
  lampbeat::Measurement measured;
};

/// How far a recorder's clock may be off, as its ± is told: a crystal's (common practice, no
/// source).
inline constexpr double clock_ppm = 50.0;

/// Samples from a recorder whose clock is known to be a crystal's.
class CrystalSource final : public lampbeat::CaptureSource {
 public:
  explicit CrystalSource(std::unique_ptr<lampbeat::CaptureSource> source)
      : source_(std::move(source)), format_(source_->format()) {
    format_.clock_ppm = clock_ppm;
  }
  const lampbeat::CaptureFormat& format() const override { return format_; }
  lampbeat::SampleBlock next() override { return source_->next(); }
  const lampbeat::Findings& findings() const override { return source_->findings(); }

 private:
  std::unique_ptr<lampbeat::CaptureSource> source_;
  lampbeat::CaptureFormat format_;
};

/// A coarse converter's lights are the smooth ones, in 2 to 50 codes.
inline Trial drawn(std::size_t kind, lamp_kinds::Random& random) {
  using lamp_kinds::between;
  using lamp_kinds::logarithmic;
  const auto& kinds = lamp_kinds::all();
  Trial t;
  t.rate_hz = logarithmic(random, 2000, 50000);
  t.seconds = std::min(logarithmic(random, 0.5, 20), 2e5 / t.rate_hz);
  const bool coarse = kind == kinds.size();
  const auto& drawn_from = coarse ? kinds[random() % 4] : kinds[kind];
  t.light = drawn_from.draw(random, {t.rate_hz, t.seconds});
  t.promised = t.light.slowest_hz * t.seconds >= 5 && t.rate_hz >= 12 * t.light.fastest_hz;
  // The recorder thinks that its seconds are seconds.
  const double true_seconds = 1.0 + between(random, -clock_ppm, clock_ppm) * 1e-6;
  auto s = metering::recording(t.rate_hz, t.seconds,
                               [&](double t_s) { return t.light.at(t_s * true_seconds); });
  const auto [low, high] = std::minmax_element(s.value.begin(), s.value.end());
  t.noise = *high * logarithmic(random, 3e-4, 0.01);
  if (coarse) {
    const double step = (*high - *low) / logarithmic(random, 2, 50);
    signals::add_noise(s, std::min(t.noise, step * logarithmic(random, 0.05, 1)),
                       static_cast<unsigned>(random()));
    for (double& x : s.value) x = std::round(x / step) * step;
  } else {
    signals::add_noise(s, t.noise, static_cast<unsigned>(random()));
  }
  CrystalSource source(lampbeat::capture_from_samples("a light", s.value, t.rate_hz));
  t.measured = lampbeat::measure(source, {});
  return t;
}

inline void take(OfKind& kind, const Trial& t) {
  const lampbeat::Measurement& m = t.measured;
  if (!t.promised && !m.percent_flicker) return;
  kind.percent.take(m.percent_flicker, m.percent_flicker_sd, t.light.percent_flicker);
  kind.index.take(m.flicker_index, m.flicker_index_sd, t.light.flicker_index);
  kind.hz.take(m.dominant_hz, m.dominant_hz_sd, t.light.hz);
}

}  // namespace trials
