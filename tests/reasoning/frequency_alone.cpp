#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>
#include <random>
#include <vector>

#include "lampbeat/error.hpp"
#include "lampbeat/frequency_light.hpp"
#include "lampbeat/shutters.hpp"
#include "lampbeat/visibility.hpp"
#include "support/catch.hpp"
#include "support/draws.hpp"

// A frequency alone stands for every light of that period. It is held against lights drawn at
// random, and against flashes counted one by one.

using namespace lampbeat;
using lampbeat::test::between;
using lampbeat::test::draws;
using lampbeat::test::logarithmic;
using lampbeat::test::often;

namespace {

constexpr double pi = std::numbers::pi;
constexpr int orders = 128;

/// A few pulses of light in each period, of any length and height, on some steady light: Fourier's
/// coefficients of rectangular pulses, each shifted to its place, and all seen through Fejér's
/// kernel, which is nowhere negative, so that with so many orders the light is not either.
Light pulses(std::mt19937& random, double hz, std::optional<double> mains_hz) {
  std::vector<std::complex<double>> sum(orders + 1);
  const int count = static_cast<int>(1 + random() % 3);
  for (int i = 0; i < count; ++i) {
    const double length = logarithmic(random, 0.002, 0.95);
    const double height = between(random, 0.1, 1.0) / length;
    const double middle = between(random, 0.0, 1.0);
    sum[0] += height * length;
    for (int k = 1; k <= orders; ++k) {
      sum[static_cast<std::size_t>(k)] += 2.0 * height * std::sin(pi * k * length) / (pi * k) *
                                          (1.0 - k / (orders + 1.0)) *
                                          std::polar(1.0, -2 * pi * k * middle);
    }
  }
  if (often(random, 0.5)) sum[0] += between(random, 0.0, 1.0) * sum[0];
  Light light;
  light.name = "pulses";
  light.mains_hz = mains_hz;
  for (int k = 1; k <= orders; ++k) {
    const std::complex<double> a = sum[static_cast<std::size_t>(k)] / sum[0];
    light.components.push_back({k * hz, std::abs(a), std::arg(a), {}});
    if (mains_hz) light.components.back().mains_order = 2 * k;
  }
  return light;
}

Shot random_shot(std::mt19937& random) {
  static const FrameRate rates[] = {{24000, 1001}, {24, 1}, {25, 1}, {30000, 1001},
                                    {30, 1},       {50, 1}, {60, 1}, {120, 1}};
  Shot shot;
  shot.fps = rates[random() % std::size(rates)];
  shot.exposure_s = std::min(shot.fps.frame_s(), logarithmic(random, 1.0 / 4000, 1.0 / 24));
  if (often(random, 0.6)) {
    static const double usual[] = {1.0 / 50, 1.0 / 60, 1.0 / 100, 1.0 / 120, 1.0 / 125};
    shot.exposure_s = std::min(shot.fps.frame_s(), usual[random() % std::size(usual)]);
  }
  shot.readout_s = often(random, 0.15) ? 0.0 : between(random, 0.1, 1.0) * shot.fps.frame_s();
  shot.rows = static_cast<int>(480 + random() % 1000);
  return shot;
}

void no_worse(const Recorded& light, const Recorded& any) {
  constexpr double search = 0.02;  // two searches over clocks and rows, each for its own maximum
  CHECK(light.band_percent <= any.band_percent * (1.0 + search) + 1e-3);
  CHECK(light.pulse_percent <= any.pulse_percent * (1.0 + search) + 1e-3);
  CHECK(light.visibility <= any.visibility * (1.0 + search) + 1e-3);
  CHECK(light.verdict <= std::max(any.verdict, verdict_of(light.visibility / (1.0 + search))));
}

}  // namespace

