#include "signal/tones/line_search.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include "signal/spectrum/peaks.hpp"
#include "signal/tones/grouping.hpp"

namespace lampbeat::signal {
namespace {

/// Samples a line takes at least: eight for its three unknowns leave the residual its noise.
constexpr std::size_t samples_a_line = 8;
/// Lines closer together than this (in bins of 1/duration) cannot be told apart reliably.
constexpr double closest_bins = 0.7;
/// Peaks are read between bins: a rhythm of just enough cycles may read so much slower.
constexpr double bins_of_grace = 0.3;
/// What one round may take of its strongest peak: down to the window's side lobes (3e-5), with room
/// to spare, when samples are even; unevenness and gaps raise side lobes of their own. Two rounds,
/// uneven ones four, get down to `least_of_all`; the others are for what had merged.
constexpr double even_round_depth = 1e-4;
constexpr int even_rounds = 6;
constexpr double uneven_round_depth = 0.05;
constexpr int uneven_rounds = 10;
constexpr int harmonic_rounds = 3;
/// Below this fraction of the strongest line, what is left may be the strongest line's
/// imperfection.
constexpr double least_of_all = 1e-5;
/// Whole search of one series' empty multiples in one window.
constexpr double harmonic_false_alarm = 1e-2;
/// A line found stays when, fitted with all others, it keeps this much of the threshold it passed
/// alone.
constexpr double keeps_of_threshold = 0.8;
/// Gauss-Newton steps: new lines come from a hundredth of a bin off; some settle beside new ones;
/// tied ones move all together.
constexpr int steps_for_new = 6;
constexpr int steps_for_settled = 4;
constexpr int steps_for_tied = 8;
/// A tie that leaves a hundredth more noise than free lines did has left something to be found.
constexpr double ties_may_leave = 1.01;

/// The search so far: everything that its steps look at and change.
struct Search {
  const Window& window;
  const ToneSettings& settings;
  double duration_s;
  double rate_hz;
  std::size_t most_lines;
  FoundLines found = {};
};

double strongest_of(const LineFit& fit) {
  double strongest = 0.0;
  for (const FittedLine& line : fit.lines) strongest = std::max(strongest, line.amplitude);
  return strongest;
}

double least_amplitude(const Search& search) {
  const LineFit& fit = search.found.fit;
  return std::max(search.settings.least_relative_amplitude * std::abs(fit.level),
                  least_of_all * strongest_of(fit));
}

Spectrum residual_spectrum(const Search& search) {
  return spectrum_of(
      Window{search.found.fit.residual, search.window.time_s, search.window.interval_s});
}

bool too_close(const Search& search, double hz, const LineModel& model) {
  const double seen = folded_hz(hz, search.rate_hz);
  const double gap = closest_bins / search.duration_s;
  if (seen < gap || seen > search.rate_hz / 2.0 - gap) return true;
  return std::any_of(model.lines.begin(), model.lines.end(), [&](const TiedLine& line) {
    return std::abs(folded_hz(model.hz(line), search.rate_hz) - seen) < gap;
  });
}

/// Adds a line that hangs on a fundamental of its own.
void add_lone(LineModel& model, double hz) {
  model.lines.push_back({model.fundamental_hz.size(), 1});
  model.fundamental_hz.push_back(hz);
}

/// The fit's lines, for the peak search to allow for what they left.
std::vector<Peak> taken_out(const Search& search) {
  std::vector<Peak> known;
  for (const FittedLine& line : search.found.fit.lines) {
    known.push_back({folded_hz(line.hz, search.rate_hz), line.amplitude});
  }
  return known;
}

/// What looked like a line may have been a side lobe of another: with both in the fit, nothing is
/// left of it.
void drop_empty_lines(Search& search) {
  FoundLines& found = search.found;
  LineModel kept;
  const double ratio =
      keeps_of_threshold *
      threshold_over_floor(static_cast<double>(found.left.floor.size()), search_false_alarm);
  for (const FittedLine& line : found.fit.lines) {
    const double seen = folded_hz(line.hz, search.rate_hz);
    if (line.amplitude < ratio * floor_near(found.left, seen)) continue;
    if (too_close(search, line.hz, kept)) continue;
    add_lone(kept, line.hz);
  }
  if (kept.lines.size() == found.fit.lines.size()) return;
  found.fit = fit_lines(search.window, kept, steps_for_settled, Uncertainty::lonely);
  found.left = residual_spectrum(search);
}

/// One round: the lines that stand out of what is left. False when there are none.
bool add_free_lines(Search& search) {
  FoundLines& found = search.found;
  if (found.fit.lines.size() >= search.most_lines) return false;
  PeakRules rules;
  rules.lowest_hz = (fewest_cycles_of_a_rhythm - bins_of_grace) / search.duration_s;
  rules.highest_hz = search.rate_hz / 2.0 - 1.0 / search.duration_s;
  rules.least_amplitude = least_amplitude(search);
  rules.least_of_strongest = search.window.even() ? even_round_depth : uneven_round_depth;
  LineModel model = found.fit.model;
  for (const Peak& peak : find_peaks(found.left, rules, taken_out(search))) {
    if (model.lines.size() >= search.most_lines) break;
    if (!too_close(search, peak.hz, model)) add_lone(model, peak.hz);
  }
  const std::size_t before = found.fit.lines.size();
  if (model.lines.size() == before) return false;
  found.fit = fit_lines(search.window, model, steps_for_new, Uncertainty::lonely);
  found.left = residual_spectrum(search);
  drop_empty_lines(search);
  return found.fit.lines.size() > before;
}

void tie_into_series(Search& search) {
  FoundLines& found = search.found;
  if (found.fit.lines.empty()) return;
  const Grouping grouping =
      group_lines(found.fit, {search.duration_s, search.rate_hz, search.settings.mains_hz});
  found.mains = grouping.mains;
  found.clutter = grouping.clutter;
  const double free_noise = found.fit.noise_sd;
  found.fit = fit_lines(search.window, grouping.model, steps_for_tied);
  // Tying lines together moves them by less than their uncertainties: what is left looks the same.
  if (found.fit.noise_sd > ties_may_leave * free_noise) found.left = residual_spectrum(search);
}

/// Whether a multiple stands out at its own place. The odds of a false one are shared among the
/// orders, most to the lowest: 6/π² of 1/order² adds up to one.
bool stands_out(const Search& search, double hz, int order) {
  const double share = 6.0 / (std::numbers::pi * std::numbers::pi * order * order);
  const double ratio = threshold_over_floor(1.0, harmonic_false_alarm * share);
  const double amplitude = amplitude_near(search.found.left, hz);
  return amplitude >= least_amplitude(search) &&
         amplitude >= ratio * floor_near(search.found.left, hz);
}

/// Weak multiples of an established fundamental need not stand out of the whole spectrum. False
/// when there are none.
bool add_harmonics(Search& search) {
  FoundLines& found = search.found;
  LineModel model = found.fit.model;
  for (std::size_t s = 0; s < model.fundamental_hz.size(); ++s) {
    const double fundamental_hz = model.fundamental_hz[s];
    const int step = found.mains && *found.mains == s ? 2 : 1;
    const int highest = static_cast<int>(search.rate_hz / 2.0 / fundamental_hz);
    for (int order = step; order <= highest; order += step) {
      if (model.lines.size() >= search.most_lines) break;
      const double hz = order * fundamental_hz;
      if (hz < fewest_cycles_of_a_rhythm / search.duration_s || too_close(search, hz, model)) {
        continue;
      }
      if (stands_out(search, hz, order)) model.lines.push_back({s, order});
    }
  }
  if (model.lines.size() == found.fit.model.lines.size()) return false;
  found.fit = fit_lines(search.window, model, steps_for_settled);
  found.left = residual_spectrum(search);
  return true;
}

}  // namespace

FoundLines search_lines(const Window& window, const ToneSettings& settings) {
  const auto most_lines = std::min(static_cast<std::size_t>(std::max(settings.most_tones, 0)),
                                   window.size() / samples_a_line);
  Search search{window, settings, window.duration_s(), 1.0 / window.interval_s, most_lines};
  search.found.fit = fit_lines(window, LineModel{}, 1);
  search.found.left = residual_spectrum(search);
  const int rounds = window.even() ? even_rounds : uneven_rounds;
  for (int round = 0; round < rounds; ++round) {
    if (!add_free_lines(search)) break;
  }
  tie_into_series(search);
  for (int round = 0; round < harmonic_rounds; ++round) {
    if (!add_harmonics(search)) break;
  }
  search.found.least_amplitude = least_amplitude(search);
  return std::move(search.found);
}

}  // namespace lampbeat::signal
