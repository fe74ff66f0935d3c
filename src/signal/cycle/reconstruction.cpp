#include "signal/cycle/reconstruction.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace lampbeat::signal::cycle {

namespace {

constexpr std::size_t points_one_rhythm = 4096;
constexpr std::size_t points_two_rhythms = 192;  // per rhythm: 37 k points in all
/// Over so many of the slower rhythm's periods the two have met in every combination of phases, but
/// for ratios of small numbers, whose combinations are few.
constexpr double periods_visited = 400.0;

/// Times that visit every combination of the rhythms' phases evenly: one period of a single rhythm;
/// for two, as many of the slower one's periods as make the faster one's phase drift all the way
/// round.
std::vector<double> visiting_times(const std::vector<Rhythm>& rhythms) {
  std::vector<double> times;
  if (rhythms.size() == 1) {
    for (std::size_t i = 0; i < points_one_rhythm; ++i) {
      times.push_back(static_cast<double>(i) /
                      (rhythms[0].hz * static_cast<double>(points_one_rhythm)));
    }
    return times;
  }
  // A golden-section stride through the span: neither rhythm's phase keeps step with it.
  const std::size_t n = points_two_rhythms * points_two_rhythms;
  const double span_s = periods_visited / std::min(rhythms[0].hz, rhythms[1].hz);
  for (std::size_t i = 0; i < n; ++i) {
    const double fraction = std::fmod(static_cast<double>(i) * std::numbers::phi, 1.0);
    times.push_back(span_s * fraction);
  }
  return times;
}

}  // namespace

std::optional<CycleFigures> figures_of_tones(const ToneAnalysis& tones, double mean,
                                             const std::vector<Rhythm>& rhythms) {
  if (rhythms.empty() || !(mean > 0.0)) return std::nullopt;
  CycleFigures figures;
  figures.mean = mean;
  figures.highest = -std::numeric_limits<double>::infinity();
  figures.lowest = std::numeric_limits<double>::infinity();
  double above = 0.0;
  ToneAnalysis light = tones;
  light.mean = mean;
  const std::vector<double> times = visiting_times(rhythms);
  for (const double t : times) {
    const double value = model_at(light, t);
    figures.highest = std::max(figures.highest, value);
    figures.lowest = std::min(figures.lowest, value);
    above += std::max(0.0, value - mean);
    if (rhythms.size() == 1) figures.shape.push_back(value);
  }
  if (!(figures.highest + figures.lowest > 0.0)) return std::nullopt;
  figures.percent_flicker =
      100.0 * (figures.highest - figures.lowest) / (figures.highest + figures.lowest);
  figures.flicker_index = above / static_cast<double>(times.size()) / mean;
  double variance = 0.0;
  for (const ToneSeries& series : tones.series) {
    for (const Tone& tone : series.tones) variance += tone.amplitude_sd * tone.amplitude_sd;
  }
  figures.percent_flicker_sd = 100.0 * std::sqrt(variance) / mean;
  figures.flicker_index_sd = std::sqrt(variance) / (std::numbers::pi * mean);
  return figures;
}

}  // namespace lampbeat::signal::cycle
