#pragma once

#include "footage/stretches/stretch.hpp"

namespace lampbeat::footage::stretches {

/// A wave of one stretch with what its fit cannot know of its errors. Every figure here is held
/// against clips of known content by bench_footage_floors, which no test shares.
waves::Wave with_floors(waves::Wave wave, const StretchEstimate& stretch);

/// The same for what several stretches have in common, which does not become smaller with their
/// number: least uncertainties of a number of bands and of an amplitude.
double least_bands_sd(double bands);
double least_amplitude_sd(double amplitude);

/// By how much what the rows do beside the waves, a share of a wave's amplitude, moves its bands
/// and its turns over the stretch (cycles).
struct Moves {
  double bands = 0.0;
  double turns = 0.0;
};
constexpr Moves of_many_bands{0.1, 0.3};
constexpr Moves of_few_bands{0.5, 0.7};

}  // namespace lampbeat::footage::stretches
