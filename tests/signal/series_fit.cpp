#include <Eigen/Core>
#include <random>

#include "arithmetic/unit_circle.hpp"
#include "signal/lines/line_fit.hpp"
#include "signal/lines/normal_equations.hpp"
#include "signal/lines/tied_waves.hpp"
#include "signal/lines/waves.hpp"
#include "signal/lines/window_sums.hpp"
#include "signal/lines/window_transform.hpp"
#include "support/catch.hpp"
#include "support/signals.hpp"

using namespace lampbeat;
using namespace lampbeat::signal::lines;

TEST_CASE("closed-form window sums equal the plain sums, also where they fold") {
  for (const std::size_t n : {16u, 17u, 100u, 1001u}) {
    const double half = static_cast<double>(n) / 2.0;
    for (const double v : {0.0, 1e-4, 0.02, 0.09, 0.11, 1.0, 3.3, 40.0, 4.0 * half, 6.3 * half,
                           -2.0 * std::numbers::pi * half + 0.003, 2.0 * std::numbers::pi * half}) {
      WindowSums plain;
      for (std::size_t i = 0; i < n; ++i) {
        const double u = (static_cast<double>(i) - static_cast<double>(n - 1) / 2.0) / half;
        plain.cosine += std::cos(v * u);
        plain.clock_sine += u * std::sin(v * u);
        plain.clock2_cosine += u * u * std::cos(v * u);
      }
      const WindowSums fast = window_sums(n, v);
      INFO(n << " samples, v " << v);
      const double margin = 1e-8 * static_cast<double>(n);
      CHECK(fast.cosine == Approx(plain.cosine).margin(margin));
      CHECK(fast.clock_sine == Approx(plain.clock_sine).margin(margin));
      CHECK(fast.clock2_cosine == Approx(plain.clock2_cosine).margin(margin));
    }
  }
}

TEST_CASE("the table of the unit circle is as exact as the library's functions") {
  for (double angle = -5000.0; angle < 5000.0; angle += 0.7137) {
    const arithmetic::CirclePoint point = arithmetic::unit_circle(angle);
    CHECK(std::abs(point.cosine - std::cos(angle)) < 3e-12);
    CHECK(std::abs(point.sine - std::sin(angle)) < 3e-12);
  }
}

TEST_CASE("closed-form normal equations equal those summed row by row") {
  for (const double samples : {777.0, 1024.0}) {
    signals::Samples s = signals::even_times(1000.0, samples / 1000.0);
    signals::fill(s, signals::sum_of(1.0, {{100.1, 0.3, 0.2}, {200.2, 0.1, 1.0}}));
    signals::add_noise(s, 0.1, 6);
    LineModel model;
    model.fundamental_hz = {100.1, 37.3};
    // In the open, folded, and a sideband that hangs on both fundamentals.
    model.lines = {{0, 1}, {0, 2}, {0, 7}, {1, 1}, {0, 1, Tie{1, -1}}, {0, 2, Tie{1, 2}}};
    LineAmplitudes about{
        1.0, 0.1, {0.3, 0.1, 0.05, 0.2, -0.1, 0.04}, {-0.2, 0.1, 0.3, 0.0, 0.2, 0.1}};
    const FitClock clock(s.window());
    const std::vector<double> rates = line_rates(model, clock);
    const NormalEquations fast = even_equations(s.value.size(), model, rates,
                                                WindowTransform(s.window()).project(rates), about);
    const NormalEquations plain = dense_equations(s.window(), model, rates, about);
    CHECK((fast.gram - plain.gram).cwiseAbs().maxCoeff() < 1e-8);
    CHECK((fast.projection - plain.projection).cwiseAbs().maxCoeff() < 1e-8);
  }
}

TEST_CASE("a window's transform between its bins is the plain sum") {
  for (const std::size_t n : {2u, 7u, 100u, 1001u, 4096u}) {
    signals::Samples s{std::vector<double>(n), {}, 1e-3};
    signals::fill(s, signals::sum_of(3.0, {{61.3, 0.5, 0.2}, {403.0, 0.1, 1.0}}));
    const double half = static_cast<double>(n) / 2.0;
    const std::vector<double> rates = {0.0, 0.37, 1.0, 20.3, 1.9 * half, 3.3 * half, -5.1};
    const Projections quick = WindowTransform(s.window()).project(rates);
    for (std::size_t k = 0; k < rates.size(); ++k) {
      std::complex<double> plain = 0.0, clocked = 0.0;
      for (std::size_t i = 0; i < n; ++i) {
        const double u = (static_cast<double>(i) - static_cast<double>(n - 1) / 2.0) / half;
        plain += s.value[i] * std::polar(1.0, -rates[k] * u);
        clocked += s.value[i] * u * std::polar(1.0, -rates[k] * u);
      }
      INFO(n << " samples, rate " << rates[k]);
      CHECK(std::abs(quick.plain[k] - plain) < 1e-10 * static_cast<double>(n));
      CHECK(std::abs(quick.clocked[k] - clocked) < 1e-9 * static_cast<double>(n));
    }
  }
}

