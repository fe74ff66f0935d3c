#pragma once

#include <array>
#include <cstddef>
#include <span>
#include <vector>

#include "signal/left_over/noise_model.hpp"

namespace lampbeat::signal::left_over {

/// Slopes of 1/f^slope noise: what sensors and amplifiers are ordinarily found to have.
inline constexpr std::array pink_slopes = {0.7, 0.8, 0.9, 1.0, 1.1, 1.2, 1.3, 1.4};

/// Where bands lie, one figure a band, with all that models ask of these places and that does not
/// change from one model to the next: they are tried by the thousand.
struct TriedPlaces {
  explicit TriedPlaces(std::span<const spectrum::Band> bands);

  std::size_t size() const { return hz.size(); }

  std::vector<double> hz;       ///< centres
  std::vector<double> from_hz;  ///< lower ends
  std::vector<double> to_hz;    ///< upper ends
  std::vector<double> octaves;  ///< widths
  std::vector<double> width_hz;
  std::vector<double> density;  ///< found there
  /// hz^slope of each of the pink slopes.
  std::array<std::vector<double>, pink_slopes.size()> falls;
};

/// What a model without a 1/f part comes to at such places, by part.
struct EvenParts {
  double white = 0.0;
  std::vector<double> rolled;
  std::vector<double> dark;

  /// With so much 1/f noise there besides.
  double with(double pink, std::size_t place) const {
    return white + pink + rolled[place] + dark[place];
  }
};
EvenParts even_parts(const NoiseModel& model, const TriedPlaces& places);

}  // namespace lampbeat::signal::left_over
