#include "signal/tones/same_light.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "arithmetic/alias.hpp"
#include "signal/tones/edge_folds.hpp"
#include "signal/tones/rhythm.hpp"

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
  double relative = 0.0;  ///< amplitude over what the comparison goes by
  double sd = 0.0;
  double folded = 0.0;  ///< what unseen multiples of its rhythm may add or take
};

/// What the tones of each of two windows are taken relative to.
struct Scales {
  double one = 1.0;
  double other = 1.0;
};

double amplitude_of_strongest(const ToneAnalysis& light) {
  const Tone* strongest = strongest_tone(light);
  return strongest ? strongest->amplitude : 0.0;
}

/// No light has a rhythm stronger than twice its level; a recording without one (AC-coupled) does.
bool has_level(const ToneAnalysis& light) {
  return light.mean > 0.0 && amplitude_of_strongest(light) <= 2.0 * light.mean;
}

/// Their own levels, which may drift; where one has none, both are compared as they are.
Scales scales_of(const ToneAnalysis& one, const ToneAnalysis& other) {
  if (has_level(one) && has_level(other)) return {one.mean, other.mean};
  const double strongest = std::max(amplitude_of_strongest(one), amplitude_of_strongest(other));
  return {strongest, strongest};
}

std::vector<SampledTone> lines_of(const ToneAnalysis& light, double scale, double rate_hz,
                                  double window_s) {
  std::vector<SampledTone> lines;
  const EdgeFolds folds(light, rate_hz, window_s);
  for (const ToneSeries& series : light.series) {
    for (const Tone& tone : series.tones) {
      if (tone.hz * window_s < fewest_cycles) continue;
      lines.push_back({arithmetic::folded_hz(tone.hz, rate_hz),
                       std::max(same_hz, clock_strays * tone.hz), tone.amplitude / scale,
                       tone.amplitude_sd / scale, folds.on_tone(tone.hz) / scale});
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
                           sds_may_change * std::hypot(is.sd, was.sd) +
                           std::max(is.folded, was.folded) + other.folded;
    return std::abs(is.relative - was.relative) <= std::max(least, allowed);
  });
}

}  // namespace

bool same_light(const ToneAnalysis& one, const ToneAnalysis& other, double rate_hz,
                double window_s) {
  const Scales scale = scales_of(one, other);
  const std::vector<SampledTone> a = lines_of(one, scale.one, rate_hz, window_s);
  const std::vector<SampledTone> b = lines_of(other, scale.other, rate_hz, window_s);
  if (a.empty() || b.empty()) return false;
  const double least =
      std::max(nobody_minds, beside_the_strongest * std::min(strongest_of(a), strongest_of(b)));
  return has_all_of(a, b, least) && has_all_of(b, a, least);
}

bool has_rhythms_of(const ToneAnalysis& one, const ToneAnalysis& lesser, double rate_hz) {
  constexpr double reach_hz = 2.0;  // the resolution of half a second
  constexpr double window_s = 1.0;
  constexpr double weak = 0.05;  // of the strongest: sidebands and edges, which a drift moves
  const Scales scale = scales_of(one, lesser);
  std::vector<SampledTone> lines = lines_of(one, scale.one, rate_hz, window_s);
  for (SampledTone& line : lines) line.reach_hz = std::max(line.reach_hz, reach_hz);
  const double least = std::max(nobody_minds, weak * strongest_of(lines));
  const std::vector<SampledTone> others = lines_of(lesser, scale.other, rate_hz, window_s);
  return std::all_of(others.begin(), others.end(), [&](const SampledTone& other) {
    const SampledTone is = near(lines, other);
    return (1.0 - share_may_change) * other.relative <=
           is.relative + is.folded + other.folded + least;
  });
}

}  // namespace lampbeat::signal::tones
