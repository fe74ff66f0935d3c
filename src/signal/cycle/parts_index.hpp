#pragma once

#include "signal/cycle/sample_index.hpp"
#include "signal/cycle/two_parts.hpp"

namespace lampbeat::signal::cycle {

/// Flicker index of two rhythms over every combination of their phases, also of those that the
/// window did not come to: by the parts, put right by what the samples differ from them.
/// `noise_sd`: of one sample.
SampleIndex parts_index(const TwoParts& light, double noise_sd);

}  // namespace lampbeat::signal::cycle
