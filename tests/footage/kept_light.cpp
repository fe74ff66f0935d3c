#include "footage/rows/kept_light.hpp"

#include <cmath>
#include <limits>

#include "footage/rows/cells.hpp"
#include "support/catch.hpp"
#include "support/draws.hpp"

using lampbeat::footage::rows::Cells;
using lampbeat::footage::rows::KeptLight;
using lampbeat::test::draws;
using lampbeat::test::logarithmic;

namespace {

constexpr double dark = 1e-3;  // of white; darker light is kept to a share of this

double kept(double light) {
  return static_cast<double>(KeptLight(static_cast<float>(light)).light());
}

Cells stretch_of(std::size_t rows, std::size_t strips, std::size_t frames) {
  Cells cells;
  cells.rows = rows;
  cells.strips = strips;
  for (std::size_t n = 0; n < frames; ++n) {
    std::vector<float> frame;
    for (std::size_t i = 0; i < rows * strips; ++i) {
      frame.push_back(0.001F * static_cast<float>(1 + n * rows * strips + i));
    }
    cells.add_frame(frame);
  }
  return cells;
}

}  // namespace

TEST_CASE("light is kept to one part in 8000, its errors even out") {
  lampbeat::test::Random random(11);
  double sum = 0.0;
  double squares = 0.0;
  const int trials = draws(200000);
  for (int i = 0; i < trials; ++i) {
    const double light = logarithmic(random, 1e-5, 1.9);
    const double off = (kept(light) - light) / std::max(light, dark);
    REQUIRE(std::abs(off) < 1.0 / 7000.0);
    sum += off;
    squares += off * off;
  }
  const double sd = std::sqrt(squares / trials);
  CHECK(sd < 6.5e-5);
  CHECK(std::abs(sum / trials) < 5.0 * sd / std::sqrt(trials));
}

TEST_CASE("what is kept keeps its order, and noise about black its sign") {
  double before = -1.0;
  for (double light = -5e-5; light < 1.9; light += std::max(2e-6, 3e-4 * light)) {
    const double now = kept(light);
    REQUIRE(now > before);
    before = now;
  }
  CHECK(kept(-3e-5) == Approx(-3e-5).margin(1e-7));
  CHECK(kept(0.0) == 0.0);
  CHECK(kept(100.0) == Approx(2.0).epsilon(1e-3));
  CHECK(std::isnan(kept(std::numeric_limits<double>::quiet_NaN())));
}

TEST_CASE("cells of some strips, gaps and frames taken out of a stretch are those of the whole") {
  Cells cells = stretch_of(5, 4, 7);
  const Cells right = cells.part(2, 4);
  CHECK(right.frame_size() == 10);
  const Cells last = right.part(1, 2);
  for (std::size_t n = 0; n < cells.frames(); ++n) {
    for (std::size_t r = 0; r < cells.rows; ++r) {
      CHECK(right.at(n, r, 0) == cells.at(n, r, 2));
      CHECK(right.at(n, r, 1) == cells.at(n, r, 3));
      CHECK(last.at(n, r, 0) == cells.at(n, r, 3));
    }
  }
  Cells spaced = cells.empty_like();
  spaced.add_frame_of(cells, 3);
  spaced.add_gap();
  CHECK(spaced.frames() == 2);
  CHECK(spaced.at(0, 4, 1) == cells.at(3, 4, 1));
  CHECK(std::isnan(spaced.at(1, 4, 1)));
  const float fourth = cells.at(4, 0, 0);
  const Cells first = cells.take(4);
  CHECK(first.frames() == 4);
  CHECK(cells.frames() == 3);
  CHECK(cells.at(0, 0, 0) == fourth);
}
