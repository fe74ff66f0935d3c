#include "reasoning/judge/swing.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numeric>

#include "arithmetic/phase.hpp"
#include "reasoning/bands/flash_train.hpp"
#include "reasoning/bands/turns.hpp"

namespace lampbeat::reasoning::judge {
namespace {

/// Between two of them the swing of the tenth order still changes by a twelfth of a cycle only.
constexpr int parts = 128;
constexpr double but_for_rounding = 1.0 + 1e-9;

/// One cycle of what has been collected since some moment, in cycles times the mean, at so many
/// points: ∫ of a cosine of order k is a sine of 1/(2πk) of it.
std::vector<double> collected(const std::vector<mixture::Harmonic>& harmonics, int points) {
  std::vector<mixture::Harmonic> integrals = harmonics;
  for (mixture::Harmonic& h : integrals) {
    h.amplitude /= std::complex<double>(0.0, arithmetic::turn * h.order);
  }
  std::vector<double> value(static_cast<std::size_t>(points), 0.0);
  bands::add_cycle<double>(integrals, value);
  return value;
}

/// The swing of the excess collected in windows of 2 · `half` points of `total`, whose middles lie
/// `stride` points apart.
Swing swing_of(const std::vector<double>& total, int half, int stride) {
  const int points = static_cast<int>(total.size());
  Swing swing;
  for (int middle = 0; middle < points; middle += stride) {
    const int end = middle + half < points ? middle + half : middle + half - points;
    const int begin = middle >= half ? middle - half : middle - half + points;
    const double value =
        total[static_cast<std::size_t>(end)] - total[static_cast<std::size_t>(begin)];
    swing.up = std::max(swing.up, value);
    swing.down = std::max(swing.down, -value);
  }
  return swing;
}

/// How much higher than at the nearest of so many points a window of `part` cycles may collect:
/// half the greatest bend, 2 Σ 2πk a_k |sin(πk part)|, times the square of half a step.
double missed_between(const std::vector<mixture::Harmonic>& harmonics, int points, double part) {
  double bend = 0.0;
  for (const mixture::Harmonic& h : harmonics) {
    bend += 2.0 * arithmetic::turn * h.order * std::abs(h.amplitude) *
            std::abs(std::sin(arithmetic::turn / 2.0 * h.order * part));
  }
  const double half_step = 0.5 / points;
  return bend * half_step * half_step / 2.0;
}

}  // namespace

SwingTable::SwingTable(const std::vector<mixture::Harmonic>& harmonics, bool any_waveform)
    : flashes_(any_waveform ? bands::share_of_flashes(harmonics) : 0.0), by_part_(parts + 1) {
  int order = 1;
  const double strongest = mixture::strongest_amplitude(harmonics);
  for (const mixture::Harmonic& h : harmonics) {
    // Order k is left as 1/k, which is what decides how finely the cycle has to be seen.
    if (std::abs(h.amplitude) / h.order >= 1e-3 * strongest) order = std::max(order, h.order);
  }
  const int points = std::clamp(8 * order, 64, 512);
  // So fine that windows of every part have both their ends on a point.
  const std::vector<double> total = collected(harmonics, std::lcm(points, 2 * parts));
  const int fine = static_cast<int>(total.size());
  // Σ 2πk a_k: the light changes by no more than this in a cycle, and the swing over δ, a
  // difference of two collections half as fast, bends by no more than half of it.
  double steepest = 0.0;
  for (const mixture::Harmonic& h : harmonics) {
    steepest += arithmetic::turn * h.order * std::abs(h.amplitude);
  }
  bend_ = steepest / 2.0 / (8.0 * parts * parts);
  for (int i = 1; i <= parts / 2; ++i) {
    Swing swing = swing_of(total, i * (fine / (2 * parts)), fine / points);
    const double missed = missed_between(harmonics, points, static_cast<double>(i) / parts);
    swing.up = but_for_rounding * swing.up + missed;
    swing.down = but_for_rounding * swing.down + missed;
    by_part_[static_cast<std::size_t>(i)] = swing;
    // What the rest of the cycle collects is what this part does not.
    by_part_[static_cast<std::size_t>(parts - i)] = {swing.down, swing.up};
  }
}

Swing SwingTable::at(double cycles) const {
  if (flashes_ > 0.0) {
    const Swing all = bands::swing_of_flashes(cycles);
    return {but_for_rounding * flashes_ * all.up, but_for_rounding * flashes_ * all.down};
  }
  const double place = arithmetic::begun_turn(cycles) * parts;
  const auto i = std::min(static_cast<std::size_t>(place), std::size_t{parts - 1});
  const double part = place - static_cast<double>(i);
  const double bent = 4.0 * part * (1.0 - part) * bend_;
  const auto mixed = [&](double Swing::*side) {
    return ((1.0 - part) * by_part_[i].*side + part * by_part_[i + 1].*side + bent) / cycles;
  };
  return {mixed(&Swing::up), mixed(&Swing::down)};
}

void SwingTable::scale(double factor) {
  flashes_ *= factor;
  for (Swing& swing : by_part_) {
    swing.up *= factor;
    swing.down *= factor;
  }
  bend_ *= factor;
}

double SwingTable::least_contrast(double from_cycles, double to_cycles) const {
  double least = std::min(contrast_of(at(from_cycles)), contrast_of(at(to_cycles)));
  const double first = std::ceil(from_cycles * parts);
  const double last = std::floor(to_cycles * parts);
  if (flashes_ > 0.0 && std::ceil(from_cycles) <= to_cycles) return 0.0;
  if (last - first >= parts) return 0.0;  // a whole cycle is among them
  for (double point = first; point <= last; point += 1.0) {
    least = std::min(least, contrast_of(at(point / parts)));
  }
  return least;
}

double SwingTable::of_the_light() const {
  // What the shortest part collects is the light's own height there, but for a peak narrower still.
  constexpr double narrower = 1.1;
  return narrower * parts * (by_part_[1].up + by_part_[1].down) / 2.0;
}

SwingTable::Bound SwingTable::of_flashes(double from_cycles, double to_cycles) const {
  if (!(from_cycles > 0.0)) return {{1.0, 1.0}, 2.0, 1.0};  // from no flash at all
  const Swing all = bands::widest_swing_of_flashes(from_cycles, to_cycles);
  const Swing own = {but_for_rounding * flashes_ * all.up, but_for_rounding * flashes_ * all.down};
  if (own.up + own.down <= 0.0) return {};  // whole cycles, and nothing else
  // No exposure is both the furthest up and the furthest down, but one flash is between any two.
  const double one_flash = but_for_rounding * flashes_ / from_cycles;
  const double steady = 2.0 * (1.0 - flashes_) / flashes_;  // in flashes a cycle, twice over
  const double fewest = steady * from_cycles + 2.0 * std::floor(from_cycles) + 1.0;
  return {own, one_flash, std::min(1.0, but_for_rounding / fewest)};
}

SwingTable::Bound SwingTable::over(double from_cycles, double to_cycles) const {
  if (flashes_ > 0.0) return of_flashes(from_cycles, to_cycles);
  Bound bound;
  const auto widen = [&](Swing swing) {
    bound.each.up = std::max(bound.each.up, swing.up);
    bound.each.down = std::max(bound.each.down, swing.down);
    bound.both = std::max(bound.both, swing.up + swing.down);
    bound.contrast = std::max(bound.contrast, contrast_of(swing));
  };
  const auto bent = [&](Swing swing, double cycles) {
    return Swing{swing.up + bend_ / cycles, swing.down + bend_ / cycles};
  };
  widen(bent(at(from_cycles), from_cycles));
  widen(bent(at(to_cycles), to_cycles));
  // Each part of a cycle at its shortest exposure in the range.
  const double first = std::ceil(from_cycles * parts);
  const double last = std::min(std::floor(to_cycles * parts), first + parts);
  const auto begin = static_cast<std::size_t>(std::fmod(first, parts));
  double cycles = first / parts;
  std::size_t i = begin;
  for (double point = first; point <= last; ++point) {
    const Swing& swing = by_part_[i];
    if (cycles > 0.0) widen(bent({swing.up / cycles, swing.down / cycles}, cycles));
    cycles += 1.0 / parts;
    i = i + 1 == parts ? 0 : i + 1;
  }
  return bound;
}

}  // namespace lampbeat::reasoning::judge
