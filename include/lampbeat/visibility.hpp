#pragma once

#include "lampbeat/prediction.hpp"
#include "lampbeat/shot.hpp"

// How visible bands and pulsing are in the finished picture: their contrast on the screen over the
// contrast a viewer can just see.

namespace lampbeat {

/// Contrast sensitivity (1 / threshold Michelson contrast) of the achromatic castleCSF model:
/// Ashraf, Mantiuk, Chapiro, Wuerger, "castleCSF", Journal of Vision 24(4):5, 2024; constants from
/// its reference code, github.com/gfxdisp/castleCSF, MIT licence, © 2023 Graphics and Displays
/// group, University of Cambridge.
/// `cycles_per_degree` is brought into 0.0625 ... 64 and `luminance_cd_m2` into 0.001 ... 10000,
/// the model's stated range. `hz` >= 0, `area_deg2` > 0. The model agrees with measured thresholds
/// to about ±0.2 in log10, a factor of 1.6. Its weakest place is a standing pattern of a band or
/// two: Rovamo et al. (1993) measured three times its sensitivity at 0.125 cycles per degree.
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

/// The picture as the viewer has it.
struct PictureAngle {
  double height_deg = 0.0;  ///< 2 atan(1 / (2 · distance in heights))
  double area_deg2 = 0.0;   ///< of a 16:9 picture
};
PictureAngle picture_angle(double distance_heights);

/// Visibility of bands: `bands` over the picture height, of this Michelson contrast in scene light,
/// running at `roll_hz` (sign does not matter). 1 = just visible.
double band_visibility(double contrast, double bands, double roll_hz, const Viewing& viewing);

/// Visibility of the whole picture pulsing `hz` times a second with this contrast. The edge of the
/// picture is what it is seen against, so it is judged as the coarsest pattern of the model.
double pulse_visibility(double contrast, double hz, const Viewing& viewing);

/// Full swing, relative to the mean, of one code value at reference white: the smallest swing of a
/// plain surface that a recording of 8 or 10 bits (narrow range, BT.709 transfer) holds anywhere in
/// its range. At mid-grey (18 %) a step is about twice as large.
/// Throws UsageError unless `bits` is 8 or 10.
double recording_step(int bits);

/// Verdicts are ratios to threshold. The model is good to a factor 1.6 either way, so below 1/1.6
/// it is `clean` and up to 1.6 `borderline`. From 5 times threshold on, well past any doubt about
/// viewer or screen, it is `strong`: nobody has to look for it.
inline constexpr double clean_below = 0.6;
inline constexpr double visible_from = 1.6;
inline constexpr double strong_from = 5.0;
Verdict verdict_of(double visibility);

/// ITU-R BT.1702 (figures second-hand; the rule for bright pictures from memory): a flash is a pair
/// of opposing changes of 20 cd/m² or more while the darker picture is below 160 cd/m², above that
/// a Michelson contrast of 1/17; more than three in a second over more than a quarter of the
/// screen may harm people with photosensitive epilepsy. Whether the whole picture, of mean
/// `screen_cd_m2`, pulsing so (contrast on the screen) does that.
bool flashes_hazardously(double screen_contrast, double hz, double screen_cd_m2);

}  // namespace lampbeat
