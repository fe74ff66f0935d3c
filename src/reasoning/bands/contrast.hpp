#pragma once

#include <span>
#include <vector>

#include "reasoning/mixture/rhythm.hpp"

namespace lampbeat::reasoning {

enum class Effort {
  quick,  ///< to find out where to look: a few per cent of the fastest harmonic may be missed
  full    ///< within 0.1 % of the value
};

/// The greatest Michelson contrast (max−min)/(max+min), 0 ... 1, that two samples of
///     1 + Σ rhythms
/// taken `lags[i] · unit_s` apart can show, over all lags and over every phase of every rhythm.
///
/// A frame's rows (or a clip's frames) are evenly spaced samples, so the contrast of the whole
/// frame, at its least favourable start, is that of its least favourable pair: the lags are
/// 1 ... rows − 1, in units of the row time. Lags are positive; both directions are tried.
///
/// For one pair the contrast is a ratio of two sums over the rhythms. Dinkelbach's method
/// (Management Science 13, 1967) turns the ratio into a sequence of sums, and a sum is largest when
/// each rhythm is at its own best phase: the search is exact for any number of independent rhythms,
/// without searching all their phases together.
double greatest_contrast(std::span<const Rhythm> rhythms, std::span<const int> lags, double unit_s,
                         Effort effort);

/// The lags 1 ... highest; beyond `limit` of them a scattered choice of that size, which always
/// holds the first few and the last.
std::vector<int> lags_up_to(int highest, int limit);

}  // namespace lampbeat::reasoning
