#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "lampbeat/banding.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/prediction.hpp"
#include "lampbeat/visibility.hpp"
#include "reasoning/mains.hpp"
#include "reasoning/recorded.hpp"
#include "reasoning/residue.hpp"

namespace lampbeat {
namespace {

using reasoning::Effort;
using reasoning::Rhythm;

void check(const Shot& shot, const PredictionOptions& options) {
  if (shot.fps.numerator <= 0 || shot.fps.denominator <= 0) {
    throw UsageError("the frame rate has to be above 0");
  }
  const double frame_s = shot.fps.frame_s();
  // An exposure of one frame may come out a rounding error too long (1001/24000 typed in decimals).
  if (!(shot.exposure_s > 0.0) || shot.exposure_s > frame_s * (1.0 + 1e-9)) {
    throw UsageError(fmt::format(
        "an exposure of {:g} s does not fit: at {:g} frames per second it lies above 0 and is at "
        "most one frame, {:.6g} s (360°)",
        shot.exposure_s, shot.fps.per_s(), frame_s));
  }
  if (!(shot.readout_s >= 0.0 && shot.readout_s <= 1.0)) {
    throw UsageError(
        fmt::format("A readout of {:g} s is not usable; it lies between 0 (global shutter) and 1 s",
                    shot.readout_s));
  }
  if (shot.rows < 1 || shot.rows > 1000000) {
    throw UsageError(fmt::format("a picture has between 1 and 1000000 rows, not {}", shot.rows));
  }
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
}

/// What is recorded of lights that are already on the mains in question.
Recorded recorded(std::span<const LightShare> lights, std::optional<double> mains_hz,
                  const Shot& shot, const Viewing& viewing, Effort effort) {
  const std::vector<Rhythm> rhythms = reasoning::rhythms_of(lights);
  Recorded r = reasoning::recorded(reasoning::after_exposure(rhythms, shot.exposure_s), shot,
                                   viewing, effort);
  r.mains_hz = mains_hz.value_or(0.0);
  return r;
}

void widen(Recorded& worst, const Recorded& other) {
  if (other.visibility > worst.visibility) {
    worst.mains_hz = other.mains_hz;
    worst.bands_per_frame = other.bands_per_frame;
    worst.roll_hz = other.roll_hz;
    worst.roll_heights_per_s = other.roll_heights_per_s;
    worst.band_hz = other.band_hz;
  }
  if (other.pulse_visibility > worst.pulse_visibility) worst.pulse_hz = other.pulse_hz;
  worst.band_percent = std::max(worst.band_percent, other.band_percent);
  worst.band_stops = std::max(worst.band_stops, other.band_stops);
  worst.pulse_percent = std::max(worst.pulse_percent, other.pulse_percent);
  worst.band_visibility = std::max(worst.band_visibility, other.band_visibility);
  worst.pulse_visibility = std::max(worst.pulse_visibility, other.pulse_visibility);
  worst.visibility = std::max(worst.visibility, other.visibility);
  worst.verdict = std::max(worst.verdict, other.verdict);
}

/// The envelope over the tolerance: a quick look everywhere, a full one where each figure peaks.
Recorded worst_within(const Prediction& p, const Viewing& viewing) {
  Recorded worst = p.nominal;
  if (!p.mains_hz) return worst;
  const auto at = [&](double hz, Effort effort) {
    return recorded(reasoning::drifted(p.lights, hz), hz, p.shot, viewing, effort);
  };
  std::vector<Recorded> looks;
  for (const double hz : reasoning::frequencies_within(*p.mains_hz, p.mains_tolerance_hz, p.lights,
                                                       p.shot.exposure_s)) {
    if (hz > 0.0) looks.push_back(at(hz, Effort::quick));
  }
  if (looks.empty()) return worst;
  std::vector<double> peaks;
  for (const auto figure : {&Recorded::visibility, &Recorded::band_percent,
                            &Recorded::pulse_percent, &Recorded::pulse_visibility}) {
    const auto peak = std::max_element(
        looks.begin(), looks.end(),
        [&](const Recorded& a, const Recorded& b) { return a.*figure < b.*figure; });
    if (std::find(peaks.begin(), peaks.end(), peak->mains_hz) == peaks.end()) {
      peaks.push_back(peak->mains_hz);
    }
  }
  for (const double hz : peaks) widen(worst, at(hz, Effort::full));
  return worst;
}

/// Whether a free-running light would be seen if its clock ran one per cent off, as dimmers' do.
bool rests_on_an_own_clock(const Prediction& p) {
  constexpr double clock_error = 0.01;
  for (const double off : {1.0 - clock_error, 1.0 + clock_error}) {
    std::vector<LightShare> moved = p.lights;
    bool runs_free = false;
    for (LightShare& l : moved) {
      for (LightComponent& c : l.light.components) {
        if (c.mains_order && l.light.mains_hz) continue;
        c.hz *= off;
        runs_free = true;
      }
    }
    if (!runs_free) return false;
    const Recorded there = recorded(moved, p.mains_hz, p.shot, p.viewing, Effort::quick);
    if (there.verdict > Verdict::borderline) return true;
  }
  return false;
}

void note_doubts(Prediction& p) {
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
  if (worst.verdict == Verdict::clean && rests_on_an_own_clock(p)) {
    note(
        "own_clock",
        "What is left of a light that is not locked to the mains counts on whole cycles of its own "
        "clock, which differs from unit to unit and with warmth. The verdict holds for the very "
        "fixture and level that were measured; 1 % off, it would show.");
  }
  double noise_percent = 0.0;
  for (const LightShare& l : p.lights) {
    noise_percent = std::max(noise_percent, l.share * l.light.noise_percent);
  }
  const double modulation_percent = std::max(worst.band_percent, worst.pulse_percent);
  const double noise_visibility =
      worst.bands_per_frame > 0.0 && modulation_percent > 0.0
          ? band_visibility(noise_percent / 100.0, worst.bands_per_frame, worst.roll_hz, p.viewing)
          : pulse_visibility(noise_percent / 100.0, 10.0, p.viewing);
  if (noise_percent > modulation_percent && noise_visibility >= clean_below) {
    note("below_measured_noise",
         fmt::format("The measurement could not see components below {:.2g} % of this light, which "
                     "could be visible; take a quieter or longer capture to be sure.",
                     noise_percent));
  }
  const double step_percent = 100.0 * recording_step(p.viewing.recording_bits);
  if (modulation_percent > 0.0 && 2.0 * modulation_percent < step_percent) {
    note("below_recording_step",
         fmt::format(
             "What is left at worst swings by {:.2g} % in all, less than one step of a recording "
             "with {} bits even at white ({:.2g} %): it cannot be recorded as a pattern.",
             2.0 * modulation_percent, p.viewing.recording_bits, step_percent));
  }
  const double height_deg = picture_angle(p.viewing.distance_heights).height_deg;
  if (worst.band_percent > 0.0 && worst.bands_per_frame > 0.0 &&
      worst.bands_per_frame / height_deg < coarsest_cycles_per_degree) {
    note("coarse_pattern",
         fmt::format("{:.2f} bands over the picture are coarser than the vision model covers; they "
                     "are judged as {:.2f}, which errs on the cautious side.",
                     worst.bands_per_frame, coarsest_cycles_per_degree * height_deg));
  }
  if (p.shot.readout_s > p.shot.fps.frame_s() * (1.0 + 1e-9)) {
    note("readout_longer_than_frame",
         fmt::format("A readout of {:.4g} ms is longer than a frame ({:.4g} ms), which a sensor "
                     "read from top to bottom cannot do; check the figure for this mode.",
                     1e3 * p.shot.readout_s, 1e3 * p.shot.fps.frame_s()));
  }
  const double slowed = reasoning::slowing(p.shot.fps, p.viewing);
  if (!p.viewing.playback_fps && slowed < 1.0 && worst.visibility > 0.0) {
    note("judged_as_slow_motion",
         fmt::format("{:.6g} frames per second are judged as slow motion shown at {:g}, where the "
                     "flicker runs {:.3g} times slower than in the room.",
                     p.shot.fps.per_s(), reasoning::slow_motion_fps, 1.0 / slowed));
  }
  const double shown_hz = slowed * worst.pulse_hz;
  const double on_screen = std::min(1.0, system_gamma * worst.pulse_percent / 100.0);
  if (flashes_hazardously(on_screen, shown_hz, p.viewing.screen_cd_m2)) {
    note(
        "photosensitive_caution",
        fmt::format(
            "The whole picture would pulse {:.3g} times a second; a wall shown at {:.3g} cd/m² "
            "would swing by {:.3g} cd/m². Broadcast guidance (ITU-R BT.1702) counts more than 3 "
            "flashes a second "
            "of 20 cd/m² or more as a risk for people with photosensitive epilepsy; do not publish "
            "it without a warning, or better, film it otherwise.",
            shown_hz, p.viewing.screen_cd_m2, 2.0 * on_screen * p.viewing.screen_cd_m2));
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

Prediction predict(std::span<const LightShare> lights, const Shot& shot,
                   const PredictionOptions& options) {
  check(shot, options);
  reasoning::Supply supply =
      reasoning::on_one_mains(reasoning::with_normal_shares(lights), options.mains_hz);
  Prediction p;
  p.lights = std::move(supply.lights);
  p.mains_hz = supply.mains_hz;
  p.findings = std::move(supply.findings);
  if (p.mains_hz) {
    p.mains_tolerance_hz =
        options.mains_tolerance_hz.value_or(default_mains_tolerance_hz(*p.mains_hz));
  }
  p.shot = shot;
  p.viewing = options.viewing;
  p.nominal = recorded(p.lights, p.mains_hz, shot, options.viewing, Effort::full);
  p.worst = worst_within(p, options.viewing);
  note_doubts(p);
  return p;
}

}  // namespace lampbeat
