#include "signal/cycle/rhythm_part.hpp"

#include <algorithm>
#include <bit>
#include <cmath>

#include "arithmetic/phase.hpp"
#include "signal/cycle/averaged_cycle.hpp"

namespace lampbeat::signal::cycle {
namespace {

/// A sine between the middles of 256 cells, joined by straight lines, is off by (2π/256)²/8, less
/// than a ten-thousandth of its swing.
constexpr std::size_t finest = 256;
constexpr std::size_t coarsest = 8;
/// With so many samples, each phase of one rhythm meets every eighth of the other one's cycle four
/// times.
constexpr double samples_a_place = 32.0;

}  // namespace

void RhythmPart::settle() {
  sample_value.resize(phase.size());
  sample_in_edge.resize(phase.size());
  const CycleShape shape(cell, edge);
  const std::vector<unsigned char> edged(edge.begin(), edge.end());
  const int shift = 64 - std::countr_zero(cell.size());
  for (std::size_t i = 0; i < phase.size(); ++i) {
    sample_value[i] = shape.at(phase[i]);
    sample_in_edge[i] = edged[phase[i] >> shift];
  }
}

double RhythmPart::swing() const {
  const auto [low, high] = std::minmax_element(cell.begin(), cell.end());
  return *high - *low;
}

RhythmPart part_of(const Window& light, const Rhythm& rhythm, const std::vector<Tone>& members) {
  const double room = static_cast<double>(light.size()) / samples_a_place;
  const std::size_t cells =
      std::clamp(std::bit_floor(static_cast<std::size_t>(room)), coarsest, finest);
  RhythmPart part;
  part.phase.resize(light.size());
  part.cell.resize(cells);
  part.edge.resize(cells);
  const Phases phases(light, rhythm);
  for (std::size_t i = 0; i < light.size(); ++i) part.phase[i] = phases.at(i);
  for (const Tone& tone : members) {
    for (std::size_t k = 0; k < cells; ++k) {
      const double turns = (static_cast<double>(k) + 0.5) / static_cast<double>(cells) -
                           rhythm.phase_rad / arithmetic::turn;
      const double t_s = turns / rhythm.hz;
      part.cell[k] += tone.amplitude * std::cos(arithmetic::turn * tone.hz * t_s + tone.phase_rad);
    }
  }
  part.settle();
  return part;
}

}  // namespace lampbeat::signal::cycle
