#include <cmath>
#include <complex>
#include <numbers>
#include <random>

#include "lampbeat/exposure.hpp"
#include "reasoning/predict_lights.hpp"
#include "support/brute_force.hpp"
#include "support/catch.hpp"

using namespace lampbeat;
using namespace predict_lights;

TEST_CASE("a row collects what integrating the light over its exposure gives") {
  std::mt19937 random(1);
  for (int i = 0; i < 200; ++i) {
    const Light light = series(random, between(random, 40.0, 2000.0), 1 + i % 6);
    const double exposure_s = logarithmic(random, 1e-4, 0.04);
    const double start_s = between(random, -1.0, 100.0);
    const double integrated = brute_force::mean_light(as_function(light), start_s, exposure_s,
                                                      pieces_for(light, exposure_s));
    CHECK(row_exposure(light, start_s, exposure_s) == Approx(integrated).margin(1e-9));
  }
}

TEST_CASE("an exposure of whole cycles leaves nothing at all") {
  for (int cycles = 1; cycles <= 40; ++cycles) {
    CHECK(std::abs(exposure_gain(100.0, cycles / 100.0)) < 1e-14);
    CHECK(sinc(cycles) == 0.0);
  }
  CHECK(sinc(0.0) == 1.0);
  CHECK(sinc(0.5) == Approx(2.0 / std::numbers::pi));
  CHECK(sinc(1.5) == Approx(-2.0 / (3.0 * std::numbers::pi)));
}

TEST_CASE("near whole cycles the remainder is the relative error of the exposure") {
  // From expanding sin(πj(1+δ))/(πj(1+δ)); values computed with 60-digit arithmetic elsewhere.
  CHECK(std::abs(sinc(1.0 * 1.0004)) == Approx(0.0003998).epsilon(1e-3));
  CHECK(std::abs(sinc(1.0 * 1.001)) == Approx(0.000999).epsilon(1e-3));
  CHECK(std::abs(sinc(1.0 * 1.01)) == Approx(0.009899).epsilon(1e-4));
  CHECK(std::abs(sinc(4.0 * 1.01)) == Approx(0.009875).epsilon(1e-4));
  CHECK(std::abs(sinc(1.0 * 1.04)) == Approx(0.03836).epsilon(1e-3));
  CHECK(std::abs(sinc(1.0 * 0.94)) == Approx(0.06345).epsilon(1e-3));
}

TEST_CASE("the mean of a frame's rows carries the gain of its readout") {
  std::mt19937 random(2);
  for (int i = 0; i < 200; ++i) {
    const double hz = between(random, 20.0, 30000.0);
    const double readout_s = between(random, 0.0, 0.04);
    const int rows = 1 + static_cast<int>(between(random, 0.0, 300.0));
    std::complex<double> sum = 0.0;
    for (int r = 0; r < rows; ++r) {
      sum += std::polar(1.0, 2.0 * std::numbers::pi * hz * readout_s * r / rows);
    }
    const std::complex<double> gain = frame_mean_gain(hz, readout_s, rows);
    CHECK(std::abs(gain - sum / double(rows)) < 1e-9);
  }
  CHECK(frame_mean_gain(100.0, 0.0, 1080) == 1.0);
  // One whole cycle from row to row: all rows alike.
  CHECK(std::abs(frame_mean_gain(1000.0, 0.1, 100)) == Approx(1.0));
}
