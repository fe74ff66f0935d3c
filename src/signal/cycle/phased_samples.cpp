#include <algorithm>
#include <bit>
#include <cmath>

#include "arithmetic/phase.hpp"
#include "signal/cycle/fold.hpp"
#include "signal/cycle/whole_cycles.hpp"

namespace lampbeat::signal::cycle {
namespace {

/// Of a number far within the range of the integers.
double fraction(double x) {
  const double rest = x - static_cast<double>(static_cast<long long>(x));
  const double f = rest < 0.0 ? rest + 1.0 : rest;
  return f < 1.0 ? f : 0.0;
}

}  // namespace

std::optional<PhasedSamples> phase_samples(const Window& window,
                                           const std::vector<Rhythm>& rhythms) {
  if (rhythms.empty() || rhythms.size() > 2 || window.size() < fewest_samples_folded)
    return std::nullopt;
  double slowest_hz = rhythms[0].hz;
  for (const Rhythm& rhythm : rhythms) {
    if (!(rhythm.hz > 0.0) || !std::isfinite(rhythm.hz) || !std::isfinite(rhythm.phase_rad)) {
      return std::nullopt;
    }
    slowest_hz = std::min(slowest_hz, rhythm.hz);
  }
  const double cycles = whole_cycles(window, slowest_hz);
  if (!(cycles >= fewest_cycles_folded && cycles < most_cycles_folded)) return std::nullopt;
  const double end_s = whole_cycles_end_s(window, slowest_hz);

  PhasedSamples samples;
  const std::size_t n = window.size();
  const bool two = rhythms.size() == 2;
  samples.value.resize(n);
  samples.time_s.resize(n);
  samples.first.resize(n);
  samples.half.resize(n);
  if (two) samples.second.resize(n);
  const double turn = arithmetic::turn;
  unsigned long long cycle = 0;
  unsigned half = 0;
  const double start_first = std::remainder(rhythms[0].phase_rad / turn, 1.0);
  const double start_second = two ? std::remainder(rhythms[1].phase_rad / turn, 1.0) : 0.0;
  std::size_t used = 0;
  for (; used < n; ++used) {
    const double t = window.time_at(used);
    if (t >= end_s) break;
    if (!std::isfinite(window.value[used]) || !std::isfinite(t)) return std::nullopt;
    samples.value[used] = window.value[used];
    samples.time_s[used] = t;
    samples.first[used] = fraction(rhythms[0].hz * t + start_first);
    if (two) samples.second[used] = fraction(rhythms[1].hz * t + start_second);
    const auto now = static_cast<unsigned long long>(std::max(0.0, t * slowest_hz));
    if (now != cycle) {
      cycle = now;
      half = static_cast<unsigned>(std::popcount(cycle)) & 1u;
    }
    samples.half[used] = half;
  }
  samples.value.resize(used);
  samples.time_s.resize(used);
  samples.first.resize(used);
  samples.half.resize(used);
  if (two) samples.second.resize(used);
  if (samples.size() < fewest_samples_folded) return std::nullopt;
  return samples;
}

}  // namespace lampbeat::signal::cycle
