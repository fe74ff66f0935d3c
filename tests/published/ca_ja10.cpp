#include <cmath>
#include <numbers>
#include <vector>

#include "lampbeat/standards.hpp"
#include "support/catch.hpp"
#include "support/waveforms.hpp"

using namespace lampbeat;

// California Energy Code, Joint Appendix JA10 (JA10.5 conditions, JA10.6 calculation, read there).
// The check values were worked out by an independent FFT of the same records.

namespace {

constexpr double pi = std::numbers::pi;

std::vector<double> percents(const std::vector<double>& x, double rate_hz,
                             const std::vector<double>& rhythms_hz) {
  std::vector<double> result;
  for (const auto& e : ja10_extremes({x, {}, 1 / rate_hz}, rhythms_hz)) {
    REQUIRE(e);
    result.push_back(modulation_percent(*e));
  }
  return result;
}

}  // namespace

TEST_CASE("two tones are told apart by every cut-off") {
  constexpr double rate_hz = 20160;
  std::vector<double> x(20160);
  for (std::size_t i = 0; i < x.size(); ++i) {
    const double t = static_cast<double>(i) / rate_hz;
    x[i] = 1 + 0.2 * std::cos(2 * pi * 120 * t) + 0.4 * std::cos(2 * pi * 2520 * t);
  }
  const auto p = percents(x, rate_hz, {120, 2520});
  CHECK(p[0] == Approx(0).margin(1e-9));
  CHECK(p[1] == Approx(0).margin(1e-9));
  CHECK(p[2] == Approx(20).epsilon(1e-9));
  CHECK(p[3] == Approx(20).epsilon(1e-9));
  CHECK(p[4] == Approx(20).epsilon(1e-9));
}

TEST_CASE("a rectified sine loses its sharp zeros to the filter") {
  // Its Fourier series up to half the sampling rate; point samples would fold the rest back.
  std::vector<double> x(20000, 1.0);
  for (std::size_t i = 0; i < x.size(); ++i) {
    for (int k = 1; k <= 83; ++k) {
      x[i] -= 2.0 / (4.0 * k * k - 1) * std::cos(2 * pi * 120 * k * static_cast<double>(i) / 20000);
    }
  }
  const auto p = percents(x, 20000, {120});
  CHECK(p[0] == Approx(0).margin(1e-9));
  CHECK(p[1] == Approx(0).margin(1e-9));
  CHECK(p[2] == Approx(200.0 / 3.0).epsilon(1e-6));
  CHECK(p[3] == Approx(83.5163).epsilon(1e-5));
  CHECK(p[4] == Approx(92.7655).epsilon(1e-5));
}

TEST_CASE("a square wave overshoots: more than 100 %, and said so") {
  // 100 Hz, half on, samples at half steps. A line exactly at the cut-off stays: at 200 Hz the
  // square's own 100 Hz only, since it has no even multiples.
  const auto x = waveforms::sampled(waveforms::rectangle(0.5, 0), 100, 0.0025, 20000, 1);
  const auto p = percents(x, 20000, {100});
  CHECK(p[0] == Approx(0).margin(1e-9));
  CHECK(p[2] == Approx(127.3135).epsilon(1e-5));
  CHECK(p[3] == Approx(120.013).epsilon(1e-5));
  CHECK(p[4] == Approx(118.063).epsilon(1e-5));
}

TEST_CASE("what lies above a cut-off goes, a line exactly at it stays") {
  for (const auto& [hz, stays] :
       {std::pair{200.0, true}, {199.9, true}, {200.1, false}, {201.0, false}}) {
    INFO(hz << " Hz");
    const auto x = waveforms::sampled(waveforms::sine(0.3), hz, 0.1, 20000, 1);
    const auto p = percents(x, 20000, {hz});
    CHECK(p[2] == Approx(stays ? 30 : 0).margin(0.15));
    CHECK(p[3] == Approx(30).margin(0.1));
  }
}

TEST_CASE("a record that is not whole cycles long is cut to whole cycles") {
  // Left as it is, the brick wall makes several points of flicker of the broken cycle.
  const auto x = waveforms::sampled(waveforms::rectified(0.5), 99.37, 0.3, 20000, 1.0);
  const auto whole = percents(x, 20000, {99.37});
  CHECK(whole[1] == Approx(0).margin(0.05));
  CHECK(whole[0] == Approx(0).margin(0.05));
  const auto broken = percents(x, 20000, {});
  CHECK(broken[1] > 0.5);
}

TEST_CASE("the arithmetic is that of the definition, line by line") {
  // A plain discrete Fourier sum of a short odd record as the reference.
  constexpr std::size_t n = 601;
  constexpr double rate_hz = 3005;  // lines every 5 Hz
  std::vector<double> x(n);
  unsigned state = 3;
  for (double& v : x) {
    state = state * 1664525u + 1013904223u;
    v = 1 + 0.4 * static_cast<double>(state) / 4294967296.0;
  }
  const auto extremes = ja10_extremes({x, {}, 1 / rate_hz}, {});
  for (const Ja10CutOff c : ja10_cut_offs) {
    const auto last = static_cast<std::size_t>(cut_off_hz(c) / 5 + 1e-6);
    double high = -1, low = 9;
    std::vector<double> a(last + 1), b(last + 1);
    for (std::size_t k = 0; k <= last; ++k) {
      for (std::size_t i = 0; i < n; ++i) {
        const double angle = 2 * pi * static_cast<double>(k * i % n) / n;
        a[k] += x[i] * std::cos(angle) * (k ? 2.0 : 1.0) / n;
        b[k] += x[i] * std::sin(angle) * (k ? 2.0 : 1.0) / n;
      }
    }
    for (std::size_t i = 0; i < n; ++i) {
      double v = 0;
      for (std::size_t k = 0; k <= last; ++k) {
        const double angle = 2 * pi * static_cast<double>(k * i % n) / n;
        v += a[k] * std::cos(angle) + b[k] * std::sin(angle);
      }
      high = std::max(high, v);
      low = std::min(low, v);
    }
    REQUIRE(extremes[c]);
    CHECK(extremes[c]->highest == Approx(high).epsilon(1e-10));
    CHECK(extremes[c]->lowest == Approx(low).epsilon(1e-10));
  }
}

TEST_CASE("uneven samples and cut-offs beyond half the rate have no low-pass figure") {
  const std::vector<double> x(1500, 1.0);
  std::vector<double> t(1500);
  for (std::size_t i = 0; i < t.size(); ++i) t[i] = static_cast<double>(i) / 1500;
  for (const auto& e : ja10_extremes({x, t, 1.0 / 1500}, {})) CHECK_FALSE(e);
  const auto slow = ja10_extremes({x, {}, 1.0 / 1500}, {});
  CHECK(slow[Ja10CutOff::at_400_hz]);
  CHECK_FALSE(slow[Ja10CutOff::at_1000_hz]);
}

TEST_CASE("JA10.5 asks for 50 microseconds and one second") {
  CHECK(ja10_conditions(20000, 1.0).empty());
  CHECK(ja10_conditions(192000, 3.0).empty());
  const Findings slow = ja10_conditions(4000, 1.0);
  REQUIRE(slow.size() == 1);
  CHECK(slow[0].code == "ja10_sampling_interval");
  CHECK(slow[0].message.find("250 µs") != std::string::npos);
  const Findings both = ja10_conditions(19000, 0.5);
  REQUIRE(both.size() == 2);
  CHECK(both[1].code == "ja10_duration");
}
