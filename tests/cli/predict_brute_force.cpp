#include <fmt/format.h>

#include <numbers>
#include <random>

#include "cli/contract.hpp"
#include "support/brute_force.hpp"
#include "support/draws.hpp"

// The whole way from a sensor's file to the predicted bands, against plain integration of the light
// over every row of many frames: within 1 % of the figure or 0.03 points.

using namespace lampbeat::test;

namespace {

struct Tone {
  double hz;
  double amplitude;
  double phase_rad;
};

double light_at(const std::vector<Tone>& tones, double t_s) {
  double sum = 1.0;
  for (const Tone& c : tones) {
    sum += c.amplitude * std::cos(2.0 * std::numbers::pi * c.hz * t_s + c.phase_rad);
  }
  return sum;
}

}  // namespace

TEST_CASE("predict agrees with brute force for random lights, rates, shutters and readouts") {
  std::mt19937 random(20260);
  const std::vector<std::pair<std::string, double>> rates = {
      {"23.976", 24000.0 / 1001.0}, {"25", 25.0}, {"30000/1001", 30000.0 / 1001.0},
      {"59.94", 60000.0 / 1001.0},  {"60", 60.0}, {"240", 240.0}};
  const std::vector<double> beats_hz = {100.0, 120.0, 119.98, 240.0, 487.7};
  // Each rhythm at each rate once, 120 Hz at 24000/1001 and 30000/1001 among them, where bands
  // creep by 120/1001 Hz.
  const int all = static_cast<int>(rates.size() * beats_hz.size());
  const ScratchFolder folder("brute-force");
  for (int trial = 0; trial < all; ++trial) {
    std::vector<Tone> tones;
    const double beat_hz = beats_hz[static_cast<std::size_t>(trial) % beats_hz.size()];
    for (int i = 1; i <= 1 + trial % 3; ++i) {
      tones.push_back({beat_hz * i, between(random, 0.05, 0.3) / i, between(random, -3.0, 3.0)});
    }
    const auto& [rate_text, fps] = rates[static_cast<std::size_t>(trial) % rates.size()];
    const double exposure_us = std::floor(1e6 * between(random, 0.1, 0.98) / fps);
    const double readout_us =
        trial % 7 == 4 ? 0.0 : std::floor(1e6 * between(random, 0.1, 0.95) / fps);
    const std::string capture = folder.file("a.wav");
    write_file(capture,
               wav_of_floats({sampled([&](double t_s) { return 0.3 * light_at(tones, t_s); })}));
    std::string light = capture;
    if (trial % 2 == 1) {
      light = folder.file("a.json");
      REQUIRE(run_lampbeat("measure " + capture + " --save " + light).exit_code == 0);
    }
    const Json p = answer(fmt::format(
        "predict --light {} --fps {} --shutter {:.0f}us --readout {} --rows 240", light, rate_text,
        exposure_us, readout_us > 0.0 ? fmt::format("{:.0f}us", readout_us) : "global"));

    const brute_force::Camera camera{fps, exposure_us * 1e-6, readout_us * 1e-6, 240};
    const auto wave = [&](double t_s) { return light_at(tones, t_s); };
    const auto starts = brute_force::starts_over(1.0 / beat_hz, 48);
    const int pieces = 2 + static_cast<int>(exposure_us * 1e-6 * beat_hz * 8.0);
    const double bands = 100.0 * brute_force::worst_banding(wave, camera, starts, pieces);
    INFO(trial << ": " << beat_hz << " Hz, " << rate_text << " fps, " << exposure_us << " us, "
               << readout_us << " us");
    CHECK(p["fps"].get<double>() == Approx(fps).epsilon(1e-12));
    CHECK(p["exposure_s"].get<double>() == Approx(exposure_us * 1e-6).epsilon(1e-9));
    CHECK(std::abs(p["band_percent"].get<double>() - bands) <= std::max(0.03, 0.01 * bands));
    CHECK(p["worst"]["band_percent"].get<double>() >= p["band_percent"].get<double>() - 1e-9);
    CHECK(p["worst"]["pulse_percent"].get<double>() >= p["pulse_percent"].get<double>() - 1e-9);
    if (tones.size() == 1) {
      const double roll_hz = std::remainder(beat_hz, fps);
      CHECK(std::abs(p["roll_hz"].get<double>() - roll_hz) < 0.005);
      CHECK(p["bands_per_frame"].get<double>() ==
            Approx(beat_hz * readout_us * 1e-6).margin(0.002));
    }
  }
}
