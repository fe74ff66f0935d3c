#include "signal/windows/resting_extreme.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "arithmetic/phase.hpp"
#include "signal/windows/quiet_rail.hpp"

namespace lampbeat::signal::windows {

namespace {

/// A crest of a sine leaves about as many samples just below its top as on it: time from the top
/// grows with the root of the depth, so that a whole step at the top holds at most 1/(√3 − 1) = 1.4
/// times what the two below hold. A flat cut leaves several times more on it.
constexpr double flat_to_near = 2.5;
/// Fewer samples at the extreme than this share of all, or than a handful, are chance: the cut of a
/// sine that takes a hundred-thousandth of its swing holds as many.
constexpr double fewest_share = 0.002;
constexpr double handful = 8.0;
/// A range of fewer steps than these has no crest to tell from a cut one.
constexpr double fewest_steps = 8.0;

/// A signal that runs into a rail crosses the last stretch before it at a steady pace, so it spends
/// as long in the outer half of that stretch as in the inner one. One that settles there by itself
/// (the slow edge of a pulse) lingers in the inner half: a round crest up to 2.4 times as long
/// (1/(√2 − 1)), an exponential over ten steps 4.3 times (log₂ 20).
bool runs_into(std::span<const double> raw, double extreme, double range, double step) {
  constexpr double stretch = 0.05;  // short beside a cycle's bends, long beside its noise
  constexpr double most_inner_to_outer = 2.0;
  const double half = std::max(stretch / 2.0 * range, 1.5 * step);
  std::uint64_t inner = 0;
  std::uint64_t outer = 0;
  for (const double x : raw) {
    const double away = std::abs(x - extreme);
    if (away <= 0.25 * step) continue;
    if (away <= half) {
      ++inner;
    } else if (away <= 2.0 * half) {
      ++outer;
    }
  }
  return static_cast<double>(inner) <= most_inner_to_outer * static_cast<double>(outer);
}

std::uint64_t at_unknown_rail(std::span<const double> raw, double extreme, double range,
                              double step) {
  // A steady light flickers between two or three codes; that is no crest to cut.
  if (range < fewest_steps * step) return 0;
  const double band = std::max(0.01 * range, 2.5 * step);
  std::uint64_t flat = 0;
  std::uint64_t near = 0;
  for (const double x : raw) {
    const double away = std::abs(x - extreme);
    if (away <= 0.25 * step) {
      ++flat;
    } else if (away <= band) {
      ++near;
    }
  }
  const auto n = static_cast<double>(raw.size());
  const bool enough = static_cast<double>(flat) >= std::max(handful, fewest_share * n);
  // No approach at all is a square wave; only rounding noise is no approach either.
  const bool approached =
      static_cast<double>(near) >= std::max(4.0, 0.02 * static_cast<double>(flat));
  return enough && approached &&
                 static_cast<double>(flat) > flat_to_near * static_cast<double>(near) &&
                 runs_into(raw, extreme, range, step)
             ? flat
             : 0;
}

/// How many samples lie within a quarter step of the extreme.
std::uint64_t resting_on(std::span<const double> raw, const Survey& survey, double extreme,
                         double step) {
  std::uint64_t count = 0;
  for (std::size_t s = 0; s < survey.range.size(); ++s) {
    const Survey::Range& range = survey.range[s];
    if (range.lowest > extreme + 0.25 * step || range.highest < extreme - 0.25 * step) continue;
    const std::size_t from = s * Survey::stretch;
    const std::size_t to = std::min(from + Survey::stretch, raw.size());
    for (std::size_t i = from; i < to; ++i) count += std::abs(raw[i] - extreme) <= 0.25 * step;
  }
  return count;
}

/// Whether readings really come in these steps, or only happen to lie no closer.
bool comes_in_steps(std::span<const double> raw, double step) {
  constexpr std::size_t enough = 256;
  if (!(step > 0.0)) return false;
  for (std::size_t i = 1; i < std::min(enough, raw.size()); ++i) {
    const double steps = (raw[i] - raw[0]) / step;
    if (arithmetic::off_whole(steps) > 0.05) return false;
  }
  return true;
}

/// A noiseless recording that rests exactly on its extreme, comes there at the pace it moves with,
/// and rests nowhere else: a square wave rests at both its ends, and jumps.
std::uint64_t at_noiseless_rail(std::span<const double> raw, double extreme, double other,
                                double step) {
  constexpr double stretch = 0.05;           // of the range: what leads to the extreme
  constexpr double approach_to_flat = 0.01;  // so many samples there for each at the extreme
  constexpr double rests_elsewhere = 0.02;   // of all other samples
  constexpr double fewest_share_flat = 0.02;
  constexpr double no_jump = 0.25;  // of the range, from one sample to the next
  // Where cycles and samples are commensurate the same reading of a round crest comes back in every
  // cycle, once or, from either side of the crest, twice in a row.
  constexpr std::uint64_t shortest_rest = 3;
  if (comes_in_steps(raw, step)) return 0;
  const double range = std::abs(extreme - other);
  std::uint64_t flat = 0;
  std::uint64_t approach = 0;
  std::uint64_t rests = 0;
  std::uint64_t jumps = 0;
  std::uint64_t ends = 0;
  for (std::size_t i = 0; i < raw.size(); ++i) {
    const bool here = raw[i] == extreme;
    flat += here;
    approach += !here && std::abs(raw[i] - extreme) <= stretch * range;
    if (i == 0) continue;
    rests += !here && raw[i] == raw[i - 1];
    const bool end = here != (raw[i - 1] == extreme);
    ends += end;
    jumps += end && std::abs(raw[i] - raw[i - 1]) > no_jump * range;
  }
  const auto n = static_cast<double>(raw.size());
  return static_cast<double>(flat) >= std::max(handful, fewest_share_flat * n) &&
                 static_cast<double>(approach) >= approach_to_flat * static_cast<double>(flat) &&
                 4 * jumps < ends && 2 * flat >= shortest_rest * ends &&
                 static_cast<double>(rests) <= rests_elsewhere * (n - static_cast<double>(flat)) &&
                 runs_into(raw, extreme, range, step)
             ? flat
             : 0;
}

}  // namespace

std::uint64_t resting_on_extreme(std::span<const double> raw, const Survey& survey, double step,
                                 bool upper) {
  const double extreme = upper ? survey.highest : survey.lowest;
  const double other = upper ? survey.lowest : survey.highest;
  if (static_cast<double>(resting_on(raw, survey, extreme, step)) >= handful) {
    const double range = survey.highest - survey.lowest;
    const std::uint64_t gradual = at_unknown_rail(raw, extreme, range, step);
    if (gradual > 0) return gradual;
    const std::uint64_t noiseless = at_noiseless_rail(raw, extreme, other, step);
    if (noiseless > 0) return noiseless;
  }
  return at_quiet_rail(raw, survey, step, upper);
}

}  // namespace lampbeat::signal::windows
