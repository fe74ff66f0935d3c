#include <algorithm>
#include <cmath>
#include <random>
#include <vector>

#include "arithmetic/phase.hpp"
#include "signal/cycle/converter_step.hpp"
#include "signal/cycle/folded_rhythm.hpp"
#include "signal/cycle/phase_table.hpp"
#include "signal/cycle/sample_index.hpp"
#include "signal/states/window_values.hpp"
#include "support/catch.hpp"
#include "support/draws.hpp"
#include "support/waveforms.hpp"

using namespace lampbeat;
using namespace lampbeat::signal;
using lampbeat::test::between;
using lampbeat::test::draws;
using lampbeat::test::logarithmic;

TEST_CASE("the widest gap between sampled phases is the one that sorting finds") {
  std::mt19937 random(3);
  for (int draw = 0; draw < draws(300); ++draw) {
    const double turns =
        draw % 3 == 0 ? std::round(between(random, 1, 40)) / 41.0 : between(random, 0.0, 3.0);
    const auto samples = static_cast<std::size_t>(logarithmic(random, 2.0, 3000.0));
    std::vector<double> phase;
    for (std::size_t i = 0; i < samples; ++i) {
      phase.push_back(arithmetic::begun_turn(turns * static_cast<double>(i)));
    }
    std::sort(phase.begin(), phase.end());
    double widest = 1.0 + phase.front() - phase.back();
    for (std::size_t i = 1; i < samples; ++i) widest = std::max(widest, phase[i] - phase[i - 1]);
    CAPTURE(turns, samples);
    CHECK(cycle::widest_phase_gap(turns, static_cast<double>(samples)) ==
          Approx(widest).margin(1e-9));
  }
}

TEST_CASE("a table holds every sample of the whole cycles once") {
  const auto w = waveforms::rectified(0.4);
  const auto x = waveforms::sampled(w, 120.03, 0.2, 20000.0, 1.0);
  const auto table = cycle::fold({x, {}, 1 / 20000.0}, {120.03, 0.7});
  REQUIRE(table);
  double count = 0.0;
  double value = 0.0;
  for (std::size_t s = 0; s < table->stretches; ++s) {
    for (std::size_t c = 0; c < table->cells; ++c) {
      count += table->count_in(s, c);
      value += table->value_in(s, c);
    }
  }
  CHECK(count == table->samples);
  CHECK(count == std::ceil(120.0 / 120.03 * 20000.0));
  CHECK(value == Approx(0.0).margin(1e-6));
}

TEST_CASE("a fold finds the frequency that it was not given, to its own uncertainty") {
  std::mt19937 random(5);
  std::normal_distribution<double> noise(0.0, 0.003);
  for (int draw = 0; draw < draws(60); ++draw) {
    const double hz = between(random, 80.0, 400.0);
    // Nine tenths of steady light beside the ripple at most.
    auto x = waveforms::sampled(waveforms::rectified(between(random, 0.0, 0.9)), hz,
                                between(random, 0.0, 1.0), 20000.0, 1.0);
    for (double& v : x) v += noise(random);
    const double given_hz = hz + between(random, -0.05, 0.05);
    const auto folded = cycle::folded_rhythm({x, {}, 1 / 20000.0}, {given_hz, 0.3});
    REQUIRE(folded);
    CAPTURE(hz, given_hz);
    // Of sixteen stretches' scatter (Student's t of 14): once in 7000.
    CHECK(std::abs(folded->hz - hz) < 5.2 * folded->hz_sd);
    CHECK(folded->hz_sd < 2e-3);
  }
}

TEST_CASE("a converter's step is found in its codes and in nothing else") {
  std::mt19937 random(7);
  std::normal_distribution<double> noise(0.0, 1.0);
  std::vector<double> analogue, codes;
  for (int i = 0; i < 2000; ++i) {
    analogue.push_back(noise(random));
    codes.push_back(0.25 * std::round(4.0 * noise(random)));
  }
  CHECK(cycle::converter_step(analogue) == 0.0);
  CHECK(cycle::converter_step(codes) == Approx(0.25));
  // On and off without noise is a switched light; a hundred codes and one more, a converter's.
  CHECK(cycle::converter_step(std::vector<double>{0.0, 1.0, 1.0, 0.0}) == 0.0);
  CHECK(cycle::converter_step(std::vector<double>{100.0, 101.0, 101.0, 100.0}) == Approx(1.0));
  // A level anywhere within a step: step/√12; noise of a step dithers it away.
  CHECK(cycle::rounding_left(0.25, 0.0) == Approx(0.25 / std::sqrt(12.0)));
  CHECK(cycle::rounding_left(0.25, 0.3) < 1e-6);
}

TEST_CASE("the flicker index of samples leaves out what their noise adds") {
  std::mt19937 random(9);
  std::normal_distribution<double> noise(0.0, 0.02);
  std::vector<double> x;
  for (int i = 0; i < 50000; ++i) {
    x.push_back(1.0 + 0.1 * std::sin(0.03 * i) + 0.05 * std::sin(0.1234567 * i) + noise(random));
  }
  std::vector<double> clean;
  for (int i = 0; i < 50000; ++i) {
    clean.push_back(1.0 + 0.1 * std::sin(0.03 * i) + 0.05 * std::sin(0.1234567 * i));
  }
  const auto without = cycle::sample_index(clean, 0.0);
  const auto with = cycle::sample_index(x, 0.02);
  CHECK(with.value == Approx(without.value).margin(3.0 * std::hypot(with.sd, 1e-4)));
}

TEST_CASE("windows average their noise, not what they share") {
  states::WindowValues windows;
  std::mt19937 random(11);
  std::normal_distribution<double> noise(0.0, 0.3);
  for (int i = 0; i < 100; ++i) windows.add(20.0 + noise(random), std::hypot(0.3, 0.4), 0.4);
  const states::Uncertain figure = windows.figure();
  CHECK(figure.value == Approx(20.0).margin(0.15));
  CHECK(figure.sd == Approx(std::hypot(0.4, 0.3 / 10.0 * 1.25)).epsilon(0.1));
  // One that stands out by more than noise explains is the figure, known as well as a window is.
  windows.add(25.0, 0.5, 0.4);
  CHECK(windows.figure().value == 25.0);
  CHECK(windows.figure().sd == Approx(0.5).epsilon(0.02));
}
