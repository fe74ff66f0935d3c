#include <cmath>
#include <numbers>
#include <random>
#include <vector>

#include "lampbeat/tones.hpp"
#include "support/catch.hpp"

using namespace lampbeat;

TEST_CASE("tones far below the sampling rate are followed to what went in, and so is the noise") {
  constexpr double pi = std::numbers::pi;
  constexpr double rate_hz = 96000;
  constexpr std::size_t n = 96011;
  for (const double noise_sd : {0.0, 0.01}) {
    std::mt19937 random(9);
    std::normal_distribution<double> noise(0.0, 1.0);
    std::vector<double> x(n);
    for (std::size_t i = 0; i < n; ++i) {
      const double t = static_cast<double>(i) / rate_hz;
      x[i] = 1.0 + 0.05 * t + 0.3 * std::cos(2 * pi * 100.04 * t + 0.7) +
             0.1 * std::cos(2 * pi * 200.08 * t - 2.0) + noise_sd * noise(random);
    }
    ToneAnalysis known;
    known.mean = 1.0;
    ToneSeries series;
    series.kind = SeriesKind::mains_locked;
    series.fundamental_hz = 50.0;
    series.tones = {{.hz = 100, .amplitude = 0.3, .order = 2},
                    {.hz = 200, .amplitude = 0.1, .order = 4}};
    known.series = {series};
    const ToneAnalysis found = follow_tones({x, {}, 1.0 / rate_hz}, known);
    const auto& tones = found.series[0].tones;
    const double slack = 6.0 * noise_sd * std::sqrt(2.0 / n) + 1e-6;
    INFO("noise " << noise_sd);
    CHECK(tones[0].amplitude == Approx(0.3).margin(slack));
    CHECK(tones[1].amplitude == Approx(0.1).margin(slack));
    CHECK(tones[0].phase_rad == Approx(0.7).margin(10.0 * slack));
    CHECK(tones[1].phase_rad == Approx(-2.0).margin(30.0 * slack));
    CHECK(tones[0].hz == Approx(100.04).margin(10.0 * slack));
    CHECK(found.mean == Approx(1.0 + 0.05 * (n - 1) / rate_hz / 2).margin(slack));
    CHECK(found.change == Approx(0.05 * n / rate_hz).margin(10.0 * slack));
    CHECK(found.noise_sd == Approx(noise_sd).epsilon(0.01).margin(2e-6));
  }
}
