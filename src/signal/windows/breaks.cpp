#include "signal/windows/breaks.hpp"

#include <algorithm>
#include <cmath>

namespace lampbeat::signal::windows {

namespace {

using Blocks = std::span<const BlockFigures>;

/// Between two sides of eight blocks a change over the scatter is half a Student's t of 14 degrees
/// of freedom: eight are passed by chance once in 5·10⁹ comparisons (an hour makes 3·10⁶), five
/// once in 10⁷, and a slow swing stands at four. A block against sixteen others (all but t itself)
/// passes twelve once in 7·10⁷.
constexpr double scatters_of_a_change = 8.0;
constexpr double scatters_of_a_disturbance = 12.0;
constexpr double scatters_of_the_same = 5.0;
/// What nobody could see or film, and what is not worth a word when it lasts for less than half a
/// second; shares of the level.
constexpr double least_change = 1e-3;
constexpr double least_disturbance = 0.02;
/// Rounding; keeps captures without noise from dividing by nothing.
constexpr double least_scatter = 1e-5;

/// One figure over the blocks of one or two sides.
struct Spread {
  double mean = 0.0;
  double variance = 0.0;
};

Spread spread_of(Blocks blocks, std::size_t k) {
  Spread s;
  const auto n = static_cast<double>(blocks.size());
  for (const BlockFigures& b : blocks) s.mean += b.figure[k] / n;
  for (const BlockFigures& b : blocks) {
    s.variance += (b.figure[k] - s.mean) * (b.figure[k] - s.mean) / std::max(1.0, n - 1.0);
  }
  return s;
}

double level_of(Blocks one, Blocks other) {
  double level = 0.0;
  for (const Blocks side : {one, other}) {
    for (const BlockFigures& b : side) {
      for (std::size_t k = 0; k < b.figures; ++k) level = std::max(level, std::abs(b.figure[k]));
    }
  }
  return level;
}

/// By how many scatters two sides differ, in the figure that shows it most.
double difference(Blocks one, Blocks other) {
  const double level = level_of(one, other);
  double most = 0.0;
  for (std::size_t k = 0; k < one.front().figures; ++k) {
    const Spread a = spread_of(one, k);
    const Spread b = spread_of(other, k);
    const double change = std::abs(a.mean - b.mean);
    if (change <= least_change * level) continue;
    const double scatter =
        std::max(std::sqrt((a.variance + b.variance) / 2.0), least_scatter * level);
    most = std::max(most, change / scatter);
  }
  return most;
}

/// Whether a block stands out from the light around it.
bool stands_out(const BlockFigures& block, Blocks before, Blocks after) {
  const double level = level_of(before, after);
  for (std::size_t k = 0; k < block.figures; ++k) {
    double mean = 0.0;
    double scatter = 0.0;
    if (before.empty() || after.empty()) {
      const Spread s = spread_of(before.empty() ? after : before, k);
      mean = s.mean;
      scatter = std::sqrt(s.variance);
    } else {
      const Spread a = spread_of(before, k);
      const Spread b = spread_of(after, k);
      mean = (a.mean + b.mean) / 2.0;
      scatter = std::sqrt((a.variance + b.variance) / 2.0);
    }
    const double off = std::abs(block.figure[k] - mean);
    if (off > least_disturbance * level &&
        off > scatters_of_a_disturbance * std::max(scatter, least_scatter * level)) {
      return true;
    }
  }
  return false;
}

/// A change that leaves out few blocks is better than one as clear that leaves out many.
double merit(Blocks blocks, const Break& change) {
  const double score = difference(blocks.subspan(change.from - blocks_of_a_side, blocks_of_a_side),
                                  blocks.subspan(change.to, blocks_of_a_side));
  return score / static_cast<double>(change.to - change.from);
}

std::optional<Break> change_at(Blocks blocks, std::size_t b) {
  std::optional<Break> best;
  for (const std::size_t gap : {1U, 2U, 4U}) {
    if (b + gap + blocks_of_a_side > blocks.size()) continue;
    const Break change{b, b + gap, true};
    if (merit(blocks, change) * static_cast<double>(gap) <= scatters_of_a_change) continue;
    if (!best || merit(blocks, change) > merit(blocks, *best)) best = change;
  }
  return best;
}

/// The first change from `b` on is seen from several places; its best one.
std::optional<Break> best_change(Blocks blocks, std::size_t b) {
  std::optional<Break> best = change_at(blocks, b);
  if (!best) return best;
  for (std::size_t next = b + 1; next < b + blocks_of_a_side; ++next) {
    const std::optional<Break> other = change_at(blocks, next);
    if (other && merit(blocks, *other) > merit(blocks, *best)) best = other;
  }
  return best;
}

std::optional<Break> disturbance_at(Blocks blocks, std::size_t b) {
  const Blocks before = blocks.subspan(b - blocks_of_a_side, blocks_of_a_side);
  for (std::size_t run = 1; run <= most_disturbed_blocks; ++run) {
    if (b + run + blocks_of_a_side > blocks.size()) break;
    const Blocks after = blocks.subspan(b + run, blocks_of_a_side);
    if (!stands_out(blocks[b], before, after)) continue;
    if (!stands_out(blocks[b + run - 1], before, after)) continue;
    if (difference(before, after) < scatters_of_the_same) return Break{b, b + run, false};
  }
  return std::nullopt;
}

std::optional<Break> at_the_start(Blocks blocks) {
  for (std::size_t run = blocks_of_a_side - 1; run > 0; --run) {
    if (run + 2 * blocks_of_a_side > blocks.size()) continue;
    const Blocks after = blocks.subspan(run, 2 * blocks_of_a_side);
    if (stands_out(blocks[run - 1], {}, after)) return Break{0, run, false};
  }
  return std::nullopt;
}

std::optional<Break> at_the_end(Blocks blocks) {
  for (std::size_t run = blocks_of_a_side; run > 0; --run) {
    if (run + 2 * blocks_of_a_side > blocks.size()) continue;
    const std::size_t b = blocks.size() - run;
    const Blocks before = blocks.subspan(b - 2 * blocks_of_a_side, 2 * blocks_of_a_side);
    if (stands_out(blocks[b], before, {})) return Break{b, blocks.size(), false};
  }
  return std::nullopt;
}

}  // namespace

std::optional<Break> first_break(Blocks blocks, bool begins, bool ends) {
  if (blocks.size() < 2 * blocks_of_a_side + 1) return std::nullopt;
  std::optional<Break> first;
  for (std::size_t b = blocks_of_a_side; b + blocks_of_a_side < blocks.size() && !first; ++b) {
    first = best_change(blocks, b);
    if (!first) first = disturbance_at(blocks, b);
  }
  if (begins) {
    // The start is compared with what follows it, up to the first break.
    const std::size_t whole = first ? first->from : blocks.size();
    if (const auto start = at_the_start(blocks.first(whole))) return start;
  }
  if (!first && ends) first = at_the_end(blocks);
  return first;
}

}  // namespace lampbeat::signal::windows
