#include "signal/windows/resting_extreme.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <vector>

#include "arithmetic/median.hpp"
#include "arithmetic/phase.hpp"

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

/// How much neighbouring samples disagree beyond a straight line, and whether as noise does: then
/// the bend changes sign nearly every time (with probability 0.73 for white noise).
class Roughness {
 public:
  void add(double bend) {
    turns_ += bend * last_ < 0.0;
    last_ = bend;
    size_.push_back(std::abs(bend));
  }
  std::size_t bends() const { return size_.size(); }
  bool noisy() const { return 2 * turns_ > bends(); }
  /// The typical size, by the lower quarter: the edges of pulses bend far more and do not count.
  double typical() {
    if (size_.empty()) return 0.0;
    return arithmetic::nth_smallest(size_, size_.size() / 4);
  }

 private:
  std::vector<double> size_;
  std::uint64_t turns_ = 0;
  double last_ = 0.0;
};

/// A sensor's noise vanishes where the recorder is at its limit, but not on a light's own flat top:
/// the samples at the extreme when they are far quieter than those well inside the range. At the
/// low end a light that has gone out is quieter, too; there only a dead calm counts.
std::uint64_t at_quiet_rail(std::span<const double> raw, double lowest, double highest, double step,
                            bool upper) {
  // Shares of the range: how near the extreme the plateau lies, and how far from both the inside.
  constexpr double plateau = 0.01;
  constexpr double inside = 0.05;
  constexpr double level = 0.15;  // more between neighbours is an edge
  // Shares of the samples that make either side worth comparing: of 256, five and 26.
  constexpr double fewest_share_flat = 0.02;
  constexpr double fewest_share_inside = 0.1;
  // Of the noise inside, what may be left on the plateau: a light's own flat top is as noisy as the
  // rest or, by its photons, noisier; a light gone out keeps at least its converter's noise.
  constexpr double far_quieter = 0.2;
  constexpr double dead_calm = 0.001;
  // Less noise than this many steps hides in the converter's rounding.
  constexpr double steps_of_noise = 2.0;
  const double range = highest - lowest;
  const auto on_plateau = [&](double x) {
    return upper ? x >= highest - plateau * range : x <= lowest + plateau * range;
  };
  const auto n = static_cast<double>(raw.size());
  const auto flat = static_cast<std::uint64_t>(std::count_if(raw.begin(), raw.end(), on_plateau));
  if (static_cast<double>(flat) < fewest_share_flat * n) return 0;
  const auto is_inside = [&](double x) {
    return x > lowest + inside * range && x < highest - inside * range;
  };
  const auto on_one_level = [&](double a, double b, double c) {
    return std::max({a, b, c}) - std::min({a, b, c}) < level * range;
  };
  Roughness quiet;
  Roughness ordinary;
  for (std::size_t i = 1; i + 1 < raw.size(); ++i) {
    const double bend = raw[i - 1] - 2.0 * raw[i] + raw[i + 1];
    if (is_inside(raw[i - 1]) && is_inside(raw[i]) && is_inside(raw[i + 1])) {
      if (on_one_level(raw[i - 1], raw[i], raw[i + 1])) ordinary.add(bend);
    } else if (on_plateau(raw[i - 1]) && on_plateau(raw[i]) && on_plateau(raw[i + 1])) {
      quiet.add(bend);
    }
  }
  const bool known = static_cast<double>(quiet.bends()) >= fewest_share_flat / 2.0 * n &&
                     static_cast<double>(ordinary.bends()) >= fewest_share_inside * n;
  const bool noise_elsewhere =
      ordinary.noisy() && ordinary.typical() > std::max(steps_of_noise * step, 1e-9 * range);
  return known && noise_elsewhere &&
                 quiet.typical() < (upper ? far_quieter : dead_calm) * ordinary.typical()
             ? flat
             : 0;
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

std::uint64_t resting_on_extreme(std::span<const double> raw, double lowest, double highest,
                                 double step, bool upper) {
  const double extreme = upper ? highest : lowest;
  const double other = upper ? lowest : highest;
  const std::uint64_t gradual = at_unknown_rail(raw, extreme, highest - lowest, step);
  if (gradual > 0) return gradual;
  const std::uint64_t noiseless = at_noiseless_rail(raw, extreme, other, step);
  return noiseless > 0 ? noiseless : at_quiet_rail(raw, lowest, highest, step, upper);
}

}  // namespace lampbeat::signal::windows