TEST_CASE("multiples looked up are the waves summed, sidebands and lone tones too") {
  LineModel model;
  model.fundamental_hz = {100.03, 481.3, 37.7};
  LineAmplitudes at = no_amplitudes(0);
  for (int k = 1; k <= 40; ++k) model.lines.push_back({0, k});
  for (int k = 1; k <= 9; k += 2) model.lines.push_back({1, k});
  model.lines.push_back({2, 1});
  model.lines.push_back({0, 2, Tie{1, -1}});
  for (std::size_t i = 0; i < model.lines.size(); ++i) {
    at.cosine.push_back(0.3 / (1.0 + static_cast<double>(i)));
    at.sine.push_back(-0.2 / (1.0 + static_cast<double>(i * i)));
  }
  at.level = 1.7;
  at.slope = 0.1;
  const signals::Samples s{std::vector<double>(12345), {}, 1.0 / 20000.0};
  const std::vector<double> rates = line_rates(model, FitClock(s.window()));
  const std::vector<double> plain =
      waves(s.value.size(), rates, at.level, at.slope, at.cosine, at.sine);
  const std::vector<double> quick = tied_waves(s.value.size(), model, rates, at);
  double furthest = 0.0;
  for (std::size_t i = 0; i < plain.size(); ++i) {
    furthest = std::max(furthest, std::abs(plain[i] - quick[i]));
  }
  CHECK(furthest < 3e-6);
}

TEST_CASE("a noiseless series is recovered exactly from a start a fifth of a bin away") {
  signals::Samples s = signals::even_times(4000.0, 1.0);
  signals::fill(s, signals::sum_of(2.0, {{120.03, 0.2, 0.5}, {240.06, 0.06, -1.0}}));
  LineModel model;
  model.fundamental_hz = {120.23};
  model.lines = {{0, 1}, {0, 2}};
  const LineFit fit = fit_lines(s.window(), model, 10);
  CHECK(fit.model.fundamental_hz[0] == Approx(120.03).epsilon(1e-11));
  CHECK(fit.lines[0].amplitude == Approx(0.2).epsilon(1e-9));
  CHECK(fit.lines[1].amplitude == Approx(0.06).epsilon(1e-9));
  CHECK(fit.lines[0].phase_rad == Approx(0.5).epsilon(1e-8));
  CHECK(fit.lines[1].phase_rad == Approx(-1.0).epsilon(1e-8));
  CHECK(fit.level == Approx(2.0).epsilon(1e-11));
  CHECK(fit.noise_sd < 1e-9);
}

TEST_CASE("even and row-by-row fits agree to rounding, uncertainties included") {
  signals::Samples s = signals::even_times(3000.0, 1.0);
  signals::fill(s,
                signals::sum_of(1.0, {{99.97, 0.2, 0.5}, {199.94, 0.05, -1.0}, {7.3, 0.1, 2.0}}));
  signals::add_noise(s, 0.02, 12);
  signals::Samples spelled = s;
  for (std::size_t i = 0; i < s.value.size(); ++i) spelled.time_s.push_back(s.time_at(i));
  LineModel model;
  model.fundamental_hz = {99.95, 7.4};
  model.lines = {{0, 1}, {0, 2}, {1, 1}};
  const LineFit a = fit_lines(s.window(), model, 12);
  const LineFit b = fit_lines(spelled.window(), model, 12);
  for (std::size_t i = 0; i < model.lines.size(); ++i) {
    CHECK(a.lines[i].hz == Approx(b.lines[i].hz).epsilon(1e-9));
    CHECK(a.lines[i].amplitude == Approx(b.lines[i].amplitude).epsilon(1e-7));
    CHECK(a.lines[i].hz_sd == Approx(b.lines[i].hz_sd).epsilon(1e-5));
    CHECK(a.lines[i].phase_sd_rad == Approx(b.lines[i].phase_sd_rad).epsilon(1e-5));
  }
  CHECK(a.noise_sd == Approx(b.noise_sd).epsilon(1e-8));
}
