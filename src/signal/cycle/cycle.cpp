#include "lampbeat/cycle.hpp"

#include "signal/cycle/folded_rhythm.hpp"
#include "signal/cycle/torus_cycle.hpp"

namespace lampbeat {

std::optional<CycleFigures> cycle_figures(const Window& window,
                                          const std::vector<Rhythm>& rhythms) {
  if (rhythms.size() == 2) return signal::cycle::torus_cycle(window, rhythms);
  if (rhythms.size() != 1) return std::nullopt;
  auto folded = signal::cycle::folded_rhythm(window, rhythms.front());
  if (!folded) return std::nullopt;
  return std::move(folded->figures);
}

}  // namespace lampbeat
