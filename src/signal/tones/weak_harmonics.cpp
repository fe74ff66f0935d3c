#include "signal/tones/weak_harmonics.hpp"

#include <cmath>
#include <numbers>

#include "signal/spectrum/peaks.hpp"

namespace lampbeat::signal::tones {
namespace {

/// Whole search of one series' empty multiples in one window.
constexpr double harmonic_false_alarm = 1e-2;

/// Whether a multiple stands out at its own place. The odds of a false one are shared among the
/// orders, most to the lowest: 6/π² of 1/order² adds up to one.
bool stands_out(const Search& search, double hz, int order) {
  const double share = 6.0 / (std::numbers::pi * std::numbers::pi * order * order);
  const double ratio = spectrum::threshold_over_floor(1.0, harmonic_false_alarm * share);
  const double amplitude = spectrum::amplitude_near(search.found.left, hz);
  return amplitude >= least_amplitude(search) &&
         amplitude >= ratio * spectrum::floor_near(search.found.left, hz);
}

}  // namespace

bool add_harmonics(Search& search) {
  FoundLines& found = search.found;
  lines::LineModel model = found.fit.model;
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
  found.fit = lines::fit_lines(search.fittable, model, steps_for_settled);
  found.left = residual_spectrum(search);
  return true;
}

}  // namespace lampbeat::signal::tones
