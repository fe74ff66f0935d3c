#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "lampbeat/banding.hpp"
#include "lampbeat/camera.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/prediction.hpp"
#include "lampbeat/visibility.hpp"
#include "reasoning/bands/predicted.hpp"
#include "reasoning/bands/recorded.hpp"
#include "reasoning/mixture/mains.hpp"
#include "reasoning/mixture/rhythm.hpp"
#include "reasoning/mixture/unseen.hpp"

namespace lampbeat {
namespace {

void check_exposure(double exposure_s, FrameRate fps) {
  if (fps.numerator <= 0 || fps.denominator <= 0) {
    throw UsageError("the frame rate has to be above 0");
  }
  const double frame_s = fps.frame_s();
  // An exposure of one frame may come out a rounding error too long (1001/24000 typed in decimals).
  if (!(exposure_s > 0.0) || exposure_s > frame_s * (1.0 + 1e-9)) {
    throw UsageError(fmt::format(
        "an exposure of {:g} s does not fit: at {:g} frames per second it lies above 0 and is at "
        "most one frame, {:.6g} s (360°)",
        exposure_s, fps.per_s(), frame_s));
  }
}

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

void note_doubts(Prediction& p, double unseen_visibility) {
  const auto note = [&](const char* code, std::string message) {
    p.findings.push_back({code, std::move(message)});
  };
  const Recorded& worst = p.worst;
  const auto flickering = std::count_if(p.lights.begin(), p.lights.end(), [](const LightShare& l) {
    return !l.light.components.empty();
  });
  if (flickering > 1) {
    note(
        "unknown_alignment",
        fmt::format("How the {} flickering lights stand to each other in time is unknown (captures "
                    "are taken one by one, and fixtures may sit on different phases of the "
                    "supply), so the mixture is judged at its least favourable alignment.",
                    flickering));
  } else if (reasoning::rhythms_of(p.lights).size() > 1) {
    note("independent_rhythms",
         "This light has rhythms that slide against each other; the figures are for the moment at "
         "which they add up worst.");
  }
  if (p.nominal.verdict < worst.verdict && worst.clock_percent != 0.0) {
    note("own_clock",
         fmt::format(
             "A light here is not locked to the mains: its own clock differs from unit to "
             "unit and with warmth, and is taken to be off by up to {:.2g} %. As measured "
             "the shot would be {}; with the clock {:.2g} % off it is {}. Where the clock is "
             "known to be better, say so with --clock-tolerance.",
             *p.clock_tolerance_percent, verdict_word(p.nominal.verdict),
             std::abs(worst.clock_percent), verdict_word(worst.verdict)));
  }
  if (!p.worst_state.empty()) {
    note("state_decides", fmt::format("The worst is that of {}.", p.worst_state));
  }
  if (unseen_visibility >= clean_below && worst.verdict == Verdict::clean) {
    double noise_percent = 0.0;
    for (const LightShare& l : p.lights) {
      noise_percent = std::max(noise_percent, l.share * l.light.noise_percent);
    }
    note("below_measured_noise",
         fmt::format("The measurement could not see components below {:.2g} % of this light, which "
                     "could be visible; take a quieter or longer capture to be sure.",
                     noise_percent));
  }
  const double modulation_percent = std::max(worst.band_percent, worst.pulse_percent);
  const double step_percent = 100.0 * recording_step(p.options.viewing.recording_bits);
  if (worst.verdict != Verdict::clean && 2.0 * modulation_percent < step_percent) {
    note("below_recording_step",
         fmt::format(
             "What is left at worst swings by {:.2g} % in all, less than one step of a recording "
             "with {} bits even at white ({:.2g} %). The camera's noise carries it over the step "
             "here and there, and an eye that averages rows still finds it, so it is judged as if "
             "it were recorded in full.",
             2.0 * modulation_percent, p.options.viewing.recording_bits, step_percent));
  }
  const double height_deg = picture_angle(p.options.viewing.distance_heights).height_deg;
  if (worst.band_percent > 0.0 && worst.bands_per_frame > 0.0 &&
      worst.bands_per_frame / height_deg < coarsest_cycles_per_degree) {
    note("coarse_pattern",
         fmt::format("{:.2f} bands over the picture are coarser than the vision model covers; they "
                     "are judged as {:.2f}, which errs on the cautious side.",
                     worst.bands_per_frame, coarsest_cycles_per_degree * height_deg));
  }
  const double slowed = reasoning::slowing(p.shot.fps, p.options.viewing);
  if (!p.options.viewing.playback_fps && slowed < 1.0 && worst.visibility > 0.0) {
    note("judged_as_slow_motion",
         fmt::format("{:.6g} frames per second are judged as slow motion shown at {:g}, where the "
                     "flicker runs {:.3g} times slower than in the room.",
                     p.shot.fps.per_s(), reasoning::slow_motion_fps, 1.0 / slowed));
  }
  const double shown_hz = slowed * worst.pulse_hz;
  const double on_screen = std::min(1.0, system_gamma * worst.pulse_percent / 100.0);
  if (flashes_hazardously(on_screen, shown_hz, p.options.viewing.screen_cd_m2)) {
    note(
        "photosensitive_caution",
        fmt::format(
            "The whole picture would pulse {:.3g} times a second; a wall shown at {:.3g} cd/m² "
            "would swing by {:.3g} cd/m². Broadcast guidance (ITU-R BT.1702) counts more than 3 "
            "flashes a second "
            "of 20 cd/m² or more as a risk for people with photosensitive epilepsy; do not publish "
            "it without a warning, or better, film it otherwise.",
            shown_hz, p.options.viewing.screen_cd_m2,
            2.0 * on_screen * p.options.viewing.screen_cd_m2));
  }
  for (const LightShare& l : p.lights) {
    for (const Finding& f : l.light.findings) {
      note(f.code.c_str(), p.lights.size() > 1 && !l.light.name.empty()
                               ? l.light.name + ": " + f.message
                               : f.message);
    }
  }
}

}  // namespace

namespace reasoning {

Room room_of(std::span<const LightShare> lights, const PredictionOptions& options) {
  check_options(options);
  Supply supply = on_one_mains(with_normal_shares(lights), options.mains_hz);
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

Prediction predicted(const Room& room, const Judge& judge, double exposure_s, FrameRate fps) {
  check_exposure(exposure_s, fps);
  require_readable(judge.shot(exposure_s, fps).readout_s, {&fps, 1});
  Prediction p;
  p.lights = room.lights;
  p.mains_hz = room.mains_hz;
  p.mains_tolerance_hz = room.mains_tolerance_hz;
  p.clock_tolerance_percent = room.clock_tolerance_percent;
  p.findings = room.findings;
  p.options = room.options;
  p.shot = judge.shot(exposure_s, fps);
  p.nominal = judge.nominal(exposure_s, fps);
  Worst worst = judge.worst(exposure_s, fps, p.nominal);
  p.worst = worst.figures;
  p.worst_state = std::move(worst.state);
  const Judge unseen(unseen_scenes(room), p.shot.readout_s, p.shot.rows, p.options.viewing);
  note_doubts(p, unseen.worst_visibility(exposure_s, fps));
  return p;
}

}  // namespace reasoning

Prediction predict(std::span<const LightShare> lights, const Shot& shot,
                   const PredictionOptions& options) {
  check_exposure(shot.exposure_s, shot.fps);
  const reasoning::Room room = reasoning::room_of(lights, options);
  return reasoning::predicted(room, reasoning::judge_of(room, shot.readout_s, shot.rows),
                              shot.exposure_s, shot.fps);
}

}  // namespace lampbeat
