#pragma once

#include <cstddef>

// When single frames say when they were taken, and whether what they show is a lamp's. Measured
// figures are those of bench_footage_frames, which draws its clips anew in each run: of 1 %, 5 %,
// 95 % or 99 % of one kind of clip.

namespace lampbeat::footage::stretches {

/// Share of the depth that rows may do beside a lamp's pattern in single frames: 95 % of lamps do
/// 0.2 to 0.4 and less; moving views half of the time 0.7 and more.
constexpr double most_left = 0.45;
/// How alike the picture's halves are at least, 1 where they are the same; at 0.8 one half shows a
/// pattern twice as deep as the other (2ab / (a² + b²)). Lamps half of the time 0.97 and more, a
/// quarter less, beside daylight and people; moving views half of the time 0.005, 95 % 0.74.
constexpr double least_agreement = 0.8;
/// Scatter of the frames' depths over the depth: 99 % of lamps 0.33 and less; of moving views a
/// third lies above.
constexpr double most_depth_scatter = 0.35;
/// Bands. With fewer a single frame tells depth from shading badly.
constexpr double whole_band = 0.9;
/// Turns in the stretch below which a pattern's own steps are lost in the scene's.
constexpr double enough_turns = 3.0;
/// Of one frame's noise: the best of all numbers of bands fits as much by chance (half of the clips
/// without a lamp 1.37 and less, which is √(2 ln 2) = 1.18 at one number of bands).
constexpr double beyond_noise = 1.5;

/// Noise of a step of the phase, in turns, above which steps say nothing: 95 % of lamps 0.04 and
/// less, half of the moving views 0.07 and more.
constexpr double clear_phase = 0.04;
/// Half a second at 24 frames a second.
constexpr std::size_t fewest_steps = 12;
/// Scatter of the steps beyond their noise, in turns: 99 % of even clips 0.017 and less (0.022 with
/// lost frames), of clips whose frames are off by a twentieth of a turn and more 1 % 0.02 and less.
constexpr double uneven = 0.02;
/// Share of the steps that are the usual one: even clips never below 0.85, with one frame in ten
/// lost; 99 % of uneven ones 0.55 and less.
constexpr double most_of_them = 0.6;
/// Share of the steps that are the usual one or explained by lost frames, so near to one that a
/// single hiccup in two seconds counts: 97 % of even clips above, 97 % of uneven ones below.
constexpr double nearly_all = 0.985;
/// More frames lost in a row than a camera drops while its card catches up, and any step would be
/// explained by some number of them.
constexpr std::size_t most_lost_at_once = 3;
/// A step is like another within so many of its uncertainties (noise alone leaves it once in
/// 16000), and clear of it beyond so many tolerances.
constexpr double alike_sds = 4.0;
constexpr double clear_of = 1.5;

/// Standard uncertainties that fits to single frames leave open. Of the bands, a share (of one at
/// least): they erred by 0.006 at most. Of the depth, a share: 99 % by 0.07 and less. Of what the
/// rows do beside: by as much as all of it, which is twice this.
constexpr double bands_of_frames = 0.03;
constexpr double depth_of_frames = 0.08;
constexpr double left_in_depth = 0.5;

}  // namespace lampbeat::footage::stretches
