#include "signal/cycle/cells_round.hpp"

#include <algorithm>
#include <cmath>
#include <random>

#include "support/catch.hpp"
#include "support/draws.hpp"
#include "support/signals.hpp"

using namespace lampbeat;
using signal::cycle::bridge;
using signal::cycle::edges_of;

TEST_CASE("empty cells lie straight between their neighbours, also past the cycle's end") {
  std::vector<double> cell = {5.0, 0.0, 0.0, 2.0, 3.0, 0.0};
  bridge(cell, {1, 0, 0, 1, 4, 0});
  const std::vector<double> expected = {5, 4, 3, 2, 3, 4};
  for (std::size_t k = 0; k < cell.size(); ++k) CHECK(cell[k] == Approx(expected[k]));
  std::vector<double> one = {0.0, 0.0, 7.0};
  bridge(one, {0, 0, 1});
  CHECK(one == std::vector<double>{7, 7, 7});
  std::vector<double> none = {1.0, 2.0};
  bridge(none, {0, 0});
  CHECK(none == std::vector<double>{1, 2});
}

TEST_CASE("a pulse's two edges are found wherever they fall, a sine has none") {
  test::Random random(5);
  for (int draw = 0; draw < test::draws(400); ++draw) {
    const std::size_t n = std::size_t{32} << static_cast<unsigned>(draw % 3);
    const double depth = test::logarithmic(random, 0.01, 1.0);
    std::normal_distribution<double> noise(0.0, depth * test::logarithmic(random, 1e-4, 0.02));
    const auto on = static_cast<std::size_t>(test::between(random, 4, static_cast<double>(n) - 4));
    const double start = test::between(random, 0.0, 1.0);
    std::vector<double> pulse(n), sine(n);
    for (std::size_t k = 0; k < n; ++k) {
      pulse[k] = (k < on ? depth : 0.0) + noise(random);
      const double turns = static_cast<double>(k) / static_cast<double>(n) + start;
      sine[k] = depth / 2.0 * std::cos(signals::two_pi * turns) + noise(random);
    }
    CAPTURE(draw, n, on);
    const std::vector<bool> edge = edges_of(pulse);
    for (const std::size_t k : {std::size_t{0}, n - 1, on - 1, on}) CHECK(edge[k]);
    const std::size_t middle = on / 2;
    CHECK_FALSE((on > 8 && edge[middle]));
    const std::vector<bool> smooth = edges_of(sine);
    CHECK(std::count(smooth.begin(), smooth.end(), true) == 0);
  }
}
