#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "lampbeat/clip.hpp"
#include "lampbeat/depth.hpp"
#include "lampbeat/finding.hpp"
#include "lampbeat/light.hpp"
#include "lampbeat/prediction.hpp"

namespace lampbeat {

/// What the person knows beside the clip.
struct FootageSettings {
  std::optional<FrameRate> fps;  ///< overrides the header
  TransferFunction transfer;
  std::optional<bool> full_range;    ///< overrides the header
  bool plain_wall = false;           ///< the scene is declared evenly lit and plain
  std::optional<double> light_hz;    ///< known light: gives the readout
  std::optional<double> readout_s;   ///< known readout: gives the light
  std::optional<double> exposure_s;  ///< known shutter: lets the light itself be recovered
  std::vector<Light> suspects;       ///< profiles of the room's lights, for diagnosis
  Viewing viewing;                   ///< how the clip is watched, for the verdict
};

/// What the person said beside the clip, as far as its figures depend on it.
struct FootageGiven {
  std::optional<double> light_hz, readout_s, exposure_s;
  bool plain_wall = false;
  bool reference = false;  ///< a second clip, at a safe shutter
};

/// A light frequency that would explain the bands.
struct LightCandidate {
  double hz = 0.0;
  double hz_sd = 0.0;
  std::string why;         ///< "100 Hz: twice 50 Hz mains"
  bool plausible = false;  ///< the one to believe
};

/// How well one suspect explains what was seen.
struct Suspect {
  std::string name;
  /// Of its component that comes closest to what was seen; empty where it has no rhythm left.
  std::optional<double> hz;
  /// At the shutter, when it is known; else the most it could give at any.
  std::optional<double> predicted_band_percent;
  std::optional<double> predicted_roll_hz;
  bool explains = false;
  std::string why;
};

/// One pattern in the clip: one lamp, its harmonics with it.
struct SeenWave {
  double band_percent = 0.0;  ///< by itself
  double band_percent_sd = 0.0;
  double bands_per_frame = 0.0;
  double roll_hz = 0.0;
  std::vector<LightCandidate> lights;  ///< the one to believe first
  std::vector<std::string> suspects;   ///< names of the lights given that explain it
};

/// A picture of the clip, small, for a page.
struct ClipPicture {
  int width = 0;
  int height = 0;
  std::vector<std::uint8_t> grey;  ///< as it is shown, row by row, 0 black ... 255 white
};

/// Rows of a picture, as shares of its height, 0 at the top.
struct RowSpan {
  double from = 0.0;
  double to = 0.0;
};

/// A stretch of the clip judged by itself.
struct ClipStretch {
  double from_s = 0.0;
  double to_s = 0.0;
  std::optional<double> band_percent;  ///< of its strongest pattern; empty where it showed none
};

/// What was looked at, for pages; the figures say what came of it.
struct FootageView {
  ClipPicture picture;  ///< the first frame, as the sensor reads it
  /// Light of the first frame's rows, 1 where the fitted bands are 0; shading of the scene divided
  /// out where the clip tells it from the bands. One value per row, or per few rows of a tall
  /// picture.
  std::vector<double> row_profile;
  /// Where the fitted pattern of the first frame is darker than its mean.
  std::vector<RowSpan> dark_bands;
  std::vector<ClipStretch> course;  ///< empty for a still
  std::vector<double>
      frame_levels;  ///< mean light of the first frames over their mean, at most 120
};

/// What to film at instead.
struct Remedy {
  /// The light to choose a shutter for, nominally; empty when it is not known which it was.
  std::optional<double> light_hz;
  /// Of whole cycles of that light, shortest first; empty when a frame is shorter than one cycle,
  /// so that no shutter helps.
  std::vector<double> exposures_s;
  /// Other lamps made patterns too, which these exposures need not cure.
  bool of_deepest_alone = false;
};

/// What a camera recorded. Absent figures have a finding in `warnings`.
///
/// Percentages are of linear light. Uncertainties are standard uncertainties from the fit, from how
/// much the stretches of a long clip disagree, and from what code values and compression do to
/// clips of known content. Where the picture contradicts the transfer curve it was read by (after
/// the right one, bands are as deep in its bright parts as in its dark ones), `transfer_doubt` says
/// so and the uncertainty reaches as far as the curve that suits it; a view too even to tell leaves
/// the curve on trust.
struct FootageResult {
  std::string clip;
  std::uint64_t frames = 0;  ///< in the clip
  int rows = 0;
  /// At which the pictures were taken: below the clip's own rate when every so many frames were
  /// shown twice to reach that. Empty for a still whose rate nobody stated.
  std::optional<FrameRate> fps;
  std::optional<std::uint64_t> repeated_frames;  ///< pictures shown twice; absent when not judged
  std::optional<std::uint64_t> dropped_frames;   ///< taken but missing; absent when not judged
  FootageGiven given;
  TransferFunction transfer;  ///< by which the clip was read
  /// The picture shows its bands in bright and dark parts, and they agree under this curve (or any
  /// power of it: only the curve's shape shows).
  bool transfer_tested = false;
  std::optional<std::string> transfer_doubt;  ///< why that cannot be right
  /// 100·(max−min)/(max+min) of the fitted bands within one frame, for its least favourable start;
  /// absent when none were found.
  std::optional<double> band_percent;
  std::optional<double> band_percent_sd;
  std::optional<double> bands_per_frame;
  std::optional<double> bands_per_frame_sd;
  std::optional<double> roll_hz;  ///< signed; 0 stands still
  std::optional<double> roll_hz_sd;
  std::optional<double> pulse_percent;
  std::optional<double> pulse_hz;
  std::optional<double> readout_s;
  std::optional<double> readout_s_sd;
  std::vector<LightCandidate> lights;
  std::vector<Suspect> suspects;
  std::vector<SeenWave> waves;  ///< strongest first; empty where no roll is known
  std::optional<Light> light;   ///< de-embedded from the exposure, when that was given
  /// The smallest band percentage that would have been noticed; absent where nothing bounds what
  /// could hide, as in patterns that stand still in an unknown scene.
  std::optional<double> smallest_seen_percent;
  /// Every pattern that the light in question could make was looked for and none found deeper than
  /// `smallest_seen_percent`: rolling ones of a light of the stated frequency, or, against a
  /// reference or on a declared wall, standing ones too.
  bool nothing_seen = false;
  std::optional<double> visibility;  ///< over the threshold of seeing it
  std::optional<Verdict> verdict;
  std::optional<Remedy> remedy;     ///< where the verdict is worse than clean
  std::vector<double> row_pattern;  ///< fitted band pattern over the rows, relative, for plots
  FootageView view;
  Findings warnings;
};

/// Measures the bands in a clip in memory independent of its length: stretches of some hundred
/// frames are separated into scene, exposure and running bands, and their estimates joined.
/// `reference` is the same view at a safe shutter; it lets standing bands be told from the scene.
/// Throws InputError from the clips; UsageError for settings that contradict each other.
FootageResult measure_footage(ClipSource& clip, ClipSource* reference,
                              const FootageSettings& settings);

/// What a clip holds against a limit, as `depth_of` gives it for the other results: the deeper of
/// bands and pulsing, or where nothing was seen what could have hidden.
Depth depth_of(const FootageResult& footage);

}  // namespace lampbeat
