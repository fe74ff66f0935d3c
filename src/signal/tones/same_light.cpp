#include "signal/tones/same_light.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "arithmetic/alias.hpp"
#include "signal/lines/line_model.hpp"

namespace lampbeat::signal::tones {

namespace {

/// A tone has changed when it differs by a tenth, by more than the noise explains, and by more than
/// anybody could see or film beside the strongest. The strongest of a light that goes on differs by
/// less than that in 999 of 1000 drawn lights, of one that changed by more in 96 %
/// (bench_same_light).
constexpr double share_may_change = 0.1;
constexpr double sds_may_change = 6.0;  ///< of 64 tones, noise does once in eight million windows
constexpr double nobody_minds = 1e-3;   ///< of the level
constexpr double beside_the_strongest = 0.01;
/// A window resolves a hertz; a clock strays.
constexpr double same_hz = 1.0;
constexpr double clock_strays = 0.003;

/// Slower, and a window says little about a tone.
constexpr double fewest_cycles = 5.0;

struct SampledTone {
  double hz = 0.0;  ///< as sampled
  double reach_hz = 0.0;
  double relative = 0.0;  ///< amplitude over the level
  double sd = 0.0;
};

std::vector<SampledTone> lines_of(const ToneAnalysis& light, double rate_hz, double window_s) {
  std::vector<SampledTone> lines;
  for (const ToneSeries& series : light.series) {
    for (const Tone& tone : series.tones) {
      if (tone.hz * window_s < fewest_cycles) continue;
      lines.push_back({arithmetic::folded_hz(tone.hz, rate_hz),
                       std::max(same_hz, clock_strays * tone.hz), tone.amplitude / light.mean,
                       tone.amplitude_sd / light.mean});
    }
  }
  return lines;
}

double strongest_of(const std::vector<SampledTone>& lines) {
  double most = 0.0;
  for (const SampledTone& line : lines) most = std::max(most, line.relative);
  return most;
}

/// The strongest line where another one is; one of no amplitude where there is none.
SampledTone near(const std::vector<SampledTone>& lines, const SampledTone& other) {
  SampledTone found;
  for (const SampledTone& line : lines) {
    const bool there = std::abs(line.hz - other.hz) <= std::max(line.reach_hz, other.reach_hz);
    if (there && line.relative > found.relative) found = line;
  }
  return found;
}

bool has_all_of(const std::vector<SampledTone>& lines, const std::vector<SampledTone>& others,
                double least) {
  return std::all_of(others.begin(), others.end(), [&](const SampledTone& other) {
    const SampledTone is = near(lines, other);
    const SampledTone was = near(others, other);
    const double allowed = share_may_change * std::max(is.relative, was.relative) +
                           sds_may_change * std::hypot(is.sd, was.sd);
    return std::abs(is.relative - was.relative) <= std::max(least, allowed);
  });
}

}  // namespace

bool same_light(const ToneAnalysis& one, const ToneAnalysis& other, double rate_hz,
                double window_s) {
  if (!(one.mean > 0.0) || !(other.mean > 0.0)) return false;
  const std::vector<SampledTone> a = lines_of(one, rate_hz, window_s);
  const std::vector<SampledTone> b = lines_of(other, rate_hz, window_s);
  if (a.empty() || b.empty()) return false;
  const double least =
      std::max(nobody_minds, beside_the_strongest * std::min(strongest_of(a), strongest_of(b)));
  return has_all_of(a, b, least) && has_all_of(b, a, least);
}

bool has_rhythms_of(const ToneAnalysis& one, const ToneAnalysis& lesser, double rate_hz) {
  constexpr double reach_hz = 2.0;  // the resolution of half a second
  constexpr double window_s = 1.0;
  constexpr double weak = 0.05;  // of the strongest: sidebands and edges, which a drift moves
  if (!(one.mean > 0.0) || !(lesser.mean > 0.0)) return false;
  std::vector<SampledTone> lines = lines_of(one, rate_hz, window_s);
  for (SampledTone& line : lines) line.reach_hz = std::max(line.reach_hz, reach_hz);
  const double least = std::max(nobody_minds, weak * strongest_of(lines));
  const std::vector<SampledTone> others = lines_of(lesser, rate_hz, window_s);
  return std::all_of(others.begin(), others.end(), [&](const SampledTone& other) {
    return (1.0 - share_may_change) * other.relative <= near(lines, other).relative + least;
  });
}

}  // namespace lampbeat::signal::tones
