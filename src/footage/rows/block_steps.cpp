#include "footage/rows/block_steps.hpp"

#include <algorithm>
#include <cmath>

#include "arithmetic/median.hpp"
#include "footage/clips/plane.hpp"

namespace lampbeat::footage::rows {

namespace {

// One strip in so many must be usable: of twelve four, whose median no single one carries off.
constexpr std::size_t fewest_strips_share = 3;

double log_mean(const std::vector<float>& scene, const Cells& layout, std::size_t strip,
                std::size_t from, std::size_t to) {
  double sum = 0.0;
  std::size_t known = 0;
  for (std::size_t row = from; row < to; ++row) {
    const auto v = static_cast<double>(scene[row * layout.strips + strip]);
    if (std::isnan(v) || v <= 0.0) continue;
    sum += v;
    ++known;
  }
  return 4 * known >= 3 * (to - from) ? std::log(sum / static_cast<double>(known)) : unusable;
}

}  // namespace

BlockSteps block_steps(const std::vector<float>& scene, const Cells& layout, std::size_t blocks) {
  BlockSteps steps;
  steps.blocks = std::min(blocks, layout.rows);
  steps.strips = layout.strips;
  std::vector<double> before(layout.strips, unusable);
  std::vector<double> known;
  for (std::size_t b = 0; b < steps.blocks; ++b) {
    std::vector<double> now(layout.strips);
    known.clear();
    for (std::size_t s = 0; s < layout.strips; ++s) {
      now[s] = log_mean(scene, layout, s, b * layout.rows / steps.blocks,
                        (b + 1) * layout.rows / steps.blocks);
      if (!std::isnan(now[s] - before[s])) known.push_back(now[s] - before[s]);
    }
    if (b > 0 && !known.empty() && fewest_strips_share * known.size() >= layout.strips) {
      steps.from.push_back(b - 1);
      for (std::size_t s = 0; s < layout.strips; ++s) steps.of_strip.push_back(now[s] - before[s]);
      steps.common.push_back(arithmetic::median(known));
    }
    before = now;
  }
  return steps;
}

}  // namespace lampbeat::footage::rows
