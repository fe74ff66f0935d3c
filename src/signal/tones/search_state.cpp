#include "signal/tones/search_state.hpp"

#include <algorithm>
#include <cmath>

#include "arithmetic/alias.hpp"
#include "signal/spectrum/peaks.hpp"

namespace lampbeat::signal::tones {
namespace {

/// Lines closer together than this (in bins of 1/duration) cannot be told apart reliably: two drawn
/// at random that far apart are both found again in 98.6 % of windows (bench_line_thresholds), at
/// 0.5 bins in 94 %, and their amplitudes are known 2.2 times worse than a lone line's.
constexpr double closest_bins = 0.7;
/// Below this fraction of the strongest line, what is left may be the strongest line's
/// imperfection.
constexpr double least_of_all = 1e-5;

double strongest_of(const lines::LineFit& fit) {
  double strongest = 0.0;
  for (const lines::FittedLine& line : fit.lines) strongest = std::max(strongest, line.amplitude);
  return strongest;
}

}  // namespace

double least_amplitude(const Search& search) {
  const lines::LineFit& fit = search.found.fit;
  return std::max(search.settings.least_relative_amplitude * std::abs(fit.level),
                  least_of_all * strongest_of(fit));
}

Spectrum residual_spectrum(const Search& search) {
  return residual_spectrum(search, search.found.fit);
}

Spectrum residual_spectrum(const Search& search, const lines::LineFit& fit) {
  return spectrum_of(Window{fit.residual, search.window.time_s, search.window.interval_s});
}

double threshold_at(const Spectrum& left, double hz) {
  return spectrum::floor_near(left, hz) *
         spectrum::threshold_over_floor(static_cast<double>(left.floor.size()),
                                        spectrum::search_false_alarm);
}

bool too_close(const Search& search, double hz, const lines::LineModel& model) {
  const double seen = arithmetic::folded_hz(hz, search.rate_hz);
  const double gap = closest_bins / search.duration_s;
  if (seen < gap || seen > search.rate_hz / 2.0 - gap) return true;
  return std::any_of(model.lines.begin(), model.lines.end(), [&](const lines::TiedLine& line) {
    return std::abs(arithmetic::folded_hz(model.hz(line), search.rate_hz) - seen) < gap;
  });
}

}  // namespace lampbeat::signal::tones
