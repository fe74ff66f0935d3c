#include <fmt/format.h>

#include <algorithm>

#include "reasoning/comparison/conditions.hpp"
#include "words/numbers.hpp"

namespace lampbeat {

namespace reasoning::comparison {

namespace {

/// Half the sampling rate beyond which no lamp is looked for, and how much less of it leaves
/// something out.
constexpr double enough_hz = 5000.0;
constexpr double much_less = 4.0;

Finding version_changed(int before, int after) {
  return {"measurement_version_changed",
          fmt::format("Measured by measurement version {} before and {} after, whose figures "
                      "differ; compare the captures themselves, or measure again.",
                      before, after)};
}

}  // namespace

const Condition* condition_named(const Occasion& occasion, const std::string& name) {
  const auto found = std::find_if(occasion.set_up.begin(), occasion.set_up.end(),
                                  [&](const Condition& c) { return c.name == name; });
  return found == occasion.set_up.end() ? nullptr : &*found;
}

Findings what_sets_apart(const Occasion& before, const Occasion& after) {
  Findings apart;
  if (before.measurement_version && after.measurement_version &&
      *before.measurement_version != *after.measurement_version) {
    apart.push_back(version_changed(*before.measurement_version, *after.measurement_version));
  }
  for (const Condition& was : before.set_up) {
    const Condition* is = condition_named(after, was.name);
    if (!was.decides || !is || is->value == was.value) continue;
    apart.push_back({"set_up_changed",
                     fmt::format("The set-up changed: {} was {} and is {}. Figures of two set-ups "
                                 "are not compared.",
                                 was.name, was.value, is->value)});
  }
  return apart;
}

std::optional<Finding> looked_less_far(const Occasion& before, const Occasion& after) {
  if (!before.seen_to_hz || !after.seen_to_hz || *after.seen_to_hz >= enough_hz ||
      much_less * *after.seen_to_hz >= *before.seen_to_hz) {
    return std::nullopt;
  }
  return Finding{"looked_less_far",
                 fmt::format("sampled at {} Hz, it shows nothing above {} Hz, where before was "
                             "looked up to {} Hz",
                             words::in_digits_at_most(2.0 * *after.seen_to_hz, 3),
                             words::in_digits_at_most(*after.seen_to_hz, 3),
                             words::in_digits_at_most(*before.seen_to_hz, 3))};
}

}  // namespace reasoning::comparison

Findings conditions_changed(const Occasion& before, const Occasion& after) {
  Findings changed = reasoning::comparison::what_sets_apart(before, after);
  for (const Condition& was : before.set_up) {
    const Condition* is = reasoning::comparison::condition_named(after, was.name);
    if (was.decides || !is || is->value == was.value) continue;
    changed.push_back(
        {"set_up_moved", fmt::format("The {} was {} and is {}.", was.name, was.value, is->value)});
  }
  return changed;
}

}  // namespace lampbeat
