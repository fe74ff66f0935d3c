#pragma once

#include "lampbeat/tones.hpp"
#include "signal/lines/line_fit.hpp"

namespace lampbeat::signal::tones {

inline constexpr std::size_t fewest_samples_to_analyse = 16;

/// A fitted line as a tone, with the orders it was tied by.
Tone as_tone(const lines::FittedLine& fitted, const lines::TiedLine& tied);

/// The fit's lines as series, strongest first: one per fundamental, and one per carrier that has
/// sidebands.
std::vector<ToneSeries> as_series(const lines::LineFit& fit, std::optional<std::size_t> mains);

/// The model that ties tones as they are known to hang together: lines in the tones' order. A
/// sideband whose carrier or other rhythm is not among the series stands alone.
lines::LineModel model_of(const ToneAnalysis& known);

/// One more than the highest number a fundamental has.
std::size_t fundamentals_in(const ToneAnalysis& tones);

double strongest_amplitude(const ToneSeries& series);

/// Throws UsageError when a sample is not finite.
void require_finite(const Window& window);

/// Of a window too short to search: its mean, not analysed.
ToneAnalysis mean_alone(const Window& window);

}  // namespace lampbeat::signal::tones
