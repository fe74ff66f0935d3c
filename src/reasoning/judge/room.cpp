#include "reasoning/judge/room.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "lampbeat/error.hpp"
#include "lampbeat/visibility.hpp"
#include "reasoning/mixture/mains.hpp"
#include "reasoning/mixture/series.hpp"

namespace lampbeat::reasoning::judge {
namespace {

// Limits far beyond what is built, filmed and watched; they catch slips of the unit: a readout in
// milliseconds, a distance in metres, a tolerance in hertz.

void check_camera(std::optional<double> readout_s, int rows) {
  if (readout_s && !(*readout_s >= 0.0 && *readout_s <= 1.0)) {
    throw UsageError(
        fmt::format("A readout of {:g} s is not usable; it lies between 0 (global shutter) and 1 s",
                    *readout_s));
  }
  if (rows < 1 || rows > 1000000) {
    throw UsageError(fmt::format("a picture has between 1 and 1000000 rows, not {}", rows));
  }
}

void check_options(const PredictionOptions& options) {
  const Viewing& viewing = options.viewing;
  if (!(viewing.distance_heights >= 0.1 && viewing.distance_heights <= 100.0)) {
    throw UsageError(
        fmt::format("a viewing distance lies between 0.1 and 100 picture heights, not {:g}",
                    viewing.distance_heights));
  }
  if (!(viewing.screen_cd_m2 >= 0.1 && viewing.screen_cd_m2 <= 10000.0)) {
    throw UsageError(
        fmt::format("a screen shows between 0.1 and 10000 cd/m², not {:g}", viewing.screen_cd_m2));
  }
  if (viewing.noise_percent &&
      !(*viewing.noise_percent >= 0.0 && *viewing.noise_percent <= 100.0)) {
    throw UsageError(fmt::format("a camera's noise lies between 0 and 100 % of a pixel, not {:g}",
                                 *viewing.noise_percent));
  }
  if (viewing.playback_fps && !(*viewing.playback_fps >= 1.0 && *viewing.playback_fps <= 1000.0)) {
    throw UsageError(fmt::format("a clip is shown at 1 to 1000 frames per second, not {:g}",
                                 *viewing.playback_fps));
  }
  recording_step(viewing.recording_bits);
  if (options.mains_tolerance_hz &&
      !(*options.mains_tolerance_hz >= 0.0 && *options.mains_tolerance_hz <= 100.0)) {
    throw UsageError(fmt::format("a mains tolerance lies between 0 and 100 Hz, not {:g}",
                                 *options.mains_tolerance_hz));
  }
  if (options.clock_tolerance_percent &&
      !(*options.clock_tolerance_percent >= 0.0 && *options.clock_tolerance_percent <= 20.0)) {
    throw UsageError(fmt::format("a clock tolerance lies between 0 and 20 %, not {:g}",
                                 *options.clock_tolerance_percent));
  }
}

/// Shares are of each other: one light alone gives all there is.
void note_lone_share(Findings& findings, std::span<const LightShare> lights) {
  if (lights.size() != 1 || lights.front().share == 1.0) return;
  findings.push_back(
      {"lone_share",
       fmt::format("'{}' is the only light named, so it is judged as all the light there is and "
                   "its share of {:g} changes nothing. Name the others with their shares; steady "
                   "daylight is --typical daylight.",
                   lights.front().light.name, lights.front().share)});
}

bool runs_free(const Light& light) {
  const auto free_part = [](const auto& state) {
    return std::any_of(state.components.begin(), state.components.end(),
                       [&](const LightComponent& c) { return !(c.mains_order && state.mains_hz); });
  };
  return free_part(light) ||
         std::any_of(light.other_states.begin(), light.other_states.end(), free_part);
}

/// A capture shows the mains as it ran that minute; other takes are filmed anywhere within the
/// tolerance about the frequency that is meant.
double tolerance_about(double mains_hz, const PredictionOptions& options) {
  if (options.mains_tolerance_hz) return *options.mains_tolerance_hz;
  const double beside = options.mains_hz ? 0.0 : std::abs(mains_hz - nominal_mains_hz(mains_hz));
  return default_mains_tolerance_hz(mains_hz) + beside;
}

}  // namespace

Room room_of(std::span<const LightShare> lights, const PredictionOptions& options) {
  check_options(options);
  mixture::Supply supply =
      mixture::on_one_mains(mixture::with_normal_shares(lights), options.mains_hz);
  Room room;
  room.lights = std::move(supply.lights);
  room.mains_hz = supply.mains_hz;
  room.findings = std::move(supply.findings);
  note_lone_share(room.findings, lights);
  room.options = options;
  if (room.mains_hz) room.mains_tolerance_hz = tolerance_about(*room.mains_hz, options);
  room.tolerances = {room.mains_hz ? room.mains_tolerance_hz : options.mains_tolerance_hz,
                     options.clock_tolerance_percent};
  for (const LightShare& l : room.lights) {
    if (!runs_free(l.light)) continue;
    room.clock_tolerance_percent =
        std::max(room.clock_tolerance_percent.value_or(0.0),
                 options.clock_tolerance_percent.value_or(clock_tolerance_percent(l.light)));
  }
  return room;
}

Judge judge_of(const Room& room, std::optional<double> readout_s, int rows) {
  check_camera(readout_s, rows);
  return {room.lights,
          room.mains_hz ? room.mains_hz : room.options.mains_hz,
          room.tolerances,
          readout_s,
          rows,
          room.options.viewing};
}

}  // namespace lampbeat::reasoning::judge
