#pragma once

#include <span>
#include <vector>

#include "reasoning/bands/effort.hpp"
#include "reasoning/mixture/series.hpp"

namespace lampbeat::reasoning::bands {

/// Two samples, and how the light stands when the first of them is taken.
struct SamplePair {
  double contrast = 0.0;  ///< Michelson's, of the first (bright) and the second (dark)
  int lag = 0;            ///< the second's distance, of either sign; 0 when there is no contrast
  std::vector<double> phase;  ///< of each series at the first, cycles
};

/// The pair with the greatest Michelson contrast (max−min)/(max+min), 0 ... 1, that two samples of
///     1 + Σ rhythms
/// taken `lags[i] · unit_s` apart can show, over all lags and over every phase of every rhythm.
///
/// A frame's rows (or a clip's frames) are evenly spaced samples, so the contrast of the whole
/// frame, at its least favourable start, is that of its least favourable pair: the lags are
/// 1 ... rows − 1, in units of the row time. Lags are positive and rise; both directions are tried.
///
/// For one pair the contrast is a ratio of two sums over the rhythms. Dinkelbach's method
/// (Management Science 13, 1967) turns the ratio into a sequence of sums, and a sum is largest when
/// each rhythm is at its own best phase: the search is exact for any number of independent rhythms,
/// without searching all their phases together.
SamplePair widest_pair(std::span<const mixture::Series> rhythms, std::span<const int> lags,
                       double unit_s, Effort effort);

/// The contrast of one telling pair: half a cycle of the strongest line apart, as nearly as the
/// longest lag allows, every rhythm where its own strongest line differs most. The widest pair's is
/// no less. For a fraction of the work.
double telling_contrast(std::span<const mixture::Series> rhythms, int longest_lag, double unit_s);

/// The phase, in cycles, at which each of these rhythms is at its darkest.
std::vector<double> darkest_phases(std::span<const mixture::Series> rhythms);

}  // namespace lampbeat::reasoning::bands
