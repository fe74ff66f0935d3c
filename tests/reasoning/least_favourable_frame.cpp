#include <algorithm>
#include <random>

#include "lampbeat/banding.hpp"
#include "lampbeat/typical.hpp"
#include "reasoning/predict_lights.hpp"
#include "support/catch.hpp"
#include "support/draws.hpp"

using namespace lampbeat;
using namespace predict_lights;
using lampbeat::test::draws;

namespace {

double michelson_percent(const std::vector<double>& rows) {
  const auto [low, high] = std::minmax_element(rows.begin(), rows.end());
  return 100.0 * (*high - *low) / (*high + *low);
}

void shows_its_contrast(const std::vector<LightShare>& lights, const Shot& shot) {
  const Prediction p = predict(lights, shot, {});
  const std::vector<double> rows = least_favourable_rows(p);
  CAPTURE(shot.exposure_s, shot.readout_s, shot.rows, p.nominal.band_percent);
  REQUIRE(rows.size() == static_cast<std::size_t>(shot.rows));
  const double drawn = michelson_percent(rows);
  // The pair of rows that was found is in the frame, and no other two differ noticeably more.
  CHECK(drawn >= p.nominal.band_percent * (1.0 - 1e-9));
  CHECK(drawn <= p.nominal.band_percent * (1.0 + 1e-3) + 1e-9);
}

}  // namespace

TEST_CASE("the least favourable frame is the one whose contrast was predicted") {
  const Light tube = typical_light("tube-magnetic", 50.0);
  const Light strip = typical_light("led-pwm", 50.0);
  shows_its_contrast({{tube, 1.0}}, {{30, 1}, 1.0 / 250.0, 0.016, 1080});
  shows_its_contrast({{typical_light("led-rippled", 60.0), 1.0}},
                     {{24, 1}, 1.0 / 48.0, 0.02, 2160});
  shows_its_contrast({{strip, 1.0}}, {{24, 1}, 1.0 / 1000.0, 0.02, 1080});
  shows_its_contrast({{tube, 2.0}, {strip, 1.0}}, {{25, 1}, 1.0 / 180.0, 0.02, 1080});
  shows_its_contrast({{mains_ripple(50.0, 1.0), 1.0}}, {{25, 1}, 1.0 / 1000.0, 0.016, 720});
  shows_its_contrast({{mains_ripple(50.0, 0.3), 1.0}}, {{25, 1}, 1.0 / 1000.0, 0.002, 720});
  std::mt19937 random(611);
  for (int i = 0; i < draws(100); ++i) {
    const Light one = locked_series(random, 50.0, 6);
    const Light other = series(random, between(random, 60.0, 3000.0), 4);
    const Shot shot{{25, 1},
                    between(random, 1.0 / 4000.0, 1.0 / 25.0),
                    between(random, 0.001, 0.03),
                    1 + static_cast<int>(between(random, 100.0, 2500.0))};
    shows_its_contrast({{one, 1.0}, {other, between(random, 0.2, 3.0)}}, shot);
    shows_its_contrast({{other, 1.0}}, shot);
  }
}

TEST_CASE("the frame is of the state of the light that decides the nominal figures") {
  Light light = mains_ripple(50.0, 0.02);
  light.name = "panel";
  light.other_states.push_back({"later", 50.0, mains_ripple(50.0, 0.4).components, {}, 0.0});
  shows_its_contrast({{light, 1.0}}, {{25, 1}, 1.0 / 250.0, 0.016, 1080});
}
