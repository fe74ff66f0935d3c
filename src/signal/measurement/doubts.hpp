#pragma once

#include <cstddef>
#include <vector>

#include "lampbeat/measurement.hpp"
#include "signal/states/capture_facts.hpp"
#include "signal/states/state_figures.hpp"

// Every doubt that is said about a result, from what is known of it: facts in, findings out.

namespace lampbeat::signal::measurement {

/// What doubts about the described state go by.
struct DoubtFacts {
  const states::CaptureFacts& capture;
  const states::JudgedState& state;
  const Measurement& figures;  ///< of the whole measurement
  Findings clock;              ///< doubts about the steadiness of its clocks
  std::size_t windows = 0;     ///< whose mean levels are compared
};

/// In the order in which they matter: what leaves the capture useless, then what is missing, then
/// what the light itself does, then what its figures may be quoted for.
Findings note_doubts(const DoubtFacts& facts);

/// What the capture holds beside the rhythms of its windows.
Findings note_left_over(const states::JudgedState& state, const Measurement& figures);

/// Stretches too short to be a state of the light and unlike what lies around them.
struct Disturbances {
  int count = 0;
  states::Stretch longest;
  double lowest = 0.0;  ///< in the longest, sample units
  double highest = 0.0;
};

/// That the light was not one and the same. `forgotten`: how many states are not in the list.
Findings note_changes(const std::vector<states::JudgedState>& states, int forgotten,
                      const Disturbances& disturbances);

}  // namespace lampbeat::signal::measurement
