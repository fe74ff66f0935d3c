#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "lampbeat/finding.hpp"
#include "lampbeat/set_up.hpp"

namespace lampbeat {

/// One rhythm of a light: amplitude · cos(2π · hz · t + phase_rad), relative to the light's mean.
struct LightComponent {
  double hz = 0.0;         ///< > 0
  double amplitude = 0.0;  ///< fraction of the mean, >= 0 (0.2 means 20 %)
  double phase_rad = 0.0;  ///< of the cosine, at t = 0
  /// Multiple of the mains frequency this component is locked to; empty when it runs free
  /// (a PWM dimmer, a switching driver).
  std::optional<int> mains_order;
};

/// Light that was recorded and that no rhythm explains, in one band of frequencies.
struct UnexplainedLight {
  double from_hz = 0.0;  ///< >= 0
  double to_hz = 0.0;    ///< > from_hz
  double rms = 0.0;      ///< fraction of the mean, > 0
};

/// Another reading of the same light: how it was in another stretch of the recording, or what the
/// samples could mean as well (a rhythm above half the sampling rate, folded down).
struct LightState {
  std::string what;  ///< for people, completes "the light ...": "from 2.7 s to 5.0 s"
  std::optional<double> mains_hz;
  std::vector<LightComponent> components;  ///< strongest first
  std::vector<UnexplainedLight> unexplained;
  double noise_percent = 0.0;
  /// What the light would be if an assumption about its recording failed: it counts in the worst
  /// case, and not as how the light is.
  bool worst_case_only = false;
};

/// How the depth of a light is known.
enum class DepthKnown {
  measured,         ///< with the mean the light was recorded with, or that was given
  assumed_deepest,  ///< not known: the components are as large as light can have them
  typical           ///< a handbook's figure for its kind
};
/// As people and programs read it: "measured", "assumed deepest", "typical".
const char* depth_words(DepthKnown depth);
/// The knowledge of these words; empty for any others.
std::optional<DepthKnown> depth_known(std::string_view words);

/// What the measurement behind a light found beside its rhythms: kept so that a saved light can be
/// rated as its capture was. Empty entries were not measured.
struct LightFigures {
  std::optional<double> percent_flicker, flicker_index, dominant_hz, svm, pst_lm;
  std::optional<double> below_200_percent;  ///< percent flicker below 200 Hz
  /// Nothing deeper was there; empty as well where percent flicker is, when it was withheld.
  std::optional<double> steady_below_percent;
  /// The rhythm that is worst by IEEE 1789, with its own percent flicker.
  struct WorstRhythm {
    double hz = 0.0;
    double percent = 0.0;
    double percent_sd = 0.0;
  };
  std::optional<WorstRhythm> worst_rhythm;
  /// Standard uncertainties of the first three; the recorder's clock included.
  std::optional<double> percent_flicker_sd, flicker_index_sd, dominant_hz_sd;
  std::optional<double> rate_hz;  ///< samples a second
  /// A rhythm this deep, % of the mean, would have been found wherever it lay below half the rate.
  std::optional<double> seen_above_percent;
  std::optional<SetUp> set_up;             ///< empty: nobody wrote it down
  std::optional<int> measurement_version;  ///< by which they were measured
};

/// A light relative to its own mean, L(t) = 1 + Σ amplitude · cos(2π hz t + phase): the one value
/// in which every module meets. Measuring makes one from samples, handbook values make one, several
/// mix into one; prediction, planning and rating need nothing else. Whoever judges a light judges
/// it in every one of its states (`states_of`) and takes the worst.
struct Light {
  std::string name;                        ///< for people: "ceiling panel"
  std::optional<double> mains_hz;          ///< mains frequency the locked components were taken at
  std::vector<LightComponent> components;  ///< strongest first
  double noise_percent = 0.0;  ///< smallest component that would have been seen, % of mean
  std::vector<UnexplainedLight> unexplained;  ///< slowest first; empty when all is explained
  /// How far the clock of the free-running components was seen to stray, % of their frequency.
  double clock_spread_percent = 0.0;
  std::vector<LightState> other_states;  ///< beside the one described here
  std::optional<LightFigures> figures;   ///< empty: nobody measured more than the rhythms
  std::string source;  ///< where it came from: capture name, "handbook value: ..."
  std::string made;    ///< ISO date it was taken or saved, may be empty
  Findings findings;   ///< doubts that travel with it
  DepthKnown depth = DepthKnown::measured;
  /// Nothing but its frequency is known: the components stand for every waveform of that period
  /// (`light_of_frequency`), and any of them may be the one that shows.
  bool any_waveform = false;
};

/// The light at time `t_s` relative to its mean (1 = mean).
double light_at(const Light& light, double t_s);

/// The light once for each of its states, its own first, each without `other_states`.
std::vector<Light> states_of(const Light& light);

/// Whether a supply can have this frequency: 10 ... 1000 Hz, as railways (16.7) and aircraft (400)
/// do.
bool is_mains_hz(double hz);
/// Throws UsageError unless it can.
void require_mains_hz(double hz);

/// The same light on another mains frequency: locked components, in every state, move to
/// order · mains_hz, those that run free stay. A state without `mains_hz` is left unchanged.
/// Throws UsageError where no supply has that frequency.
Light retuned(const Light& light, double mains_hz);

}  // namespace lampbeat
