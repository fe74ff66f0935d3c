#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "lampbeat/window.hpp"

namespace lampbeat {

/// Where a sideband lies beside its carrier's multiple: a multiple of another rhythm's fundamental.
struct Beside {
  std::size_t fundamental = 0;  ///< as in `ToneSeries::fundamental`
  int order = 1;                ///< negative below the carrier's multiple
};

/// One sinusoid in a window, in the window's own sample unit: amplitude · cos(2π hz t + phase_rad),
/// t from the window's first sample.
struct Tone {
  /// True frequency: a harmonic recognised by its fold is given above half the sampling rate.
  double hz = 0.0;
  double amplitude = 0.0;  ///< same unit as the samples, >= 0
  double phase_rad = 0.0;
  double hz_sd = 0.0;  ///< standard uncertainty, from the fit
  double amplitude_sd = 0.0;
  double phase_sd_rad = 0.0;
  int order = 1;  ///< multiple of its series' fundamental; of a sideband: the carrier's
  std::optional<Beside> beside = std::nullopt;  ///< of a sideband only
};

enum class SeriesKind {
  mains_locked,  ///< multiples of the mains frequency itself; `fundamental_hz` is the mains
  free_running,  ///< multiples of a frequency of the light's own (PWM, switching driver)
  sideband,      ///< sums and differences of two other series
};

/// Tones that share one fundamental, strongest first.
struct ToneSeries {
  SeriesKind kind = SeriesKind::free_running;
  double fundamental_hz = 0.0;  ///< for sidebands: of the free-running carrier
  double fundamental_hz_sd = 0.0;
  /// Which of the analysis' fundamentals that is; a carrier and its sidebands share it.
  std::size_t fundamental = 0;
  std::vector<Tone> tones;
};

/// Everything periodic in one window, and what is left.
struct ToneAnalysis {
  /// False when the window was not searched at all: too few samples, or no interval between them.
  /// Then `series` is empty without meaning that there is nothing.
  bool analysed = false;
  double mean = 0.0;  ///< constant part, solved together with the tones
  /// Change of the level from the window's start to its end (warm-up, a moving dimmer), solved
  /// together with the tones so that it does not disturb them; mean is the level at the centre.
  double change = 0.0;
  double noise_sd = 0.0;  ///< standard deviation of one sample around the fit
  /// Amplitude (sample units) of the smallest tone that would have been told from the noise.
  double detection_floor = 0.0;
  std::vector<ToneSeries> series;  ///< strongest first
};

/// What the analyst may assume.
struct ToneSettings {
  std::optional<double> mains_hz;  ///< the user's word; empty: look near 50 and near 60
  int most_tones = 64;
  /// Tones below this fraction of the mean are not worth reporting even when significant.
  double least_relative_amplitude = 1e-4;
};

/// Finds every tone above the noise floor of a window, groups them into harmonic series, refines
/// each fundamental by non-linear least squares over its whole series and solves all amplitudes and
/// phases together. Works on unevenly spaced samples by their own times, without resampling.
/// Reaches the Cramér-Rao bound for white noise (Nehorai & Porat, IEEE Trans. ASSP 34(5), 1986).
/// A rhythm is claimed from three cycles in the window on. Beside a sharp-edged rhythm, lone tones
/// weaker than its recognised folds are left out, and `detection_floor` says so.
/// Needs at least 16 samples; with fewer the result holds the mean only. Throws UsageError when a
/// sample is not finite.
ToneAnalysis analyse_tones(const Window& window, const ToneSettings& settings);

/// Fits known series to another window of the same light: frequencies start at those of `known`
/// and are refined, no new tones are sought, tones stay tied by the orders they have, the order of
/// series and tones stays. Much faster than
/// analyse_tones; `noise_sd` tells whether the light has changed.
ToneAnalysis follow_tones(const Window& window, const ToneAnalysis& known);

/// The value of the fitted model (mean and all tones) at time `t_s` from the window's first sample.
double model_at(const ToneAnalysis& analysis, double t_s);

}  // namespace lampbeat
