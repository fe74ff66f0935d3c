#include "lampbeat/filming.hpp"

#include <cmath>
#include <numbers>
#include <utility>

#include "lampbeat/error.hpp"
#include "lampbeat/typical.hpp"
#include "reasoning/predict_lights.hpp"
#include "support/catch.hpp"

using namespace lampbeat;
using predict_lights::free_ripple;

namespace {

constexpr std::optional<double> nobody_knows;  // the readout: as predict assumes it

/// Clean by predict at every frame rate with room for the exposure, worst mains.
bool clean_everywhere(const Light& light, double exposure_s,
                      const PredictionOptions& options = {}) {
  const LightShare alone{light, 1.0};
  for (const FrameRate fps : filmed_frame_rates()) {
    if (exposure_s > fps.frame_s() * (1.0 + 1e-9)) continue;
    const Shot shot{fps, std::min(exposure_s, fps.frame_s()), readout_taken_s(nobody_knows, fps),
                    1080};
    if (predict({&alone, 1}, shot, options).worst.verdict != Verdict::clean) return false;
  }
  return true;
}

}  // namespace

TEST_CASE("lights are classed as a cameraman would") {
  // Common practice, no source: daylight and good drivers take any shutter; lamps that follow the
  // mains take matched ones.
  for (const double mains_hz : {50.0, 60.0}) {
    const auto class_of = [&](const char* name) {
      return rate_for_filming(typical_light(name, mains_hz), nobody_knows, {}).filming;
    };
    CHECK(class_of("daylight") == FilmingClass::any_shutter);
    CHECK(class_of("led-steady") == FilmingClass::any_shutter);
    CHECK(class_of("tungsten") == FilmingClass::matched_shutters_only);
    CHECK(class_of("tube-magnetic") == FilmingClass::matched_shutters_only);
    // A dimmer chopping fully at 400 Hz with a clock good to 1 %: whole cycles are no null.
    CHECK(class_of("led-pwm") == FilmingClass::no_safe_shutter);
    PredictionOptions steady_clock;
    steady_clock.clock_tolerance_percent = 0.0;
    CHECK(
        rate_for_filming(typical_light("led-pwm", mains_hz), nobody_knows, steady_clock).filming ==
        FilmingClass::matched_shutters_only);
  }
  // Half a cycle of 15 Hz fits no customary frame.
  CHECK(rate_for_filming(free_ripple(15.0, 0.5), nobody_knows, {}).filming ==
        FilmingClass::no_safe_shutter);
}

TEST_CASE("a light for any shutter is clean at every shutter predict is asked about") {
  const Light light = typical_light("led-steady", 50);
  const FilmingRating rating = rate_for_filming(light, nobody_knows, {});
  CHECK(rating.shortest_clean_exposure_s == 0.0);
  CHECK(rating.highest_clean_fps == 60.0);
  CHECK(rating.clean_180 == filmed_frame_rates());
  CHECK(rating.clean_stops == Approx(std::log2(8000.0 / 60.0)));
  for (double exposure_s = 1.0 / 24.0; exposure_s > 1e-5; exposure_s *= 0.31) {
    CHECK(clean_everywhere(light, exposure_s));
  }
}

TEST_CASE("from the shortest clean exposure on every longer one is clean, a shorter one is not") {
  PredictionOptions fine;
  fine.viewing.recording_bits = 10;
  for (const double hz : {6000.0, 9000.0, 21000.0}) {
    const Light light = free_ripple(hz, 0.3);
    const FilmingRating rating = rate_for_filming(light, nobody_knows, fine);
    INFO(hz << " Hz");
    REQUIRE(rating.filming > FilmingClass::any_shutter);
    REQUIRE(rating.filming < FilmingClass::no_safe_shutter);
    REQUIRE(rating.shortest_clean_exposure_s.has_value());
    const double shortest = *rating.shortest_clean_exposure_s;
    REQUIRE(shortest > 0.0);
    for (double exposure_s = shortest * 1.002; exposure_s < 1.0 / 24.0; exposure_s *= 1.0713) {
      INFO("exposure " << exposure_s);
      CHECK(clean_everywhere(light, exposure_s, fine));
    }
    // With a wandering clock a bound decides, which is cautious by up to a tenth.
    bool broken = false;
    for (double less = 0.001; less < 0.12; less += 0.004) {
      broken = broken || !clean_everywhere(light, shortest * (1.0 - less), fine);
    }
    CHECK(broken);
  }
}