TEST_CASE("no light of a frequency is judged worse than the frequency alone") {
  std::mt19937 random(1301);
  for (int i = 0; i < draws(300); ++i) {
    const bool locked = often(random, 0.5);
    const double mains_hz = often(random, 0.5) ? 50.0 : 60.0;
    const double hz = locked ? 2.0 * mains_hz : logarithmic(random, 130.0, 4000.0);
    const Shot shot = random_shot(random);
    PredictionOptions options;
    if (often(random, 0.3)) options.mains_tolerance_hz = logarithmic(random, 0.01, 1.0);
    if (often(random, 0.3)) options.clock_tolerance_percent = logarithmic(random, 0.01, 3.0);
    const LightShare lamp{pulses(random, hz, locked ? std::optional(mains_hz) : std::nullopt), 1.0};
    const LightShare any{light_of_frequency(hz, std::nullopt), 1.0};
    const Prediction of_lamp = predict({&lamp, 1}, shot, options);
    const Prediction of_any = predict({&any, 1}, shot, options);
    INFO(i << ": " << hz << " Hz, " << shot.fps.per_s() << " fps, 1/" << 1.0 / shot.exposure_s
           << " s, readout " << shot.readout_s);
    no_worse(of_lamp.nominal, of_any.nominal);
    no_worse(of_lamp.worst, of_any.worst);
  }
}

TEST_CASE("nor beside another light") {
  std::mt19937 random(1302);
  for (int i = 0; i < draws(100); ++i) {
    const Shot shot = random_shot(random);
    std::vector<LightShare> room = {{pulses(random, 120.0, 60.0), between(random, 0.1, 1.0)},
                                    {pulses(random, 731.0, std::nullopt), 1.0}};
    const Prediction of_lamp = predict(room, shot, {});
    room.front().light = light_of_frequency(120.0, std::nullopt);
    const Prediction of_any = predict(room, shot, {});
    INFO(i << ": " << shot.fps.per_s() << " fps, 1/" << 1.0 / shot.exposure_s << " s");
    no_worse(of_lamp.nominal, of_any.nominal);
    no_worse(of_lamp.worst, of_any.worst);
  }
}

TEST_CASE("flashes of no length, counted, never differ more than a frequency alone is said to") {
  std::mt19937 random(1304);
  for (int i = 0; i < draws(400); ++i) {
    const double hz = often(random, 0.5) ? 120.0 : logarithmic(random, 130.0, 20000.0);
    Shot shot = random_shot(random);
    // Just beside whole cycles no number of harmonics tells the last flash.
    const double cycles = std::max(1.0, std::round(shot.exposure_s * hz));
    const double beside = often(random, 0.5) ? logarithmic(random, 1e-6, 1e-2) : 0.0;
    shot.exposure_s = cycles / hz * (1.0 + (often(random, 0.5) ? beside : -beside));
    if (shot.exposure_s > shot.fps.frame_s()) continue;
    PredictionOptions options;
    options.mains_tolerance_hz = 0.0;
    options.clock_tolerance_percent = 0.0;
    const LightShare any{light_of_frequency(hz, std::nullopt), 1.0};
    const Recorded said = predict({&any, 1}, shot, options).worst;
    double most = 0.0;
    double least = 1e300;
    double brightest = 0.0;
    double darkest = 1e300;
    const double start = between(random, 0.0, 1.0);
    for (int frame = 0; frame < 60; ++frame) {
      double sum = 0.0;
      for (int row = 0; row < shot.rows; ++row) {
        const double begin =
            start + hz * (frame * shot.fps.frame_s() + row * shot.readout_s / shot.rows);
        const double flashes =
            std::floor(begin + shot.exposure_s * hz * (1.0 + 1e-12)) - std::floor(begin);
        sum += flashes;
        if (frame > 0) continue;
        most = std::max(most, flashes);
        least = std::min(least, flashes);
      }
      brightest = std::max(brightest, sum);
      darkest = std::min(darkest, sum);
    }
    INFO(i << ": " << hz << " Hz, " << shot.fps.per_s() << " fps, " << shot.exposure_s * hz
           << " cycles, readout " << shot.readout_s);
    if (beside == 0.0) {
      CHECK(said.band_percent == Approx(0.0).margin(1e-6));
      continue;
    }
    CHECK(said.band_percent >= 100.0 * (most - least) / (most + least) - 1e-6);
    CHECK(said.pulse_percent >= 100.0 * (brightest - darkest) / (brightest + darkest) - 1e-6);
    if (shot.readout_s > 0.0) {
      const double whole = std::floor(shot.exposure_s * hz);
      CHECK(said.band_percent == Approx(100.0 / (2.0 * whole + 1.0)).epsilon(1e-6));
    }
  }
}

