#include <cmath>

#include "support/catch.hpp"
#include "support/metering.hpp"

using namespace lampbeat;
using namespace metering;

namespace {

const std::vector<signals::Wave> light = {{120.03, 0.2, 0.3}, {240.06, 0.06, 1}, {360.09, 0.02, 2}};

/// Cramér-Rao bound of a harmonic series' fundamental with unknown amplitudes and phases in white
/// noise: var f = 24 σ² rate² / (4π² N (N² − 1) Σ k² A²) (Nehorai & Porat, IEEE Trans. ASSP 34(5),
/// 1986; from memory, agrees with the Fisher matrix).
double bound_hz(double noise, double rate_hz, double seconds) {
  const double n = rate_hz * seconds;
  double information = 0;
  for (std::size_t k = 0; k < light.size(); ++k) {
    information += std::pow((static_cast<double>(k) + 1) * light[k].amplitude, 2);
  }
  return std::sqrt(24 * noise * noise / (n * (n * n - 1) * information)) * rate_hz /
         signals::two_pi;
}

struct Trials {
  double rms_hz = 0;
  double stated_hz = 0;
};

Trials try_often(int trials, double noise, double seconds) {
  double squares = 0;
  double stated = 0;
  const signals::Samples clean = recording(20000, seconds, signals::sum_of(1, light));
  for (int i = 0; i < trials; ++i) {
    signals::Samples noisy = clean;
    signals::add_noise(noisy, noise, static_cast<unsigned>(1000 + i));
    const Measurement m = measured(noisy);
    REQUIRE(m.dominant_hz);
    squares += std::pow(*m.dominant_hz - 120.03, 2);
    stated += std::pow(*m.dominant_hz_sd, 2);
  }
  return {std::sqrt(squares / trials), std::sqrt(stated / trials)};
}

}  // namespace

TEST_CASE("The frequency over one second and over three reaches the Cramér-Rao bound") {
  for (const double seconds : {1.0, 3.0}) {
    for (const double decibels : {0.0, 10.0, 20.0, 40.0}) {
      if (seconds > 2 && decibels > 20) continue;  // the suite has to stay quick
      CAPTURE(seconds, decibels);
      const double noise = 0.2 / std::pow(10, decibels / 20);
      const Trials found = try_often(100, noise, seconds);
      CHECK(found.rms_hz <= (seconds < 2 ? 1.1 : 1.15) * bound_hz(noise, 20000, seconds));
      CHECK(found.stated_hz >= 0.7 * found.rms_hz);
      CHECK(found.stated_hz <= 1.5 * found.rms_hz);
    }
  }
}
