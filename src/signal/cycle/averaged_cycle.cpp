#include "signal/cycle/averaged_cycle.hpp"

#include "signal/cycle/cells_round.hpp"

namespace lampbeat::signal::cycle {
namespace {

/// The averaged cycle less its mean; empty phases are bridged straight.
std::vector<double> averaged_cycle(const std::vector<double>& value, const Phases& phases,
                                   std::size_t cells) {
  const auto shift = static_cast<unsigned>(64 - std::countr_zero(cells));
  std::vector<double> sum(cells), count(cells);
  for (std::size_t i = 0; i < value.size(); ++i) {
    const auto c = static_cast<std::size_t>(phases.at(i) >> shift);
    sum[c] += value[i];
    count[c] += 1.0;
  }
  double mean = 0.0;
  for (const double s : sum) mean += s / static_cast<double>(value.size());
  std::vector<double> cycle(cells);
  for (std::size_t c = 0; c < cells; ++c) {
    if (count[c] > 0.0) cycle[c] = sum[c] / count[c] - mean;
  }
  bridge(cycle, count);
  return cycle;
}

}  // namespace

void AveragedCycle::learn(std::vector<double>& rest) {
  const std::vector<double> more = averaged_cycle(rest, phases, value.size());
  for (std::size_t c = 0; c < value.size(); ++c) value[c] += more[c];
  edge = edges_of(value);
  for (std::size_t i = 0; i < rest.size(); ++i) rest[i] -= at(i, more);
}

}  // namespace lampbeat::signal::cycle
