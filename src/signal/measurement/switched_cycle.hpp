#pragma once

#include "lampbeat/cycle.hpp"
#include "lampbeat/measurement.hpp"
#include "lampbeat/tones.hpp"
#include "signal/cycle/phase_curve.hpp"
#include "signal/pulses/pulse_train.hpp"
#include "signal/pulses/two_levels.hpp"

namespace lampbeat::signal::measurement {

/// Whether the two levels are all that the light reaches: they are flat, and none of the tones that
/// were found swings in them.
bool levels_are_all(const Window& light, const pulses::TwoLevels& levels,
                    const ToneAnalysis& tones);

/// Percent flicker of a light whose levels are all it reaches, in place of what its fold says: it
/// is the same whatever the clock does.
void read_from_levels(CycleFigures& figures, const pulses::TwoLevels& levels);

/// Widens percent flicker where the samples of a level swing about what their averaged cycle says:
/// another rhythm, too weak to have been found beside the pulses', moves the extremes by so much.
void widen_by_swing(CycleFigures& figures, const pulses::TwoLevels& levels,
                    const cycle::PhaseCurve& curve);

/// The flicker index of such a light without one fold: by the time spent at either level.
void read_from_on_share(CycleFigures& figures, const pulses::TwoLevels& levels,
                        const pulses::OnShare& on);

/// Tones whose strongest is the pulses' own: its series at the frequency by which they were
/// counted.
ToneAnalysis with_pulses_counted(ToneAnalysis tones, const pulses::PulseClock& clock);

/// The strongest frequency, where tones miss it: no multiple of even pulses is stronger than they.
void count_pulses(Measurement& m, const pulses::PulseClock& clock);

}  // namespace lampbeat::signal::measurement
