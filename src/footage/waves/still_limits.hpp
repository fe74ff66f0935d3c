#pragma once

// What tells bands in a photograph from painted stripes, and what their uncertainty is widened by.
// Measured figures are those of bench_footage_stills, which draws its photographs anew in each run:
// bands on bare walls and in scenes, scenes in steady light, and blinds from edge to edge.

namespace lampbeat::footage::waves {

/// Standard deviations by which a harmonic that is kept stands out: noise alone does once in 3000
/// (e^−8).
constexpr double strip_stands_out_sd = 4.0;
/// How far off one the share of the pattern may be that a strip shows: on walls 0.23 at most, in
/// scenes with bands 0.49 and less in 95 % of the strips, without any half of them more.
constexpr double shows = 0.5;
/// Share of the strips that must show the pattern so: all on walls, in scenes with bands 91 % of
/// the pictures above, without any 70 % below.
constexpr double most_strips = 0.75;
/// Strips to compare: of two, either might be the one that differs.
constexpr int fewest_strips = 3;
/// Share of the steps of brightness beyond shading that the bands leave: on walls under 0.1, of
/// blinds 5 % 0.05 to 0.07 and less and half of them 0.18 and more. With soft edges: of 200 blinds
/// and steady scenes none passed for a light's.
constexpr double little_else = 0.1;
/// The same where other things share the picture, and a figure is given but not judged: a third.
constexpr double leading = 0.35;
/// Amplitude of all harmonics over that of the first: a fully rectified sine holds 1/5 + 3/35 +
/// 1/21 = 0.33, lamps on walls 0.29 at most; blinds in 92 % of the pictures above.
constexpr double soft_edges = 0.35;
/// Widens the uncertainty of the fit, since steps of real scenes are not as white as it takes them
/// for: errors of bands are 1.2 to 1.4 times (root mean square of two runs) what white steps would
/// do.
constexpr double lean = 1.4;

}  // namespace lampbeat::footage::waves
