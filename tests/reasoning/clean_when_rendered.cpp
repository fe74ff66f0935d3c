#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>
#include <random>
#include <vector>

#include "lampbeat/prediction.hpp"
#include "lampbeat/visibility.hpp"
#include "support/catch.hpp"
#include "support/draws.hpp"

using namespace lampbeat;

// Whatever predict calls clean is rendered row by row, with noise, and judged from the picture
// alone: spatial frequency and roll are read off the rendered rows, nothing is taken from the
// library but the published models themselves.

namespace {

constexpr double pi = std::numbers::pi;
constexpr int frames = 48;
constexpr int most_bands = 160;

using Random = std::mt19937_64;
using lampbeat::test::between;
using lampbeat::test::logarithmic;

/// |sin| at twice the mains, a lone cosine or PWM, of a random depth.
Light random_light(Random& random) {
  Light light;
  const double depth = logarithmic(random, 0.002, 1.0);
  const auto add = [&](double hz, double amplitude, std::optional<int> order) {
    light.components.push_back({hz, depth * amplitude, between(random, -pi, pi), order});
  };
  switch (random() % 3) {
    case 0: {
      light.mains_hz = random() % 2 == 0 ? 50.0 : 60.0;
      for (int k = 1; k <= 6; ++k) add(2 * k * *light.mains_hz, 2.0 / (4.0 * k * k - 1.0), 2 * k);
      break;
    }
    case 1:
      add(logarithmic(random, 100.0, 200000.0), 1.0, {});
      break;
    default: {
      const double hz = logarithmic(random, 100.0, 20000.0);
      const double duty = between(random, 0.05, 0.95);
      for (int k = 1; k <= 12; ++k) {
        add(k * hz, 2.0 * std::abs(std::sin(pi * k * duty)) / (pi * k * duty), {});
      }
    }
  }
  return light;
}

Shot random_shot(Random& random) {
  static const FrameRate rates[] = {{24000, 1001}, {24, 1}, {25, 1}, {30000, 1001},
                                    {30, 1},       {50, 1}, {60, 1}, {120, 1}};
  Shot shot;
  shot.fps = rates[random() % std::size(rates)];
  shot.exposure_s = std::min(shot.fps.frame_s(), logarithmic(random, 1.0 / 8000, 1.0 / 24));
  if (random() % 2 == 0) {  // a habitual one
    shot.exposure_s = std::min(shot.fps.frame_s(), 1.0 / (random() % 2 == 0 ? 50.0 : 60.0));
  }
  shot.readout_s = random() % 6 == 0 ? 0.0 : between(random, 0.004, 1.0) * shot.fps.frame_s();
  shot.rows = static_cast<int>(480 + random() % 1681);
  return shot;
}

/// rows[frame][row] of the mean over 1920 noisy pixels, every row's exposure integrated exactly.
std::vector<std::vector<double>> rendered(const Light& light, const Shot& shot, Random& random) {
  std::normal_distribution<double> noise(0.0, between(random, 0.002, 0.01) / std::sqrt(1920.0));
  std::vector<std::vector<double>> picture(frames);
  const double start_s = between(random, 0.0, 1.0);
  std::vector<std::complex<double>> turn, row_turn, frame_turn;
  for (const LightComponent& c : light.components) {
    const double x = pi * c.hz * shot.exposure_s;
    const double left = c.amplitude * std::sin(x) / x;
    const auto at = [&](double s) { return 2.0 * pi * std::fmod(c.hz * s, 1.0); };
    turn.push_back(std::polar(1.0, at(start_s + shot.exposure_s / 2.0) + c.phase_rad) * left);
    row_turn.push_back(std::polar(1.0, at(shot.readout_s / shot.rows)));
    frame_turn.push_back(std::polar(1.0, at(shot.fps.frame_s())));
  }
  for (auto& rows : picture) {
    rows.assign(static_cast<std::size_t>(shot.rows), 1.0);
    for (std::size_t i = 0; i < turn.size(); ++i) {
      if (std::abs(turn[i]) < 1e-7) continue;
      std::complex<double> z = turn[i];
      for (double& row : rows) row += z.real(), z *= row_turn[i];
      turn[i] *= frame_turn[i];
    }
    for (double& row : rows) row += noise(random);
  }
  return picture;
}

double threshold_ratio(double amplitude, double bands, double hz) {
  const Viewing viewing;
  const PictureAngle picture = picture_angle(viewing.distance_heights);
  const double cpd = std::max(coarsest_cycles_per_degree, bands / picture.height_deg);
  const double field_deg = std::sqrt(picture.area_deg2);
  double sensitivity = contrast_sensitivity(cpd, hz, 100.0, picture.area_deg2);
  if (bands > 0.0) {
    sensitivity = std::max({sensitivity, barten_sensitivity(cpd, hz, 100.0, field_deg),
                            measured_standing_sensitivity(cpd, hz, picture.area_deg2)});
  } else if (hz >= 4.0) {
    sensitivity = std::max(sensitivity, barten_sensitivity(0.0, hz, 100.0, field_deg));
  }
  return system_gamma * amplitude * sensitivity;
}

double slowed(FrameRate fps) { return fps.per_s() > 60.0 ? 30.0 / fps.per_s() : 1.0; }

/// The most visible pattern in the picture, over every whole number of bands and every beat.
double seen_in(const std::vector<std::vector<double>>& picture, const Shot& shot) {
  double most = 0.0;
  std::vector<double> means;
  for (const auto& rows : picture) {
    double sum = 0.0;
    for (const double row : rows) sum += row;
    means.push_back(sum / static_cast<double>(rows.size()));
  }
  for (int k = 1; 2 * k <= frames; ++k) {  // beats of the frame means
    std::complex<double> sum;
    for (int n = 0; n < frames; ++n) {
      sum += means[static_cast<std::size_t>(n)] * std::polar(1.0, -2.0 * pi * k * n / frames);
    }
    const double hz = shot.fps.per_s() * k / frames;
    most =
        std::max(most, threshold_ratio(2.0 * std::abs(sum) / frames, 0.0, slowed(shot.fps) * hz));
  }
  if (shot.readout_s == 0.0) return most;
  for (int bands = 1; bands <= std::min(most_bands, shot.rows / 2); ++bands) {
    const std::complex<double> step = std::polar(1.0, -2.0 * pi * bands / shot.rows);
    std::complex<double> before, advance;
    double amplitude = 0.0;
    for (std::size_t n = 0; n < 6; ++n) {
      std::complex<double> z = 1.0, sum;
      for (const double row : picture[n]) sum += (row - means[n]) * z, z *= step;
      sum *= 2.0 / shot.rows;
      amplitude += std::abs(sum) / 6.0;
      if (n > 0) advance += sum * std::conj(before);
      before = sum;
    }
    const double roll_hz = std::abs(std::arg(advance)) / (2.0 * pi) * shot.fps.per_s();
    most = std::max(most, threshold_ratio(amplitude, bands, slowed(shot.fps) * roll_hz));
  }
  return most;
}

}  // namespace

