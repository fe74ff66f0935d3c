#include "lampbeat/comparison.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "reasoning/comparison/conditions.hpp"
#include "reasoning/comparison/evidence.hpp"
#include "reasoning/comparison/figure_changes.hpp"
#include "reasoning/comparison/filming_change.hpp"

namespace lampbeat {

namespace {

using namespace reasoning::comparison;

void append(Findings& all, Findings more) {
  std::move(more.begin(), more.end(), std::back_inserter(all));
}

const char* kind_words(OccasionKind kind) {
  switch (kind) {
    case OccasionKind::light:
      return "a light's capture";
    case OccasionKind::clip:
      return "a clip";
    case OccasionKind::place:
      return "a place of a room";
  }
  return "";
}

void settle(Comparison& c) {
  const Occasion& before = *c.before;
  const Occasion& after = *c.after;
  if (before.kind != after.kind) {
    c.reasons.push_back(
        {"kinds_differ", fmt::format("Before is {} and after is {}: only like can be compared.",
                                     kind_words(before.kind), kind_words(after.kind))});
    return;
  }
  c.figures = figure_changes(before, after);
  c.filming_before = filming_of(before);
  c.filming_after = filming_of(after);
  Findings apart = what_sets_apart(before, after);
  append(apart, camera_changed(c.figures));
  if (!apart.empty()) {
    withdraw_verdicts(c.figures);
    c.reasons = std::move(apart);
    return;
  }
  const Decision decision = decide(c);
  c.verdict = decision.verdict;
  append(c.reasons, decision.reasons);
}

}  // namespace

const char* change_word(ChangeVerdict verdict) {
  switch (verdict) {
    case ChangeVerdict::better:
      return "better";
    case ChangeVerdict::unchanged:
      return "unchanged";
    case ChangeVerdict::worse:
      return "worse";
    case ChangeVerdict::unknown:
      return "unknown";
  }
  return "unknown";
}

Comparison not_measured(std::string fixture, std::vector<Occasion> course, const std::string& why) {
  Comparison c;
  c.fixture = std::move(fixture);
  c.course = std::move(course);
  if (!c.course.empty()) c.before = c.course.front();
  c.reasons.push_back({"not_measured", why});
  return c;
}

Comparison compare(std::string fixture, std::vector<Occasion> course) {
  if (course.empty()) return not_measured(std::move(fixture), {}, "It was not measured.");
  Comparison c;
  c.fixture = std::move(fixture);
  c.course = std::move(course);
  c.after = c.course.back();
  if (c.course.size() == 1) {
    c.reasons.push_back(
        {"only_one_measurement", "It was measured once; there is nothing to hold that against."});
    return c;
  }
  c.before = c.course.front();
  settle(c);
  return c;
}

}  // namespace lampbeat
