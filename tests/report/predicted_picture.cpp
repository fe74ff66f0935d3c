#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "lampbeat/banding.hpp"
#include "lampbeat/clip.hpp"
#include "lampbeat/exposure.hpp"
#include "lampbeat/picture.hpp"
#include "lampbeat/typical.hpp"
#include "support/catch.hpp"
#include "support/scratch.hpp"

using namespace lampbeat;

namespace {

double michelson_percent(const std::vector<double>& rows) {
  const auto [low, high] = std::minmax_element(rows.begin(), rows.end());
  return 100.0 * (*high - *low) / (*high + *low);
}

Prediction prediction_of(std::vector<LightShare> lights, double fps, double exposure_s,
                         double readout_s, int rows = 1080) {
  const Shot shot{
      {static_cast<std::int64_t>(std::lround(fps * 1000)), 1000}, exposure_s, readout_s, rows};
  return predict(lights, shot, {});
}

}  // namespace

TEST_CASE("The predicted rows show the predicted band contrast") {
  const Light tube = typical_light("tube-magnetic", 50.0);
  const Light led = typical_light("led-rippled", 50.0);
  const Light strip = typical_light("led-pwm", 50.0);
  const auto agrees = [](const Prediction& prediction) {
    CAPTURE(prediction.nominal.band_percent);
    CHECK(michelson_percent(least_favourable_rows(prediction)) ==
          Approx(prediction.nominal.band_percent).epsilon(0.01).margin(0.02));
  };
  agrees(prediction_of({{tube, 1.0}}, 30.0, 1.0 / 250.0, 0.016));
  agrees(prediction_of({{led, 1.0}}, 25.0, 1.0 / 1000.0, 0.008));
  agrees(prediction_of({{led, 1.0}}, 24.0, 1.0 / 48.0, 0.02));
  agrees(prediction_of({{strip, 1.0}}, 24.0, 1.0 / 48.0, 0.02));
  agrees(prediction_of({{tube, 1.0}}, 24.0, 1.0 / 50.0, 0.02));
  agrees(prediction_of({{tube, 2.0}, {strip, 1.0}}, 25.0, 1.0 / 180.0, 0.02));
  agrees(prediction_of({{tube, 1.0}, {led, 0.5}, {strip, 0.5}}, 60.0, 1.0 / 70.0, 0.01, 2160));
  agrees(prediction_of({{tube, 1.0}}, 30.0, 1.0 / 250.0, 0.0005, 300));
}

TEST_CASE("The rows of one light are those of a frame that starts at some instant") {
  const Light led = typical_light("led-rippled", 50.0);
  const Prediction prediction = prediction_of({{led, 1.0}}, 30.0, 1.0 / 250.0, 0.012, 400);
  const std::vector<double> rows = least_favourable_rows(prediction);
  double closest = 1e9;
  for (int start = 0; start < 4000; ++start) {
    double farthest = 0.0;
    for (std::size_t row = 0; row < rows.size(); row += 7) {
      const double start_s = start * 0.01 / 4000 + static_cast<double>(row) * 0.012 / 400;
      farthest = std::max(farthest, std::abs(rows[row] - row_exposure(led, start_s, 1.0 / 250.0)));
    }
    closest = std::min(closest, farthest);
  }
  CHECK(closest < 2e-3);
}

TEST_CASE("A global shutter shows one level: the darkest the light gets") {
  const Light led = typical_light("led-rippled", 50.0);
  const std::vector<double> rows =
      least_favourable_rows(prediction_of({{led, 1.0}}, 120.0, 1.0 / 240.0, 0.0, 90));
  double darkest = 1e9;
  for (int start = 0; start < 2000; ++start) {
    darkest = std::min(darkest, row_exposure(led, start * 0.01 / 2000, 1.0 / 240.0));
  }
  for (const double row : rows) CHECK(row == Approx(darkest).margin(1e-4));
}

TEST_CASE("The picture holds the wall as recorded on the left and the steady wall on the right") {
  const Light tube = typical_light("tube-magnetic", 60.0);
  const Prediction prediction = prediction_of({{tube, 1.0}}, 24.0, 1.0 / 250.0, 0.016);
  const std::vector<double> rows = least_favourable_rows(prediction);
  const test::ScratchFile file("frame.png", predicted_frame_png(prediction));
  const auto clip = open_clip(file.path());
  REQUIRE(clip->format().width == 960);
  REQUIRE(clip->format().height == 540);
  const std::vector<std::uint16_t>* frame = clip->next();
  REQUIRE(frame != nullptr);
  const double white = std::ldexp(1.0, clip->format().bits) - 1.0;
  const auto linear = [&](int x, int y) {
    return decode(
        {Transfer::srgb},
        (*frame)[static_cast<std::size_t>(y) * 960 + static_cast<std::size_t>(x)] / white);
  };
  for (int y = 0; y < 540; y += 9) {
    const double steady = linear(900, y);
    CHECK(steady == Approx(0.4).margin(0.4 / 65535.0 * 4.0));
    CHECK(linear(10, y) / steady == Approx(rows[static_cast<std::size_t>(2 * y + 1)]).margin(1e-4));
    CHECK(linear(10, y) == linear(471, y));
    CHECK(linear(480, y) < 0.1 * steady);
  }
}

TEST_CASE("Under steady light both halves of the picture are the same") {
  const Prediction prediction =
      prediction_of({{typical_light("daylight", 50.0), 1.0}}, 25.0, 1.0 / 50.0, 0.02);
  const test::ScratchFile file("steady.png", predicted_frame_png(prediction));
  const auto clip = open_clip(file.path());
  const std::vector<std::uint16_t>* frame = clip->next();
  REQUIRE(frame != nullptr);
  for (std::size_t y = 0; y < 540; ++y) CHECK((*frame)[y * 960] == (*frame)[y * 960 + 959]);
}
