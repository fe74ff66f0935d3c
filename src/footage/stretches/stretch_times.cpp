#include "footage/stretches/stretch_times.hpp"

#include <algorithm>
#include <cmath>

#include "arithmetic/median.hpp"
#include "footage/stretches/frame_limits.hpp"
#include "footage/stretches/frame_phases.hpp"
#include "footage/stretches/frame_steps.hpp"
#include "footage/stretches/placed_frames.hpp"
#include "footage/stretches/vague.hpp"

namespace lampbeat::footage::stretches {

namespace {

constexpr double any_roll = 0.5;  // cycles per frame
// Of the depth: a second harmonic that would move no figure is left out.
constexpr double least_second = 0.03;

/// Every repeated frame stands where one was lost.
FrameFates as_lost(const std::vector<bool>& repeated) {
  return {repeated, std::vector<bool>(repeated.size(), false),
          std::vector<std::size_t>(repeated.size(), 0)};
}

/// Every frame shows a lamp's pattern, only not when.
bool is_lamp(const FramePhases& phases) {
  return phases.agreement >= least_agreement && phases.left <= most_left * phases.depth &&
         phases.depth_scatter() <= most_depth_scatter;
}

/// A pattern of known depth and number whose roll is not known.
waves::Wave without_roll(const FramePhases& phases) {
  waves::Wave wave;
  wave.bands = phases.bands;
  wave.bands_sd = bands_of_frames * std::max(phases.bands, 1.0);
  wave.roll_sd = any_roll;
  const double frames = static_cast<double>(phases.amplitude.size());
  const double sd =
      phases.depth * std::hypot(depth_of_frames, phases.depth_scatter() / std::sqrt(frames));
  wave.harmonics.push_back({1, phases.depth, std::hypot(sd, left_in_depth * phases.left), {}});
  if (std::abs(phases.second) > least_second * phases.depth) {
    wave.harmonics.push_back({2, phases.second, sd, {}});
  }
  return wave;
}

double turns_of(const StretchEstimate& e) {
  const waves::Wave& wave = e.waves.front();
  return std::abs(wave.roll) * static_cast<double>(e.frames);
}

bool in_step(const StretchEstimate& e) {
  return !e.waves.empty() &&
         e.unexplained <= out_of_step * std::abs(e.waves.front().strongest().amplitude);
}

/// The pattern each frame shows: with the bands that were found, or, where those put it out of
/// step, with those that single frames know.
struct ByFrames {
  FramePhases phases;
  std::optional<FrameSteps> steps;
};

ByFrames by_frames(const rows::Cells& cells, const StretchEstimate& e) {
  ByFrames found;
  found.phases = e.waves.empty() ? frame_phases(cells) : frame_phases(cells, e.waves.front().bands);
  found.steps = frame_steps(found.phases);
  const bool even = found.steps && found.steps->even;
  if (even || e.waves.empty() || in_step(e)) return found;
  found.phases = frame_phases(cells);
  found.steps = frame_steps(found.phases);
  return found;
}

/// What rows do together in single frames would be bands if their times were not known.
double could_hide(const FramePhases& phases) {
  const double noise = beyond_noise * phases.noise;
  return std::sqrt(std::max(phases.depth * phases.depth - noise * noise, 0.0));
}

/// A lamp whose frames were taken at times that nothing tells.
TimedEstimate out_of_time(TimedEstimate timed, const FramePhases& phases) {
  timed.uneven = timed.estimate.uneven = true;
  timed.estimate.waves.clear();
  if (phases.bands >= whole_band) timed.estimate.waves = {without_roll(phases)};
  return timed;
}

/// Looks at the pattern frame by frame and mends what it shows.
TimedEstimate mended(TimedEstimate timed, const rows::Cells& cells) {
  StretchEstimate& e = timed.estimate;
  if (e.frames < 2 * fewest_frames) return timed;
  if (!e.waves.empty() && turns_of(e) < enough_turns) return timed;
  const auto [phases, steps] = by_frames(cells, e);
  if (e.waves.empty()) e.smallest_seen = std::max(e.smallest_seen, could_hide(phases));
  // With few bands a frame's phase and its level pass for one another.
  if (!steps || phases.bands < few_bands || !is_lamp(phases)) return timed;
  if (steps->even) {
    if (steps->losses_would_show) timed.lost = steps->lost_frames();
    if (steps->repeated_frames() > 0) {
      timed.repeated = timed.repeated.value_or(0) + steps->repeated_frames();
    }
    if (steps->lost_frames() + steps->repeated_frames() == 0) return timed;
    StretchEstimate placed = analyse(with_gaps(cells, steps->fates));
    if (in_step(placed)) {
      e = std::move(placed);
      return timed;
    }
  }
  return in_step(e) ? timed : out_of_time(std::move(timed), phases);
}

}  // namespace

TimedEstimate analyse_in_time(const rows::Cells& cells, const Repeats& repeats,
                              std::optional<FrameRate> rate) {
  TimedEstimate timed;
  const auto count =
      static_cast<std::size_t>(std::count(repeats.frame.begin(), repeats.frame.end(), true));
  if (repeats.judged) timed.repeated = count;
  rows::Cells placed = cells;
  if (repeats.judged && count > 0) {
    if (rate) timed.taken_at = rate_before(repeats.frame, *rate);
    placed =
        timed.taken_at ? without(cells, repeats.frame) : with_gaps(cells, as_lost(repeats.frame));
  }
  timed.estimate = analyse(placed);
  timed = mended(std::move(timed), placed);
  if (!timed.uneven) timed.estimate = without_vague(std::move(timed.estimate));
  return timed;
}

TimedEstimate analyse_untimed(const rows::Cells& cells) {
  TimedEstimate timed;
  timed.estimate = analyse(cells);
  const FramePhases phases = frame_phases(cells);
  timed.estimate.smallest_seen = std::max(timed.estimate.smallest_seen, could_hide(phases));
  const bool stands = phases.bands >= few_bands && is_lamp(phases);
  timed = out_of_time(std::move(timed), phases);
  if (!stands) timed.estimate.waves.clear();
  return timed;
}

}  // namespace lampbeat::footage::stretches
