#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "lampbeat/finding.hpp"
#include "lampbeat/light.hpp"
#include "lampbeat/shot.hpp"

namespace lampbeat {

/// One light of the room and how much of the subject's light comes from it.
struct LightShare {
  Light light;
  double share = 1.0;  ///< relative illuminance, > 0; only ratios matter
};

/// How the finished picture is watched, and recorded.
struct Viewing {
  double distance_heights =
      3.2;  ///< viewing distance in picture heights (ITU-R BT.500 design distance, HD)
  double screen_cd_m2 = 100.0;  ///< luminance of the plain wall on the screen
  int recording_bits = 8;       ///< 8 or 10: smallest step that can be recorded at all
};

/// What is assumed beside the lights and the shot.
struct PredictionOptions {
  std::optional<double> mains_hz;  ///< retune locked components to this; default: as taken
  std::optional<double>
      mains_tolerance_hz;  ///< default: 1 % at 50 Hz (EN 50160), 0.144 Hz at 60 Hz (NERC)
  Viewing viewing;
};

enum class Verdict { clean, borderline, visible, strong };

/// "clean", "borderline", "visible" or "strong".
const char* verdict_word(Verdict verdict);

/// What the camera records at one mains frequency.
struct Recorded {
  double mains_hz = 0.0;  ///< 0 when no light is locked to the mains
  double band_percent =
      0.0;  ///< 100·(max−min)/(max+min) of linear row exposure in one frame, least favourable start
  double band_stops = 0.0;       ///< log2(max/min) there
  double bands_per_frame = 0.0;  ///< of the strongest remaining component: frequency × readout
  double roll_hz = 0.0;  ///< its frequency minus the nearest multiple of the frame rate, signed
  double roll_heights_per_s =
      0.0;  ///< drift in picture heights per second, positive = down the readout; 0 without bands
  double band_hz = 0.0;  ///< the frequency of that component in the light; 0 when nothing remains
  double pulse_percent = 0.0;  ///< the same measure for the frame mean from frame to frame
  double pulse_hz = 0.0;       ///< how fast that repeats
  double band_visibility =
      0.0;  ///< band modulation over the threshold of seeing it (1 = just visible)
  double pulse_visibility = 0.0;
  double visibility = 0.0;  ///< the larger of the two
  Verdict verdict = Verdict::clean;
};

/// The answer to "will my shot be ruined?".
struct Prediction {
  std::vector<LightShare> lights;  ///< as judged (retuned), shares summing to 1
  std::optional<double> mains_hz;
  double mains_tolerance_hz = 0.0;
  Shot shot;
  Viewing viewing;
  Recorded nominal;   ///< at the nominal mains frequency
  Recorded worst;     ///< at the least favourable mains frequency in the tolerance
  Findings findings;  ///< doubts and cautions (unknown phases, photosensitivity)
};

/// Predicts what one shot records of these lights. Several lights (and lights whose relative
/// phase is unknown) are judged at their least favourable alignment, and a finding says so.
/// Throws UsageError when there is no light, a share is not positive, the exposure is not within
/// (0, one frame], or the readout is negative or longer than a second.
Prediction predict(std::span<const LightShare> lights, const Shot& shot,
                   const PredictionOptions& options);

}  // namespace lampbeat
