#include "signal/tones/line_search.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "arithmetic/alias.hpp"
#include "signal/spectrum/peaks.hpp"
#include "signal/tones/grouping.hpp"
#include "signal/tones/merged_lines.hpp"
#include "signal/tones/search_state.hpp"
#include "signal/tones/weak_harmonics.hpp"

namespace lampbeat::signal::tones {
namespace {

/// Samples a line takes at least: eight for its three unknowns leave the residual its noise.
constexpr std::size_t samples_a_line = 8;
/// Peaks are read between bins: a rhythm of just enough cycles may read so much slower.
constexpr double bins_of_grace = 0.3;
/// What one round may take of its strongest peak: down to the window's side lobes (3e-5), with room
/// to spare, when samples are even; unevenness and gaps raise side lobes of their own. Two rounds,
/// uneven ones four, get down to `least_of_all`; the others are for what had merged.
constexpr double even_round_depth = 1e-4;
constexpr int even_rounds = 6;
constexpr double uneven_round_depth = 0.05;
constexpr int uneven_rounds = 10;
/// Multiples that a round takes out no longer hide weaker ones; a round without any ends them.
constexpr int harmonic_rounds = 3;
/// A line found stays when, fitted with all others, it keeps this much of the threshold it passed
/// alone. Beside a strong line, lines that passed kept more than 0.85 of it in 99 of 100 drawn
/// windows; where there was nothing, the fit made less than 0.53 of it in 999 of 1000
/// (bench_line_thresholds).
constexpr double keeps_of_threshold = 0.8;
/// Gauss-Newton steps: new lines come from a hundredth of a bin off, tied ones
/// move all together.
constexpr int steps_for_new = 6;
constexpr int steps_for_tied = 8;
/// A tie that leaves a hundredth more noise than free lines did has left something to be found.
constexpr double ties_may_leave = 1.01;

/// Adds a line that hangs on a fundamental of its own.
void add_lone(lines::LineModel& model, double hz) {
  model.lines.push_back({model.fundamental_hz.size(), 1});
  model.fundamental_hz.push_back(hz);
}

/// The fit's lines, for the peak search to allow for what they left.
std::vector<spectrum::Peak> taken_out(const Search& search) {
  std::vector<spectrum::Peak> known;
  for (const lines::FittedLine& line : search.found.fit.lines) {
    known.push_back({arithmetic::folded_hz(line.hz, search.rate_hz), line.amplitude});
  }
  return known;
}

/// What looked like a line may have been a side lobe of another: with both in the fit, nothing is
/// left of it. Those that were there before `first` have been told apart.
void drop_empty_lines(Search& search, std::size_t first) {
  FoundLines& found = search.found;
  lines::LineModel kept;
  for (std::size_t i = 0; i < found.fit.lines.size(); ++i) {
    const lines::FittedLine& line = found.fit.lines[i];
    const double seen = arithmetic::folded_hz(line.hz, search.rate_hz);
    if (line.amplitude < keeps_of_threshold * threshold_at(found.left, seen)) continue;
    if (i >= first && too_close(search, line.hz, kept)) continue;
    add_lone(kept, line.hz);
  }
  if (kept.lines.size() == found.fit.lines.size()) return;
  found.fit =
      lines::fit_lines(search.fittable, kept, steps_for_settled, lines::Uncertainty::lonely);
  found.left = residual_spectrum(search);
}

/// One round: the lines that stand out of what is left. False when there are none.
bool add_free_lines(Search& search) {
  FoundLines& found = search.found;
  if (found.fit.lines.size() >= search.most_lines) return false;
  spectrum::PeakRules rules;
  rules.lowest_hz = (fewest_cycles_of_a_rhythm - bins_of_grace) / search.duration_s;
  rules.highest_hz = search.rate_hz / 2.0 - 1.0 / search.duration_s;
  rules.least_amplitude = least_amplitude(search);
  rules.least_of_strongest = search.window.even() ? even_round_depth : uneven_round_depth;
  lines::LineModel model = found.fit.model;
  for (const spectrum::Peak& peak : spectrum::find_peaks(found.left, rules, taken_out(search))) {
    if (model.lines.size() >= search.most_lines) break;
    if (!too_close(search, peak.hz, model)) add_lone(model, peak.hz);
  }
  const std::size_t before = found.fit.lines.size();
  if (model.lines.size() == before) return false;
  found.fit = lines::fit_lines(search.fittable, model, steps_for_new, lines::Uncertainty::lonely);
  found.left = residual_spectrum(search);
  drop_empty_lines(search, before);
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
  found.fit = lines::fit_lines(search.fittable, grouping.model, steps_for_tied);
  // Tying lines together moves them by less than their uncertainties: what is left looks the same.
  if (found.fit.noise_sd > ties_may_leave * free_noise) found.left = residual_spectrum(search);
}

}  // namespace

FoundLines search_lines(const Window& window, const ToneSettings& settings) {
  const auto most_lines = std::min(static_cast<std::size_t>(std::max(settings.most_tones, 0)),
                                   window.size() / samples_a_line);
  Search search{window, window, settings, window.duration_s(), 1.0 / window.interval_s, most_lines};
  search.found.fit = lines::fit_lines(search.fittable, lines::LineModel{}, 1);
  search.found.left = residual_spectrum(search);
  const int rounds = window.even() ? even_rounds : uneven_rounds;
  for (int round = 0; round < rounds; ++round) {
    const bool added = add_free_lines(search);
    if (!part_merged(search) && !added) break;
  }
  tie_into_series(search);
  for (int round = 0; round < harmonic_rounds; ++round) {
    if (!add_harmonics(search)) break;
  }
  search.found.least_amplitude = least_amplitude(search);
  return std::move(search.found);
}

}  // namespace lampbeat::signal::tones
