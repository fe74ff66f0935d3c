#pragma once

#include <span>
#include <vector>

#include "signal/left_over/noise_fit.hpp"
#include "signal/left_over/noise_model.hpp"

namespace lampbeat::signal::left_over {

/// Power that neither a rhythm nor the sensor's noise explains.
struct Surplus {
  double from_hz = 0.0;
  double to_hz = 0.0;
  double power = 0.0;  ///< sample units squared
};

/// What is left beside the rhythms, divided.
struct ResidualAccount {
  NoiseModel noise;
  std::vector<Surplus> surplus;  ///< slowest first
};

/// Divides what is left beside the rhythms into sensor noise and light. Sensor noise
/// is what the covered sensor showed; without such a recording it is white at the level of the
/// quietest bands, with a part falling as 1/f^α (0.7 <= α <= 1.4) that stays below 1.5 % of the
/// level or below the white part, and one that is even from the slowest band to a corner above 50
/// Hz and falls beyond it as a filter makes it: below 1 % of the level, 3 % where the corner lies
/// above a tenth of half the rate, since a lamp's own unrest is hardly so quick. What stands above
/// that by more than chance (one false alarm in a thousand accounts, the readings of a periodogram
/// being exponentially distributed) and by more than the model's own play is light.
ResidualAccount residual_account(std::span<const spectrum::Band> bands,
                                 const NoiseKnowledge& known);

}  // namespace lampbeat::signal::left_over
