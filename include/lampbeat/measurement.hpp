#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "lampbeat/dark_recording.hpp"
#include "lampbeat/finding.hpp"
#include "lampbeat/light.hpp"
#include "lampbeat/set_up.hpp"
#include "lampbeat/spectrum.hpp"
#include "lampbeat/standards.hpp"

namespace lampbeat {

/// What was assumed about the sensor and asked of the measurement.
struct MeasurementSettings {
  std::optional<double> dark_level;  ///< reading with the sensor covered, sample units
  /// More of it, from a recording: its noise and lines are not the light's. `dark_level` counts.
  std::optional<DarkRecording> dark;
  std::optional<double> mean_level;  ///< the true mean of an AC-coupled recording, sample units
  double mean_level_sd = 0.0;        ///< standard uncertainty of that
  /// The user's word that more light reads higher, where an AC-coupled recording does not show it.
  bool upright = false;
  std::optional<double>
      coupling_corner_hz;  ///< first-order high-pass of an AC-coupled recorder, undone
  std::optional<double> sensor_corner_hz;  ///< first-order bandwidth of the sensor, undone
  std::optional<double> mains_hz;          ///< the user's word; empty: found from the light
};

/// What a rhythm of a light goes by.
enum class ComponentKind {
  mains,         ///< a multiple of the mains frequency
  free_running,  ///< a clock of the light's own: a PWM dimmer, a switching driver
  sideband,      ///< sum or difference of two others
};
/// As people and programs read it: "mains", "free-running", "sideband".
const char* kind_word(ComponentKind kind);
/// The kind of this word; empty for any other.
std::optional<ComponentKind> component_kind(std::string_view word);

/// One rhythm, relative to the light's mean.
struct MeasuredComponent {
  double hz = 0.0;
  double hz_sd = 0.0;
  std::optional<double> percent;  ///< amplitude, % of the mean; empty without a trusted mean
  std::optional<double> percent_sd;
  double relative = 0.0;   ///< amplitude over that of the strongest component
  double phase_deg = 0.0;  ///< of the cosine at the capture's first sample, (−180, 180]
  std::optional<int> mains_order;
  ComponentKind kind = ComponentKind::free_running;
};

/// How programs read a state in which the lamp was off.
inline constexpr const char* dark_word = "dark";

/// One of several states the capture saw the light in: a dim level, a burst, off.
struct MeasuredState {
  double from_s = 0.0;
  double to_s = 0.0;
  bool dark = false;   ///< the lamp was off
  bool shown = false;  ///< the one that the measurement's components and rhythm describe
  std::optional<double> mean;
  std::optional<double> percent_flicker;
  std::optional<double> flicker_index;
  std::optional<double> dominant_hz;
  LightState light;  ///< relative to this state's own mean
};

/// The figures of one stretch of about a second.
struct WindowFigures {
  double start_s = 0.0;
  double duration_s = 0.0;
  std::optional<double> mean;
  std::optional<double> percent_flicker;
  std::optional<double> flicker_index;
  std::optional<double> dominant_hz;
};

/// How the figures move over the capture. Bounded: long captures merge neighbouring windows.
struct TimeResolved {
  std::vector<WindowFigures> windows;
  std::optional<double> median_percent_flicker;
  std::optional<double> worst_percent_flicker;
  std::optional<double> worst_start_s;  ///< where the worst window begins
};

/// The averaged cycle of the light's first rhythm.
struct MeasuredCycle {
  double hz = 0.0;            ///< how often it repeats
  std::vector<double> shape;  ///< relative to the mean, at evenly spaced phases
};

/// Everything one capture says about one light. A figure is present, or absent with a finding in
/// `warnings` that says why; there are no sentinels.
struct Measurement {
  std::string capture;       ///< name as given
  std::string capture_kind;  ///< for people
  std::uint64_t samples = 0;
  std::optional<double> rate_hz;
  double duration_s = 0.0;
  std::optional<SetUp> set_up;  ///< empty: a saved line does not say
  /// By which the figures were measured; empty: a saved line does not say.
  std::optional<int> version;

  std::optional<double> mean;  ///< sample units, dark level removed
  std::optional<double> percent_flicker;
  std::optional<double> percent_flicker_sd;
  std::optional<double> percent_flicker_raw;
  std::optional<double> flicker_index;
  std::optional<double> flicker_index_sd;
  std::optional<double> dominant_hz;
  std::optional<double> dominant_hz_sd;  ///< the recorder's clock included
  /// How far the sampling rate may be off, parts in a million: the bound whose standard
  /// uncertainty, a √3-th of it, is part of every frequency's (see `CaptureFormat::clock_ppm`).
  double clock_ppm = 0.0;
  std::optional<double> mains_hz;
  /// How far the clock of a rhythm free of the mains strayed, standard deviation in % of its
  /// frequency, 0 when no more than noise explains; empty when no such rhythm was followed.
  std::optional<double> clock_spread_percent;
  std::optional<double> noise_percent;  ///< standard deviation of one sample, % of the mean
  /// Set when neither a rhythm nor unexplained light was found, and the lamp was lit all along:
  /// none stronger than this, from `steady_from_hz` to half the sampling rate.
  std::optional<double> steady_below_percent;
  std::optional<double> steady_from_hz;
  /// Light that no rhythm explains, rms in % of the mean: 0 when none, empty when not judged.
  std::optional<double> unexplained_percent;
  std::vector<UnexplainedLight> unexplained;  ///< the bands it lies in, slowest first
  /// In the order seen; empty when the light had one state only. With several, every figure of the
  /// measurement is its own worst over them, except PstLM, which is of the whole course.
  std::vector<MeasuredState> states;
  std::vector<MeasuredComponent> components;  ///< strongest first, none above half the rate
  /// Harmonics above half the sampling rate, recognised where they fold to: inferred, not found.
  /// They shape the light's edges.
  std::vector<MeasuredComponent> inferred_components;
  /// What the samples could mean as well: a rhythm above half the rate, folded down.
  std::vector<LightState> other_readings;
  /// Where a recording lost its mean and the light has a rhythm: the light, the one shown first, as
  /// deep as its waveform can be, relative to the mean at which its darkest moment is 0. Those
  /// after it are its other states and readings. Empty otherwise.
  std::vector<LightState> deepest;

  PerCutOff<std::optional<double>> lowpass_percent;
  std::optional<double> svm;
  std::optional<double> pst_lm;
  std::optional<Ieee1789> ieee;
  std::vector<StandardVerdict> standards;

  TimeResolved over_time;
  std::optional<MeasuredCycle> cycle;  ///< for plots; empty where no rhythm was folded
  Spectrum spectrum;                   ///< of one typical window, amplitudes in % of the mean
  Findings warnings;
};

/// Components relative to the mean, inferred ones too, strongest first; those without a percentage
/// are left out.
std::vector<LightComponent> light_components(const Measurement& measurement);

/// The stretch in which a lamp was off that showed no flicker while it was lit: too little to call
/// it steady. Empty for all other light.
std::optional<MeasuredState> dark_beside_steady(const Measurement& measurement);

/// What the tables of the standards judge.
StandardFigures standard_figures(const Measurement& measurement);

/// What a saved light keeps of it beside the rhythms.
LightFigures light_figures(const Measurement& measurement);

/// The light a measurement describes, for the reasoning module. Of a recording without a mean it is
/// the deepest that the light can be (`DepthKnown::assumed_deepest`).
/// Throws InputError when neither is known.
Light light_from(const Measurement& measurement);

}  // namespace lampbeat
