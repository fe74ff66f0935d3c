#include "lampbeat/companions.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "lampbeat/advice.hpp"
#include "lampbeat/camera.hpp"
#include "lampbeat/meter.hpp"

namespace lampbeat {

namespace {

/// The map's rows: of the customary frame rates those people plan for by name; a map of all of them
/// could not be read.
const std::vector<FrameRate> mapped_rates = {{24, 1}, {25, 1}, {30, 1}, {50, 1}, {60, 1}, {120, 1}};

/// The sweep behind the map: from the longest frame of its rows down to where few people go. In
/// twelfths of a stop it would be finer than the map can show; sixths are enough to see where the
/// clean valleys lie.
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

/// What becomes of a shot: "is clean", "will show bands".
std::string fate(const Recorded& worst) {
  switch (worst.verdict) {
    case Verdict::clean:
      return "is clean";
    case Verdict::borderline:
      return fmt::format("may just show {}", shown_word(worst));
    case Verdict::visible:
      return fmt::format("will show {}", shown_word(worst));
    case Verdict::strong:
      break;
  }
  return fmt::format("is ruined by {}", shown_word(worst));
}

/// What most people shoot where the mains has this frequency (common practice, no source); under a
/// light that does not tell, what is shot everywhere.
FrameRate usual_rate(const std::optional<double>& mains_hz) {
  const double nominal_hz = mains_hz ? nominal_mains_hz(*mains_hz) : 0.0;
  if (nominal_hz == 50.0) return {25, 1};
  if (nominal_hz == 60.0) return {30, 1};
  return {24, 1};
}

/// The map for lights and options of a prediction, and a camera whose readout may be unknown.
void add_map(PageCompanions& page, const Prediction& prediction, std::vector<FrameRate> rates) {
  PlanRequest request;
  if (!prediction.shot.readout_assumed) request.readout_s = prediction.shot.readout_s;
  request.frame_rates = those_readable(std::move(rates), request.readout_s);
  request.rows = prediction.shot.rows;
  request.options = prediction.options;
  page.plan = plan_shutters(prediction.lights, request);
  request.available = swept_exposures();
  page.field = plan_shutters(prediction.lights, request);
}

}  // namespace

PageCompanions companions_of(const Measurement& measurement, std::optional<FilmingRating> filming) {
  PageCompanions page;
  if (!filming) return page;
  page.filming = std::move(filming);
  const LightShare alone{light_from(measurement), 1.0};
  const FrameRate fps = usual_rate(measurement.mains_hz);
  const double exposure_s = 0.5 * fps.frame_s();
  page.pictured = predict({&alone, 1}, shot_of(fps, exposure_s, {}), {});
  page.advice = advise(*page.pictured);
  page.advice.insert(
      page.advice.begin(),
      fmt::format("The shot you would likely take, {} frames a second at 180° ({}), {}.",
                  frame_rate_label(fps), exposure_label(exposure_s), fate(page.pictured->worst)));
  add_map(page, *page.pictured, mapped_rates);
  return page;
}

PageCompanions companions_of(const Prediction& prediction, std::span<const std::string> available,
                             std::optional<ShutterNotation> asked) {
  PageCompanions page;
  page.advice = advise(prediction, available, asked);
  page.pictured = prediction;
  std::vector<FrameRate> rates = mapped_rates;
  // 23.976 and 24 would be two rows of the map that say the same.
  constexpr double one_row_per_s = 0.2;
  std::erase_if(rates, [&](FrameRate fps) {
    return std::abs(fps.per_s() - prediction.shot.fps.per_s()) < one_row_per_s;
  });
  rates.insert(rates.begin(), prediction.shot.fps);
  add_map(page, prediction, std::move(rates));
  return page;
}

}  // namespace lampbeat
