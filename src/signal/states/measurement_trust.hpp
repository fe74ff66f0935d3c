#pragma once

#include <optional>

#include "lampbeat/tones.hpp"
#include "signal/states/capture_facts.hpp"

namespace lampbeat::signal::states {

/// What the data can and cannot support.
struct MeasurementTrust {
  bool not_analysed = false;  ///< the samples were not searched for rhythms at all
  bool one_reading = false;   ///< all alike: nothing shows that the sensor answers to light
  bool no_dc = false;
  bool below_zero = false;
  bool clipped = false;
  bool rate_hides_mains = false;
  bool frequency_only = false;  ///< two to four readings a cycle: its frequency shows, no depth
  bool rate_too_low = false;    ///< too few samples a cycle for extremes
  bool rate_marginal = false;
  bool too_short = false;            ///< too few cycles for any figure
  double seconds = 0.0;              ///< that the state was seen for, by which that is decided
  std::optional<double> slowest_hz;  ///< whose cycles are counted; empty without a rhythm
  bool short_capture = false;
  bool steady = false;       ///< no rhythm was found
  bool unexplained = false;  ///< light that no rhythm explains was

  bool mean() const { return !no_dc && !below_zero && !clipped; }
  bool figures() const {
    return mean() && !one_reading && !not_analysed && !rate_hides_mains && !frequency_only &&
           !rate_too_low && !too_short;
  }
};

/// The state of a light whose data are judged.
struct StateExtent {
  double seconds = 0.0;
  double mean = 0.0;  ///< sample units, dark level removed
};

/// By the readings and the tones of one state alone; what it holds beside them is judged later.
MeasurementTrust trust_in(const CaptureFacts& capture, const StateExtent& state,
                          const ToneAnalysis& tones);

}  // namespace lampbeat::signal::states
