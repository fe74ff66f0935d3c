#pragma once

#include "signal/tones/line_search.hpp"

namespace lampbeat::signal::tones {

/// Gauss-Newton steps of lines that are where they belong and settle beside new ones.
inline constexpr int steps_for_settled = 4;

/// The search so far: everything that its steps look at and change.
struct Search {
  const Window& window;
  const lines::FittableWindow fittable;
  const ToneSettings& settings;
  double duration_s;
  double rate_hz;
  std::size_t most_lines;
  FoundLines found = {};
};

/// Weaker lines are not looked for: not worth reporting, or the strongest line's imperfection.
double least_amplitude(const Search& search);

/// Of what the fit leaves, or another of the same window.
Spectrum residual_spectrum(const Search& search);
Spectrum residual_spectrum(const Search& search, const lines::LineFit& fit);

/// Amplitude from which on a line there stands out of what is left.
double threshold_at(const Spectrum& left, double hz);

/// Whether a line there could not be told from one of the model, or from the ends of the spectrum.
bool too_close(const Search& search, double hz, const lines::LineModel& model);

}  // namespace lampbeat::signal::tones
