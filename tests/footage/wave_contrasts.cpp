// Contrasts of known waves against brute force: every start of the frame, all of its rows.

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>

#include "footage/waves/contrasts.hpp"
#include "support/catch.hpp"

using namespace lampbeat::footage::waves;

namespace {

constexpr double turn = 2.0 * std::numbers::pi;

double height(const Wave& wave, double cycles, bool of_frames) {
  double sum = 0.0;
  for (const Harmonic& h : wave.harmonics) {
    const auto amplitude = of_frames ? h.frame_amplitude : h.amplitude;
    sum += (amplitude * std::polar(1.0, turn * h.order * cycles)).real();
  }
  return sum;
}

/// Of samples `step` cycles apart in each wave, over all of their starts.
double by_brute_force(const std::vector<Wave>& waves, const std::vector<double>& step, int samples,
                      bool of_frames, int starts) {
  double worst = 0.0;
  const int second_starts = waves.size() > 1 ? starts : 1;
  for (int i = 0; i < starts; ++i) {
    for (int j = 0; j < second_starts; ++j) {
      double high = 0.0, low = 10.0;
      for (int n = 0; n < samples; ++n) {
        double light = 1.0 + height(waves[0], double(i) / starts + n * step[0], of_frames);
        if (waves.size() > 1) {
          light += height(waves[1], double(j) / starts + n * step[1], of_frames);
        }
        high = std::max(high, light);
        low = std::min(low, std::max(light, 0.0));
      }
      worst = std::max(worst, (high - low) / (high + low));
    }
  }
  return worst;
}

Wave wave_of(double bands, double roll) {
  Wave wave;
  wave.bands = bands;
  wave.roll = roll;
  wave.harmonics = {{1, {0.4, 0.1}, 0.0, {0.1, -0.02}}, {2, {-0.05, 0.12}, 0.0, {0.01, 0.05}}};
  return wave;
}

}  // namespace

TEST_CASE("bands are as deep as the deepest pair of rows, be it less than a whole band apart") {
  const Wave wave = wave_of(GENERATE(0.15, 0.4, 0.8, 1.0, 1.6, 2.3, 13.0), 0.1);
  const int rows = GENERATE(40, 270);
  CAPTURE(wave.bands, rows);
  const double deepest = by_brute_force({wave}, {wave.bands / rows}, rows, false, 2000);
  CHECK(band_contrast({wave}, rows) == Approx(deepest).epsilon(1e-4));
}

TEST_CASE("two patterns are no deeper together than some two rows are in both") {
  const Wave first = wave_of(GENERATE(0.5, 1.6), 0.1);
  Wave second;
  second.bands = GENERATE(0.7, 3.1);
  second.harmonics = {{1, 0.2, 0.0, {}}};
  CAPTURE(first.bands, second.bands);
  constexpr int rows = 60;
  const double deepest =
      by_brute_force({first, second}, {first.bands / rows, second.bands / rows}, rows, false, 240);
  CHECK(band_contrast({first, second}, rows) == Approx(deepest).epsilon(1e-3));
}

TEST_CASE("frames pulse between the phases they meet, whichever way the pattern rolls") {
  const double roll = GENERATE(-0.5, -0.4, -1.0 / 3.0, -0.21, 0.003, 0.25, 0.4);
  CAPTURE(roll);
  const Wave wave = wave_of(1.6, roll);
  constexpr double fps = 25.0;
  const double beat_s = 1.2 / (std::abs(roll) * fps);
  const int frames = static_cast<int>(std::ceil(std::clamp(beat_s, 1.0, 60.0) * fps));
  const double deepest = by_brute_force({wave}, {roll}, frames, true, 2000);
  CHECK(pulse_contrast({wave}, fps) == Approx(deepest).epsilon(1e-4));
}

TEST_CASE("what stands still does not pulse, and a global shutter makes no bands") {
  CHECK(pulse_contrast({wave_of(1.6, 0.0)}, 25.0) == 0.0);
  CHECK(band_contrast({wave_of(0.0, 0.2)}, 270) == 0.0);
}
