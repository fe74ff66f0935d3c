#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>

#include "arithmetic/lanes.hpp"
#include "arithmetic/phase.hpp"

namespace lampbeat::signal::spectrum {

/// cos(2π (i + ½)/n) for i = 0 .. n − 1, what the tapers of even windows are made of: `several(i,
/// lanes)` takes as many as the processor does at once, from i on, `one(i, cosine)` each of the few
/// left over. By Chebyshev's recurrence, eight apart, restarted before its rounding errors, which
/// grow with the square of the steps, reach the ninth digit.
template <typename Several, typename One>
void even_cosines(std::size_t n, Several several, One one) {
  using arithmetic::Lanes;
  using arithmetic::lanes;
  constexpr std::size_t apart = 8;
  constexpr std::size_t vectors = apart / lanes;
  constexpr std::size_t stretch = 512 * apart;
  const double step = arithmetic::turn / static_cast<double>(n);
  const auto cosine = [&](double place) { return std::cos(step * (place + 0.5)); };
  const Lanes twice = 2.0 * std::cos(step * apart);
  std::array<Lanes, vectors> now;
  std::array<Lanes, vectors> before;
  std::size_t i = 0;
  while (i + apart <= n) {
    for (std::size_t v = 0; v < vectors; ++v) {
      const auto first = static_cast<double>(i + v * lanes);
      now[v] = Lanes([&](auto k) { return cosine(first + static_cast<double>(k)); });
      before[v] = Lanes([&](auto k) { return cosine(first + static_cast<double>(k) - apart); });
    }
    const std::size_t end = std::min(i + stretch, n);
    for (; i + apart <= end; i += apart) {
      for (std::size_t v = 0; v < vectors; ++v) {
        several(i + v * lanes, now[v]);
        const Lanes next = twice * now[v] - before[v];
        before[v] = now[v];
        now[v] = next;
      }
    }
  }
  for (; i < n; ++i) one(i, cosine(static_cast<double>(i)));
}

}  // namespace lampbeat::signal::spectrum
