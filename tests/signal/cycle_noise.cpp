#include <random>

#include "lampbeat/cycle.hpp"
#include "support/catch.hpp"
#include "support/waveforms.hpp"

using namespace lampbeat;

namespace {

constexpr double rate_hz = 20000.0;
constexpr double hz = 120.03;

struct Spread {
  double bias = 0.0, sd = 0.0, stated = 0.0;
};
struct Trials {
  Spread percent, index;
  double most_off = 0.0;  ///< flicker index, over its stated uncertainty
};

/// Many noisy seconds of one light. `truth` holds its exact figures.
Trials try_often(const waveforms::Waveform& truth, double sigma, int trials, unsigned seed) {
  std::mt19937_64 engine(seed);
  std::normal_distribution<double> noise(0.0, sigma);
  std::uniform_real_distribution<double> anywhere(0.0, 1.0);
  Trials result;
  double pp = 0, ii = 0;
  for (int k = 0; k < trials; ++k) {
    const double phase = anywhere(engine);
    auto x = waveforms::sampled(truth, hz, phase, rate_hz, 1.0);
    for (double& v : x) v += noise(engine);
    const auto f = cycle_figures({x, {}, 1 / rate_hz}, {{hz, 2 * waveforms::pi * phase}});
    REQUIRE(f);
    const double p = f->percent_flicker - truth.percent_flicker;
    const double i = f->flicker_index - truth.flicker_index;
    result.percent.bias += p / trials;
    result.index.bias += i / trials;
    pp += p * p / trials;
    ii += i * i / trials;
    // What all the trials share (the gaps between their sampled phases) does not scatter.
    const auto noise_of = [](double sd, double bound) {
      return std::sqrt(sd * sd - bound * bound);
    };
    result.percent.stated += f->percent_flicker_sd / trials;
    result.index.stated += noise_of(f->flicker_index_sd, f->flicker_index_bound) / trials;
    result.most_off = std::max(result.most_off, std::abs(i) / f->flicker_index_sd);
  }
  result.percent.sd = std::sqrt(pp - result.percent.bias * result.percent.bias);
  result.index.sd = std::sqrt(ii - result.index.bias * result.index.bias);
  return result;
}

/// 20, 6 and 2 % at the first three multiples; figures by dense sampling of the definition.
waveforms::Waveform three_tones() {
  waveforms::Waveform w{"three tones",
                        [](double p) {
                          const double a = 2 * waveforms::pi * p;
                          return 1 + 0.2 * std::cos(a) + 0.06 * std::cos(2 * a + 1) +
                                 0.02 * std::cos(3 * a + 2);
                        },
                        0, 0};
  double low = 9, high = 0, area = 0;
  constexpr int n = 200000;
  for (int i = 0; i < n; ++i) {
    const double v = w.at((i + 0.5) / n);
    low = std::min(low, v);
    high = std::max(high, v);
    area += std::abs(v - 1) / n;
  }
  w.percent_flicker = 100 * (high - low) / (high + low);
  w.flicker_index = area / 2;
  return w;
}

double sigma_at(double decibels, double amplitude) {
  return amplitude * std::pow(10.0, -decibels / 20.0);
}

}  // namespace

TEST_CASE("noise does not inflate percent flicker, and the stated spread is the true one") {
  const struct {
    double decibels, most_bias;
  } rows[] = {{40, 0.05}, {20, 0.3}, {10, 1.0}, {0, 1.0}};
  for (const auto& w : {three_tones(), waveforms::rectangle(0.5, 2.0 / 3.0)}) {
    for (const auto& row : rows) {
      INFO(w.name << " at " << row.decibels << " dB");
      const Trials t = try_often(w, sigma_at(row.decibels, 0.2), 60, 7);
      CHECK(std::abs(t.percent.bias) < row.most_bias);
      CHECK(std::abs(t.index.bias) < 0.001);
      CHECK(t.percent.stated > t.percent.sd / 2);
      CHECK(t.percent.stated < t.percent.sd * 2);
      CHECK(t.index.stated > t.index.sd / 2);
      CHECK(t.index.stated < t.index.sd * 2);
      CHECK(t.most_off < 4.0);
    }
  }
}

TEST_CASE("a narrow pulse in noise keeps its height") {
  const auto w = waveforms::rectangle(0.05, 0.5);
  const Trials t = try_often(w, 0.05, 60, 11);
  CHECK(t.percent.bias == Approx(0).margin(0.5));
}

TEST_CASE("a steady light in noise reads next to nothing") {
  const Trials t = try_often({"steady", [](double) { return 1.0; }, 0, 0}, 0.05, 40, 3);
  CHECK(t.percent.bias < 0.3);
  CHECK(t.index.bias < 0.001);
}

TEST_CASE("a level that drifts does not pass for flicker") {
  const auto w = waveforms::rectified(0.8);
  auto x = waveforms::sampled(w, hz, 0.0, rate_hz, 1.0);
  for (std::size_t i = 0; i < x.size(); ++i) {
    x[i] *= 1.0 + 0.2 * (static_cast<double>(i) / 20000.0 - 0.5);
  }
  const auto f = cycle_figures({x, {}, 1 / rate_hz}, {{hz, 0.0}});
  REQUIRE(f);
  CHECK(f->percent_flicker == Approx(w.percent_flicker).margin(0.1));
  CHECK(f->flicker_index == Approx(w.flicker_index).margin(0.0005));
}