TEST_CASE("what predict calls clean stays below every published threshold when it is rendered") {
  Random random(20261126);
  int clean = 0;
  for (int i = 0; i < lampbeat::test::draws(2000); ++i) {
    const Light light = random_light(random);
    const Shot shot = random_shot(random);
    PredictionOptions options;
    options.mains_tolerance_hz = 0.0;
    const LightShare alone{light, 1.0};
    const Prediction p = predict({&alone, 1}, shot, options);
    if (p.nominal.verdict != Verdict::clean) continue;
    ++clean;
    const double seen = seen_in(rendered(light, shot, random), shot);
    INFO("draw " << i << ": " << light.components.front().hz << " Hz, "
                 << 100.0 * light.components.front().amplitude << " %, " << shot.fps.per_s()
                 << " fps, 1/" << 1.0 / shot.exposure_s << ", readout " << shot.readout_s << ", "
                 << shot.rows << " rows; band " << p.nominal.band_percent << " %, visibility "
                 << p.nominal.visibility);
    CHECK(seen <= 1.0);
  }
  CHECK(clean > lampbeat::test::draws(2000) / 5);
}

TEST_CASE("rows fold a rhythm by the row clock: 66 kHz at 1080 rows in 16 ms is 24 bands") {
  Light light;
  light.components.push_back({66000.0, 0.5, 0.0, {}});
  const LightShare alone{light, 1.0};
  const Shot shot{{24, 1}, 1.0 / 500000.0, 0.016, 1080};
  const Prediction p = predict({&alone, 1}, shot, {});
  CHECK(p.nominal.bands_per_frame == Approx(24.0));
  CHECK(p.nominal.roll_hz == 0.0);
  CHECK(p.nominal.verdict == Verdict::strong);
}

TEST_CASE("bands over the picture are counted as they lie in rendered rows, whatever the rhythm") {
  Random random(8);
  for (int i = 0; i < 60; ++i) {
    Light light;
    light.components.push_back({logarithmic(random, 2000.0, 200000.0), 0.5, 0.3, {}});
    const double hz = light.components[0].hz;
    Shot shot{{25, 1}, 0.2 / hz, between(random, 0.004, 0.03), 0};
    shot.rows = static_cast<int>(480 + random() % 1681);
    const LightShare alone{light, 1.0};
    const Prediction p = predict({&alone, 1}, shot, {});
    // The strongest frequency of the row profile, read off a fine search.
    const auto rows = rendered(light, shot, random)[0];
    double best = 0.0, found = 0.0;
    for (double bands = 0.0; bands <= shot.rows / 2.0; bands += 0.25) {
      std::complex<double> z = 1.0, sum;
      const std::complex<double> step = std::polar(1.0, -2.0 * pi * bands / shot.rows);
      for (const double row : rows) sum += (row - 1.0) * z, z *= step;
      if (std::abs(sum) > best) best = std::abs(sum), found = bands;
    }
    INFO(hz << " Hz, " << shot.readout_s << " s, " << shot.rows << " rows");
    CHECK(p.nominal.bands_per_frame == Approx(found).margin(0.6));
  }
}

TEST_CASE("what is weak by every model stays clean") {
  Random random(41);
  int weak = 0;
  int changed = 0;
  for (int i = 0; i < lampbeat::test::draws(1000); ++i) {
    const Light light = random_light(random);
    const Shot shot = random_shot(random);
    const LightShare alone{light, 1.0};
    const Prediction p = predict({&alone, 1}, shot, {});
    if (!(p.worst.visibility <= 0.4)) continue;
    ++weak;
    changed += p.worst.verdict != Verdict::clean;
  }
  CHECK(weak > 0);
  CHECK(changed == 0);
}
