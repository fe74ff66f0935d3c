#include "signal/states/capture_facts.hpp"

#include <algorithm>
#include <cmath>

namespace lampbeat::signal::states {

namespace {

/// Of the level: a point of percent flicker. Readings that lie no closer are the levels of a
/// switched light, not a converter's steps.
constexpr double coarsest_step = 0.02;
/// A recording whose own mean is the given one kept its level.
constexpr double level_kept_within = 0.05;

}  // namespace

bool loses_level(const windows::Readings& readings, const MeasurementSettings& settings) {
  if (!settings.mean_level || readings.samples == 0) return false;
  const double own = readings.mean() - settings.dark_level.value_or(0.0);
  return std::abs(own - *settings.mean_level) > level_kept_within * *settings.mean_level;
}

double CaptureFacts::step_beside(double level) const {
  return std::min(readings.code_step.value_or(0.0), coarsest_step * std::abs(level));
}

}  // namespace lampbeat::signal::states
