#include "footage/stretches/stretch_times.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "footage/stretches/frame_phases.hpp"
#include "footage/stretches/frame_steps.hpp"
#include "footage/waves/slow_modes.hpp"

namespace lampbeat::footage {

namespace {

// A pattern's own harmonics and noise may leave this share of it; more means frames out of step.
constexpr double out_of_step = 0.1;
constexpr double most_left = 0.45;
constexpr double least_agreement = 0.8;
constexpr double most_depth_scatter = 0.35;
// With fewer bands a single frame tells depth from shading badly.
constexpr double whole_band = 0.9;
constexpr double few_bands = 0.75;
constexpr double most_of_frames = 0.75;
// Turns in the stretch below which a pattern's own steps are lost in the scene's.
constexpr double enough_turns = 3.0;
constexpr double fewest_repeats = 3;

Cells without(const Cells& cells, const std::vector<bool>& frame) {
  Cells kept = cells;
  kept.value.clear();
  for (std::size_t n = 0; n < cells.frames(); ++n) {
    if (frame[n]) continue;
    const auto from = cells.value.begin() + static_cast<std::ptrdiff_t>(n * cells.frame_size());
    kept.value.insert(kept.value.end(), from,
                      from + static_cast<std::ptrdiff_t>(cells.frame_size()));
  }
  return kept;
}

void append_gap(Cells& cells) {
  cells.value.insert(cells.value.end(), cells.frame_size(),
                     std::numeric_limits<float>::quiet_NaN());
}

/// Frames that say nothing in place of the repeated ones, and as many as were lost before each.
Cells with_gaps(const Cells& cells, const std::vector<bool>& repeated,
                const std::vector<std::size_t>& lost = {}, const std::vector<bool>& inserted = {}) {
  Cells spaced = cells;
  spaced.value.clear();
  for (std::size_t n = 0; n < cells.frames(); ++n) {
    if (!inserted.empty() && inserted[n]) continue;
    for (std::size_t i = 0; !lost.empty() && i < lost[n]; ++i) append_gap(spaced);
    if (repeated[n]) {
      append_gap(spaced);
      continue;
    }
    const auto from = cells.value.begin() + static_cast<std::ptrdiff_t>(n * cells.frame_size());
    spaced.value.insert(spaced.value.end(), from,
                        from + static_cast<std::ptrdiff_t>(cells.frame_size()));
  }
  return spaced;
}

/// The rate before every so many frames were shown twice; empty when the repeats follow no beat.
std::optional<FrameRate> rate_before(const std::vector<bool>& repeated, FrameRate rate) {
  std::vector<std::size_t> at;
  for (std::size_t n = 0; n < repeated.size(); ++n) {
    if (repeated[n]) at.push_back(n);
  }
  if (static_cast<double>(at.size()) < fewest_repeats + 1) return std::nullopt;
  std::size_t shortest = repeated.size();
  std::size_t longest = 0;
  for (std::size_t i = 1; i < at.size(); ++i) {
    shortest = std::min(shortest, at[i] - at[i - 1]);
    longest = std::max(longest, at[i] - at[i - 1]);
  }
  if (longest > shortest + 1) return std::nullopt;
  if (longest == shortest && shortest > 1) {
    const auto g = static_cast<std::int64_t>(shortest);
    return FrameRate{rate.numerator * (g - 1), rate.denominator * g};
  }
  // Uneven by one frame: the customary rate that so many pictures in so many frames come to.
  const auto span = static_cast<double>(at.back() - at.front());
  const double share = 1.0 - static_cast<double>(at.size() - 1) / span;
  const FrameRate customary[] = {{12, 1}, {25, 2}, {15, 1},       {24000, 1001},
                                 {24, 1}, {25, 1}, {30000, 1001}, {30, 1},
                                 {48, 1}, {50, 1}, {60000, 1001}, {60, 1}};
  std::optional<FrameRate> best;
  double least = 1.0 / span;
  for (const FrameRate& c : customary) {
    const double off = std::abs(c.per_s() / rate.per_s() - share);
    if (off < least) {
      least = off;
      best = c;
    }
  }
  return best;
}

/// Typical scatter of the frames' depths over the depth.
double depth_scatter(const FramePhases& phases) {
  std::vector<double> off;
  for (const auto& z : phases.amplitude) {
    if (z != 0.0) off.push_back(std::abs(std::abs(z) - phases.depth));
  }
  return off.empty() ? 1.0 : normal_sd * median(off) / phases.depth;
}

/// Every frame shows a lamp's pattern, only not when.
bool is_lamp(const FramePhases& phases) {
  return phases.agreement >= least_agreement && phases.left <= most_left * phases.depth &&
         depth_scatter(phases) <= most_depth_scatter;
}

/// A pattern of known depth and number whose roll is not known.
Wave without_roll(const FramePhases& phases) {
  Wave wave;
  wave.bands = phases.bands;
  wave.bands_sd = 0.03 * std::max(phases.bands, 1.0);
  wave.roll_sd = 0.5;
  const double frames = static_cast<double>(phases.amplitude.size());
  const double sd = phases.depth * std::hypot(0.08, depth_scatter(phases) / std::sqrt(frames));
  wave.harmonics.push_back({1, phases.depth, std::hypot(sd, 0.5 * phases.left), {}});
  if (std::abs(phases.second) > 0.03 * phases.depth) {
    wave.harmonics.push_back({2, phases.second, sd, {}});
  }
  return wave;
}

double turns_of(const StretchEstimate& e) {
  const Wave& wave = e.waves.front();
  return std::abs(wave.roll) * static_cast<double>(e.frames);
}

bool in_step(const StretchEstimate& e) {
  return !e.waves.empty() &&
         e.unexplained <= out_of_step * std::abs(e.waves.front().strongest().amplitude);
}

/// Looks at the pattern frame by frame and mends what it shows.
void mend(const Cells& cells, TimedEstimate& timed) {
  StretchEstimate& e = timed.estimate;
  if (e.frames < 2 * fewest_frames) return;
  if (!e.waves.empty() && turns_of(e) < enough_turns) return;
  FramePhases phases =
      e.waves.empty() ? frame_phases(cells) : frame_phases(cells, e.waves.front().bands);
  FrameSteps steps = frame_steps(phases);
  if (!(steps.judged && steps.even) && !in_step(e) && !e.waves.empty()) {
    phases = frame_phases(cells);
    steps = frame_steps(phases);
  }
  if (e.waves.empty()) {
    // What rows do together in single frames would be bands if their times were not known.
    const double beyond = phases.depth * phases.depth - 2.25 * phases.noise * phases.noise;
    e.smallest_seen = std::max(e.smallest_seen, std::sqrt(std::max(beyond, 0.0)));
  }
  // With few bands a frame's phase and its level pass for one another.
  if (!steps.judged || phases.bands < few_bands || !is_lamp(phases)) return;
  if (steps.even) {
    if (steps.losses_would_show) timed.lost = steps.lost_frames();
    if (steps.repeated_frames() > 0) {
      timed.repeated = timed.repeated.value_or(0) + steps.repeated_frames();
    }
    if (steps.lost_frames() + steps.repeated_frames() == 0) return;
    StretchEstimate mended = analyse(with_gaps(cells, steps.repeated, steps.lost, steps.inserted));
    if (in_step(mended)) {
      e = std::move(mended);
      return;
    }
  }
  if (in_step(e)) return;
  timed.uneven = e.uneven = true;
  e.waves.clear();
  if (phases.bands >= whole_band) e.waves = {without_roll(phases)};
}

/// Share of what whole frames do, slow drift aside, that the wave's orders make.
double share_of_frames(const StretchEstimate& e, const Wave& wave) {
  std::vector<double> means = e.frame_means;
  const auto frames = static_cast<double>(means.size());
  const auto modes = static_cast<std::size_t>(0.8 * turns_of(e));
  take_out_slow(means, 1 + std::min<std::size_t>(modes, 12));
  double all = 1e-12;
  for (const double v : means) all += v * v;
  double of_wave = 0.0;
  for (const Harmonic& h : wave.harmonics) {
    std::complex<double> sum;
    for (std::size_t n = 0; n < means.size(); ++n) {
      sum += means[n] * std::polar(1.0, -2.0 * std::numbers::pi * h.order * wave.roll *
                                            static_cast<double>(n));
    }
    of_wave += 2.0 * std::norm(sum) / frames;
  }
  return of_wave / all;
}

/// A few bands go with whole frames; if those do much else, their times may be uneven, and if the
/// rows do, anything might be.
void drop_vague(StretchEstimate& e) {
  std::erase_if(e.waves, [&](const Wave& wave) {
    const double amplitude = std::abs(wave.strongest().amplitude);
    if (wave.bands >= few_bands) return false;
    const bool vague = wave.bands < 0.5 * few_bands && share_of_frames(e, wave) < most_of_frames;
    if (!vague && e.unexplained <= out_of_step * amplitude) return false;
    e.scenery = std::max(e.scenery, amplitude);
    return true;
  });
  e.smallest_seen = std::max(e.smallest_seen, e.scenery);
}

}  // namespace

TimedEstimate analyse_in_time(const Cells& cells, const Repeats& repeats, FrameRate rate) {
  TimedEstimate timed;
  const std::size_t count =
      static_cast<std::size_t>(std::count(repeats.frame.begin(), repeats.frame.end(), true));
  if (repeats.judged) timed.repeated = count;
  Cells placed = cells;
  if (repeats.judged && count > 0) {
    timed.taken_at = rate_before(repeats.frame, rate);
    placed = timed.taken_at ? without(cells, repeats.frame) : with_gaps(cells, repeats.frame);
  }
  timed.estimate = analyse(placed);
  mend(placed, timed);
  if (!timed.uneven) drop_vague(timed.estimate);
  return timed;
}

}  // namespace lampbeat::footage
