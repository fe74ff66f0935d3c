#include "signal/cycle/two_parts.hpp"

#include <algorithm>

#include "signal/cycle/cells_round.hpp"

namespace lampbeat::signal::cycle {
namespace {

/// Parts and product improve each other in turn, from tones that are right to a few percent.
constexpr int rounds = 4;

/// Where one part is at its darkest, nothing of the other is left: more has no light.
double most_product(const TwoParts& light) {
  double deepest = 0.0;
  for (const RhythmPart& part : light.part) {
    deepest = std::max(deepest, -*std::min_element(part.cell.begin(), part.cell.end()));
  }
  return deepest > 0.0 ? 1.0 / deepest : 0.0;
}

void find_product(TwoParts& light) {
  double together = 0.0;
  double squares = 0.0;
  for (std::size_t i = 0; i < light.value.size(); ++i) {
    const double a = light.part[0].at(i);
    const double b = light.part[1].at(i);
    together += (light.value[i] - light.mean - a - b) * a * b;
    squares += a * b * a * b;
  }
  light.product = squares > 0.0 ? std::clamp(together / squares, 0.0, most_product(light)) : 0.0;
}

/// Adds to a part what its phase still explains of the rest.
void improve(TwoParts& light, std::size_t which) {
  RhythmPart& part = light.part[which];
  std::vector<double> sum(part.cell.size()), weight(part.cell.size());
  for (std::size_t i = 0; i < light.value.size(); ++i) {
    if (light.part[1 - which].in_edge(i)) continue;
    const double slope = light.slope(which, i);
    const std::size_t k = part.cell_of(i);
    sum[k] += slope * light.rest(i);
    weight[k] += slope * slope;
  }
  for (std::size_t k = 0; k < sum.size(); ++k) {
    if (weight[k] > 0.0) part.cell[k] += sum[k] / weight[k];
  }
  bridge(part.cell, weight);
  double middle = 0.0;
  for (std::size_t k = 0; k < sum.size(); ++k) {
    middle += part.cell[k] / static_cast<double>(sum.size());
  }
  for (double& x : part.cell) x -= middle;
  light.mean += middle;
}

}  // namespace

TwoParts fit_two_parts(std::vector<double> value, RhythmPart one, RhythmPart other) {
  TwoParts light{std::move(value), {std::move(one), std::move(other)}};
  double sum = 0.0;
  for (const double x : light.value) sum += x;
  light.mean = sum / static_cast<double>(light.value.size());
  for (int round = 0; round < rounds; ++round) {
    find_product(light);
    for (const std::size_t which : {0U, 1U}) {
      improve(light, which);
      light.part[which].edge = edges_of(light.part[which].cell);
      light.part[which].settle();
    }
  }
  find_product(light);
  return light;
}

}  // namespace lampbeat::signal::cycle
