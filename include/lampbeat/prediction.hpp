#pragma once

#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "lampbeat/finding.hpp"
#include "lampbeat/light.hpp"
#include "lampbeat/shot.hpp"

namespace lampbeat {

namespace reasoning::judge {
struct JudgedRoom;
}

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
  int recording_bits = 8;       ///< 8 or 10
  /// The camera's noise in one pixel, % of its level, where it is known: then what it still hides
  /// after averaging (`hidden_by_noise`) counts as clean.
  std::optional<double> noise_percent;
  /// Frames per second the clip is shown at. Default: as shot up to 60, and above that as slow
  /// motion at 30: a 120 Hz pulsing nobody could see live comes out at a glaring few hertz.
  std::optional<double> playback_fps;
};

/// What is assumed beside the lights and the shot.
struct PredictionOptions {
  /// Retune locked components to this. Default: the frequency the first locked light was taken at,
  /// for all of them, since a room has one mains.
  std::optional<double> mains_hz;
  /// >= 0. Default: default_mains_tolerance_hz, and where the mains is taken from a capture as much
  /// more as it ran beside its nominal frequency then, so that the tolerance about that is covered.
  std::optional<double> mains_tolerance_hz;
  /// How far the clock of a free-running light may be off, 0 ... 20 % of its frequency. Default:
  /// for each light clock_tolerance_percent.
  std::optional<double> clock_tolerance_percent;
  Viewing viewing;
};

enum class Verdict { clean, borderline, visible, strong };

/// "clean", "borderline", "visible" or "strong".
const char* verdict_word(Verdict verdict);

/// What the camera records with every clock, that of the mains and those of free-running lights,
/// at one frequency.
///
/// As Prediction::worst it is an envelope over the tolerances and the states of the lights:
/// band_percent, band_stops, pulse_percent, the visibilities and the verdict are each the largest
/// anywhere in it (never below the nominal ones), while mains_hz and clock_percent are those of the
/// highest visibility and the remaining fields describe the pattern there; pulse_hz is that of the
/// most visible pulsing. Independent clocks are followed one at a time while the others stand where
/// they leave most, since the contrasts of independent rhythms add. Light that no rhythm explains
/// counts in it as a rhythm of √2 times its rms at the least favourable frequency of its band.
struct Recorded {
  std::optional<double> mains_hz;  ///< empty when no light is locked to the mains
  /// How far off its frequency the free-running clock stands that leaves most; 0 at the nominal.
  double clock_percent = 0.0;
  double band_percent =
      0.0;  ///< 100·(max−min)/(max+min) of linear row exposure in one frame, least favourable start
  double band_stops = 0.0;       ///< log2(max/min) there
  double bands_per_frame = 0.0;  ///< of the strongest remaining component, as the rows fold it
  double roll_hz = 0.0;  ///< its frequency minus the nearest multiple of the frame rate, signed
  double roll_heights_per_s =
      0.0;  ///< drift in picture heights per second, positive = down the readout; 0 without bands
  std::optional<double> band_hz;  ///< of that component in the light; empty: nothing remains
  double pulse_percent = 0.0;     ///< the same measure for the frame mean from frame to frame
  double pulse_hz = 0.0;          ///< how fast that repeats
  double band_visibility =
      0.0;  ///< band modulation over the threshold of seeing it (1 = just visible)
  double pulse_visibility = 0.0;
  double visibility = 0.0;  ///< the larger of the two
  Verdict verdict = Verdict::clean;
};

/// Neither bands nor pulsing would be seen.
inline bool is_clean(const Recorded& recorded) { return recorded.verdict == Verdict::clean; }

/// The deeper of bands and pulsing, %.
double deeper_percent(const Recorded& recorded);

/// Whether pulsing of whole frames is seen more than bands are.
bool pulses_more_than_bands(const Recorded& recorded);

/// What of it is seen most, in a word: "pulsing" where whole frames are, else "bands".
const char* shown_word(const Recorded& recorded);
/// How deep that is, %.
double shown_percent(const Recorded& recorded);

/// What the rows of one frame record, as the search for its contrast left it: the frame that starts
/// at its least favourable moment, the lights at their least favourable alignment. Row r holds,
/// with t = (r − bright_row) · readout / rows and relative to the same frame under steady light,
///     1 + Σ amplitude · cos(2π hz t + phase_rad)
/// where that is above 0.
struct FrameLight {
  int bright_row = 0;  ///< the brighter of the two rows that make the contrast
  std::vector<LightComponent> components;
};

/// The answer to "will my shot be ruined?".
struct Prediction {
  std::vector<LightShare> lights;  ///< as judged (retuned), shares summing to 1
  std::optional<double> mains_hz;
  double mains_tolerance_hz = 0.0;
  std::optional<double> clock_tolerance_percent;  ///< the largest taken; empty: none runs free
  Shot shot;
  PredictionOptions options;  ///< as asked
  Recorded nominal;  ///< at `mains_hz` and every clock as measured, in the worst of the states
  Recorded worst;    ///< at the least favourable mains and clock within the tolerances
  std::string worst_state;  ///< which state decided: "'panel' from 2.7 s to 5.0 s"; else empty
  FrameLight frame;         ///< the frame of the nominal band_percent
  Findings findings;        ///< doubts and cautions (unknown phases, photosensitivity)
  /// The judge that gave it, whom advice asks on about the same lights. Inner to the library, and
  /// empty in a prediction put together by hand.
  std::shared_ptr<const reasoning::judge::JudgedRoom> judged;
};

/// The nominal frequency a light's supply is meant to have: 50 or 60 Hz within 2 % of it, otherwise
/// the frequency itself. A capture shows the mains as it happened to run that minute (60.015 Hz).
double nominal_mains_hz(double taken_hz);

/// How far the mains may be off. At 50 Hz 1 %: EN 50160, 99.5 % of a year (second-hand). At 60 Hz
/// 0.144 Hz: the wider of NERC's sustained alarm thresholds, 59.856 ... 60.144 Hz (Western
/// interconnection). Elsewhere 1 % too.
double default_mains_tolerance_hz(double mains_hz);

/// How far the own clock of a free-running light may be off, percent of its frequency: 1 (common
/// practice, no source), or three times what its capture showed where that is more.
double clock_tolerance_percent(const Light& light);

/// Predicts what one shot records of these lights. Several lights (and lights whose relative
/// phase is unknown) are judged at their least favourable alignment, and a finding says so.
/// Throws UsageError when there is no light, a share is not positive, the exposure is not within
/// (0, one frame], the readout is negative or longer than the frame, or a row count, viewing
/// condition or tolerance makes no sense.
///
/// Findings: `unknown_alignment` (several lights), `independent_rhythms` (one light with unrelated
/// ones), `not_locked` (retuning asked of a light that knows no mains), `mixed_mains` (lights taken
/// on different mains), `moved_mains` (judged on another mains than it was measured on),
/// `lone_share` (a share without another light), `below_recording_step`, `below_measured_noise` (a
/// ripple the measurement was too noisy to see would not be clean), `own_clock` (a free-running
/// clock within its tolerance makes the verdict worse), `state_decides` (the worst is that of
/// another state of a light), `coarse_pattern` (below the vision model's range),
/// `judged_as_slow_motion`, `photosensitive_caution`; those the lights carry; and
/// `readout_assumed`.
Prediction predict(std::span<const LightShare> lights, const Shot& shot,
                   const PredictionOptions& options);

}  // namespace lampbeat
