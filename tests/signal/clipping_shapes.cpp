#include "signal/windows/clipping.hpp"

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

signal::windows::Clipping clipping_of(const std::vector<double>& raw,
                                      const signal::windows::Rails& rails) {
  return signal::windows::find_clipping(raw, signal::windows::survey_of(raw), rails);
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
  const signal::windows::Rails rails{-1.0, 1.0 - step, step, 0.0};
  std::vector<double> x(100, 0.25);
  x[40] = x[41] = 1.0 - step;
  CHECK(clipping_of(x, rails).high == 2);
  x[41] = 0.25;
  CHECK(clipping_of(x, rails).high == 0);
  x[10] = x[11] = x[12] = -1.0;
  CHECK(clipping_of(x, rails).low == 3);
  CHECK(clipping_of(std::vector<double>(100, 1.0 - step), rails).high == 100);
}

TEST_CASE("No waveform is taken for a clipped one, quantised or not") {
  for (const waveforms::Waveform& w : waveforms::all()) {
    CAPTURE(w.name);
    const std::vector<double> x = waveforms::sampled(w, 120.03, 0.17, 20000, 1);
    CHECK(clipping_of(x, {}).high == 0);
    CHECK(clipping_of(x, {}).low == 0);
    for (const int bits : {8, 10, 12}) {
      CAPTURE(bits);
      Samples s;
      s.value = x;
      signals::quantise(s, 2.2, bits);
      const signal::windows::Rails rails{{}, {}, 2.2 / std::pow(2, bits), 0.0};
      CHECK(clipping_of(s.value, rails).high == 0);
      CHECK(clipping_of(s.value, rails).low == 0);
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

TEST_CASE("A float recording flat at its own ceiling over much of the cycle is clipped") {
  // 29.8 % of light would read 18.8 % with the upper half of its cycle cut off.
  for (const double noise : {0.0, 0.0005, 0.003, 0.02}) {
    CAPTURE(noise);
    for (const double ceiling : {0.9, 1.027, 1.2}) {
      CAPTURE(ceiling);
      Samples s = recording(20000, 2, signals::sum_of(1, {{100.0, 0.298, 0.3}}), noise);
      Samples floor = s;
      for (double& x : s.value) x = std::min(x, ceiling) * 0.83 / ceiling;
      check_clipped(s);
      for (double& x : floor.value) x = std::max(x, 2.0 - ceiling);
      check_clipped(floor);
    }
  }
}

TEST_CASE("A ceiling before a recorder with a little noise of its own is seen by the calm on it") {
  Samples s = recording(20000, 2, signals::sum_of(1, {{120.02, 0.3, 0.3}}), 0.004);
  Samples own = recording(20000, 2, signals::sum_of(0, {}), 0.0002);
  for (std::size_t i = 0; i < s.value.size(); ++i) {
    s.value[i] = std::min(s.value[i], 1.1) + own.value[i];
  }
  check_clipped(s);
}

TEST_CASE("Light that is flat at its top is not clipped, whatever its noise") {
  unsigned draw = 0;
  for (const double noise : {0.0005, 0.002, 0.01, 0.03}) {
    for (const double duty : {0.05, 0.3, 0.5, 0.8, 0.95}) {
      for (const double hz : {100.0, 120.03, 481.3}) {
        CAPTURE(noise, duty, hz);
        Samples s = recording(
            20000, 1, [=](double t) { return 0.2 + 0.8 * signals::pulses(hz, duty)(t); }, noise,
            ++draw);
        CHECK_FALSE(warns(measured(s), "clipped"));
        Samples dips = recording(
            20000, 1,
            [=](double t) { return std::min(1.1, 1 + 0.3 * std::cos(signals::two_pi * hz * t)); },
            noise, ++draw);
        CHECK_FALSE(warns(measured(dips), "clipped"));
      }
    }
  }
}

TEST_CASE("A noiseless crest met at the same readings in every cycle is not clipped") {
  // As a float recording holds it: symmetric samples of a crest round to one reading.
  for (const double hz : {20000.0, 19200.0, 12000.0, 8000.0, 4000.0, 1000.0}) {
    Samples s = recording(192000, 1, signals::sum_of(1, {{hz, 0.45, 0.0}}), 0.0);
    for (double& x : s.value) x = static_cast<float>(x);
    INFO(hz);
    CHECK_FALSE(warns(measured(s), "clipped"));
  }
}
