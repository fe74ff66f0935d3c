// What is read of a window in one pass, several samples at once, is what plain loops read.

#include <algorithm>
#include <cmath>
#include <complex>
#include <limits>
#include <numeric>

#include "arithmetic/lanes.hpp"
#include "signal/spectrum/band_powers.hpp"
#include "signal/spectrum/fft.hpp"
#include "signal/standards/circle_extremes.hpp"
#include "signal/windows/survey.hpp"
#include "support/catch.hpp"
#include "support/draws.hpp"
#include "support/signals.hpp"

using namespace lampbeat;
using test::between;
using test::draws;
using test::Random;

namespace {

/// Some values twice in a row, as a converter's readings are.
std::vector<double> readings(Random& random, std::size_t count) {
  std::vector<double> value;
  while (value.size() < count) {
    value.push_back(std::round(between(random, -9, 9)) / 8);
    if (test::often(random, 0.2)) value.push_back(value.back());
  }
  value.resize(count);
  return value;
}

double plain_smallest_step(const std::vector<double>& value) {
  double smallest = std::numeric_limits<double>::infinity();
  for (std::size_t i = 1; i < value.size(); ++i) {
    const double step = std::abs(value[i] - value[i - 1]);
    if (step > 0) smallest = std::min(smallest, step);
  }
  return smallest;
}

}  // namespace

TEST_CASE("A survey finds what plain loops find, in every stretch and in windows of any length") {
  Random random(11);
  for (std::size_t count = 1; count < 200; ++count) {
    const std::vector<double> value = readings(random, count);
    const signal::windows::Survey survey = signal::windows::survey_of(value);
    const auto [low, high] = std::minmax_element(value.begin(), value.end());
    CHECK(survey.lowest == *low);
    CHECK(survey.highest == *high);
    CHECK(survey.sum == std::accumulate(value.begin(), value.end(), 0.0));  // of eighths: exact
    CHECK(survey.smallest_step == plain_smallest_step(value));
    constexpr std::size_t stretch = signal::windows::Survey::stretch;
    REQUIRE(survey.range.size() == (count + stretch - 1) / stretch);
    for (std::size_t s = 0; s < survey.range.size(); ++s) {
      const auto from = value.begin() + static_cast<std::ptrdiff_t>(s * stretch);
      const auto to =
          value.begin() + static_cast<std::ptrdiff_t>(std::min((s + 1) * stretch, count));
      CHECK(survey.range[s].lowest == *std::min_element(from, to));
      CHECK(survey.range[s].highest == *std::max_element(from, to));
    }
  }
}

TEST_CASE("Sums, ranges and checks of many values at once leave none out") {
  Random random(12);
  for (std::size_t count = 1; count < 70; ++count) {
    std::vector<double> value = readings(random, count);
    const std::vector<double> other = readings(random, count);
    double sum = 0, products = 0;
    for (std::size_t i = 0; i < count; ++i) {
      sum += value[i];
      products += value[i] * other[i];
    }
    CHECK(arithmetic::sum_of(value) == sum);
    CHECK(arithmetic::sum_of_products(value, other) == products);
    const arithmetic::Range range = arithmetic::range_of(value);
    CHECK(range.lowest == *std::min_element(value.begin(), value.end()));
    CHECK(range.highest == *std::max_element(value.begin(), value.end()));
    CHECK_FALSE(arithmetic::any_outside(value, range.lowest, range.highest));
    CHECK(arithmetic::all_finite(value));
    const auto at = static_cast<std::size_t>(between(random, 0, static_cast<double>(count)));
    for (const double odd : {std::nan(""), -std::numeric_limits<double>::infinity()}) {
      value[at] = odd;
      CHECK_FALSE(arithmetic::all_finite(value));
    }
    value[at] = range.highest + 1;
    CHECK(arithmetic::any_outside(value, range.lowest, range.highest));
    value[at] = range.lowest - 1;
    CHECK(arithmetic::any_outside(value, range.lowest, range.highest));
  }
}

TEST_CASE("Transforms of any size come back, in place or not") {
  Random random(13);
  for (std::size_t size = 1; size < 140; ++size) {
    std::vector<double> value;
    for (std::size_t i = 0; i < size; ++i) value.push_back(between(random, -1, 1));
    const auto lines = signal::spectrum::forward_transform(value, size);
    std::vector<std::complex<double>> record(size / 2 + 1);
    std::copy(value.begin(), value.end(), signal::spectrum::reals_of(record).begin());
    signal::spectrum::transform_in_place(record, size);
    CHECK(record == lines);
    const std::vector<double> back = signal::spectrum::inverse_transform(lines, size);
    for (std::size_t i = 0; i < size; ++i) {
      CHECK(std::abs(back[i] / static_cast<double>(size) - value[i]) < 1e-13);
    }
  }
}

TEST_CASE("Extremes between few points are those between many") {
  Random random(14);
  for (int draw = 0; draw < draws(300); ++draw) {
    const auto last = static_cast<std::size_t>(test::logarithmic(random, 1, 300));
    const std::size_t points = signal::standards::points_for_extremes(last);
    std::vector<std::complex<double>> lines(last + 1);
    double fast = 0;  // what comes near the fastest wave
    for (std::size_t k = 0; k <= last; ++k) {
      lines[k] = std::polar(between(random, 0, 1) * std::exp(-between(random, 0, 4)),
                            between(random, 0, signals::two_pi));
      if (2 * k > last) fast += 2 * std::abs(lines[k]);
    }
    const auto few = signal::spectrum::inverse_transform(lines, points);
    const auto many = signal::spectrum::inverse_transform(lines, 64 * points);
    const auto [low, high] = std::minmax_element(many.begin(), many.end());
    const FilteredExtremes extremes = signal::standards::circle_extremes(few);
    CHECK(std::abs(extremes.highest - *high) <= 2e-4 * fast + 1e-5 * (*high - *low));
    CHECK(std::abs(extremes.lowest - *low) <= 2e-4 * fast + 1e-5 * (*high - *low));
  }
}

TEST_CASE("Band powers summed window by window are those of all windows") {
  signals::Samples s = signals::even_times(2000, 3);
  signals::add_noise(s, 1, 15);
  signal::spectrum::BandPowers together, apart;
  const signal::spectrum::Gap gap{90, 110};
  for (std::size_t w = 0; w < 3; ++w) {
    const Window window{std::span<const double>(s.value).subspan(w * 2000, 2000), {}, 1.0 / 2000};
    together.add(window, 2.5, 1000, {&gap, 1});
    signal::spectrum::BandPowers one;
    one.add(window, 2.5, 1000, {&gap, 1});
    apart.add(one);
  }
  const auto all = together.bands();
  const auto sums = apart.bands();
  REQUIRE(all.size() == sums.size());
  REQUIRE(all.size() > 40);
  for (std::size_t b = 0; b < all.size(); ++b) {
    CHECK(all[b].from_hz == sums[b].from_hz);
    CHECK(all[b].to_hz == sums[b].to_hz);
    CHECK(all[b].independent == sums[b].independent);
    CHECK_THAT(all[b].density, Catch::Matchers::WithinRel(sums[b].density, 1e-12));
    // White noise of variance 1 over half the rate.
    CHECK_THAT(all[b].density * 1000,
               Catch::Matchers::WithinAbs(1, 5 / std::sqrt(all[b].independent)));
  }
}
