#include "signal/windows/breaks.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

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

/// Some blocks of one light.
struct Side {
  std::array<Spread, BlockFigures::figures_at_most> spread{};
  std::size_t figures = 0;
  double level = 0.0;
};

Side side_of(Blocks blocks) {
  Side side;
  if (blocks.empty()) return side;
  side.figures = blocks.front().figures;
  // Blocks differ by a sample in length, and so by an octave at times.
  std::size_t most = 0;
  for (const BlockFigures& b : blocks) most = std::max(most, b.figures);
  for (std::size_t k = 0; k < most; ++k) side.spread[k] = spread_of(blocks, k);
  for (const BlockFigures& b : blocks) {
    for (std::size_t k = 0; k < b.figures; ++k) {
      side.level = std::max(side.level, std::abs(b.figure[k]));
    }
  }
  return side;
}

/// By how many scatters two sides differ, in the figure that shows it most.
double difference(const Side& one, const Side& other) {
  const double level = std::max(one.level, other.level);
  double most = 0.0;
  for (std::size_t k = 0; k < one.figures; ++k) {
    const Spread& a = one.spread[k];
    const Spread& b = other.spread[k];
    const double change = std::abs(a.mean - b.mean);
    if (change <= least_change * level) continue;
    const double scatter =
        std::max(std::sqrt((a.variance + b.variance) / 2.0), least_scatter * level);
    most = std::max(most, change / scatter);
  }
  return most;
}

/// Whether a block stands out from the light around it.
bool stands_out(const BlockFigures& block, const Side& before, const Side& after) {
  const double level = std::max(before.level, after.level);
  for (std::size_t k = 0; k < block.figures; ++k) {
    double mean = 0.0;
    double scatter = 0.0;
    if (before.figures == 0 || after.figures == 0) {
      const Spread& s = (before.figures == 0 ? after : before).spread[k];
      mean = s.mean;
      scatter = std::sqrt(s.variance);
    } else {
      const Spread& a = before.spread[k];
      const Spread& b = after.spread[k];
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

/// The blocks, with the sides that begin at each of them.
struct Course {
  explicit Course(Blocks all) : blocks(all) {
    for (std::size_t b = 0; b + blocks_of_a_side <= blocks.size(); ++b) {
      side.push_back(side_of(blocks.subspan(b, blocks_of_a_side)));
    }
  }
  const Side& before(std::size_t b) const { return side[b - blocks_of_a_side]; }
  const Side& after(std::size_t b) const { return side[b]; }

  Blocks blocks;
  std::vector<Side> side;
};

/// A change that leaves out few blocks is better than one as clear that leaves out many.
double merit(const Course& course, const Break& change) {
  const double score = difference(course.before(change.from), course.after(change.to));
  return score / static_cast<double>(change.to - change.from);
}

std::optional<Break> change_at(const Course& course, std::size_t b) {
  std::optional<Break> best;
  for (const std::size_t gap : {1U, 2U, 4U}) {
    if (b + gap + blocks_of_a_side > course.blocks.size()) continue;
    const Break change{b, b + gap, true};
    if (merit(course, change) * static_cast<double>(gap) <= scatters_of_a_change) continue;
    if (!best || merit(course, change) > merit(course, *best)) best = change;
  }
  return best;
}

/// The first change from `b` on is seen from several places; its best one.
std::optional<Break> best_change(const Course& course, std::size_t b) {
  std::optional<Break> best = change_at(course, b);
  if (!best) return best;
  for (std::size_t next = b + 1; next < b + blocks_of_a_side; ++next) {
    const std::optional<Break> other = change_at(course, next);
    if (other && merit(course, *other) > merit(course, *best)) best = other;
  }
  return best;
}

std::optional<Break> disturbance_at(const Course& course, std::size_t b) {
  const Blocks blocks = course.blocks;
  const Side& before = course.before(b);
  for (std::size_t run = 1; run <= most_disturbed_blocks; ++run) {
    if (b + run + blocks_of_a_side > blocks.size()) break;
    const Side& after = course.after(b + run);
    if (!stands_out(blocks[b], before, after)) continue;
    if (!stands_out(blocks[b + run - 1], before, after)) continue;
    if (difference(before, after) < scatters_of_the_same) return Break{b, b + run, false};
  }
  return std::nullopt;
}

std::optional<Break> at_the_start(Blocks blocks) {
  for (std::size_t run = blocks_of_a_side - 1; run > 0; --run) {
    if (run + 2 * blocks_of_a_side > blocks.size()) continue;
    const Side after = side_of(blocks.subspan(run, 2 * blocks_of_a_side));
    if (stands_out(blocks[run - 1], {}, after)) return Break{0, run, false};
  }
  return std::nullopt;
}

std::optional<Break> at_the_end(Blocks blocks) {
  for (std::size_t run = blocks_of_a_side; run > 0; --run) {
    if (run + 2 * blocks_of_a_side > blocks.size()) continue;
    const std::size_t b = blocks.size() - run;
    const Side before = side_of(blocks.subspan(b - 2 * blocks_of_a_side, 2 * blocks_of_a_side));
    if (stands_out(blocks[b], before, {})) return Break{b, blocks.size(), false};
  }
  return std::nullopt;
}

}  // namespace

std::optional<Break> first_break(Blocks blocks, bool begins, bool ends) {
  if (blocks.size() < 2 * blocks_of_a_side + 1) return std::nullopt;
  const Course course(blocks);
  std::optional<Break> first;
  for (std::size_t b = blocks_of_a_side; b + blocks_of_a_side < blocks.size() && !first; ++b) {
    first = best_change(course, b);
    if (!first) first = disturbance_at(course, b);
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
