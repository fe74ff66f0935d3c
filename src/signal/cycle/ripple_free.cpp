#include "signal/cycle/ripple_free.hpp"

#include <algorithm>
#include <bit>

#include "signal/cycle/averaged_cycle.hpp"

namespace lampbeat::signal::cycle {
namespace {

constexpr double fewest_cycles_folded = 3.0;  ///< as many as the fold asks for
constexpr std::size_t finest_division = 128;  ///< a pulse
/// Noise is then averaged to a third of itself in what is taken out.
constexpr double samples_averaged = 8.0;
/// How often in a window the level that stands in for an edge is new.
constexpr double levels_in_window = 256.0;

/// Takes out what two cycles times each other explain.
void take_out_product(std::vector<double>& rest, const AveragedCycle& a, const AveragedCycle& b) {
  std::vector<double> product(rest.size());
  double along = 0.0;
  double squares = 0.0;
  for (std::size_t i = 0; i < rest.size(); ++i) {
    product[i] = a.at(i, a.value) * b.at(i, b.value);
    along += rest[i] * product[i];
    squares += product[i] * product[i];
  }
  if (!(squares > 0.0)) return;
  for (std::size_t i = 0; i < rest.size(); ++i) rest[i] -= along / squares * product[i];
}

/// Samples in an edge of a rhythm carry the level of those before.
void level_edges(std::vector<double>& rest, const std::vector<AveragedCycle>& cycles) {
  double level = 0.0;  // lately
  for (const double x : rest) level += x / static_cast<double>(rest.size());
  const double forget = std::min(0.5, levels_in_window / static_cast<double>(rest.size()));
  for (std::size_t i = 0; i < rest.size(); ++i) {
    if (std::any_of(cycles.begin(), cycles.end(),
                    [&](const AveragedCycle& c) { return c.in_edge(i); })) {
      rest[i] = level;
    } else {
      level += forget * (rest[i] - level);
    }
  }
}

/// The averaged cycles of the rhythms that have enough of them, taken out of `rest`.
std::vector<AveragedCycle> take_out_cycles(std::vector<double>& rest, const Window& window,
                                           const std::vector<Rhythm>& rhythms) {
  const double enough = static_cast<double>(rest.size()) / samples_averaged;
  std::vector<AveragedCycle> cycles;
  for (const Rhythm& rhythm : rhythms) {
    if (rhythm.hz * window.duration_s() < fewest_cycles_folded) continue;
    const double most = static_cast<double>(finest_division) * rhythm.pulses;
    const auto cells = std::bit_floor(static_cast<std::size_t>(std::clamp(enough, 2.0, most)));
    cycles.emplace_back(window, rhythm, cells);
  }
  // What one took from the other, a window of few common cycles, comes right in a second round.
  const int rounds = cycles.size() > 1 ? 2 : 1;
  for (int round = 0; round < rounds; ++round) {
    for (AveragedCycle& cycle : cycles) cycle.learn(rest);
  }
  return cycles;
}

}  // namespace

std::vector<double> without_rhythms(const Window& window, const std::vector<Rhythm>& rhythms) {
  std::vector<double> rest(window.value.begin(), window.value.end());
  const std::vector<AveragedCycle> cycles = take_out_cycles(rest, window, rhythms);
  level_edges(rest, cycles);
  return rest;
}

LeftByMeeting without_rhythms_either_way(const Window& window, const std::vector<Rhythm>& rhythms) {
  LeftByMeeting left;
  left.sum.assign(window.value.begin(), window.value.end());
  const std::vector<AveragedCycle> cycles = take_out_cycles(left.sum, window, rhythms);
  left.product = left.sum;
  if (cycles.size() == 2) take_out_product(left.product, cycles[0], cycles[1]);
  level_edges(left.sum, cycles);
  level_edges(left.product, cycles);
  return left;
}

}  // namespace lampbeat::signal::cycle
