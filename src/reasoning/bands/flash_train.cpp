#include "reasoning/bands/flash_train.hpp"

#include <algorithm>
#include <cmath>
#include <memory_resource>
#include <numbers>

#include "reasoning/bands/cycle.hpp"
#include "reasoning/bands/residue.hpp"

namespace lampbeat::reasoning::bands {
namespace {

/// A number of cycles this near to a whole one, relatively, is one: digits of a frequency or of an
/// exposure, no more.
constexpr double rounding = 1e-9;

/// The flashes an exposure is sure to hold.
double surely_held(double cycles) { return std::floor(cycles * (1.0 + rounding)); }
/// The most it may hold.
double held_at_most(double cycles) { return std::ceil(cycles * (1.0 - rounding)); }

/// How far one rhythm goes up and down by itself.
mixture::Swing swing_of(const mixture::Series& rhythm) {
  if (rhythm.any_waveform) return rhythm.swing;
  Cycle cycle(rhythm, 0.0, Effort::full, std::pmr::get_default_resource());
  if (cycle.empty()) return {};
  // Pairs of one and the same sample, of which only the bright or the dark side counts.
  return {cycle.best_pair(PairWeights(-1.0), 0.0).first,
          -cycle.best_pair(PairWeights(1.0), 0.0).second};
}

/// Flashes may come at any two moments, so that all rhythms may meet at their brightest and again
/// at their darkest.
double contrast_at_most(std::span<const mixture::Series> rows) {
  mixture::Swing swing;
  for (const mixture::Series& r : rows) {
    const mixture::Swing own = swing_of(r);
    swing.up += own.up;
    swing.down += own.down;
  }
  return mixture::contrast_of(swing);
}

}  // namespace

double share_of_flashes(std::span<const mixture::Harmonic> harmonics) {
  return 0.5 * mixture::strongest_amplitude(harmonics);
}

mixture::Swing swing_of_flashes(double cycles) {
  return {held_at_most(cycles) / cycles - 1.0, 1.0 - surely_held(cycles) / cycles};
}

mixture::Swing widest_swing_of_flashes(double from_cycles, double to_cycles) {
  mixture::Swing widest = swing_of_flashes(from_cycles);
  widest.down = std::max(widest.down, swing_of_flashes(to_cycles).down);
  // Just above a whole number one flash more may be held, just below it one less is sure.
  const double just_above = held_at_most(from_cycles);
  if (just_above > 0.0 && just_above < to_cycles * (1.0 - rounding)) {
    widest.up = std::max(widest.up, 1.0 / just_above);
  }
  const double just_below = surely_held(from_cycles) + 1.0;
  if (just_below <= to_cycles) widest.down = std::max(widest.down, 1.0 / just_below);
  return widest;
}

double beyond_harmonics(mixture::Swing of_rows, double cycles, int rows, int highest_order) {
  const double one_flash = of_rows.up + of_rows.down;
  const double left_out = 2.0 / (std::numbers::pi * std::numbers::pi * cycles * highest_order);
  const double steps = (cycles + 1.0) / rows;
  return one_flash * std::min(1.0, left_out + steps);
}

double contrast_in_frame(std::span<const mixture::Series> rows, const Shot& shot, Effort effort) {
  if (!mixture::some_any_waveform(rows)) return widest_in_frame(rows, shot, effort).contrast;
  return shot.readout_s > 0.0 && shot.rows > 1 ? contrast_at_most(rows) : 0.0;
}

double contrast_in_clip(std::span<const mixture::Series> rows,
                        std::span<const mixture::Series> frames, const Shot& shot, Effort effort) {
  const double among_frames = widest_in_clip(frames, shot.fps, effort).contrast;
  if (!mixture::some_any_waveform(frames)) return among_frames;
  double beyond = 0.0;
  for (const mixture::Series& r : frames) beyond += r.swing.up + r.swing.down;
  // Frames are means of rows, and differ by no more than rows do.
  return std::min(contrast_at_most(rows), among_frames + beyond);
}

}  // namespace lampbeat::reasoning::bands
