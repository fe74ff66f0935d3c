#pragma once

#include <vector>

namespace lampbeat::signal::cycle {

/// A flicker index and its standard uncertainty.
struct SampleIndex {
  double value = 0.0;
  double sd = 0.0;
};

/// Half the mean distance of the samples themselves from their mean, over it: for lights of two
/// rhythms, whose phases meet in every combination, each as often as any other. What noise of
/// `noise_sd` adds where the light crosses its mean is taken out: noise² times the share of samples
/// there, per sample unit. `value` in the order taken; at least one, their mean > 0.
SampleIndex sample_index(const std::vector<double>& value, double noise_sd);

}  // namespace lampbeat::signal::cycle
