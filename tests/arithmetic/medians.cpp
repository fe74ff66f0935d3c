#include <algorithm>
#include <cmath>
#include <random>

#include "arithmetic/median.hpp"
#include "support/catch.hpp"

using namespace lampbeat;

TEST_CASE("values by rank are those of the sorted list") {
  std::mt19937 random(3);
  std::uniform_real_distribution<double> any(-5.0, 5.0);
  for (std::size_t n = 1; n < 40; ++n) {
    CAPTURE(n);
    std::vector<double> values(n);
    for (double& x : values) x = any(random);
    std::vector<double> sorted = values;
    std::sort(sorted.begin(), sorted.end());
    CHECK(arithmetic::upper_median(values) == sorted[n / 2]);
    CHECK(arithmetic::median(values) == (sorted[(n - 1) / 2] + sorted[n / 2]) / 2.0);
    CHECK(arithmetic::quantile(values, 0.0) == sorted.front());
    CHECK(arithmetic::quantile(values, 1.0) == sorted.back());
    CHECK(arithmetic::nth_smallest(values, n / 4) == sorted[n / 4]);
  }
  std::vector<double> none;
  CHECK(std::isnan(arithmetic::median(none)));
}

TEST_CASE("the scatter of a median is the deviation of normal noise, whatever a few edges do") {
  std::mt19937 random(4);
  std::normal_distribution<double> noise(0.0, 0.3);
  std::vector<double> readings(100000);
  for (std::size_t i = 0; i < readings.size(); ++i) {
    readings[i] = (i / 1000 % 2 == 0 ? 0.0 : 1.0) + noise(random);
  }
  CHECK(arithmetic::noise_from_steps(readings) == Approx(0.3).epsilon(0.02));
  std::vector<double> off(readings.size());
  for (double& x : off) x = std::abs(noise(random));
  CHECK(arithmetic::normal_sd * arithmetic::median(off) == Approx(0.3).epsilon(0.02));
}
