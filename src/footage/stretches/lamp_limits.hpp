#pragma once

// What tells a lamp's wave from others, in the order in which it is asked. Measured figures are
// those of bench_footage_lamps, which draws its clips anew in each run: lamps before standing and
// moving views, and what moving cameras carry past.

namespace lampbeat::footage::stretches {

/// Waves fainter than this (of the mean; of the residual of single rows; of the strongest wave) are
/// not worth a word: rounding to code values and people walking leave such traces.
constexpr double least_amplitude = 5e-4;
constexpr double least_of_unrest = 0.3;
constexpr double least_of_strongest = 0.04;

/// Whole frames that swell more slowly are the exposure automatic's doing.
constexpr double quick_pulse = 4.0;    // turns in the stretch
constexpr double whole_frames = 0.05;  // bands, or three uncertainties of them

/// Turns in the stretch of a slow wave, which leaves little to compare: two thirds of the lamps
/// turn more often, what a camera carries past in 95 % of the waves 2.6 times and less.
constexpr double few_turns = 2.0;

/// Share of a quick wave's amplitude that the rows may do beside it: lamps 0.40 at most, scenery
/// 0.77 and more.
constexpr double most_unexplained = 0.45;
/// The same of a slow wave: scenery half of the time 0.44 and more, and 93 % above this; so are 40
/// % of lamps, which are then not told: no scenery may pass for a lamp that nearly stands.
constexpr double most_unexplained_slow = 0.05;

/// A pulse of the whole frame is as deep everywhere but for other light: share of the amplitude
/// that cells may do beside it (lamps 0.40 at most).
constexpr double most_uneven = 0.5;

/// Rows that do less than this share of the amplitude beside the waves are undisturbed: as in four
/// of five lamps before a standing view, and two of three before a moving one.
constexpr double little_unexplained = 0.05;
/// The view stands while typical cells do less than this share of the amplitude beside the waves.
/// Under people, noise and coding faint lamps do more; they are then judged as before a moving
/// view.
constexpr double still_view = 0.06;
/// Disagreement of strips and parts of the stretch, over the amplitude, of a lamp before a view
/// that stands: lamps 0.24 at most. Where rows are undisturbed twice as much (lamps 0.35 at most,
/// 0.2 in 95 %): people disturb single strips then.
constexpr double most_disagreement = 0.45;
/// The same before a view that moves: lamps there 0.06 at most; of faint lamps before a standing
/// one a quarter are above and not told.
constexpr double most_of_moving = 0.15;

}  // namespace lampbeat::footage::stretches
