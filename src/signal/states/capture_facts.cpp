#include "signal/states/capture_facts.hpp"

#include <algorithm>
#include <cmath>

namespace lampbeat::signal::states {

namespace {

/// Of the level: a point of percent flicker. Readings that lie no closer are the levels of a
/// switched light, not a converter's steps.
constexpr double coarsest_step = 0.02;

}  // namespace

double CaptureFacts::step_beside(double level) const {
  return std::min(readings.code_step.value_or(0.0), coarsest_step * std::abs(level));
}

}  // namespace lampbeat::signal::states
