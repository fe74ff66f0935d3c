#pragma once

#include <span>

namespace lampbeat::signal::cycle {

/// The step of a converter whose codes the samples are; 0 where they are none, or finer than 4096
/// to the samples' range: rounding then hides nothing that noise would not. Two levels alone are a
/// switched light's where they would be a converter's lowest codes.
double converter_step(std::span<const double> samples);

/// Standard deviation that rounding gives an average over many samples of one level, of a
/// converter's step and the noise of what it rounded: the first term of the series of Widrow and
/// Kollár, Quantization Noise (Cambridge, 2008), 4.3; a level anywhere within a step.
double rounding_left(double step, double noise_sd);

}  // namespace lampbeat::signal::cycle
