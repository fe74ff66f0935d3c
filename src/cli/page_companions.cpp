#include "cli/page_companions.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "lampbeat/advice.hpp"
#include "lampbeat/camera.hpp"
#include "lampbeat/meter.hpp"
#include "lampbeat/picture.hpp"
#include "lampbeat/shutters.hpp"

namespace lampbeat::cli {

namespace {

/// The rates people film at; the map's rows.
const std::vector<FrameRate> customary_rates = {{24, 1}, {25, 1}, {30, 1},
                                                {50, 1}, {60, 1}, {120, 1}};

/// The sweep behind the map: from the frame itself down to 1/2000 s in twelfths of a stop would be
/// finer than the map can show; thirds are enough to see where the clean valleys lie.
std::vector<std::string> swept_exposures() {
  constexpr double longest_s = 1.0 / 24.0;
  constexpr double shortest_s = 1.0 / 2000.0;
  constexpr double step_stops = 1.0 / 6.0;
  std::vector<std::string> sweep;
  for (double exposure_s = longest_s; exposure_s >= shortest_s;
       exposure_s *= std::exp2(-step_stops)) {
    sweep.push_back(fmt::format("{:.6f}s", exposure_s));
  }
  return sweep;
}

void add_map(PageCompanions& page, std::span<const LightShare> lights,
             std::optional<double> readout_s, int rows, std::vector<FrameRate> rates,
             const PredictionOptions& options) {
  PlanRequest request;
  if (readout_s) {
    std::erase_if(rates, [&](FrameRate fps) { return !readable_in(*readout_s, fps); });
  }
  request.frame_rates = std::move(rates);
  request.readout_s = readout_s;
  request.rows = rows;
  request.options = options;
  page.plan = plan_shutters(lights, request);
  request.available = swept_exposures();
  page.field = plan_shutters(lights, request);
}

}  // namespace

PageCompanions companions_of(const Measurement& measurement) {
  PageCompanions page;
  const bool judged = measurement.percent_flicker || measurement.steady_below_percent;
  if (!measurement.mean || !judged) return page;
  const Light light = light_from(measurement);
  page.filming = rate_for_filming(light, {}, {});
  const std::vector<LightShare> lights = {{light, 1.0}};
  // A short shutter, as automatic exposure picks it in a bright room: the light shows itself.
  const Shot shot{{30, 1}, 1.0 / 250.0, assumed_readout_s, 1080};
  const Prediction prediction = predict(lights, shot, {});
  page.picture_png = predicted_frame_png(prediction);
  page.picture_note = fmt::format(
      "left: a plain wall at 30 frames a second, 1/250 s, {:.0f} ms readout; right: the same "
      "wall under steady light",
      1e3 * assumed_readout_s);
  page.advice = advise(prediction);
  if (!page.advice.empty()) {
    page.advice.front() = "For example, at 30 frames a second: " + page.advice.front();
  }
  add_map(page, lights, std::nullopt, shot.rows, customary_rates, {});
  return page;
}

PageCompanions companions_of(const Prediction& prediction) {
  PageCompanions page;
  page.advice = advise(prediction);
  page.picture_png = predicted_frame_png(prediction);
  page.picture_note = fmt::format(
      "left: a plain wall at {} frames a second, {}; right: the same under steady light",
      frame_rate_label(prediction.shot.fps), exposure_label(prediction.shot.exposure_s));
  std::vector<FrameRate> rates = customary_rates;
  const double asked = prediction.shot.fps.per_s();
  rates.erase(std::remove_if(rates.begin(), rates.end(),
                             [&](FrameRate r) { return std::abs(r.per_s() - asked) < 0.2; }),
              rates.end());
  rates.insert(rates.begin(), prediction.shot.fps);
  std::optional<double> known_s;
  if (!prediction.readout_assumed) known_s = prediction.shot.readout_s;
  add_map(page, prediction.lights, known_s, prediction.shot.rows, rates, prediction.options);
  return page;
}

}  // namespace lampbeat::cli
