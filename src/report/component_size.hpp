#pragma once

#include "lampbeat/measurement.hpp"

namespace lampbeat::report {

/// How large a component is drawn and named: percent of the mean; without a mean, percent of the
/// strongest component.
inline double size_of(const MeasuredComponent& component) {
  return component.percent.value_or(100.0 * component.relative);
}

}  // namespace lampbeat::report
