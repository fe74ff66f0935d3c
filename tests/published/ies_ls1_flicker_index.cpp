#include <cmath>
#include <numbers>

#include "lampbeat/cycle.hpp"
#include "support/catch.hpp"
#include "support/waveforms.hpp"

// ANSI/IES LS-1, 5.9.9.4: flicker index is the area of one cycle above the mean over the total
// area. CIE e-ILV, "amplitude of fluctuation of the luminous flux": 100 (max − min)/(max + min),
// and in its note 2 the flicker index. The figures below are the definitions worked out in closed
// form (the phase cuts by numerical integration), to nine digits, independently of the code in
// waveforms.hpp.

namespace {

struct Row {
  waveforms::Waveform waveform;
  double percent_flicker;
  double flicker_index;
};

}  // namespace

TEST_CASE("the definitions worked out by hand agree with the measured cycle") {
  using namespace waveforms;
  const Row rows[] = {
      {sine(1), 100, 0.318309886},
      {sine(0.3), 30, 0.095492966},
      {sine(0.05), 5, 0.015915494},
      {rectangle(0.5, 0), 100, 0.5},
      {rectangle(0.25, 0), 100, 0.75},
      {rectangle(0.1, 0), 100, 0.9},
      {rectangle(0.9, 0), 100, 0.1},
      {rectangle(0.5, 0.5), 33.3333333, 0.166666667},
      {rectangle(0.25, 0.5), 33.3333333, 0.15},
      {rectangle(0.1, 0.2), 66.6666667, 0.257142857},
      {rectified(0), 100, 0.210513662},
      {half_wave(), 100, 0.551101966},
      {rectified(0.2), 66.6666667, 0.151155167},
      {rectified(0.5), 33.3333333, 0.081886558},
      {rectified(0.8), 11.1111111, 0.028904065},
      {phase_cut(45, 0.338829286), 100, 0.338829286},
      {phase_cut(90, 0.551101966), 100, 0.551101966},
      {phase_cut(135, 0.764848920), 100, 0.764848920},
      {triangle(1), 100, 0.25},
      {triangle(0.3), 30, 0.075},
      {sawtooth(1), 100, 0.25},
      {decay(0.1), 4.9958375, 0.012498264},
      {decay(0.5), 24.4918662, 0.062284185},
      {decay(1), 46.2117157, 0.123301561},
      {decay(2), 76.1594156, 0.237237324},
      {decay(3), 90.5148254, 0.335835207},
      {decay(5), 98.6614298, 0.483543923},
      {decay(10), 99.9909204, 0.669782353},
  };
  for (const Row& row : rows) {
    INFO(row.waveform.name);
    CHECK(row.waveform.percent_flicker == Approx(row.percent_flicker).margin(5.1e-8));
    CHECK(row.waveform.flicker_index == Approx(row.flicker_index).margin(5.1e-10));
    const auto x = sampled(row.waveform, 120.03, 0.123, 20000, 3.0);
    const auto f = lampbeat::cycle_figures({x, {}, 5e-5}, {{120.03, 2 * pi * 0.123}});
    REQUIRE(f);
    // 0.15: samples fall up to 1/1500 of a cycle beside the jump of the full sawtooth.
    CHECK(f->percent_flicker == Approx(row.percent_flicker).margin(0.15));
    CHECK(f->flicker_index == Approx(row.flicker_index).margin(0.002));
  }
}

TEST_CASE("a wrong dark level scales the flicker index by 1/(1 + error)") {
  // Follows from the definition: the area above the mean stays, the total area grows.
  auto x = waveforms::sampled(waveforms::rectified(0), 120.03, 0, 20000, 1.0);
  const auto right = lampbeat::cycle_figures({x, {}, 5e-5}, {{120.03, 0}});
  REQUIRE(right);
  const double error = 0.1;
  for (double& v : x) v += error * right->mean;
  const auto wrong = lampbeat::cycle_figures({x, {}, 5e-5}, {{120.03, 0}});
  REQUIRE(wrong);
  CHECK(wrong->flicker_index == Approx(right->flicker_index / (1 + error)).epsilon(1e-6));
}
