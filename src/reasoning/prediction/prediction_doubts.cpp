#include "reasoning/prediction/prediction_doubts.hpp"

#include <algorithm>
#include <cmath>
#include <span>

#include <fmt/format.h>

#include "lampbeat/visibility.hpp"
#include "reasoning/mixture/series.hpp"
#include "reasoning/prediction/flashing.hpp"
#include "words/numbers.hpp"

namespace lampbeat::reasoning::prediction {
namespace {

/// Whether a sensor saw one of the lights that flicker. Handbook figures and bare frequencies were
/// measured by nobody here.
bool some_measured(std::span<const LightShare> lights) {
  return std::any_of(lights.begin(), lights.end(), [](const LightShare& l) {
    return l.light.depth != DepthKnown::typical && !l.light.any_waveform &&
           !l.light.components.empty();
  });
}

}  // namespace

void note_doubts(Prediction& p, double unseen_visibility) {
  const auto note = [&](const char* code, std::string message) {
    p.findings.push_back({code, std::move(message)});
  };
  const Recorded& worst = p.worst;
  const auto flickering = std::count_if(p.lights.begin(), p.lights.end(), [](const LightShare& l) {
    return !l.light.components.empty();
  });
  if (flickering > 1) {
    note("unknown_alignment",
         fmt::format(
             "Whether these {} flickering lights brighten together or in turn is not known (each "
             "is known by itself, and lights of different kinds brighten at different moments even "
             "on one "
             "phase of the supply), so the worst combination is assumed.",
             flickering));
  } else if (mixture::series_of(p.lights).size() > 1) {
    note("independent_rhythms",
         "This light has rhythms that slide against each other; the figures are for the moment at "
         "which they add up worst.");
  }
  if (p.nominal.verdict < worst.verdict && worst.clock_percent != 0.0) {
    note("own_clock",
         fmt::format("One light here keeps its own time instead of following the mains. Its speed "
                     "differs from lamp to lamp and as it warms up, so it is taken to be up to {} "
                     "% off. {} the shot would be {}; {} % off it is {}. If you know it "
                     "to be steadier, give --clock-tolerance.",
                     words::in_digits_at_most(*p.clock_tolerance_percent, 2),
                     some_measured(p.lights) ? "As measured" : "As it stands",
                     verdict_word(p.nominal.verdict),
                     words::in_digits_at_most(std::abs(worst.clock_percent), 2),
                     verdict_word(worst.verdict)));
  }
  if (!p.worst_state.empty()) {
    note("state_decides", fmt::format("The worst is that of {}.", p.worst_state));
  }
  if (unseen_visibility >= clean_below && is_clean(worst)) {
    double noise_percent = 0.0;
    for (const LightShare& l : p.lights) {
      noise_percent = std::max(noise_percent, l.share * l.light.noise_percent);
    }
    note("below_measured_noise",
         fmt::format(
             "Flicker below {} % could not be seen in {}, and could show on film. Record longer "
             "or with more light on the sensor to be sure.",
             words::in_digits_at_most(noise_percent, 2),
             p.lights.size() > 1 ? "these recordings" : "this recording"));
  }
  const double modulation_percent = deeper_percent(worst);
  const double step_percent = 100.0 * recording_step(p.options.viewing.recording_bits);
  if (!is_clean(worst) && 2.0 * modulation_percent < step_percent) {
    note("below_recording_step",
         fmt::format(
             "What is left at worst swings by {} % in all, less than one step of a recording "
             "with {} bits even at white ({} %). The camera's noise carries it over the step "
             "here and there, and an eye that averages rows still finds it, so it is judged as if "
             "it were recorded in full.",
             words::in_digits_at_most(2.0 * modulation_percent, 2),
             p.options.viewing.recording_bits, words::in_digits_at_most(step_percent, 2)));
  }
  const double height_deg = picture_angle(p.options.viewing.distance_heights).height_deg;
  if (worst.band_percent > 0.0 && worst.bands_per_frame > 0.0 &&
      worst.bands_per_frame / height_deg < coarsest_cycles_per_degree) {
    note("coarse_pattern",
         fmt::format("{:.2f} bands over the picture are coarser than the vision model covers; they "
                     "are judged as {:.2f}, which errs on the cautious side.",
                     worst.bands_per_frame, coarsest_cycles_per_degree * height_deg));
  }
  const double slowed = slowing(p.shot.fps.per_s(), p.options.viewing);
  if (!p.options.viewing.playback_fps && slowed < 1.0 && worst.visibility > 0.0) {
    note("judged_as_slow_motion",
         fmt::format("{} frames per second are judged as slow motion shown at {:g}, where the "
                     "flicker runs {} times slower than in the room.",
                     words::in_digits_at_most(p.shot.fps.per_s(), 6), slow_motion_fps,
                     words::in_digits_at_most(1.0 / slowed, 3)));
  }
  if (const auto caution = photosensitive_caution(worst, p.shot.fps, p.options.viewing)) {
    p.findings.push_back(*caution);
  }
  for (const LightShare& l : p.lights) {
    for (const Finding& f : l.light.findings) {
      note(f.code.c_str(), p.lights.size() > 1 && !l.light.name.empty()
                               ? l.light.name + ": " + f.message
                               : f.message);
    }
  }
}

}  // namespace lampbeat::reasoning::prediction
