#include "signal/clipping.hpp"

#include <algorithm>
#include <cmath>

#include "support/catch.hpp"
#include "support/metering.hpp"
#include "support/waveforms.hpp"

using namespace lampbeat;
using namespace metering;
using signals::Samples;

namespace {

Samples cut(double low, double high, double noise, double hz = 120.03) {
  Samples s = recording(20000, 3, signals::sum_of(2, {{hz, 1, 0.3}}), noise);
  for (double& x : s.value) x = std::clamp(x, low, high);
  return s;
}

void check_clipped(const Samples& s) {
  const Measurement m = measured(s);
  CHECK(warns(m, "clipped"));
  CHECK_FALSE(m.percent_flicker);
  CHECK_FALSE(m.flicker_index);
  CHECK_FALSE(m.svm);
  CHECK(m.dominant_hz);
}

/// Pulses through a first-order low-pass.
Samples soft_pulses(double tau_s, double low) {
  double y = low;
  return recording(20000, 3, [=](double t) mutable {
    const double target = low + (1 - low) * signals::pulses(100.03, 0.5)(t);
    return y += (target - y) * (1 - std::exp(-1 / 20000.0 / tau_s));
  });
}

}  // namespace

TEST_CASE("Crests cut off at an unknown rail are clipped, with noise or without") {
  for (const double noise : {0.0, 0.02}) {
    check_clipped(cut(0, 2.9, noise));
    check_clipped(cut(1.1, 9, noise));
    check_clipped(cut(1.2, 2.8, noise));
    check_clipped(cut(0, 2.9, noise, 100.0));  // whole samples a cycle
  }
}

TEST_CASE("A ten-bit converter driven past 1023 is clipped") {
  Samples s = recording(20000, 3, signals::sum_of(700, {{120.03, 400, 0.3}}), 2);
  for (double& x : s.value) x = std::clamp(std::round(x), 0.0, 1023.0);
  check_clipped(s);
}

TEST_CASE("At a recorder's known rails two neighbours are enough, and so is a constant") {
  const double step = 2.0 / 65536;
  const Rails rails{-1.0, 1.0 - step, step, 0.0};
  std::vector<double> x(100, 0.25);
  x[40] = x[41] = 1.0 - step;
  CHECK(find_clipping(x, rails).high == 2);
  x[41] = 0.25;
  CHECK(find_clipping(x, rails).high == 0);
  x[10] = x[11] = x[12] = -1.0;
  CHECK(find_clipping(x, rails).low == 3);
  CHECK(find_clipping(std::vector<double>(100, 1.0 - step), rails).high == 100);
}

TEST_CASE("No waveform is taken for a clipped one, quantised or not") {
  for (const waveforms::Waveform& w : waveforms::all()) {
    CAPTURE(w.name);
    const std::vector<double> x = waveforms::sampled(w, 120.03, 0.17, 20000, 1);
    CHECK(find_clipping(x, {}).high == 0);
    CHECK(find_clipping(x, {}).low == 0);
    for (const int bits : {8, 10, 12}) {
      CAPTURE(bits);
      Samples s;
      s.value = x;
      signals::quantise(s, 2.2, bits);
      const Rails rails{{}, {}, 2.2 / std::pow(2, bits), 0.0};
      CHECK(find_clipping(s.value, rails).high == 0);
      CHECK(find_clipping(s.value, rails).low == 0);
    }
  }
}

TEST_CASE("Pulses with slow edges settle at their top; that is no clipping") {
  for (const double tau_s : {5e-6, 2e-5, 1e-4, 3e-4}) {
    for (const double low : {0.0, 0.3}) {
      CAPTURE(tau_s, low);
      Samples s = soft_pulses(tau_s, low);
      CHECK_FALSE(warns(measured(s), "clipped"));
      signals::quantise(s, 1.1, 10);
      CHECK_FALSE(warns(measured(s), "clipped"));
    }
  }
}

TEST_CASE("A steady light that flickers between a few codes is not clipped") {
  for (const double noise : {0.2, 0.4, 1.0}) {
    Samples s = recording(
        20000, 2, [](double) { return 100.0; }, noise);
    for (double& x : s.value) x = std::floor(x + 0.9);
    CHECK_FALSE(warns(measured(s), "clipped"));
  }
}
