#include "reasoning/filming/clean_exposures.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include "lampbeat/visibility.hpp"

namespace lampbeat::reasoning::filming {
namespace {

/// Ranges wider than this are halved before anybody is asked about one of their exposures.
constexpr double widest_judged = 0.12;
/// What is given up at the edges of a clean valley, of its half width at its narrowest.
constexpr double part_given_up = 0.02;
/// Where a light is all but steady its valleys are wide, and nobody sets a shutter more finely.
constexpr double coarsest_end = 0.002;
/// Where a clock wanders over lobes there are hardly any valleys left, mostly one edge.
constexpr double wandering_ends = 10.0;
/// An exposure speaks for no wider a range than this: where lines of a light take turns at being
/// the strongest that is left, what is seen of them jumps.
constexpr double widest_spoken_for = 0.006;
/// For one rate. A light that needs more has hardly any clean exposure left to be found.
constexpr int most_judgings = 1500;

}  // namespace

CleanExposures::CleanExposures(EveryRate& check, std::size_t rate)
    : check_(check), rate_(rate), steepest_(check.steepest(rate)), judgings_left_(most_judgings) {
  narrowest_ =
      std::min(coarsest_end, part_given_up * clean_below / std::max(steepest_, clean_below));
}

CleanExposures::Word CleanExposures::word_of_bounds(Range range) {
  const double from_s = std::exp(range.from);
  const double to_s = std::exp(range.to);
  if (check_.ceiling_at(from_s, to_s, rate_) < clean_below) return Word::clean;
  if (check_.shown_anyway(from_s, to_s, rate_) >= clean_below) return Word::not_clean;
  return Word::undecided;
}

CleanExposures::Judged CleanExposures::judged_in(Range range) {
  const double middle = 0.5 * (range.from + range.to);
  const double least = 0.5 * narrowest_;
  const auto around = [&](double reach) {
    return Range{std::max(range.from, middle - reach), std::min(range.to, middle + reach)};
  };
  if (judgings_left_-- <= 0) return {false, range};
  const double visibility = check_.judged(std::exp(middle), rate_);
  const double reach = std::abs(visibility - clean_below) / std::max(steepest_, clean_below);
  if (visibility < clean_below && reach > 0.0) {
    return {true, around(std::min(reach, 0.5 * widest_spoken_for))};
  }
  return {false, around(std::max(reach, least))};
}

/// Ranges in falling order, so that the longest exposures, of which most are clean, come first.
/// Either callback ends the walk by returning false.
template <typename Clean, typename NotClean>
void CleanExposures::walk(Range whole, Clean clean, NotClean not_clean) {
  std::vector<Range> waiting = {whole};
  while (!waiting.empty()) {
    const Range range = waiting.back();
    waiting.pop_back();
    if (!(range.width() > 0.0)) continue;
    const Word word = word_of_bounds(range);
    if (word == Word::clean) {
      if (!clean(range)) return;
      continue;
    }
    const bool only_bounds =
        check_.wandering_ceiling(std::exp(range.from), std::exp(range.to), rate_) >= clean_below;
    const double end = only_bounds ? wandering_ends * narrowest_ : narrowest_;
    if (word == Word::not_clean || range.width() <= end) {
      if (!not_clean()) return;
      continue;
    }
    if (only_bounds || range.width() > widest_judged) {
      const double middle = 0.5 * (range.from + range.to);
      waiting.push_back({range.from, middle});
      waiting.push_back({middle, range.to});
      continue;
    }
    const Judged judged = judged_in(range);
    if (!(judged.clean ? clean(judged.range) : not_clean())) return;
    waiting.push_back({range.from, judged.range.from});
    waiting.push_back({judged.range.to, range.to});
  }
}

double CleanExposures::stops(double from_s, double to_s, double enough) {
  double width = 0.0;
  walk(
      {std::log(from_s), std::log(to_s)},
      [&](Range range) {
        width += range.width() / std::numbers::ln2;
        return width < enough;
      },
      [] { return true; });
  return width;
}

bool CleanExposures::all(double from_s, double to_s) {
  bool all = true;
  walk(
      {std::log(from_s), std::log(to_s)}, [](Range) { return true; }, [&] { return all = false; });
  return all;
}

}  // namespace lampbeat::reasoning::filming
