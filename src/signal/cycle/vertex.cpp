#include "signal/cycle/vertex.hpp"

#include <algorithm>
#include <array>

namespace lampbeat::signal::cycle {

Spot most_extreme(const Polynomial& p, double sign, const std::vector<Neighbour>& cells) {
  double u_low = 0, u_high = 0, v_low = 0, v_high = 0;
  for (const Neighbour& at : cells) {
    u_low = std::min(u_low, at.du);
    u_high = std::max(u_high, at.du);
    v_low = std::min(v_low, at.dv);
    v_high = std::max(v_high, at.dv);
  }
  std::vector<Spot> candidates;
  const auto& c = p.coefficient;
  const auto add_if_inside = [&](Spot vertex) {
    if (vertex.u >= u_low && vertex.u <= u_high && vertex.v >= v_low && vertex.v <= v_high) {
      candidates.push_back(vertex);
    }
  };
  constexpr std::array<double, 3> across = {0.0, -0.5, 0.5};
  if (p.shape == Shape::bowl) {
    const double determinant = 4.0 * c(2) * c(4) - c(5) * c(5);
    if (determinant > 0.0) {
      add_if_inside({(c(5) * c(3) - 2.0 * c(4) * c(1)) / determinant,
                     (c(5) * c(1) - 2.0 * c(2) * c(3)) / determinant});
    }
    for (const double u : across) {
      for (const double v : across) candidates.push_back({u, v});
    }
  } else {
    if (c(2) != 0.0) add_if_inside({-c(1) / (2.0 * c(2)), 0.0});
    for (const double u : across) candidates.push_back({u, 0.0});
  }
  return *std::max_element(candidates.begin(), candidates.end(), [&](const Spot& a, const Spot& b) {
    return sign * p.at(a) < sign * p.at(b);
  });
}

}  // namespace lampbeat::signal::cycle
