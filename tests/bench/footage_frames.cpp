// What tells even times of frames from uneven ones, and single frames of a lamp from those of a
// moving view: the figures, beside the limits of footage/stretches/frame_limits.hpp.
//   bench_footage_frames [clips] [seed]

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>

#include "arithmetic/phase.hpp"
#include "bench/drawn_clips.hpp"
#include "bench/populations.hpp"
#include "footage/stretches/frame_limits.hpp"
#include "footage/stretches/frame_phases.hpp"
#include "footage/stretches/frame_steps.hpp"
#include "footage/stretches/vague.hpp"

namespace {

using namespace lampbeat::test;
namespace stretches = lampbeat::footage::stretches;

enum class Times { even, some_lost, uneven };

/// Frames that were taken off their time by a twentieth of a turn of the light and more are uneven.
void take_at(FilmedScene& scene, Times times, Random& random) {
  const double period_s = scene.fps.frame_s();
  const int frames = static_cast<int>(std::lround(scene.seconds / period_s));
  const double lost = between(random, 0.01, 0.1);
  const double off_s = logarithmic(random, 0.05, 0.4) / scene.light.components.front().hz;
  std::normal_distribution<double> normal;
  std::vector<double> taken;
  for (int n = 0, slot = 0; n < frames; ++n, ++slot) {
    while (times == Times::some_lost && n > 0 && often(random, lost)) ++slot;
    const double off = times == Times::uneven ? off_s * normal(random) : 0.0;
    taken.push_back(slot * period_s + off);
  }
  scene.frame_times_s = taken;
}

/// A lamp that makes bands enough, and rolls through three turns at least.
DrawnClip lit_clip(Random& random) {
  while (true) {
    DrawnClip clip = any_clip(random);
    const double hz = often(random, 0.5) ? mains_hz(random) : logarithmic(random, 80.0, 400.0);
    const double roll = lampbeat::arithmetic::wrapped_turns(hz * clip.scene.fps.frame_s());
    const double turns = std::abs(roll) * clip.scene.seconds * clip.scene.fps.per_s();
    if (turns < stretches::enough_turns || hz * clip.scene.readout_s < stretches::few_bands) {
      continue;
    }
    add_lamp(clip.scene, random, hz);
    return clip;
  }
}

struct Figures {
  Population even{"one lamp, even times"};
  Population lost{"one lamp, frames lost"};
  Population uneven{"one lamp, uneven times"};
  Population two{"two lamps, even times"};
  Population moving{"no lamp, the view moves"};

  void print(const char* what, double limit) const {
    print_limit(what, limit, {&even, &lost, &uneven, &two, &moving});
  }
};

struct All {
  Figures left, agreement, scatter_of_depth, noise, scatter, usual, told;
  Population bands_off{"one lamp, uneven times"};
  Population depth_off{"one lamp, uneven times"};
  Population depth_off_over_left{"the same, where rows do much beside"};
  Population noise_alone{"no lamp, the view stands"};
};

bool is_lamp(const stretches::FramePhases& p) {
  return p.agreement >= stretches::least_agreement && p.left <= stretches::most_left * p.depth &&
         p.depth_scatter() <= stretches::most_depth_scatter;
}

stretches::FramePhases look(const DrawnClip& clip, All& all, Population Figures::*kind) {
  const stretches::FramePhases phases = stretches::frame_phases(cells_of(clip));
  if (phases.bands < stretches::few_bands) return phases;
  const double noise = std::numbers::sqrt2 * phases.phase_sd();
  (all.noise.*kind).add(noise);
  const auto steps = stretches::frame_steps(phases);
  if (!steps) return phases;
  (all.left.*kind).add(phases.left / phases.depth);
  (all.agreement.*kind).add(phases.agreement);
  (all.scatter_of_depth.*kind).add(phases.depth_scatter());
  if (!is_lamp(phases)) return phases;
  (all.scatter.*kind).add(steps->scatter);
  (all.usual.*kind).add(steps->usual);
  (all.told.*kind).add(steps->told);
  return phases;
}

/// How far off the figures are that single frames give.
void compare(const FilmedScene& scene, const stretches::FramePhases& phases, All& all) {
  if (!is_lamp(phases) || phases.bands < stretches::whole_band || scene.daylight > 0.0) return;
  const auto& first = scene.light.components.front();
  const double bands = first.hz * scene.readout_s;
  all.bands_off.add(std::abs(phases.bands - bands) / std::max(bands, 1.0));
  const double x = std::numbers::pi * first.hz * scene.exposure_s;
  const double off = std::abs(phases.depth / std::abs(first.amplitude * std::sin(x) / x) - 1.0);
  const double left = phases.left / phases.depth;
  if (left < 0.1) {
    all.depth_off.add(off);
  } else {
    all.depth_off_over_left.add(off / left);
  }
}

void print(const All& all) {
  using namespace lampbeat::footage::stretches;
  print_heading("single frames, of three quarters of a band and more");
  all.noise.print("clear_phase: noise of a step, turns", clear_phase);
  all.left.print("most_left: rows beside, over the depth", most_left);
  all.agreement.print("least_agreement: of left and right", least_agreement);
  all.scatter_of_depth.print("most_depth_scatter: over the depth", most_depth_scatter);
  print_limit("beyond_noise: depth over one frame's noise", beyond_noise, {&all.noise_alone});
  print_heading("steps between frames of what passes for a lamp");
  all.scatter.print("uneven: scatter of steps, turns", uneven);
  all.usual.print("most_of_them: share of usual steps", most_of_them);
  all.told.print("nearly_all: share of steps explained", nearly_all);
  print_heading("errors of what single frames of a lamp give");
  print_limit("bands_of_frames: of the bands, one at least", bands_of_frames, {&all.bands_off});
  print_limit("depth_of_frames: of the depth", depth_of_frames, {&all.depth_off});
  print_limit("left_in_depth: of what rows do beside", left_in_depth, {&all.depth_off_over_left});
}

}  // namespace

int main(int count, char** arguments) {
  const Asked asked = asked_for(count, arguments, 300);
  Random random(asked.seed);
  All all;
  for (int i = 0; i < asked.draws; ++i) {
    for (const Times times : {Times::even, Times::some_lost, Times::uneven}) {
      DrawnClip clip = lit_clip(random);
      add_bustle(clip.scene, random);
      take_at(clip.scene, times, random);
      const stretches::FramePhases phases = look(clip, all,
                                                 times == Times::even        ? &Figures::even
                                                 : times == Times::some_lost ? &Figures::lost
                                                                             : &Figures::uneven);
      if (times == Times::uneven) compare(clip.scene, phases, all);
    }
    DrawnClip two = lit_clip(random);
    add_lamp(two.scene, random, logarithmic(random, 80.0, 400.0));
    look(two, all, &Figures::two);
    DrawnClip moving = any_clip(random);
    move_camera(moving.scene, all_moves[static_cast<std::size_t>(i) % all_moves.size()], random);
    look(moving, all, &Figures::moving);
    const stretches::FramePhases noise = stretches::frame_phases(cells_of(any_clip(random)));
    if (noise.noise > 0.0) all.noise_alone.add(noise.depth / noise.noise);
  }
  print(all);
  return 0;
}
