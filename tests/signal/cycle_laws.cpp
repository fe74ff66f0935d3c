#include <random>

#include "lampbeat/cycle.hpp"
#include "support/catch.hpp"
#include "support/waveforms.hpp"

using namespace lampbeat;

namespace {

constexpr double rate_hz = 20000.0;
constexpr double hz = 99.97;

CycleFigures figures_of(const std::vector<double>& x, double phase = 0.0) {
  const auto f = cycle_figures({x, {}, 1 / rate_hz}, {{hz, 2 * waveforms::pi * phase}});
  REQUIRE(f);
  return *f;
}

std::vector<double> noisy(const waveforms::Waveform& w, double phase) {
  auto x = waveforms::sampled(w, hz, phase, rate_hz, 1.0);
  std::mt19937_64 engine(5);
  std::normal_distribution<double> noise(0.0, 0.01);
  for (double& v : x) v += noise(engine);
  return x;
}

}  // namespace

TEST_CASE("scaling the light changes neither percent flicker nor flicker index") {
  for (const auto& w : {waveforms::rectified(0.2), waveforms::rectangle(0.25, 0.3)}) {
    auto x = noisy(w, 0.1);
    const CycleFigures before = figures_of(x);
    for (double& v : x) v *= 37.0;
    const CycleFigures after = figures_of(x);
    CHECK(after.percent_flicker == Approx(before.percent_flicker).epsilon(1e-9));
    CHECK(after.flicker_index == Approx(before.flicker_index).epsilon(1e-9));
    CHECK(after.highest == Approx(37.0 * before.highest).epsilon(1e-9));
  }
}

TEST_CASE("adding a constant dilutes both figures exactly as the definitions say") {
  for (const auto& w : {waveforms::rectified(0.2), waveforms::rectangle(0.25, 0.3)}) {
    auto x = noisy(w, 0.1);
    const CycleFigures before = figures_of(x);
    for (double& v : x) v += 0.5;
    const CycleFigures after = figures_of(x);
    const double sum = before.highest + before.lowest;
    CHECK(after.percent_flicker ==
          Approx(before.percent_flicker * sum / (sum + 1.0)).epsilon(1e-9));
    CHECK(after.flicker_index ==
          Approx(before.flicker_index * before.mean / (before.mean + 0.5)).epsilon(1e-9));
  }
}

TEST_CASE("when the capture starts changes nothing beyond the uncertainty") {
  for (const auto& w : {waveforms::rectified(0.2), waveforms::rectangle(0.25, 0.3)}) {
    for (const double phase : {0.13, 0.5, 0.77}) {
      const CycleFigures f = figures_of(noisy(w, phase), phase);
      CHECK(std::abs(f.percent_flicker - w.percent_flicker) < 5 * f.percent_flicker_sd);
      CHECK(f.percent_flicker_sd < 0.6);
      CHECK(f.flicker_index_sd < 3e-4);
      CHECK(std::abs(f.flicker_index - w.flicker_index) < 5 * f.flicker_index_sd + 2e-4);
    }
  }
}
