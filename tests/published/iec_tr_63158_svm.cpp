#include <cmath>
#include <numbers>

#include "lampbeat/standards.hpp"
#include "support/catch.hpp"

using namespace lampbeat;

// Stroboscopic visibility measure: IEC TR 63158:2018 and CIE TN 006:2016. The power law is as
// reported in a secondary source and fitted in Perz et al., J. Opt. Soc. Am. A 35(2), 2018; the
// sigmoid of the older CIE TN 006 and the exponent 3.7 are from memory. The check values were
// worked out from these formulas with exact Fourier series, components up to and including 2000 Hz.

namespace {

/// Fourier series of a light with lines at multiples of `hz` up to 2500 Hz.
template <class Amplitude>
Light series(double hz, Amplitude amplitude) {
  Light light;
  for (int k = 1; k * hz <= 2500; ++k)
    light.components.push_back({k * hz, amplitude(k), 0.3 * k, {}});
  return light;
}

constexpr double pi = std::numbers::pi;

Light sine(double hz, double m) {
  return series(hz, [=](int k) { return k == 1 ? m : 0.0; });
}
Light rectangle(double hz, double duty) {
  return series(hz, [=](int k) { return 2 * std::abs(std::sin(pi * k * duty)) / (pi * k * duty); });
}
Light rectified(double hz) {
  return series(hz, [](int k) { return 2.0 / (4.0 * k * k - 1); });
}
Light triangle(double hz) {
  return series(hz, [](int k) { return k % 2 ? 8 / (pi * pi * k * k) : 0.0; });
}
Light sawtooth(double hz) {
  return series(hz, [](int k) { return 2 / (pi * k); });
}

/// The curve of CIE TN 006, which the library has no use for.
double sigmoid_threshold(double hz) {
  return 1.0 / (1.0 + std::exp(-0.00518 * (hz - 306.6))) + 20.0 * std::exp(-hz / 10.0);
}
double svm_by_sigmoid(const Light& light) {
  double sum = 0.0;
  for (const LightComponent& c : light.components) {
    if (c.hz <= 2000.0) sum += std::pow(c.amplitude / sigmoid_threshold(c.hz), 3.7);
  }
  return std::pow(sum, 1.0 / 3.7);
}

}  // namespace

TEST_CASE("the visibility thresholds, which near twice the mains lie on the older curve") {
  const struct {
    double hz, power, sigmoid;
  } rows[] = {{80, 0.249751, 0.242880},  {100, 0.259924, 0.256275},  {120, 0.271270, 0.275684},
              {200, 0.326769, 0.365357}, {300, 0.415249, 0.491454},  {400, 0.521554, 0.618648},
              {600, 0.779386, 0.820511}, {1000, 1.444339, 0.973190}, {2000, 3.778153, 0.999845}};
  for (const auto& row : rows) {
    INFO(row.hz << " Hz");
    CHECK(svm_threshold(row.hz) == Approx(row.power).epsilon(2e-6));
    CHECK(sigmoid_threshold(row.hz) == Approx(row.sigmoid).epsilon(3e-6));
    if (row.hz <= 120)
      CHECK(svm_threshold(row.hz) == Approx(sigmoid_threshold(row.hz)).epsilon(0.03));
  }
  CHECK(svm_threshold(745.489) == Approx(1.0).epsilon(1e-6));
}

TEST_CASE("SVM of the textbook waveforms at 100 and 120 Hz, within 5 % of the older curve's") {
  const struct {
    const char* name;
    Light at100, at120;
    double power100, sigmoid100, power120, sigmoid120;
  } rows[] = {
      {"sine", sine(100, 1), sine(120, 1), 3.847278, 3.902053, 3.686362, 3.627342},
      {"sine 0.3", sine(100, 0.3), sine(120, 0.3), 1.154183, 1.170616, 1.105908, 1.088202},
      {"sine 0.1", sine(100, 0.1), sine(120, 0.1), 0.384728, 0.390205, 0.368636, 0.362734},
      {"square", rectangle(100, 0.5), rectangle(120, 0.5), 4.902647, 4.970407, 4.696387, 4.620017},
      {"rectangle 0.25", rectangle(100, 0.25), rectangle(120, 0.25), 7.146718, 7.167314, 6.810576,
       6.639573},
      {"rectangle 0.1", rectangle(100, 0.1), rectangle(120, 0.1), 8.445783, 8.237299, 7.926782,
       7.565477},
      {"|sin|", rectified(100), rectified(120), 2.565637, 2.601867, 2.458189, 2.418607},
      {"triangle", triangle(100), triangle(120), 3.118530, 3.162908, 2.988082, 2.940228},
      {"sawtooth", sawtooth(100), sawtooth(120), 2.473164, 2.499160, 2.365342, 2.320670},
  };
  for (const auto& row : rows) {
    INFO(row.name);
    CHECK(svm(row.at100) == Approx(row.power100).epsilon(2e-6));
    CHECK(svm_by_sigmoid(row.at100) == Approx(row.sigmoid100).epsilon(2e-6));
    CHECK(svm(row.at100) == Approx(svm_by_sigmoid(row.at100)).epsilon(0.05));
    CHECK(svm(row.at120) == Approx(row.power120).epsilon(2e-6));
    CHECK(svm_by_sigmoid(row.at120) == Approx(row.sigmoid120).epsilon(2e-6));
    CHECK(svm(row.at120) == Approx(svm_by_sigmoid(row.at120)).epsilon(0.05));
  }
}

TEST_CASE("SVM falls with frequency as the threshold rises") {
  CHECK(svm(rectangle(200, 0.5)) == Approx(3.897193).epsilon(2e-6));
  CHECK(svm(rectangle(400, 0.5)) == Approx(2.441352).epsilon(2e-6));
  CHECK(svm(rectangle(1000, 0.5)) == Approx(0.881538).epsilon(2e-6));
  CHECK(svm(sine(600, 1)) == Approx(1.283062).epsilon(2e-6));
}

TEST_CASE("the sine modulations that just meet the limits in force") {
  // Regulation (EU) 2019/2020 as amended by 2021/341: 0.9, since 1 September 2024 0.4; NEMA 77: 1.6
  // (from memory).
  CHECK(svm(sine(100, 0.10397)) == Approx(0.4).epsilon(1e-4));
  CHECK(svm(sine(100, 0.23393)) == Approx(0.9).epsilon(1e-4));
  CHECK(svm(sine(100, 0.41588)) == Approx(1.6).epsilon(1e-4));
  CHECK(svm(sine(120, 0.10851)) == Approx(0.4).epsilon(1e-4));
}

TEST_CASE("components count from 80 to 2000 Hz, both included") {
  // Range: scope of ANSI C82.77-6.
  CHECK(svm(sine(79.9, 1)) == 0.0);
  CHECK(svm(sine(80, 1)) == Approx(1 / 0.249751).epsilon(1e-5));
  CHECK(svm(sine(2000.05, 1)) == Approx(1 / 3.778153).epsilon(1e-3));
  CHECK(svm(sine(2001, 1)) == 0.0);
  CHECK(svm(Light{}) == 0.0);
}

TEST_CASE("SVM is proportional to the modulation and blind to phase and order") {
  Light light = rectangle(120, 0.3);
  const double before = svm(light);
  for (auto& c : light.components) {
    c.amplitude *= 0.37;
    c.phase_rad += c.hz;
  }
  std::reverse(light.components.begin(), light.components.end());
  CHECK(svm(light) == Approx(0.37 * before).epsilon(1e-12));
}
