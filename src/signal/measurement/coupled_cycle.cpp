#include "signal/measurement/coupled_cycle.hpp"

#include <algorithm>
#include <bit>
#include <cstddef>

#include "signal/cycle/averaged_cycle.hpp"
#include "signal/sensor/response.hpp"

namespace lampbeat::signal::measurement {
namespace {

/// A cell of fewer samples would be more noise than light, and finer ones tell nothing more.
constexpr std::size_t samples_a_cell = 64;
constexpr std::size_t fewest_cells = 16;
constexpr std::size_t most_cells = 256;
/// Closer corners bend no cycle by anything a reading shows.
constexpr double near_enough_hz = 1e-3;

std::size_t cells_for(const Window& window) {
  return std::clamp(std::bit_floor(window.size() / samples_a_cell + 1), fewest_cells, most_cells);
}

}  // namespace

CoupledCycle::CoupledCycle(const Window& recorded, const std::vector<Rhythm>& rhythms) {
  const std::vector<double> value(recorded.value.begin(), recorded.value.end());
  std::vector<double> lost = sensor::undone(recorded, {{}, 1.0});
  for (std::size_t i = 0; i < lost.size(); ++i) lost[i] -= value[i];
  const std::size_t cells = cells_for(recorded);
  for (const Rhythm& rhythm : rhythms) {
    const cycle::Phases phases(recorded, rhythm);
    cycles_.push_back(
        {cycle::averaged_cycle(value, phases, cells), cycle::averaged_cycle(lost, phases, cells)});
  }
}

double CoupledCycle::reach(double sign, double corner_hz) const {
  double sum = 0.0;
  for (const Cycle& cycle : cycles_) {
    double farthest = 0.0;
    for (std::size_t i = 0; i < cycle.recorded.size(); ++i) {
      farthest = std::max(farthest, sign * (cycle.recorded[i] + corner_hz * cycle.lost[i]));
    }
    sum += farthest;
  }
  return sum;
}

double CoupledCycle::corner_of_least_hz(double sign) const {
  double from_hz = 0.0;
  double to_hz = highest_corner_hz;
  while (to_hz - from_hz > near_enough_hz) {
    const double third_hz = (to_hz - from_hz) / 3.0;
    if (reach(sign, from_hz + third_hz) <= reach(sign, to_hz - third_hz)) {
      to_hz -= third_hz;
    } else {
      from_hz += third_hz;
    }
  }
  return (from_hz + to_hz) / 2.0;
}

}  // namespace lampbeat::signal::measurement
