#pragma once

#include "lampbeat/prediction.hpp"

namespace lampbeat::report {

/// Whether a shot that is clean for what was measured could show what the measurements' noise hid:
/// then no headline may say that nobody will see anything.
inline bool hides_what_could_show(const Prediction& p) {
  return has_finding(p.findings, "below_measured_noise");
}

}  // namespace lampbeat::report