TEST_CASE("a shutter that is clean for a frequency alone collects flashes evenly") {
  // Flashes of no length, counted: a row holds as many as fall into its exposure.
  std::mt19937 random(1303);
  int clean = 0;
  for (int i = 0; i < draws(400); ++i) {
    const double hz = often(random, 0.5) ? 120.0 : logarithmic(random, 20000.0, 200000.0);
    Shot shot = random_shot(random);
    if (hz == 120.0) shot.exposure_s = often(random, 0.5) ? 1.0 / 120 : 1.0 / 60;
    if (shot.exposure_s > shot.fps.frame_s() || !(shot.readout_s > 0.0)) continue;
    PredictionOptions options;
    options.mains_tolerance_hz = 0.0;
    const LightShare any{light_of_frequency(hz, std::nullopt), 1.0};
    if (predict({&any, 1}, shot, options).worst.verdict != Verdict::clean) continue;
    ++clean;
    const double off = hz == 120.0 ? 0.0 : between(random, -0.01, 0.01);
    const double period_s = 1.0 / (hz * (1.0 + off));
    // Not at a flash: whole cycles hold as many however the rounding falls.
    const double start_s = between(random, 0.2, 0.8) * period_s;
    double most = 0.0;
    double least = 1e300;
    for (int row = 0; row < shot.rows; ++row) {
      const double begin_s = start_s + row * shot.readout_s / shot.rows;
      const double cycles = begin_s / period_s;
      if (std::abs(cycles - std::round(cycles)) < 1e-6) continue;
      const double flashes = std::floor(cycles + shot.exposure_s / period_s) - std::floor(cycles);
      const double exact = shot.exposure_s / period_s;
      const double seen = std::abs(exact - std::round(exact)) < 1e-9 ? std::round(exact) : flashes;
      most = std::max(most, seen);
      least = std::min(least, seen);
    }
    const double contrast = (most - least) / (most + least);
    INFO(hz << " Hz, " << shot.fps.per_s() << " fps, 1/" << 1.0 / shot.exposure_s);
    // To the most sensitive eye, a dozen bands down the picture that stand still.
    CHECK(band_visibility(contrast, 12.0, 0.0, options.viewing).least_sensitive < clean_below);
  }
  CHECK(clean > draws(400) / 10);
}

TEST_CASE(
    "whole cycles come first for a frequency alone, and are clean while the mains keeps time") {
  const LightShare any{light_of_frequency(120.0, 60.0), 1.0};
  PlanRequest request;
  request.frame_rates = {{30, 1}};
  const auto first = [&] {
    std::vector<std::string> labels;
    for (const Setting& s : plan_shutters({&any, 1}, request).settings) {
      if (is_clean(s.nominal)) labels.push_back(s.label);
    }
    return labels;
  };
  for (const std::optional<double> tolerance_hz : {std::optional(0.0), std::optional<double>()}) {
    request.options.mains_tolerance_hz = tolerance_hz;
    const ShutterPlan plan = plan_shutters({&any, 1}, request);
    const std::vector<std::string> whole = first();
    CHECK(std::count(whole.begin(), whole.end(), "1/60") == 1);
    CHECK(std::count(whole.begin(), whole.end(), "1/120") == 1);
    for (std::size_t i = 0; i < plan.settings.size(); ++i) {
      CHECK(is_clean(plan.settings[i].nominal) == (i < whole.size()));
      if (tolerance_hz) CHECK(is_clean(plan.settings[i].worst) == (i < whole.size()));
    }
  }
}

TEST_CASE("a frequency at twice the mains follows it, any other runs free") {
  CHECK(light_of_frequency(120.0, std::nullopt).mains_hz == 60.0);
  CHECK(light_of_frequency(119.88, std::nullopt).mains_hz == 59.94);
  CHECK(light_of_frequency(100.4, std::nullopt).mains_hz == 50.2);
  CHECK(light_of_frequency(50.0, std::nullopt).mains_hz == 50.0);
  CHECK(light_of_frequency(800.0, 400.0).mains_hz == 400.0);
  CHECK_FALSE(light_of_frequency(122.0, std::nullopt).mains_hz);
  CHECK_FALSE(light_of_frequency(240.0, std::nullopt).mains_hz);
  const Light light = light_of_frequency(100.0, std::nullopt);
  CHECK(light.components[4].mains_order == 10);
  CHECK(light.depth == DepthKnown::assumed_deepest);
  CHECK_THROWS_AS(light_of_frequency(0.0, std::nullopt), UsageError);
  CHECK_THROWS_AS(light_of_frequency(-120.0, std::nullopt), UsageError);
  CHECK_THROWS_AS(light_of_frequency(2e6, std::nullopt), UsageError);
}
