#include "signal/left_over/tried_places.hpp"

#include <cmath>

namespace lampbeat::signal::left_over {

TriedPlaces::TriedPlaces(std::span<const spectrum::Band> bands) {
  for (const spectrum::Band& band : bands) {
    hz.push_back(centre_hz(band));
    from_hz.push_back(band.from_hz);
    to_hz.push_back(band.to_hz);
    octaves.push_back(std::log2(band.to_hz / band.from_hz));
    width_hz.push_back(left_over::width_hz(band));
    density.push_back(band.density);
  }
  for (std::size_t s = 0; s < pink_slopes.size(); ++s) {
    for (const double f : hz) falls[s].push_back(std::pow(f, pink_slopes[s]));
  }
}

EvenParts even_parts(const NoiseModel& model, const TriedPlaces& places) {
  EvenParts parts;
  parts.white = model.white;
  for (const double hz : places.hz) {
    parts.rolled.push_back(model.rolled.at(hz));
    parts.dark.push_back(model.dark_density(hz));
  }
  return parts;
}

}  // namespace lampbeat::signal::left_over
