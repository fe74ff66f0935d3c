#include "signal/left_over/residual_account.hpp"

#include <cmath>
#include <vector>

namespace lampbeat::signal::left_over {
namespace {

/// How many times its expectation the mean of so many exponential readings reaches by chance:
/// Wilson & Hilferty, Proc. Nat. Acad. Sci. 17, 1931, for chi-squared over its freedom.
double by_chance(double independent) {
  const double part = 1.0 / (9.0 * independent);
  return std::pow(1.0 - part + chance_sds * std::sqrt(part), 3);
}

/// Whether bands taken together stand above the model by more than chance.
bool stands_out(std::span<const spectrum::Band> bands, const NoiseModel& model) {
  double power = 0.0;
  double most = 0.0;
  double variance = 0.0;
  for (const spectrum::Band& band : bands) {
    power += band.density * width_hz(band);
    const double part = model.most(centre_hz(band)) * width_hz(band);
    most += part;
    variance += part * part / band.independent;
  }
  return most > 0.0 ? power > most * by_chance(most * most / variance) : power > 0.0;
}

/// What stands above the model, band by band.
std::vector<Surplus> surplus_over(const NoiseModel& model, std::span<const spectrum::Band> bands) {
  std::vector<bool> loud(bands.size());
  for (const std::size_t together : {1U, 3U, 6U, 12U}) {
    for (std::size_t i = 0; i + together <= bands.size(); ++i) {
      const auto part = bands.subspan(i, together);
      if (!stands_out(part, model)) continue;
      for (std::size_t k = 0; k < together; ++k) {
        if (part[k].density > model.most(centre_hz(part[k]))) loud[i + k] = true;
      }
    }
  }
  constexpr double apart = 1.3;  // two bands of silence, 2^(2/6), part two stretches
  std::vector<Surplus> found;
  for (std::size_t i = 0; i < bands.size(); ++i) {
    if (!loud[i]) continue;
    const double power =
        (bands[i].density - model.density(centre_hz(bands[i]))) * width_hz(bands[i]);
    if (found.empty() || bands[i].from_hz > apart * found.back().to_hz) {
      found.push_back({bands[i].from_hz, bands[i].to_hz, power});
    } else {
      found.back().to_hz = bands[i].to_hz;
      found.back().power += power;
    }
  }
  return found;
}

/// The bands as they were recorded, before the sensor's response was undone, and the account given
/// back in the light's terms.
ResidualAccount as_recorded(std::span<const spectrum::Band> bands, const NoiseKnowledge& known) {
  const double interval_s = 0.5 / known.half_rate_hz;
  const auto power_gain = [&](double hz) {
    return std::pow(known.response.gain(hz, interval_s), 2);
  };
  NoiseKnowledge recorded = known;
  recorded.response = {};
  std::vector<spectrum::Band> noise(bands.begin(), bands.end());
  for (spectrum::Band& band : noise) band.density *= power_gain(centre_hz(band));
  ResidualAccount account = residual_account(noise, recorded);
  for (Surplus& surplus : account.surplus) {
    surplus.power /= power_gain(std::sqrt(surplus.from_hz * surplus.to_hz));
  }
  return account;
}

}  // namespace

ResidualAccount residual_account(std::span<const spectrum::Band> bands,
                                 const NoiseKnowledge& known) {
  if (!known.response.flat()) return as_recorded(bands, known);
  ResidualAccount account{fitted_noise(bands, known), {}};
  account.surplus = surplus_over(account.noise, bands);
  if (account.surplus.empty() || !known.dark.empty() || !(account.noise.white > 0.0)) {
    return account;
  }
  const NoiseModel rolled = with_rolled(account.noise, bands, known);
  return {rolled, surplus_over(rolled, bands)};
}

}  // namespace lampbeat::signal::left_over
