#pragma once

#include "lampbeat/prediction.hpp"
#include "lampbeat/shot.hpp"

// How visible bands and pulsing are in the finished picture: their contrast on the screen over the
// contrast a viewer can just see. No model of vision covers every pattern well, so several
// published ones are asked, and the most sensitive counts.

namespace lampbeat {

/// Contrast sensitivity (1 / threshold Michelson contrast) of the achromatic castleCSF model:
/// Ashraf, Mantiuk, Chapiro, Wuerger, "castleCSF", Journal of Vision 24(4):5, 2024; constants from
/// its reference code, github.com/gfxdisp/castleCSF, MIT licence, © 2023 Graphics and Displays
/// group, University of Cambridge.
/// `cycles_per_degree` is brought into 0.0625 ... 64 and `luminance_cd_m2` into 0.001 ... 10000,
/// the model's stated range. `hz` >= 0, `area_deg2` > 0. The model agrees with measured thresholds
/// to about ±0.2 in log10, a factor of 1.6. Its weakest places are standing patterns of a band or
/// two, where Rovamo et al. (1993) measured three times its sensitivity, and whole pictures pulsing
/// at 10 to 30 Hz, which lie outside its spatial range.
double contrast_sensitivity(double cycles_per_degree, double hz, double luminance_cd_m2,
                            double area_deg2);

/// Lowest spatial frequency the model covers; coarser patterns are judged as this one.
inline constexpr double coarsest_cycles_per_degree = 0.0625;

/// Sensitivity of P. Barten's 1999 model, "Contrast Sensitivity of the Human Eye and Its Effects on
/// Image Quality" (SPIE Press), original constants, binocular, for a square field: a second opinion
/// that is more cautious for coarse patterns. `cycles_per_degree` 0 is the full-field flicker
/// limit; `hz` 0 is a standing pattern, and must not be combined with 0 cycles per degree.
double barten_sensitivity(double cycles_per_degree, double hz, double luminance_cd_m2,
                          double field_deg);

/// A small contrast in the scene is this much larger on the screen: BT.709 camera into BT.1886
/// display, overall exponent about 1.2 (from memory).
inline constexpr double system_gamma = 1.2;

/// Sensitivity to a standing pattern as measured by Rovamo, Luntinen & Näsänen, "Modelling the
/// dependence of contrast sensitivity on grating area and spatial frequency", Vision Research 33,
/// 1993 (values from castleCSF's data table; authors and title from memory): gratings of 0.125 and
/// 0.5 cycles per degree on 50 cd/m², three areas each, between which it is interpolated in
/// logarithms. Coarser patterns follow on the slope between the two. A pattern that moves on by
/// less than a quarter of a band a second still stands; from half a band on it moves, where the
/// measurements of Snowden et al. (1995) at 0.1 cycles per degree agree with castleCSF.
/// 0 for moving patterns and above 0.5 cycles per degree. `cycles_per_degree` > 0.
double measured_standing_sensitivity(double cycles_per_degree, double hz, double area_deg2);

/// The picture as the viewer has it.
struct PictureAngle {
  double height_deg = 0.0;  ///< 2 atan(1 / (2 · distance in heights))
  double area_deg2 = 0.0;   ///< of a 16:9 picture
};
PictureAngle picture_angle(double distance_heights);

/// A clip of more frames a second than a screen shows is watched as slow motion, at 30 frames a
/// second unless somebody says otherwise (common practice, no source).
inline constexpr double fastest_screen_fps = 60.0;
inline constexpr double slow_motion_fps = 30.0;

/// How much slower than in the room things happen on the screen: 1 for a clip shown as shot, and
/// for a still (`fps` 0).
double slowing(double fps, const Viewing& viewing);

/// Modulation over the threshold of seeing it (1 = just visible), by the published models that
/// cover the pattern.
struct Visibility {
  double most_sensitive = 0.0;
  double least_sensitive = 0.0;
};

/// Visibility of bands: `bands` over the picture height, of this Michelson contrast in scene light,
/// running at `roll_hz` (sign does not matter). Asked are castleCSF and Barten, and the measured
/// standing patterns where they are the most sensitive.
Visibility band_visibility(double contrast, double bands, double roll_hz, const Viewing& viewing);

/// Visibility of the whole picture pulsing `hz` times a second with this contrast. Asked are
/// castleCSF, for its coarsest pattern, since the edge of the picture is what slow pulsing is seen
/// against; and Barten's full-field flicker limit, which knows no edge, from 4 Hz on.
Visibility pulse_visibility(double contrast, double hz, const Viewing& viewing);

/// Full swing, relative to the mean, of one code value at reference white (narrow range, BT.709
/// transfer). At mid-grey (18 %) a step is about twice as large. A weaker pattern is recorded all
/// the same: the camera's noise carries pixels over the step now and then, and the eye averages
/// whole rows of them.
/// Throws UsageError unless `bits` is 8 or 10.
double recording_step(int bits);

/// The contrast that the camera's noise still hides when every row is averaged over its 1920 pixels
/// and over two seconds of frames, about as long as an eye can collect: the standard error of a
/// row's mean. `noise_percent` is the noise of one pixel, % of its level, >= 0; `fps` as shown.
double hidden_by_noise(double noise_percent, double fps);

/// Verdicts are ratios to threshold. The model is good to a factor 1.6 either way, so below 1/1.6
/// it is `clean` and up to 1.6 `borderline`. From 5 times threshold on, well past any doubt about
/// viewer or screen, it is `strong`: nobody has to look for it.
inline constexpr double clean_below = 0.6;
inline constexpr double visible_from = 1.6;
inline constexpr double strong_from = 5.0;
Verdict verdict_of(double visibility);
/// By the most sensitive model; where another one calls the pattern clean, at most `borderline`.
Verdict verdict_of(const Visibility& visibility);

/// ITU-R BT.1702 (figures second-hand; the rule for bright pictures from memory): a flash is a pair
/// of opposing changes of 20 cd/m² or more while the darker picture is below 160 cd/m², above that
/// a Michelson contrast of 1/17; more than three in a second over more than a quarter of the
/// screen may harm people with photosensitive epilepsy. Whether the whole picture, of mean
/// `screen_cd_m2`, pulsing so (contrast on the screen) does that.
bool flashes_hazardously(double screen_contrast, double hz, double screen_cd_m2);

}  // namespace lampbeat
