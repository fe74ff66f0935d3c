#include "signal/measurement/coupled_cycle.hpp"

#include <cmath>
#include <random>

#include "support/catch.hpp"
#include "support/draws.hpp"
#include "support/metering.hpp"
#include "support/sound_card.hpp"

using namespace lampbeat;
using namespace lampbeat::test;
using signal::measurement::CoupledCycle;

TEST_CASE("a flat bottom and a flat top each tell the coupling that bent them") {
  std::mt19937 random(41);
  for (int i = 0; i < draws(60); ++i) {
    const double hz = logarithmic(random, 50.0, 400.0);
    const double duty = between(random, 0.2, 0.8);
    const double corner_hz = logarithmic(random, 0.5, 18.0);
    const double rate_hz = between(random, 16000.0, 48000.0);
    INFO(hz << " Hz, duty " << duty << ", corner " << corner_hz << ", " << rate_hz << " Hz");
    const signals::Samples light =
        metering::recording(rate_hz, 3.0, signals::pulses(hz, duty), 0.001, 9);
    const signals::Samples recorded = without_mean(light, corner_hz, Lit::long_since);
    const CoupledCycle cycle(recorded.window(), {{hz, 0.0}});
    // An edge that falls between two samples is known to one of them, of the flat part's.
    const double off_hz = 0.1 + 0.1 * corner_hz;
    CHECK(cycle.corner_of_least_below_hz() == Approx(corner_hz).margin(off_hz));
    CHECK(cycle.corner_of_least_above_hz() == Approx(corner_hz).margin(off_hz));
  }
}

TEST_CASE("a light recorded with all of its level asks for no coupling to be undone") {
  const signals::Samples light =
      metering::recording(20000.0, 1.0, signals::pulses(90.0, 0.3), 0.001, 9);
  const CoupledCycle cycle(light.window(), {{90.0, 0.0}});
  CHECK(cycle.corner_of_least_below_hz() < 0.1);
  CHECK(cycle.corner_of_least_above_hz() < 0.1);
}
