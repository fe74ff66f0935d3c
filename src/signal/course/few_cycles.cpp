#include "signal/course/few_cycles.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include "arithmetic/median.hpp"
#include "arithmetic/phase.hpp"

namespace lampbeat::signal::course {
namespace {

/// Of ten the spectrum and the fold make more.
constexpr int most_cycles = 9;
/// Share of the swing within which a reading belongs to a level, and share of the readings that may
/// lie between them. Of a sine 37 % lie farther from its halves' medians, of a triangle 60 %; the
/// faintest swing counted has its levels' noise beyond at one reading in sixty (2.4 of its standard
/// deviations).
constexpr double near_level = 0.2;
constexpr double most_between = 0.1;
/// A swing of two levels stands this far over the noise and above this share of the higher one: the
/// extremes of 8192 readings of noise lie some eight of its standard deviations apart.
constexpr double swing_over_noise = 12.0;
constexpr double least_swing = 1e-3;
/// Intervals this much alike repeat: hands and thermostats are less regular, and three unrelated
/// intervals are as alike once in a hundred.
constexpr double alike = 0.1;

struct Edges {
  std::vector<double> rises;  ///< places, in readings
  std::vector<double> falls;
};

/// Where the light crosses the middle, having come from one level and reaching the other.
Edges edges_between(const std::vector<double>& value, double low, double high) {
  const double middle = (low + high) / 2.0;
  const double margin = (0.5 - near_level) * (high - low);
  Edges edges;
  int side = value.front() >= middle ? 1 : -1;
  double crossing = 0.0;
  for (std::size_t i = 1; i < value.size(); ++i) {
    if ((value[i - 1] < middle) != (value[i] < middle)) {
      crossing = static_cast<double>(i - 1) + (middle - value[i - 1]) / (value[i] - value[i - 1]);
    }
    if (side < 0 && value[i] > middle + margin) {
      edges.rises.push_back(crossing);
      side = 1;
    } else if (side > 0 && value[i] < middle - margin) {
      edges.falls.push_back(crossing);
      side = -1;
    }
  }
  return edges;
}

std::vector<double> intervals(const Edges& edges) {
  std::vector<double> list;
  for (const auto* places : {&edges.rises, &edges.falls}) {
    for (std::size_t i = 1; i < places->size(); ++i) {
      list.push_back((*places)[i] - (*places)[i - 1]);
    }
  }
  return list;
}

void time(FewCycles& switched, const Edges& edges, double interval_s) {
  const std::vector<double> list = intervals(edges);
  if (list.size() < 2) return;
  const auto [least, most] = std::minmax_element(list.begin(), list.end());
  constexpr double edge_places = 2.0;  // either end of an interval lies within one reading
  if (*most - *least > alike * *most + edge_places) return;
  double mean = 0.0;
  for (const double p : list) mean += p / static_cast<double>(list.size());
  double squares = 0.0;
  for (const double p : list) squares += (p - mean) * (p - mean);
  const auto n = static_cast<double>(list.size());
  // An edge lies anywhere between two readings; few intervals know their own scatter badly.
  const double sd = std::sqrt(squares / (n - 1.0) / n * (1.0 + 4.0 / n) + 1.0 / 6.0 / n);
  switched.hz = 1.0 / (mean * interval_s);
  switched.hz_sd = *switched.hz * sd / mean;
  // Every whole stretch at the high level: a rise and the fall after it.
  double on = 0.0;
  double stretches = 0.0;
  for (const double rise : edges.rises) {
    const auto fall = std::upper_bound(edges.falls.begin(), edges.falls.end(), rise);
    if (fall == edges.falls.end()) continue;
    if (stretches == 0.0) switched.first_middle_s = (rise + *fall) / 2.0 * interval_s;
    on += *fall - rise;
    stretches += 1.0;
  }
  if (stretches == 0.0) {
    switched.hz.reset();
    return;
  }
  switched.on_share = on / stretches / mean;
}

}  // namespace

std::optional<FewCycles> few_cycles(const Course::Part& course) {
  constexpr std::size_t fewest = 24;  // so that each of two levels has several
  const std::vector<double>& value = course.value;
  if (value.size() < fewest) return std::nullopt;
  // The middle one of three: a single stray reading is no level.
  double low = value.front();
  double high = value.front();
  for (std::size_t i = 1; i + 1 < value.size(); ++i) {
    const double a = value[i - 1];
    const double b = value[i + 1];
    const double middle = std::clamp(value[i], std::min(a, b), std::max(a, b));
    low = i == 1 ? middle : std::min(low, middle);
    high = i == 1 ? middle : std::max(high, middle);
  }
  const double swing = high - low;
  const double noise = arithmetic::noise_from_steps(value);
  if (!(swing > swing_over_noise * noise) || swing < least_swing * std::abs(high))
    return std::nullopt;
  std::vector<double> above;
  std::vector<double> below;
  for (const double x : value) (x >= (low + high) / 2.0 ? above : below).push_back(x);
  FewCycles switched;
  if (above.empty() || below.empty()) return std::nullopt;
  switched.high = arithmetic::upper_median(above);
  switched.low = arithmetic::upper_median(below);
  double between = 0.0;
  for (const double x : value) {
    const double off = std::min(std::abs(x - switched.high), std::abs(x - switched.low));
    if (off > near_level * (switched.high - switched.low)) between += 1.0;
  }
  const Edges edges = edges_between(value, switched.low, switched.high);
  switched.rises = static_cast<int>(edges.rises.size());
  switched.falls = static_cast<int>(edges.falls.size());
  const int most = std::max(switched.rises, switched.falls);
  // A reading caught on its way at each edge is no third level.
  between = std::max(0.0, between - switched.rises - switched.falls);
  if (most == 0 || most > most_cycles ||
      between > most_between * static_cast<double>(std::min(above.size(), below.size()))) {
    return std::nullopt;
  }
  switched.level_sd = noise / std::sqrt(static_cast<double>(std::min(above.size(), below.size())));
  time(switched, edges, course.interval_s);
  return switched;
}

ToneAnalysis tones_of(const FewCycles& s) {
  constexpr double pi = std::numbers::pi;
  constexpr int most_orders = 32;  // the edges of a cycle of which no more than nine were seen
  constexpr double faint = 1e-3;   // of the strongest
  ToneAnalysis tones;
  tones.mean = s.low + s.on_share * (s.high - s.low);
  ToneSeries series;
  series.fundamental_hz = *s.hz;
  series.fundamental_hz_sd = s.hz_sd;
  for (int k = 1; k <= most_orders; ++k) {
    const double signed_part = 2.0 * (s.high - s.low) * std::sin(pi * k * s.on_share) / (pi * k);
    Tone tone;
    tone.hz = k * *s.hz;
    tone.hz_sd = k * s.hz_sd;
    tone.amplitude = std::abs(signed_part);
    tone.amplitude_sd = s.level_sd;
    tone.phase_rad = arithmetic::wrapped_rad(-2.0 * pi * tone.hz * s.first_middle_s +
                                             (signed_part < 0.0 ? pi : 0.0));
    tone.order = k;
    const bool first = series.tones.empty();  // however short the flashes, and all of them weak
    if (first || tone.amplitude > faint * series.tones.front().amplitude) {
      series.tones.push_back(tone);
    }
  }
  std::stable_sort(series.tones.begin(), series.tones.end(),
                   [](const Tone& a, const Tone& b) { return a.amplitude > b.amplitude; });
  tones.series.push_back(std::move(series));
  return tones;
}

CycleFigures figures_of(const FewCycles& s) {
  CycleFigures figures;
  figures.highest = s.high;
  figures.lowest = s.low;
  figures.mean = s.low + s.on_share * (s.high - s.low);
  const double sum = s.high + s.low;
  figures.percent_flicker = sum > 0.0 ? 100.0 * (s.high - s.low) / sum : 0.0;
  figures.percent_flicker_sd =
      sum > 0.0 ? 200.0 * s.level_sd * std::hypot(s.high, s.low) / (sum * sum) : 0.0;
  if (figures.mean > 0.0) {
    // Area above the mean: the on part's height over it, for its share of the cycle.
    figures.flicker_index = std::min(1.0, (s.high - figures.mean) * s.on_share / figures.mean);
    figures.flicker_index_sd = 0.5 * s.hz_sd / *s.hz;
  }
  constexpr std::size_t points = 128;
  for (std::size_t i = 0; i < points; ++i) {
    const double from_middle = std::abs(static_cast<double>(i) / points - 0.5);
    figures.shape.push_back(from_middle < s.on_share / 2.0 ? s.high : s.low);
  }
  return figures;
}

}  // namespace lampbeat::signal::course
