#pragma once

#include "lampbeat/measurement.hpp"
#include "lampbeat/tones.hpp"
#include "signal/states/capture_facts.hpp"
#include "signal/states/measurement_trust.hpp"

namespace lampbeat::signal::measurement {

/// The rhythms of a measurement, strongest first: frequencies, the mains among them, and, as far as
/// the data support it, their share of the mean. Nothing where the rate hides them.
void relate_components(Measurement& m, const ToneAnalysis& tones,
                       const states::MeasurementTrust& trust, const states::CaptureFacts& capture);

}  // namespace lampbeat::signal::measurement
