#pragma once

#include "lampbeat/measurement.hpp"
#include "signal/states/capture_facts.hpp"
#include "signal/states/state_figures.hpp"

// The figures of one state of a light, each given where its data support it and left empty where
// not. In the order in which they are to be taken: each may need those before it.

namespace lampbeat::signal::measurement {

/// Name, samples, duration and rate.
void describe_capture(Measurement& m, const states::CaptureFacts& capture);
/// Mean, noise and the swing of the raw readings.
void take_levels(Measurement& m, const states::JudgedState& state,
                 const states::CaptureFacts& capture);
/// Below which no rhythm of a steady light can hide.
void take_steadiness(Measurement& m, const states::JudgedState& state);
/// Percent flicker and flicker index as the windows' cycles have them, that cycle, and a spectrum.
void take_cycle(Measurement& m, const states::JudgedState& state,
                const states::CaptureFacts& capture);
/// What only the whole capture shows: a rhythm too slow for its windows takes the place of theirs.
void take_slow_cycle(Measurement& m, const states::JudgedState& state,
                     const states::CaptureFacts& capture);
/// Light that no rhythm explains, by band.
void take_unexplained(Measurement& m, const states::JudgedState& state,
                      const states::CaptureFacts& capture);
/// The published measures.
void take_standards(Measurement& m, const states::JudgedState& state,
                    const states::CaptureFacts& capture);

}  // namespace lampbeat::signal::measurement
