#include "lampbeat/meter.hpp"

#include "lampbeat/error.hpp"
#include "signal/measurement/measurement_builder.hpp"
#include "signal/tones/clock_uncertainty.hpp"
#include "signal/tones/close_rhythms.hpp"
#include "signal/windows/window_cutter.hpp"

namespace lampbeat {

struct Meter::State {
  State(const CaptureFormat& given, const MeasurementSettings& settings)
      : format(given),
        builder(given, settings),
        cutter(format.evenly_sampled ? format.rate_hz : std::nullopt,
               [this](const signal::windows::PlacedWindow& window) { builder.add(window); },
               {signal::tones::looks_crowded, signal::tones::closest_rhythms_hz}) {}

  CaptureFormat format;
  signal::measurement::MeasurementBuilder builder;
  signal::windows::WindowCutter cutter;
};

Meter::Meter(const CaptureFormat& format, const MeasurementSettings& settings)
    : state_(std::make_unique<State>(format, settings)) {}
Meter::~Meter() = default;
Meter::Meter(Meter&&) noexcept = default;
Meter& Meter::operator=(Meter&&) noexcept = default;

void Meter::feed(const SampleBlock& block) { state_->cutter.feed(block); }

const WindowFigures* Meter::latest() const { return state_->builder.latest(); }

double Meter::seconds_fed() const { return state_->cutter.seconds_fed(); }

Measurement Meter::finish(const Findings& source_findings, const SampleClock& clock) {
  state_->cutter.finish();
  Measurement measurement = state_->builder.result(source_findings);
  signal::tones::add_clock_uncertainty(measurement, state_->format, clock);
  return measurement;
}

Measurement measure(CaptureSource& source, const MeasurementSettings& settings,
                    const MeasureProgress& progress) {
  Meter meter(source.format(), settings);
  for (SampleBlock block = source.next(); !block.value.empty(); block = source.next()) {
    meter.feed(block);
    if (progress) progress(meter);
  }
  return meter.finish(source.findings(), source.clock());
}

}  // namespace lampbeat
