#include "reasoning/judge/swing.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numeric>

#include "arithmetic/phase.hpp"
#include "reasoning/bands/turns.hpp"

namespace lampbeat::reasoning::judge {
namespace {

/// Between two of them the swing of the tenth order still changes by a twelfth of a cycle only.
constexpr int parts = 128;
/// Between the points of the table, and of the cycle it was made from, it may be a little more.
constexpr double between_points = 1.01;

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

}  // namespace

double contrast_of(Swing swing) {
  if (swing.down >= 1.0) return 1.0;
  return std::min(1.0, (swing.up + swing.down) / (2.0 + swing.up - swing.down));
}

SwingTable::SwingTable(const std::vector<mixture::Harmonic>& harmonics) : by_part_(parts + 1) {
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
  for (int i = 1; i <= parts / 2; ++i) {
    Swing swing = swing_of(total, i * (fine / (2 * parts)), fine / points);
    swing.up *= between_points;
    swing.down *= between_points;
    by_part_[static_cast<std::size_t>(i)] = swing;
    // What the rest of the cycle collects is what this part does not.
    by_part_[static_cast<std::size_t>(parts - i)] = {swing.down, swing.up};
  }
}

Swing SwingTable::at(double cycles) const {
  const double place = arithmetic::begun_turn(cycles) * parts;
  const auto i = std::min(static_cast<std::size_t>(place), std::size_t{parts - 1});
  const double part = place - static_cast<double>(i);
  const auto mixed = [&](double Swing::*side) {
    return ((1.0 - part) * by_part_[i].*side + part * by_part_[i + 1].*side) / cycles;
  };
  return {mixed(&Swing::up), mixed(&Swing::down)};
}

void SwingTable::scale(double factor) {
  for (Swing& swing : by_part_) {
    swing.up *= factor;
    swing.down *= factor;
  }
}

SwingTable::Bound SwingTable::over(double from_cycles, double to_cycles) const {
  Bound bound;
  const auto widen = [&](Swing swing) {
    bound.each.up = std::max(bound.each.up, swing.up);
    bound.each.down = std::max(bound.each.down, swing.down);
    bound.both = std::max(bound.both, swing.up + swing.down);
    bound.contrast = std::max(bound.contrast, contrast_of(swing));
  };
  widen(at(from_cycles));
  widen(at(to_cycles));
  // Each part of a cycle at its shortest exposure in the range.
  const double first = std::ceil(from_cycles * parts);
  const double last = std::min(std::floor(to_cycles * parts), first + parts);
  const auto begin = static_cast<std::size_t>(std::fmod(first, parts));
  double cycles = first / parts;
  std::size_t i = begin;
  for (double point = first; point <= last; ++point) {
    const Swing& swing = by_part_[i];
    if (cycles > 0.0) widen({swing.up / cycles, swing.down / cycles});
    cycles += 1.0 / parts;
    i = i + 1 == parts ? 0 : i + 1;
  }
  return bound;
}

}  // namespace lampbeat::reasoning::judge
