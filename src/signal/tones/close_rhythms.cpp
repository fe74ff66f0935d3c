#include "signal/tones/close_rhythms.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "lampbeat/spectrum.hpp"
#include "lampbeat/tones.hpp"
#include "signal/lines/line_fit.hpp"
#include "signal/spectrum/peaks.hpp"
#include "signal/tones/line_search.hpp"

namespace lampbeat::signal::tones {
namespace {

/// Rhythms farther apart are parted by a window of a second (see bench_two_rhythms).
constexpr double close_hz = 3.0;
/// A companion weaker than this share of the strongest line moves percent flicker by less than
/// that share of itself.
constexpr double least_company = 0.01;
/// Over its neighbourhood: noise reaches that far in one bin of 200 000 (Rayleigh, 4 times its
/// mean).
constexpr double floors_of_company = 4.0;
/// Two lines are parted when they are two bins apart: their fit then errs by no more than lone
/// lines' would, within a tenth.
constexpr double bins_to_part = 2.0;
/// Two rhythms and a third; what needs more lines is one that wanders.
constexpr int most_close_lines = 3;
constexpr int most_lines = 16;
/// Of the weakest of the lines: what they may leave beside them. A wandering clock leaves more.
constexpr double may_leave = 0.2;
/// The sidebands of one rhythm that swings in depth or frequency come in pairs, as strong as each
/// other within this factor and as far off within so many bins.
constexpr double alike = 2.0;
constexpr double same_place_bins = 0.3;
/// Rhythms of a lamp are slower than a quarter of this.
constexpr double thinned_rate_hz = 2000.0;
constexpr int steps = 4;

/// Means of blocks of samples: enough to see where the slow lines are, not how strong. What folds
/// down is weaker by the ratio of the frequencies.
struct Thinned {
  std::vector<double> value;
  double interval_s = 0.0;
  Window window() const { return {value, {}, interval_s}; }
};

Thinned thinned(const Window& window) {
  const auto length =
      static_cast<std::size_t>(std::max(1.0, 1.0 / (thinned_rate_hz * window.interval_s)));
  Thinned thin{std::vector<double>(window.size() / length),
               window.interval_s * static_cast<double>(length)};
  for (std::size_t b = 0; b < thin.value.size(); ++b) {
    for (std::size_t i = 0; i < length; ++i) thin.value[b] += window.value[b * length + i];
    thin.value[b] /= static_cast<double>(length);
  }
  return thin;
}

/// The strongest that the spectrum shows within reach of `hz`.
double strongest_near(const Spectrum& spectrum, double hz) {
  const auto bin = [&](double f) {
    return static_cast<std::size_t>(std::max(0.0, f / spectrum.bin_hz));
  };
  double most = 0.0;
  const std::size_t end = std::min(spectrum.amplitude.size(), bin(hz + close_hz) + 1);
  for (std::size_t i = bin(hz - close_hz); i < end; ++i) {
    most = std::max(most, spectrum.amplitude[i]);
  }
  return most;
}

std::optional<spectrum::Peak> strongest_peak(const Spectrum& spectrum, const Window& window) {
  spectrum::PeakRules rules;
  rules.lowest_hz = std::max(close_hz, fewest_cycles_of_a_rhythm / window.duration_s());
  rules.highest_hz = 0.5 / window.interval_s - close_hz;
  const std::vector<spectrum::Peak> peaks = spectrum::find_peaks(spectrum, rules, {});
  return peaks.empty() ? std::nullopt : std::optional(peaks.front());
}

bool is_sideband(const lines::FittedLine& line, const lines::FittedLine& strongest,
                 const std::vector<lines::FittedLine>& all, double bin_hz) {
  const double mirror_hz = 2.0 * strongest.hz - line.hz;
  return std::any_of(all.begin(), all.end(), [&](const lines::FittedLine& other) {
    return std::abs(other.hz - mirror_hz) < same_place_bins * bin_hz &&
           other.amplitude < alike * line.amplitude && line.amplitude < alike * other.amplitude;
  });
}

bool searchable(const Window& window) {
  constexpr std::size_t fewest_samples = 64;
  return window.even() && window.interval_s > 0.0 && window.size() >= fewest_samples;
}

}  // namespace

bool looks_crowded(const Window& window) {
  if (!searchable(window)) return false;
  const Thinned thin = thinned(window);
  const Window slow = thin.window();
  const auto peak = strongest_peak(spectrum_of(slow), slow);
  if (!peak) return false;
  const lines::LineFit alone =
      lines::fit_lines(slow, {{peak->hz}, {{0, 1}}}, steps, lines::Uncertainty::lonely);
  const Spectrum rest = spectrum_of(Window{alone.residual, {}, slow.interval_s});
  const lines::FittedLine& line = alone.lines.front();
  const double company = strongest_near(rest, line.hz);
  return company > least_company * line.amplitude &&
         company > floors_of_company * spectrum::floor_near(rest, line.hz);
}

std::optional<double> closest_rhythms_hz(const Window& window) {
  if (!searchable(window)) return std::nullopt;
  const Thinned thin = thinned(window);
  ToneSettings settings;
  settings.most_tones = most_lines;
  const Window slow = thin.window();
  const FoundLines found = search_lines(slow, settings);
  const std::vector<lines::FittedLine>& all = found.fit.lines;
  const auto strongest = std::max_element(all.begin(), all.end(), [](const auto& a, const auto& b) {
    return a.amplitude < b.amplitude;
  });
  if (strongest == all.end()) return std::nullopt;
  const double bin_hz = 1.0 / slow.duration_s();
  std::vector<double> close;
  double weakest = strongest->amplitude;
  for (const lines::FittedLine& line : all) {
    if (std::abs(line.hz - strongest->hz) > close_hz) continue;
    if (line.amplitude < least_company * strongest->amplitude) continue;
    if (&line != &*strongest && is_sideband(line, *strongest, all, bin_hz)) continue;
    close.push_back(line.hz);
    weakest = std::min(weakest, line.amplitude);
  }
  if (close.size() < 2 || close.size() > most_close_lines) return std::nullopt;
  if (strongest_near(found.left, strongest->hz) > may_leave * weakest) return std::nullopt;
  std::sort(close.begin(), close.end());
  double least = close_hz;
  for (std::size_t i = 1; i < close.size(); ++i) least = std::min(least, close[i] - close[i - 1]);
  return least >= bins_to_part * bin_hz ? std::optional(least) : std::nullopt;
}

}  // namespace lampbeat::signal::tones
