#include "reasoning/bands/residue.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>

#include "lampbeat/banding.hpp"
#include "lampbeat/exposure.hpp"
#include "reasoning/bands/lags.hpp"

namespace lampbeat::reasoning::bands {
namespace {

template <typename Gain>
std::vector<mixture::Series> scaled(std::span<const mixture::Series> rhythms, Gain gain) {
  std::vector<mixture::Series> left;
  for (const mixture::Series& rhythm : rhythms) {
    mixture::Series kept{rhythm.hz, {}};
    for (const mixture::Harmonic& h : rhythm.harmonics) {
      const std::complex<double> amplitude = h.amplitude * gain(h.order * rhythm.hz);
      if (std::abs(amplitude) >= negligible_modulation)
        kept.harmonics.push_back({h.order, amplitude});
    }
    if (!kept.harmonics.empty()) left.push_back(std::move(kept));
  }
  return left;
}

}  // namespace

std::vector<mixture::Series> after_exposure(std::span<const mixture::Series> rhythms,
                                            double exposure_s) {
  return scaled(rhythms, [&](double hz) {
    return exposure_gain(hz, exposure_s) *
           std::polar(1.0, std::numbers::pi * std::fmod(hz * exposure_s, 2.0));
  });
}

std::vector<mixture::Series> after_frame_mean(std::span<const mixture::Series> rows,
                                              const Shot& shot) {
  return scaled(rows, [&](double hz) { return frame_mean_gain(hz, shot.readout_s, shot.rows); });
}

SamplePair widest_of_samples(std::span<const mixture::Series> rhythms, int samples,
                             double spacing_s, Effort effort) {
  const std::vector<int> lags = lags_up_to(samples - 1, parameters_of(effort).most_lags);
  return widest_pair(rhythms, lags, spacing_s, effort);
}

SamplePair widest_in_frame(std::span<const mixture::Series> rows, const Shot& shot, Effort effort) {
  return widest_of_samples(rows, shot.rows, shot.readout_s / shot.rows, effort);
}

SamplePair widest_in_clip(std::span<const mixture::Series> frames, FrameRate fps, Effort effort) {
  constexpr double most_frames = 1e8;  // far beyond any clip, and still a whole number
  const double frames_in_clip = std::ceil(clip_s * fps.per_s());
  const int last_frame = static_cast<int>(std::min(frames_in_clip, most_frames));
  return widest_of_samples(frames, last_frame + 1, fps.frame_s(), effort);
}

}  // namespace lampbeat::reasoning::bands