TEST_CASE("a chopped light's exposures and frame rates are judged as predict judges them") {
  // A pulse train's cosine series: 2 sin(πkd) / (πk) relative to d, the duty (any handbook of
  // Fourier series).
  for (const auto& [hz, duty] : {std::pair{10040.0, 0.9}, {21000.0, 0.5}, {8800.0, 0.9}}) {
    Light light;
    for (int k = 1; k <= 30; ++k) {
      const double amplitude =
          2.0 * std::sin(std::numbers::pi * k * duty) / (std::numbers::pi * k * duty);
      if (std::abs(amplitude) < 1e-9) continue;
      light.components.push_back(
          {hz * k, std::abs(amplitude), amplitude < 0.0 ? std::numbers::pi : 0.0, {}});
    }
    const FilmingRating rating = rate_for_filming(light, nobody_knows, {});
    INFO(hz << " Hz, duty " << duty);
    REQUIRE(rating.shortest_clean_exposure_s.has_value());
    const double shortest = *rating.shortest_clean_exposure_s;
    REQUIRE(shortest > 1e-3);
    for (double exposure_s = shortest * 1.002; exposure_s < 1.0 / 24.0; exposure_s *= 1.0713) {
      INFO("exposure " << exposure_s);
      CHECK(clean_everywhere(light, exposure_s));
    }
    REQUIRE(rating.highest_clean_fps.has_value());
    const LightShare alone{light, 1.0};
    for (const FrameRate fps : filmed_frame_rates()) {
      if (fps.per_s() < *rating.highest_clean_fps) continue;
      const Shot shot{fps, 0.5 * fps.frame_s(), readout_taken_s(nobody_knows, fps), 1080};
      const bool clean = predict({&alone, 1}, shot, {}).worst.verdict == Verdict::clean;
      CHECK(clean == (fps.per_s() == *rating.highest_clean_fps));
    }
  }
}

TEST_CASE("a rippling light has no such exposure: between whole cycles it always shows") {
  for (const char* name : {"tube-magnetic", "led-rippled", "metal-halide"}) {
    CHECK_FALSE(rate_for_filming(typical_light(name, 50), nobody_knows, {})
                    .shortest_clean_exposure_s.has_value());
  }
}

TEST_CASE("the highest clean frame rate is clean at 180 degrees and no higher one is") {
  for (const char* name : {"tungsten", "tube-magnetic", "led-rippled", "tube-electronic"}) {
    const Light light = typical_light(name, 60);
    const LightShare alone{light, 1.0};
    const FilmingRating rating = rate_for_filming(light, nobody_knows, {});
    INFO(name);
    REQUIRE(rating.highest_clean_fps.has_value());
    for (const FrameRate fps : filmed_frame_rates()) {
      const Shot shot{fps, 0.5 * fps.frame_s(), readout_taken_s(nobody_knows, fps), 1080};
      const Verdict verdict = predict({&alone, 1}, shot, {}).worst.verdict;
      if (fps.per_s() > *rating.highest_clean_fps) CHECK(verdict != Verdict::clean);
      if (fps.per_s() == *rating.highest_clean_fps) CHECK(verdict == Verdict::clean);
    }
  }
}

TEST_CASE("a deeper ripple never makes a light fitter for filming") {
  FilmingClass before = FilmingClass::any_shutter;
  for (const double amplitude : {0.001, 0.004, 0.02, 0.2, 0.9}) {
    const FilmingClass now =
        rate_for_filming(free_ripple(120.0, amplitude), nobody_knows, {}).filming;
    CHECK(now >= before);
    before = now;
  }
}

TEST_CASE("customary frame rates rise, from 24/1.001 on") {
  const auto& rates = customary_frame_rates();
  CHECK(rates.front().numerator == 24000);
  for (std::size_t i = 1; i < rates.size(); ++i) CHECK(rates[i].per_s() > rates[i - 1].per_s());
}

TEST_CASE("nonsense readouts are refused, even for a steady light") {
  CHECK_THROWS_AS(rate_for_filming(typical_light("daylight", 50), -1.0, {}), UsageError);
  CHECK_THROWS_AS(rate_for_filming(typical_light("tungsten", 50), 2.0, {}), UsageError);
}

TEST_CASE("what a noisy capture could hide keeps a light from being called fit for any shutter") {
  Light steady;
  steady.noise_percent = 0.05;
  CHECK(rate_for_filming(steady, nobody_knows, {}).filming == FilmingClass::any_shutter);
  steady.noise_percent = 1.4;
  const FilmingRating noisy = rate_for_filming(steady, nobody_knows, {});
  CHECK(noisy.filming > FilmingClass::any_shutter);
  // The same as if the ripple were there.
  const FilmingRating rippled = rate_for_filming(free_ripple(100, 0.014), nobody_knows, {});
  CHECK(noisy.filming == rippled.filming);
  CHECK(noisy.shortest_clean_exposure_s == rippled.shortest_clean_exposure_s);
  CHECK(noisy.highest_clean_fps == rippled.highest_clean_fps);
}
