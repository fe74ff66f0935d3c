#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>
#include <vector>

#include "lampbeat/standards.hpp"
#include "support/catch.hpp"

// JA10.6 on records too long for the whole transform to be worth its while: checked against the
// definition, summed line by line.

using namespace lampbeat;

TEST_CASE("a long record has the extremes of the definition, whatever the factors of its length") {
  constexpr std::size_t n = 44101;  // a prime
  constexpr double rate_hz = 48000;
  std::mt19937 random(5);
  std::normal_distribution<double> noise(0.0, 0.02);
  std::vector<double> x(n);
  for (std::size_t i = 0; i < n; ++i) {
    const double t = static_cast<double>(i) / rate_hz;
    const double lamp = std::abs(std::sin(2.0 * std::numbers::pi * 50.0 * t));
    const double chopped = std::fmod(t * 3000.0, 1.0) < 0.4 ? 1.0 : 0.0;
    x[i] = 1.0 + 0.6 * lamp + 0.5 * chopped + noise(random);
  }
  std::vector<double> cosine(n), sine(n);
  for (std::size_t i = 0; i < n; ++i) {
    const double angle = 2.0 * std::numbers::pi * static_cast<double>(i) / n;
    cosine[i] = std::cos(angle);
    sine[i] = std::sin(angle);
  }
  const auto extremes = ja10_extremes({x, {}, 1.0 / rate_hz}, {});
  std::vector<double> filtered(n, 0.0);
  std::size_t line = 0;
  for (const Ja10CutOff c : ja10_cut_offs) {
    for (; static_cast<double>(line) * rate_hz / n <= cut_off_hz(c); ++line) {
      double a = 0.0, b = 0.0;
      std::size_t at = 0;
      for (std::size_t i = 0; i < n; ++i) {
        a += x[i] * cosine[at];
        b += x[i] * sine[at];
        at = at + line < n ? at + line : at + line - n;
      }
      const double scale = (line == 0 ? 1.0 : 2.0) / n;
      at = 0;
      for (std::size_t i = 0; i < n; ++i) {
        filtered[i] += scale * (a * cosine[at] + b * sine[at]);
        at = at + line < n ? at + line : at + line - n;
      }
    }
    double high = filtered[0], low = filtered[0];
    for (const double y : filtered) {
      high = std::max(high, y);
      low = std::min(low, y);
    }
    INFO(cut_off_hz(c) << " Hz");
    REQUIRE(extremes[c]);
    CHECK(extremes[c]->highest == Approx(high).margin(2e-4 * (high + low)));
    CHECK(extremes[c]->lowest == Approx(low).margin(2e-4 * (high + low)));
  }
}
